// The pages to hand over, in a real browser. usage: node check_pages.mjs PROGRAM SOURCE FOLDER
//
// FOLDER keeps the pages and their pictures. Each page is opened from the disk at three widths, light and dark, with and
// without its script, printed, and judged by axe-core; its numbers are held against those of `rehearse --json`.
import {execFileSync, spawnSync} from 'node:child_process';
import {createHash} from 'node:crypto';
import {mkdirSync, readFileSync, writeFileSync} from 'node:fs';
import {createRequire} from 'node:module';
import path from 'node:path';

const [program, source, folder] = process.argv.slice(2).map((name) => path.resolve(name));
const require = createRequire(path.join(folder, 'package.json'));
const {chromium} = require('playwright-core');
const axe = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');
const env = {...process.env, STILLWATT_DATA: source, LC_ALL: 'C.UTF-8'};
let good = 0, failed = 0;

function expect(condition, message) {
  if (condition) good++;
  else { failed++; console.log(`wrong: ${message}`); }
}

function run(...words) {
  const ended = spawnSync(program, words, {cwd: folder, env, encoding: 'utf8', maxBuffer: 1 << 26});
  expect(ended.status === 0, `stillwatt ${words.join(' ')} ended with ${ended.status}: ${ended.stderr}`);
  return ended.stdout;
}

// ---- trips ----

const demo = (name) => path.join(source, 'profiles/trips', `${name}.json`);
const hostile = '<script>alert(1)</script>', turned = 'שלום \u{1F3D5} <b>& "camp"';

/** A stay on the demo's rim; north of the polar circle on demand. */
function stay(name, from, to, more = {}, where = {latitude: 38.35, longitude: -109.75, elevation: '1750 m', zone: 'America/Denver'},
  place = 'rim', van = path.join(source, 'profiles/vans/weekend-van.json')) {
  const file = path.join(folder, `${name}.trip.json`);
  writeFileSync(file, JSON.stringify({format: 'stillwatt trip 1', name: more.title ?? name, van,
    places: {[place]: where}, legs: [{stay: place, from, to}], sky: more.sky ?? {kind: 'average'}}));
  return file;
}

function trips() {
  const van = JSON.parse(readFileSync(path.join(source, 'profiles/vans/weekend-van.json'), 'utf8')
    .replace(/^\s*\/\/.*$/gm, '').replace(/(,|\{|\[)\s*\/\/.*$/gm, '$1').replace(/\s\/\/ .*$/gm, ''));
  writeFileSync(path.join(folder, 'hostile.van.json'), JSON.stringify({...van, name: hostile}));
  // Round figures, invented: far from every station of the table.
  const twelve = (unit, ...values) => values.map((value) => `${value} ${unit}`);
  const north = {latitude: 69.65, longitude: 18.96, elevation: '10 m', zone: 'Europe/Oslo', normals: {
    daily_sun: twelve('kWh/m2', 0.1, 0.4, 1.3, 3, 4.2, 4.8, 4.4, 3, 1.6, 0.6, 0.1, 0.1),
    low: twelve('C', -6, -6, -5, -2, 2, 6, 9, 8, 5, 1, -3, -5), high: twelve('C', -2, -2, 0, 4, 8, 13, 16, 14, 10, 5, 1, -1)}};
  return {
    week: demo('canyon-week'), hours: demo('canyon-week-hours'), tour: demo('high-desert-tour'), told: demo('canyon-week-told'),
    barn: demo('winter-barn'), pass: demo('frozen-pass-heated'),
    hour: stay('hour', '2026-11-07 18:00', '2026-11-07 19:00'),
    day: stay('day', '2026-11-07 10:00', '2026-11-08 10:00'),
    fortnight: stay('fortnight', '2026-06-01 10:00', '2026-06-15 10:00'),
    long: stay('long', '2026-10-01 10:00', '2026-11-30 10:00'),
    polar: stay('polar', '2026-06-18 12:00', '2026-06-22 12:00', {sky: {kind: 'told', otherwise: 'scattered'}}, north, 'fjord'),
    hostile: stay('hostile', '2026-11-07 10:00', '2026-11-09 10:00', {title: 'A trip "to" <i>nowhere</i>'}, undefined, turned,
      path.join(folder, 'hostile.van.json')),
  };
}

// ---- one page ----

/** What the policy lets through is what the page holds. */
function check_policy(name, file) {
  const text = readFileSync(file, 'utf8');
  for (const part of ['style', 'script']) {
    const [, inside] = new RegExp(`<${part}>(.*?)</${part}>`, 's').exec(text);
    const sum = `sha256-${createHash('sha256').update(inside).digest('base64')}`;
    expect(text.includes(`${part}-src '${sum}'`), `${name}: the policy has another sum of the ${part}; write ${sum} into src/report/html.h`);
  }
}

function pages_of(pdf) {
  return +/Pages:\s+(\d+)/.exec(execFileSync('pdfinfo', [pdf], {encoding: 'utf8'}))[1];
}

/** Contrast of two colours after WCAG 2.2. */
function contrast(a, b) {
  const light = (hex) => [1, 3, 5].map((i) => parseInt(hex.slice(i, i + 2), 16) / 255)
    .map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4))
    .reduce((sum, c, i) => sum + c * [0.2126, 0.7152, 0.0722][i], 0);
  const [x, y] = [light(a), light(b)].sort((p, q) => q - p);
  return (x + 0.05) / (y + 0.05);
}

async function check_palette(page, says) {
  const colour = await page.evaluate(() => Object.fromEntries(['ink', 'soft', 'sun', 'water', 'edge', 'warn', 'hookup', 'other', 'use', 'paper',
    'night', 'faint'].map((name) => [name, getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim()])));
  for (const paper of ['paper', 'night']) {
    for (const text of ['ink', 'soft']) {
      const found = contrast(colour[text], colour[paper]);
      expect(found >= 4.5, `${says}: ${text} on ${paper} has a contrast of ${found.toFixed(2)}`);
    }
    for (const mark of ['sun', 'water', 'edge', 'warn', 'hookup', 'other', 'use']) {
      const found = contrast(colour[mark], colour[paper]);
      expect(found >= 3, `${says}: ${mark} on ${paper} has a contrast of ${found.toFixed(2)}`);
    }
  }
}

async function open(browser, file, options, work) {
  const context = await browser.newContext(options), page = await context.newPage(), heard = [], asked = [];
  page.on('console', (message) => heard.push(message.text()));
  page.on('pageerror', (error) => heard.push(String(error)));
  page.on('dialog', (dialog) => { heard.push(`dialog ${dialog.message()}`); dialog.dismiss(); });
  page.on('request', (request) => asked.push(request.url()));
  await page.goto(`file://${file}`);
  await work(page);
  expect(heard.length === 0, `${path.basename(file)} says to the console: ${heard.join('; ')}`);
  expect(asked.length === 1, `${path.basename(file)} asks for ${asked.slice(1).join(', ')}`);
  await context.close();
}

async function looks(browser, name, file, print_pages) {
  for (const width of [360, 800, 1400])
    for (const colorScheme of ['light', 'dark'])
      await open(browser, file, {viewport: {width, height: 900}, colorScheme}, async (page) => {
        const room = await page.evaluate(() => [document.documentElement.scrollWidth, document.documentElement.clientWidth]);
        expect(room[0] <= room[1], `${name} at ${width} px scrolls sideways: ${room}`);
        await check_palette(page, `${name}, ${colorScheme}`);
        await page.screenshot({path: path.join(folder, `${name}-${width}-${colorScheme}.png`), fullPage: true});
        if (width === 800)
          return; // the judge looks at the narrow and the wide page
        await page.evaluate(axe);
        const {violations} = await page.evaluate(() => axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa', 'best-practice']}));
        for (const v of violations)
          expect(false, `${name} at ${width} px, ${colorScheme}: ${v.id}, ${v.help}: ${v.nodes.slice(0, 2).map((n) => n.html).join(' ')}`);
        expect(violations.length === 0, `${name} at ${width} px, ${colorScheme}: axe-core`);
      });
  await open(browser, file, {}, async (page) => {
    for (const format of ['A4', 'Letter']) {
      const pdf = path.join(folder, `${name}-${format}.pdf`);
      await page.pdf({path: pdf, format, preferCSSPageSize: false});
      const count = pages_of(pdf);
      expect(count <= print_pages, `${name} prints on ${count} pages of ${format}`);
    }
  });
}

// ---- what a trip's page says ----

const percent = (value) => `${Math.floor(value + 1e-7)} %`;

/** What the days of a poor week miss because of the battery is part of what it leaves unserved; of a van whose inverter carries all,
 * the whole of it. */
function adds_up(name, rehearsal, is_whole) {
  const missed = rehearsal.days.reduce((sum, day) => sum + (day.poor_week_missed_wh ?? 0), 0), all = rehearsal.poor_week?.unserved_wh ?? 0;
  expect(missed <= all + 0.01 && (!is_whole || (missed > 1 && Math.abs(missed - all) < 0.01)), `${name}: the days of the poor week miss ${missed} of ${all} Wh`);
}

/** Its numbers are those of the rehearsal. */
async function says(browser, name, file, rehearsal) {
  await open(browser, file, {javaScriptEnabled: false}, async (page) => {
    const text = await page.locator('main').innerText();
    expect(text.includes(rehearsal.verdict_sentence), `${name} does not say: ${rehearsal.verdict_sentence}`);
    expect(await page.locator('#hour').isHidden(), `${name} has a slider without a script`);
    const rows = await page.locator('#days tbody tr').evaluateAll((all) => all.map((row) => [...row.cells].map((cell) => cell.textContent)));
    const head = await page.locator('#days thead th').allTextContents();
    const each = rows.length < rehearsal.days.length ? 7 : 1;
    expect(rows.length === Math.ceil(rehearsal.days.length / each), `${name} has ${rows.length} rows for ${rehearsal.days.length} days`);
    rows.forEach((row, i) => {
      const days = rehearsal.days.slice(each * i, each * (i + 1));
      const sum = (key) => days.reduce((all, day) => all + key.reduce((s, k) => s + day[k], 0), 0);
      const least = Math.min(...days.map((day) => day.charge_lowest_pct));
      expect(row[1].replace(' <', '') === percent(least), `${name}, row ${i}: lowest ${row[1]}, not ${least}`);
      expect(row[1].endsWith(' <') === days.some((day) => day.under_reserve), `${name}, row ${i}: is ${row[1]} under the line?`);
      expect(row.at(-1) === percent(days.at(-1).charge_end_pct), `${name}, row ${i}: ends with ${row.at(-1)}`);
      const wh = {'sun in': ['solar_used_wh'], spilled: ['solar_spilled_wh'], driving: ['alternator_used_wh'],
        engine: ['alternator_used_wh'], hookup: ['shore_to_charger_wh', 'shore_to_loads_wh'],
        inlet: ['shore_to_charger_wh', 'shore_to_loads_wh'], used: ['loads_served_wh'],
        missed: ['unserved_must_wh', 'unserved_want_wh', 'unserved_can_wait_wh']};
      if (head.includes('poor week')) {
        const poor = Math.min(...days.map((day) => day.poor_week_lowest_pct));
        const told = row[head.indexOf('poor week')];
        expect(told.replace(' <', '') === percent(poor), `${name}, row ${i}: poor week ${row}, not ${poor}`);
        expect(told.endsWith(' <') === poor < rehearsal.reserve_pct - 1e-6, `${name}, row ${i}: is the poor week's ${told} under the line?`);
      }
      expect(head.includes('poor week') === 'poor_week' in rehearsal, `${name}: is there a poor week?`);
      expect(head.slice(1).every((title) => title in wh || ['lowest', 'at', 'poor week', 'end'].includes(title)), `${name}: ${head}`);
      head.forEach((title, c) => {
        if (title in wh)
          expect(Math.abs(+row[c] - sum(wh[title]) / 1000) <= 0.0051, `${name}, row ${i}: ${title} ${row[c]}, not ${sum(wh[title]) / 1000}`);
      });
    });
  });
}

/** Each hour that the slider tells is one of the ledger. */
async function tells_hours(browser, name, file, trip) {
  run('rehearse', trip, '--ledger', `${name}.csv`);
  const [head, ...rows] = readFileSync(path.join(folder, `${name}.csv`), 'utf8').trim().split('\r\n').map((line) => line.split(','));
  const column = (row, key) => +row[head.indexOf(key)];
  await open(browser, file, {viewport: {width: 1400, height: 900}}, async (page) => {
    const slider = page.locator('#hour');
    expect(+(await slider.getAttribute('max')) === rows.length - 1, `${name} has other hours than the ledger`);
    for (const at of [0, Math.floor(rows.length / 2), rows.length - 1]) {
      await slider.evaluate((input, value) => { input.value = value; input.dispatchEvent(new Event('input')); }, at);
      const said = await page.locator('#says').textContent(), charge = percent(column(rows[at], 'charge_end_pct'));
      expect(said.includes(`charge ${charge}`) && said.includes(`sun ${Math.round(column(rows[at], 'solar_used_wh'))} W`),
        `${name}, hour ${at}: ${said}, not ${charge}`);
    }
    const chart = page.locator('svg.wide'), box = await chart.boundingBox();
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    expect(Math.abs(+(await slider.inputValue()) - rows.length / 2) < rows.length * 0.06 + 1, `${name}: pointing at the middle tells another hour`);
  });
}

/** What users wrote comes out as text. */
async function is_text(browser, file) {
  await open(browser, file, {}, async (page) => {
    const text = await page.locator('main').innerText();
    for (const words of [hostile, turned, 'A trip "to" <i>nowhere</i>'])
      expect(text.includes(words), `the hostile page does not show ${words}`);
    expect(await page.locator('script').count() === 2, 'a name has become a script');
    expect(await page.locator('main b, main i').count() === 0, 'a name has become marked text');
  });
}

/** The inputs that a page carries give the same verdict again. */
async function can_be_rehearsed_again(browser, file, rehearsal) {
  await open(browser, file, {javaScriptEnabled: false}, async (page) => {
    const inputs = await page.locator('details.input').evaluateAll((all) => all.map((one) =>
      [one.querySelector('summary').textContent.replace('Input file ', ''), one.querySelector('pre').textContent]));
    expect(inputs.length >= 2, 'a page carries no inputs');
    // Named from the trip's folder on, parts from the data folder on; never where they lie on the builder's disk.
    const beside = (root, name) => path.join(root, name.startsWith('profiles/parts/') ? '' : 'profiles/trips', name);
    for (const [name, text] of inputs) {
      expect(!path.isAbsolute(name), `a page tells where ${name} lies`);
      expect(readFileSync(beside(source, name), 'utf8') === text, `${name} is carried with other bytes`);
      const copy = beside(path.join(folder, 'again'), name);
      mkdirSync(path.dirname(copy), {recursive: true});
      writeFileSync(copy, text);
    }
    const again = JSON.parse(run('rehearse', '--json', beside(path.join(folder, 'again'), inputs[0][0])));
    expect(again.verdict_sentence === rehearsal.verdict_sentence, 'the inputs of a page give another verdict');
  });
}

// ---- all ----

const browser = await chromium.launch({executablePath: '/usr/bin/chromium', args: ['--no-sandbox', '--disable-gpu', '--disable-quic',
  '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync']});
for (const [name, trip] of Object.entries(trips())) {
  const file = path.join(folder, `${name}.html`), rehearsal = JSON.parse(run('rehearse', '--json', trip));
  run('sheet', trip, '--out', file);
  const size = readFileSync(file).length;
  expect(size < 500000, `${name} has ${size} bytes`);
  check_policy(name, file);
  adds_up(name, rehearsal, name === 'week');
  await looks(browser, name, file, 2);
  await says(browser, name, file, rehearsal);
  await tells_hours(browser, name, file, trip);
  if (name === 'hostile') await is_text(browser, file);
  if (name === 'week') await can_be_rehearsed_again(browser, file, rehearsal);
}
for (const van of ['weekend-van', 'long-trip-van', 'frost-van']) {
  const file = path.join(folder, `${van}.html`);
  run('sheet', path.join(source, `profiles/vans/${van}.json`), '--station', 'Grand Junction CO', '--out', file);
  check_policy(van, file);
  await looks(browser, van, file, 1);
}
await browser.close();
console.log(`${good} of ${good + failed} as they should be`);
process.exit(failed > 0 ? 1 : 0);
