// The frame of a page of HTML: its policy, style and script.
#include "report/html.h"

#include "report/svg.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

/* Between the colours by day and those by night, and the rules of the pictures. */
static const char style[] =
    "*{box-sizing:border-box}"
    "body{margin:0 auto;padding:1rem;max-width:62rem;background:var(--paper);color:var(--ink);"
    "font:1rem/1.5 system-ui,sans-serif;overflow-wrap:break-word}"
    "h1{font-size:1.6rem;line-height:1.2;margin:0 0 .25rem}"
    "h2{font-size:1.15rem;line-height:1.3;margin:1.6rem 0 .4rem;border-bottom:2px solid var(--grid)}"
    "h3{font-size:1rem;margin:1rem 0 .2rem}"
    "p{margin:.4rem 0}ul,ol{margin:.4rem 0;padding-left:1.3rem}li{margin:.25rem 0}"
    ".of,.small{color:var(--soft)}.small{font-size:.875rem}"
    ".verdict{margin:1rem 0;padding:.6rem .9rem;border:1px solid var(--faint);border-left-width:.6rem;"
    "border-radius:.2rem}"
    ".holds{border-left-color:var(--hookup)}.tight{border-left-color:var(--sun);border-left-style:double}"
    ".under,.out{border-left-color:var(--warn);border-left-style:dashed}"
    ".verdict strong{font-size:1.15rem}"
    "figure{margin:1rem "
    "0}svg{display:block;width:100%;height:auto;overflow:hidden}svg.defs{position:absolute;width:0;height:0}"
    "svg.narrow{display:none}figcaption{min-height:1.5em;color:var(--soft);font-size:.9rem}"
    "input[type=range]{width:100%;height:1.75rem;accent-color:var(--water)}"
    ".days{list-style:none;padding:0}.days li{border-top:1px solid var(--grid);padding:.35rem 0;margin:0}"
    ".days strong{display:inline-block;min-width:6.8rem}.days .mind{border-left:.35rem solid var(--warn);"
    "padding-left:.5rem}"
    "table{border-collapse:collapse;margin:.5rem 0;font-variant-numeric:tabular-nums}"
    "th,td{text-align:right;padding:.15rem .5rem;border-bottom:1px solid var(--grid);font-weight:400}"
    "th{color:var(--soft)}th:first-child,td:first-child{text-align:left}tr>th:first-child{color:var(--ink)}"
    "thead th{font-weight:600;vertical-align:bottom}"
    ".wide-table{overflow-x:auto}.wide-table:focus{outline:2px solid var(--water)}"
    ".good{background:var(--paper)}.line{display:inline-block;min-width:14rem;border-bottom:1px solid "
    "var(--ink)}"
    "details{margin:.5rem 0}summary{cursor:pointer;padding:.25rem 0}"
    "pre{white-space:pre-wrap;overflow-wrap:anywhere;font-size:.8rem;border:1px solid "
    "var(--grid);padding:.5rem}"
    "footer{margin-top:2rem;border-top:2px solid var(--grid);color:var(--soft);font-size:.875rem}"
    "@media(max-width:640px){svg.wide{display:none}svg.narrow{display:block}.days "
    "strong{display:block}th,td{padding:.15rem .25rem}table{font-size:.875rem}}"
    "@media print{html{font-size:8pt}body{max-width:none;padding:0;line-height:1.3}h1{font-size:15pt}"
    "h2{font-size:10pt;margin:1.8mm 0 .6mm;break-after:avoid}h3{font-size:9pt;margin:1.2mm 0 "
    ".4mm;break-after:avoid}"
    "p,ul,ol,table{margin:.6mm 0}li{margin:.25mm 0}.small{font-size:7.8pt}"
    ".verdict{margin:1.2mm 0;padding:.8mm 2.5mm}figure{margin:.5mm 0}svg.wide{display:block;max-height:62mm}"
    "svg.narrow,input,figcaption,details,.hour{display:none}.days,.pair{columns:2;column-gap:6mm}"
    ".days li{padding:.3mm 0}li,tr,.pair>div{break-inside:avoid}"
    "th,td{padding:.1mm 1.5mm}.wide-table{overflow:visible}footer{margin-top:1.5mm}"
    "@page{margin:9mm 11mm}}";

/* Reads the hours that stand in the page, and tells the one that is pointed at, or chosen with the slider. */
static const char script[] =
    "(function(){"
    "'use strict';"
    "var text=document.getElementById('hours');if(!text)return;"
    "var all=JSON.parse(text.textContent),slider=document.getElementById('hour'),"
    "says=document.getElementById('says'),charts=document.querySelectorAll('figure svg');"
    "function show(i){var h=all.hours[i];slider.value=i;"
    "says.textContent=h[0]+': charge '+h[2]+' %, sun '+h[3]+' W, '+(h[4]?'other sources '+h[4]+' W, "
    "':'')+'use '+h[5]+' W';"
    "slider.setAttribute('aria-valuetext',says.textContent);"
    "charts.forEach(function(c){var w=c.classList.contains('narrow')?all.narrow:all.wide,"
    "from=i?all.hours[i-1][1]:0,at=w[0]+(from+h[1])/2/all.minutes*(w[1]-w[0]),m=c.querySelector('.hour');"
    "m.setAttribute('x1',at);m.setAttribute('x2',at);});}"
    "function point(e){var c=e.currentTarget,b=c.getBoundingClientRect(),"
    "w=c.classList.contains('narrow')?all.narrow:all.wide,"
    "x=(e.clientX-b.left)/b.width*c.viewBox.baseVal.width,t=(x-w[0])/(w[1]-w[0])*all.minutes,i=0;"
    "if(t<0||t>all.minutes)return;while(i<all.hours.length-1&&all.hours[i][1]<t)i++;show(i);}"
    "charts.forEach(function(c){c.addEventListener('pointermove',point);c.addEventListener('pointerdown',"
    "point);});"
    "slider.max=all.hours.length-1;slider.hidden=false;"
    "slider.addEventListener('input',function(){show(+slider.value);});"
    "})();";

void sw_html_open(page *p, const char *title)
{
    sw_page_add(p,
                "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src '%s'; "
                "script-src '%s'; base-uri 'none'; form-action 'none'\">\n"
                "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                "<meta name=\"color-scheme\" content=\"light dark\">\n",
                HTML_STYLE_HASH, HTML_SCRIPT_HASH);
    sw_html_element(p, "title", NULL, title);
    sw_page_add(p, "<style>:root{color-scheme:light dark;");
    sw_svg_palette(p, 0);
    sw_page_add(p, "}@media screen and (prefers-color-scheme:dark){:root{");
    sw_svg_palette(p, 1);
    sw_page_add(p, "}}");
    sw_svg_page_rules(p);
    sw_page_add(p, "%s</style>\n</head>\n<body>\n", style);
    sw_svg_page_patterns(p);
}

void sw_html_close(page *p)
{
    sw_page_add(p, "<script>%s</script>\n</body>\n</html>\n", script);
}

void sw_html_element(page *p, const char *element, const char *name, const char *text)
{
    if (name != NULL)
        sw_page_add(p, "<%s class=\"%s\">", element, name);
    else
        sw_page_add(p, "<%s>", element);
    sw_page_escaped(p, text);
    sw_page_add(p, "</%s>\n", element);
}

void sw_html_take(page *p, const char *element, const char *name, page *text)
{
    char *whole = NULL;
    if (text->length == 0 && !text->failed)
        return;
    if (sw_growing_take(text, &whole) == SW_OK)
        sw_html_element(p, element, name, whole);
    else
        p->failed = 1;
    free(whole);
}

void sw_html_cell(page *p, int is_head, const char *format, ...)
{
    page cell = {0};
    char *text = NULL;
    va_list arguments;
    va_start(arguments, format);
    sw_page_add_list(&cell, format, arguments);
    va_end(arguments);
    if (is_head)
        sw_page_add(p, "<th scope=\"%s\">", is_head == 1 ? "row" : "col");
    else
        sw_page_add(p, "<td>");
    p->failed = sw_growing_take(&cell, &text) != SW_OK || p->failed;
    sw_page_escaped(p, text != NULL ? text : "");
    sw_page_add(p, "</%s>", is_head ? "th" : "td");
    free(text);
}

/* "<" is written by its number, so that no text ends the script. */
void sw_html_quoted(page *p, const char *text)
{
    sw_page_add(p, "\"");
    for (; *text != '\0'; text++) {
        if (*text == '"' || *text == '\\' || *text == '<' || (unsigned char)*text < 0x20)
            sw_page_add(p, "\\u%04x", (unsigned char)*text);
        else
            sw_page_add(p, "%c", *text);
    }
    sw_page_add(p, "\"");
}
