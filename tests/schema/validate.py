#!/usr/bin/python3
"""Holds the schemas of profiles/schema against a validator that is not ours, and against the program.

Where both can tell, schema and reader agree; where only the reader can tell, that is written down here.
Good files are accepted by both, wrong ones refused by both at the place expected, files changed at random never
accepted by the program and refused by the schema. Patterns of values are compared with the readers text by text.
"""
import argparse
import copy
import json
import pathlib
import random
import re
import subprocess
import sys
import tempfile

try:
    import jsonschema
    from jsonschema import Draft202012Validator
except ImportError:
    sys.exit("The validator is missing: install the package python3-jsonschema (apt-get install python3-jsonschema).")

KINDS = ("van", "trip", "part", "study")
FOLDERS = {"van": "vans", "trip": "trips", "part": "parts", "study": "studies"}
failures = []


def expect(condition, message):
    if not condition:
        failures.append(message)
        if len(failures) <= 40:
            print("wrong: " + message)
    return condition


# ---- texts ----


def without_comments(text):
    """Blanks // and /* */ outside of texts."""
    out, at = [], 0
    token = re.compile(r'"(?:[^"\\]|\\.)*"|//[^\r\n]*|/\*.*?\*/', re.S)
    for found in token.finditer(text):
        out.append(text[at:found.start()])
        out.append(found.group() if found.group()[0] == '"' else re.sub(r"[^\r\n]", " ", found.group()))
        at = found.end()
    return "".join(out) + text[at:]


def read(path):
    return json.loads(without_comments(path.read_text(encoding="utf-8")))


def pointer(path):
    return "".join("/" + str(step).replace("~", "~0").replace("/", "~1") for step in path)


def at(document, where):
    for step in steps(where):
        document = document[step]
    return document


def steps(where):
    return [int(s) if s.isdigit() else s.replace("~1", "/").replace("~0", "~") for s in where.split("/")[1:]]


# ---- the two judges ----


class Bench:
    """The schemas, the program, and a folder that looks like profiles."""

    def __init__(self, source, program, folder):
        self.source, self.program, self.folder = source, program, folder
        self.schema = {kind: json.loads((source / "profiles/schema" / f"{kind}.schema.json").read_text("utf-8"))
                       for kind in KINDS}
        self.validator = {kind: Draft202012Validator(self.schema[kind]) for kind in KINDS}
        for name in FOLDERS.values():
            (folder / name).mkdir()
        for path in self.good():
            (folder / path.parent.name / path.name).write_bytes(path.read_bytes())

    def good(self):
        for root in (self.source / "profiles", self.source / "tests/schema/good"):
            for name in FOLDERS.values():
                yield from sorted((root / name).glob("*.json"))

    def program_says(self, path):
        run = subprocess.run([self.program, "check", "--data", str(self.source), str(path)], capture_output=True,
                             text=True, check=False)
        if run.returncode not in (0, 3):
            sys.exit(f"check {path} ended with {run.returncode}: {run.stderr}\n{path.read_text()}")
        return run.returncode == 0, run.stderr

    def program_judges(self, kind, document):
        path = self.folder / FOLDERS[kind] / "case.json"
        path.write_text(json.dumps(document, ensure_ascii=False), encoding="utf-8")
        return self.program_says(path)

    def schema_judges(self, kind, document):
        return [(pointer(e.absolute_path), e.validator) for e in self.validator[kind].iter_errors(document)]


# ---- schemas by themselves ----


def check_schemas(bench):
    for kind in KINDS:
        try:
            Draft202012Validator.check_schema(bench.schema[kind])
        except jsonschema.SchemaError as error:
            expect(False, f"{kind}.schema.json is no schema: {error.message}")


def subschemas(schema):
    if isinstance(schema, dict):
        yield schema
    for child in schema.values() if isinstance(schema, dict) else schema if isinstance(schema, list) else ():
        yield from subschemas(child)


def check_examples(bench):
    """Each example and each default is a value that the schema of its key accepts."""
    count = 0
    for kind in KINDS:
        for schema in subschemas(bench.schema[kind]):
            properties = schema.get("properties", {})
            for key, value in properties.items():
                if not isinstance(value, dict) or "description" not in value:
                    continue
                judge = bench.validator[kind].evolve(schema=value)
                for example in value.get("examples", []) + ([value["default"]] if "default" in value else []):
                    count += 1
                    expect(judge.is_valid(example), f"{kind}: \"{key}\" has the bad example {example}")
    expect(count > 150, f"only {count} examples and defaults were found")
    print(f"{count} examples and defaults are accepted by the schemas of their keys")


# ---- good files ----


def drafts(bench):
    """What `draft` writes, for several shapes of van."""
    shapes = (["--inverter", "none", "--cooking", "gas", "--panels", "none", "--shore", "no", "--driving", "no"],
              ["--battery", "2 x 105 Ah agm", "--panels", "3 x 175 W", "--cooking", "induction", "--laptops", "2"],
              ["--fridge", "no", "--heater", "no", "--lights", "0", "--laptops", "0", "--units", "us"],
              ["--name", "Österreich \"2\"", "--people", "4"])
    for i, shape in enumerate(shapes):
        folder = bench.folder / f"draft{i}"
        folder.mkdir()
        run = subprocess.run([bench.program, "draft", "--data", str(bench.source), "--station", "Rifle CO", "--from",
                              "2026-11-06", "--nights", "3", "--out", str(folder)] + shape, capture_output=True, text=True,
                             check=False)
        expect(run.returncode == 0, f"draft {' '.join(shape)} failed: {run.stderr}")
        yield from sorted(folder.glob("*.json"))


def kind_of(document):
    return document["format"].split()[1]


def parts_of(van):
    """Part files made of the things of a van."""
    things = [(key, van[key]) for key in ("battery", "controller", "alternator", "shore", "inverter", "starter")]
    things += [("array", thing) for thing in van["arrays"].values()]
    things += [("load", thing) for thing in van["loads"].values()]
    for kind, thing in things:
        keys = {key: value for key, value in thing.items() if key != "part"}
        yield {"format": "stillwatt part 1", "name": kind, "kind": kind, "is": keys}


def check_good(bench):
    paths = list(bench.good()) + list(drafts(bench))
    documents = [read(path) for path in paths]
    for path, document in zip(paths, documents):
        wrong = bench.schema_judges(kind_of(document), document)
        expect(not wrong, f"{path.name} is good, but the schema refuses it at {wrong}")
        good, told = bench.program_says(path)
        expect(good, f"{path.name} is refused by the program: {told}")
    full = read(bench.folder / "vans/full.json")
    for document in parts_of(full):
        documents.append(document)
        expect(not bench.schema_judges("part", document), f"the schema refuses a part of {document['kind']}")
        expect(bench.program_judges("part", document)[0], f"the program refuses a part of {document['kind']}")
    expect(len(paths) >= 32, f"only {len(paths)} good files were found")
    print(f"{len(documents)} good files are accepted by schema and program")
    return documents


def check_coverage(bench, documents):
    """The good files use every key of every schema."""
    seen = set()

    def properties(validator, keys, instance, schema):
        if isinstance(instance, dict):
            seen.update((id(keys), key) for key in keys if key in instance)
        yield from Draft202012Validator.VALIDATORS["properties"](validator, keys, instance, schema)

    watching = jsonschema.validators.extend(Draft202012Validator, {"properties": properties})
    judges = {kind: watching(bench.schema[kind]) for kind in KINDS}
    for document in documents:
        judges[kind_of(document)].is_valid(document)
    for kind in KINDS:
        tables = [("the file", bench.schema[kind])] + list(bench.schema[kind]["$defs"].items())
        for name, table in tables:
            for key in table.get("properties", {}):
                expect((id(table["properties"]), key) in seen, f"{kind}: no good file has \"{key}\" in {name}")


# ---- wrong files ----

DROP = object()
VAN, TRIP, PART = ("van", "vans/full.json"), ("trip", "trips/full.json"), ("part", "parts/fridge-45.json")
HOURLY = ("trip", "trips/hourly.json")
CHANCE = ("trip", "trips/chance.json")
STUDY = ("study", "studies/full.json")
STAY = {"stay": "mesa", "from": "2026-11-06 12:00", "to": "2026-11-08 10:00"}

# base file, what is set (or dropped), its new value, where the schema refuses it, by which keyword
WRONG = [
    # the file as a whole
    (VAN, "/format", DROP, "", "required"),
    (VAN, "/format", "stillwatt van 2", "/format", "const"),
    (VAN, "/format", 1, "/format", "const"),
    (VAN, "/name", DROP, "", "required"),
    (VAN, "/name", "", "/name", "pattern"),
    (VAN, "/name", 17, "/name", "type"),
    (VAN, "/name", "two\nlines", "/name", "pattern"),
    (VAN, "/name", "turned \u202e round", "/name", "pattern"),
    (VAN, "/name", "marked \u200f right", "/name", "pattern"),
    (VAN, "/name", "marked \u061c Arabic", "/name", "pattern"),
    (VAN, "/name", "two \u2028 lines", "/name", "pattern"),
    (VAN, "/loads", DROP, "", "required"),
    (VAN, "/lodes", {}, "", "additionalProperties"),
    (VAN, "/vehicle", "620 kg", "/vehicle", "type"),
    (VAN, "/vehicle", None, "/vehicle", "type"),
    (VAN, "/battery", [], "/battery", "type"),
    # quantities
    (VAN, "/battery/capacity", "100 W", "/battery/capacity", "pattern"),
    (VAN, "/battery/capacity", "100 Aah", "/battery/capacity", "pattern"),
    (VAN, "/battery/capacity", "100", "/battery/capacity", "pattern"),
    (VAN, "/battery/capacity", 100, "/battery/capacity", "type"),
    (VAN, "/battery/capacity", "1e2 Ah", "/battery/capacity", "pattern"),
    (VAN, "/battery/capacity", "1,5 Ah", "/battery/capacity", "pattern"),
    (VAN, "/battery/capacity", "100 Ah 5 Ah", "/battery/capacity", "pattern"),
    (VAN, "/battery/capacity", ["100 Ah"], "/battery/capacity", "type"),
    (VAN, "/battery/capacity", None, "/battery/capacity", "type"),
    (VAN, "/battery/resistance", "10 MOHM", "/battery/resistance", "pattern"),
    (VAN, "/controller/own_draw", "500 mw", "/controller/own_draw", "pattern"),
    (VAN, "/battery/labour", "30 min 1 h", "/battery/labour", "pattern"),
    (VAN, "/battery/labour", "1 h 2 h", "/battery/labour", "pattern"),
    (VAN, "/battery/labour", "1 h .5 min", "/battery/labour", "pattern"),
    (VAN, "/battery/price", "450 dollars", "/battery/price", "pattern"),
    (VAN, "/battery/price", "450 usd", "/battery/price", "pattern"),
    (VAN, "/battery/health", "0.95", "/battery/health", "pattern"),
    (VAN, "/battery/health", True, "/battery/health", "type"),
    # counts, numbers and words
    (VAN, "/battery/parallel", "2", "/battery/parallel", "type"),
    (VAN, "/battery/parallel", 0, "/battery/parallel", "minimum"),
    (VAN, "/battery/parallel", 33, "/battery/parallel", "maximum"),
    (VAN, "/battery/parallel", 2.5, "/battery/parallel", "type"),
    (VAN, "/battery/chemistry", "lifepo", "/battery/chemistry", "enum"),
    (VAN, "/battery/chemistry", "AGM", "/battery/chemistry", "enum"),
    (VAN, "/battery/chemistry", DROP, "/battery", "required"),
    (VAN, "/battery/colour", "red", "/battery", "additionalProperties"),
    (VAN, "/battery/part", 3, "/battery/part", "type"),
    (VAN, "/loads/kettle/uses", "2", "/loads/kettle/uses", "type"),
    (VAN, "/loads/kettle/uses", 201, "/loads/kettle/uses", "maximum"),
    # things by name
    (VAN, "/arrays", ["200 W"], "/arrays", "type"),
    (VAN, "/arrays/roof", "200 W", "/arrays/roof", "type"),
    (VAN, "/arrays/", {"rating": "200 W"}, "/arrays", "pattern"),
    (VAN, "/arrays", {f"a{i}": {"rating": "100 W"} for i in range(7)}, "/arrays", "maxProperties"),
    (VAN, "/controller", DROP, "", "required"),
    (VAN, "/controller/limit", DROP, "/controller", "required"),
    # hours, times, days
    (VAN, "/loads/lights/hours", "17:30 to 22:30", "/loads/lights/hours", "pattern"),
    (VAN, "/loads/lights/hours", "7:30-22:30", "/loads/lights/hours", "pattern"),
    (VAN, "/loads/lights/hours", "17:30-17:30", "/loads/lights/hours", "pattern"),
    (VAN, "/loads/lights/hours", "24:00-01:00", "/loads/lights/hours", "pattern"),
    (VAN, "/loads/lights/hours", [], "/loads/lights/hours", "minItems"),
    (VAN, "/loads/lights/hours", ["18:00-19:00", 20], "/loads/lights/hours/1", "type"),
    (VAN, "/loads/lights/hours", [f"{h:02}:00-{h:02}:30" for h in range(9)], "/loads/lights/hours", "maxItems"),
    (VAN, "/loads/kettle/at", "24:00", "/loads/kettle/at", "pattern"),
    (VAN, "/loads/kettle/at", 7, "/loads/kettle/at", "type"),
    (VAN, "/loads/lights/days", ["sat", "sonday"], "/loads/lights/days/1", "enum"),
    (VAN, "/loads/lights/days", "weekend", "/loads/lights/days", "enum"),
    (VAN, "/loads/lights/when", [], "/loads/lights/when", "minItems"),
    (VAN, "/loads/lights/when", {"dark": True}, "/loads/lights/when", "type"),
    # generator and tanks
    (VAN, "/generator", {}, "/generator", "required"),
    (VAN, "/generator/rating", "1000 L", "/generator/rating", "pattern"),
    (VAN, "/tanks/black", {"capacity": "20 L"}, "/tanks", "additionalProperties"),
    (VAN, "/tanks/fresh/capacity", DROP, "/tanks/fresh", "required"),
    (VAN, "/tanks/grey", "60 L", "/tanks/grey", "type"),
    (VAN, "/loads/pump/drains_to", "ground", "/loads/pump/drains_to", "enum"),
    (VAN, "/loads/fridge/water", "2 L", "/loads/fridge/water", None),
    # cabin and thermostats
    (VAN, "/cabin/insulation", "thick", "/cabin/insulation", "enum"),
    (VAN, "/cabin/loss", "50 W", "/cabin/loss", "pattern"),
    (VAN, "/loads/stove/heat", DROP, "/loads/stove", "required"),
    (VAN, "/loads/stove/airflow", "250 m3/h", "/loads/stove/airflow", None),
    (VAN, "/loads/pads/airflow", "250 L", "/loads/pads/airflow", "pattern"),
    (VAN, "/loads/boiler/warm", DROP, "/loads/boiler", "required"),
    (VAN, "/loads/lights/keeps", "20 C", "/loads/lights/keeps", None),
    # kinds of loads
    (VAN, "/loads/lights/kind", "always", "/loads/lights/kind", "enum"),
    (VAN, "/loads/lights/kind", DROP, "/loads/lights", "required"),
    (VAN, "/loads/lights/power", DROP, "/loads/lights", "required"),
    (VAN, "/loads/lights/at", "07:00", "/loads/lights/at", None),
    (VAN, "/loads/kettle/each", DROP, "/loads/kettle", "required"),
    (VAN, "/loads/pump/at", DROP, "/loads/pump", "anyOf"),
    (VAN, "/loads/fridge/hours", "08:00-20:00", "/loads/fridge/hours", None),
    (VAN, "/loads/fan/charge_per_day", DROP, "/loads/fan", "anyOf"),
    (VAN, "/loads/fan/energy_per_day", "120 Wh", "/loads/fan/charge_per_day", None),
    (VAN, "/loads/fan/power", "10 W", "/loads/fan/power", None),
    # parts
    (PART, "/kind", "fridge", "/kind", "enum"),
    (PART, "/kind", "battery", "/is", "additionalProperties"),
    (PART, "/name", DROP, "", "required"),
    (PART, "/is", DROP, "", "required"),
    (PART, "/is", [], "/is", "type"),
    (PART, "/is/part", "lfp-100", "/is", "additionalProperties"),
    (PART, "/is/power", "45 Wh", "/is/power", "pattern"),
    (PART, "/was", {}, "", "additionalProperties"),
    # trips: places
    (TRIP, "/van", DROP, "", "required"),
    (TRIP, "/van", {"name": "Van"}, "/van", "type"),
    (TRIP, "/places", {}, "/places", "minProperties"),
    (TRIP, "/places/town/station", DROP, "/places/town", "required"),
    (TRIP, "/places/town/latitude", 39.1, "/places/town/latitude", None),
    (TRIP, "/places/mesa/elevation", DROP, "/places/mesa", "required"),
    (TRIP, "/places/mesa/latitude", 98.5, "/places/mesa/latitude", "maximum"),
    (TRIP, "/places/mesa/latitude", "38.5", "/places/mesa/latitude", "type"),
    (TRIP, "/places/mesa/normals/low", ["1 C"] * 11, "/places/mesa/normals/low", "minItems"),
    (TRIP, "/places/mesa/normals/low", ["1 C"] * 13, "/places/mesa/normals/low", "maxItems"),
    (TRIP, "/places/mesa/normals/low/3", 2, "/places/mesa/normals/low/3", "type"),
    (TRIP, "/places/mesa/normals/high", DROP, "/places/mesa/normals", "required"),
    (TRIP, "/places/mesa/skyline", [], "/places/mesa/skyline", "minItems"),
    (TRIP, "/places/mesa/skyline", [{"toward": "90 deg"}], "/places/mesa/skyline/0", "required"),
    (TRIP, "/places/mesa/quiet_hours", "22-6", "/places/mesa/quiet_hours", "pattern"),
    (TRIP, "/people", 0, "/people", "minimum"),
    (TRIP, "/people", 2.5, "/people", "type"),
    (TRIP, "/water_per_person", "10 kg", "/water_per_person", "pattern"),
    (TRIP, "/legs/2/generator_hours", 9, "/legs/2/generator_hours", "type"),
    (TRIP, "/legs/1/engine_hours", "09:00-10:00", "/legs/1/engine_hours", None),
    (TRIP, "/legs/2/services", ["water"], "/legs/2/services/0", "enum"),
    (TRIP, "/legs/3/panels", "closed", "/legs/3/panels", "enum"),
    (TRIP, "/legs/3/services", ["fresh"], "/legs/3/services", None),
    (TRIP, "/legs/3/stay", "mesa", "/legs/3", "oneOf"),
    (TRIP, "/legs/2/disconnected", "yes", "/legs/2/disconnected", None),
    (TRIP, "/legs/2/shade", [{"beam": 0.5}], "/legs/2/shade/0/beam", "type"),
    (TRIP, "/legs/1/shade", [{"beam": "50 %"}], "/legs/1/shade", None),
    # legs
    (TRIP, "/legs", [], "/legs", "minItems"),
    (TRIP, "/legs", {}, "/legs", "type"),
    (TRIP, "/legs/2", "mesa", "/legs/2", "type"),
    (TRIP, "/legs/0/from", DROP, "/legs/0", "required"),
    (TRIP, "/legs/1/to", DROP, "/legs/1", "required"),
    (TRIP, "/legs/2/stay", DROP, "/legs/2", "oneOf"),
    (TRIP, "/legs/1/stay", "mesa", "/legs/1", "oneOf"),
    (TRIP, "/legs/1/heading", "180 deg", "/legs/1/heading", None),
    (TRIP, "/legs/1/hookup", {"current": "30 A", "voltage": "120 V"}, "/legs/1/hookup", None),
    (TRIP, "/legs/2/distance", "5 km", "/legs/2/distance", None),
    (TRIP, "/legs/1/drive", ["town"], "/legs/1/drive", "minItems"),
    (TRIP, "/legs/1/drive", ["town", 2], "/legs/1/drive/1", "type"),
    (TRIP, "/legs/0/hookup/current", DROP, "/legs/0/hookup", "required"),
    (TRIP, "/legs/0/hookup/voltage", "120 A", "/legs/0/hookup/voltage", "pattern"),
    (TRIP, "/legs/2/to", "2026-11-08", "/legs/2/to", "pattern"),
    (TRIP, "/legs/2/to", "8 November 2026", "/legs/2/to", "pattern"),
    (TRIP, "/legs/2/to", "2026-13-08 10:00", "/legs/2/to", "pattern"),
    (TRIP, "/legs/2/to", "2126-11-08 10:00", "/legs/2/to", "pattern"),
    # skies
    (TRIP, "/sky/kind", "fine", "/sky/kind", "enum"),
    (TRIP, "/sky/kind", DROP, "/sky", "required"),
    (TRIP, "/sky/otherwise", DROP, "/sky", "required"),
    (TRIP, "/sky/otherwise", "cloudy", "/sky/otherwise", "enum"),
    (TRIP, "/sky/otherwise", 9, "/sky/otherwise", "maximum"),
    (TRIP, "/sky/otherwise", ["few"], "/sky/otherwise", "type"),
    (TRIP, "/sky/otherwise/evening", "few", "/sky/otherwise", "additionalProperties"),
    (TRIP, "/sky/otherwise/morning", DROP, "/sky/otherwise", "required"),
    (TRIP, "/sky/days", ["overcast"], "/sky/days", "type"),
    (TRIP, "/sky/days/next monday", "few", "/sky/days", "pattern"),
    (TRIP, "/sky/days/2026-11-08/low", "-3 K/h", "/sky/days/2026-11-08/low", "pattern"),
    (TRIP, "/sky/file", "record.epw", "/sky/file", None),
    (TRIP, "/sky", {"kind": "average", "haze": "10 %"}, "/sky/haze", None),
    (TRIP, "/sky", {"kind": "average", "draw": 3}, "/sky/draw", None),
    (CHANCE, "/sky/draw", 1.5, "/sky/draw", "type"),
    (CHANCE, "/sky/draw", -1, "/sky/draw", "minimum"),
    (CHANCE, "/sky/file", "record.epw", "/sky/file", None),
    (CHANCE, "/sky/days/2026-11-08", "dull", "/sky/days/2026-11-08", "enum"),
    (HOURLY, "/sky/file", DROP, "/sky", "required"),
    (HOURLY, "/sky/otherwise", "few", "/sky/otherwise", None),
    # studies
    (STUDY, "/name", DROP, "", "required"),
    (STUDY, "/trips", DROP, "", "required"),
    (STUDY, "/trips", [], "/trips", "minItems"),
    (STUDY, "/trips", "../trips/full.json", "/trips", "type"),
    (STUDY, "/trips/0", 3, "/trips/0", "type"),
    (STUDY, "/choices", {}, "/choices", "minProperties"),
    (STUDY, "/choices/bigger/van", 3, "/choices/bigger/van", "type"),
    (STUDY, "/choices/bigger/price", "640", "/choices/bigger/price", "pattern"),
    (STUDY, "/choices/bigger/colour", "red", "/choices/bigger", "additionalProperties"),
    (STUDY, "/skies/dull/kind", "grey", "/skies/dull/kind", "enum"),
    (STUDY, "/draws", 0, "/draws", "minimum"),
    (STUDY, "/months", "winter", "/months", "enum"),
    (STUDY, "/start_charges", ["90"], "/start_charges/0", "pattern"),
    (STUDY, "/hookup_price", "45 W", "/hookup_price", "pattern"),
    # habits
    (TRIP, "/habits", [], "/habits", "type"),
    (TRIP, "/habits/kettle/power", "700 W", "/habits/kettle", "additionalProperties"),
    (TRIP, "/habits/kettle", 3, "/habits/kettle", "type"),
    (TRIP, "/habits/fan/energy_per_day", "90 Wh", "/habits/fan/charge_per_day", None),
]

# What a schema cannot tell: it accepts these, the program refuses them.
ONLY_THE_READER = [
    (STUDY, "/choices/bigger", {"price": "20 USD"}),    # a choice that changes nothing
    (STUDY, "/choices/bigger/van/battery/paralel", 3),  # keys of the files that are changed
    (STUDY, "/trips/0", "../trips/nowhere.json"),
    (STUDY, "/choices/bigger/price", "640 CAD"),
    (STUDY, "/skies/dull/days", {"2026-11-08": 3}),     # dates that "months" moves away
    (VAN, "/battery/capacity", "9000 Ah"),              # ranges of quantities
    (VAN, "/battery/capacity", "-5 Ah"),
    (VAN, "/inverter/peak_efficiency", "99.5 %"),
    (VAN, "/battery/unit_voltage", "12.8 V"),           # 12, 24 or 48 V
    (VAN, "/battery/series", 3),                        # values that must suit each other
    (VAN, "/battery/cut_out", "13 V"),
    (VAN, "/battery/price", "450 CAD"),
    (VAN, "/inverter/full_efficiency", "94 %"),
    (VAN, "/loads/lights/hours", ["17:00-20:00", "19:00-21:00"]),
    (VAN, "/loads/lights/when", ["parked", "driving"]),
    (VAN, "/loads/lights/outside_above", "30 C"),
    (VAN, "/loads/kettle/uses", 3),
    (VAN, "/loads/kettle/each", "20 h"),
    (VAN, "/battery/part", "no-such-part"),             # other files
    (VAN, "/battery/part", "mppt-30"),
    (VAN, "/loads/box/hours", "08:00-20:00"),           # the kind stands in the part
    (TRIP, "/van", "../vans/nowhere.json"),
    (TRIP, "/van", "../trips/full.json"),
    (TRIP, "/legs/2/to", "2026-11-31 10:00"),           # dates that do not exist
    (TRIP, "/legs/2/to", "2026-11-05 10:00"),           # order
    (TRIP, "/legs/2/stay", "messa"),                    # names of other things
    (TRIP, "/places/town/station", "Nowhere NO"),
    (TRIP, "/places/town/zone", "America/Nowhere"),
    (TRIP, "/sky/days/2027-02-29", "few"),
    (TRIP, "/sky/days/2026-11-08/low", "20 C"),
    (TRIP, "/places/mesa/normals/low/3", "30 C"),
    (TRIP, "/habits/kettel", {"uses": 1}),
    (TRIP, "/habits/kettle", {"set_point": "4 C"}),     # the kind stands in the van
    (TRIP, "/cabin_at_least", "35 C"),
]


def changed(bench, base, where, value):
    document = read(bench.folder / base[1])
    *path, key = steps(where)
    inner = document
    for step in path:
        inner = inner[step]
    if value is DROP:
        del inner[key]
    else:
        inner[key] = value
    return document


def check_wrong(bench):
    for base, where, value, place, keyword in WRONG:
        name = f"{base[1]} with {where} = {'nothing' if value is DROP else json.dumps(value)[:60]}"
        document = changed(bench, base, where, value)
        found = bench.schema_judges(base[0], document)
        expect((place, keyword) in found, f"{name}: the schema should refuse it at {place} by {keyword}, found {found}")
        expect(not bench.program_judges(base[0], document)[0], f"{name}: the program accepts it")
    expect(len(WRONG) >= 40, "there should be at least 40 wrong files")
    print(f"{len(WRONG)} wrong files are refused by schema and program, each at its place")


def check_only_the_reader(bench):
    for base, where, value in ONLY_THE_READER:
        name = f"{base[1]} with {where} = {json.dumps(value)}"
        document = changed(bench, base, where, value)
        found = bench.schema_judges(base[0], document)
        expect(not found, f"{name}: only the reader could tell so far; the schema now refuses it too, at {found}")
        expect(not bench.program_judges(base[0], document)[0], f"{name}: the program accepts it")
    print(f"{len(ONLY_THE_READER)} wrong files are accepted by the schema and refused by the program, as expected")


# ---- files changed at random ----


def containers(value):
    if isinstance(value, (dict, list)):
        if value:
            yield value
        for child in value.values() if isinstance(value, dict) else value:
            yield from containers(child)


def keys_of(container):
    return list(container) if isinstance(container, dict) else list(range(len(container)))


def leaves(value):
    if isinstance(value, (dict, list)):
        for child in value.values() if isinstance(value, dict) else value:
            yield from leaves(child)
    else:
        yield value


class Mutator:
    def __init__(self, seed, documents, schemas):
        self.random = random.Random(seed)
        self.documents = documents
        self.values = sorted({json.dumps(leaf) for document in documents for leaf in leaves(document)})
        self.names = sorted({key for schema in schemas.values() for sub in subschemas(schema)
                             for key in sub.get("properties", {})})
        self.units = ["W", "kW", "kw", "mW", "mw", "Wh", "Ah", "AH", "V", "A", "ohm", "C", "°F", "K", "m", "ft", "m2",
                      "sq ft", "L", "kg", "lbs", "h", "min", "MIN", "deg", "%", "%/K", "kWh/m2", "USD", "EUR", "usd", ""]

    def drop(self, container, key):
        del container[key]

    def other_type(self, container, key):
        value = container[key]
        container[key] = self.random.choice([None, True, [], {}, 0, 1.5, "", str(value), [value], {"a": value},
                                             [value, value]])

    def unwrap(self, container, key):
        value = container[key]
        container[key] = value[0] if isinstance(value, list) and value else [value]

    def rename(self, container, key):
        if isinstance(container, dict):
            new = self.random.choice([key + "s", key[:-1], key.upper(), self.random.choice(self.names), "$schema", ""])
            container[new] = container.pop(key)

    def add(self, container, key):
        value = json.loads(self.random.choice(self.values))
        if isinstance(container, dict):
            container[self.random.choice(self.names)] = value
        else:
            container.insert(key, value)

    def double(self, container, key):
        if isinstance(container, list):
            container.append(copy.deepcopy(container[key]))
        else:
            container[self.random.choice(self.names)] = copy.deepcopy(container[key])

    def swap(self, container, key):
        container[key] = json.loads(self.random.choice(self.values))

    def other_unit(self, container, key):
        found = re.match(r"[-−+0-9.,]+", container[key]) if isinstance(container[key], str) else None
        if found:
            container[key] = found.group() + self.random.choice(["", " ", "\u00a0"]) + self.random.choice(self.units)

    def other_writing(self, container, key):
        value = container[key]
        if isinstance(value, str) and value:
            container[key] = self.random.choice([value.lower(), value.upper(), value.swapcase(), " " + value, value + "\t",
                                                 value.replace(" ", ""), value.replace(" ", "\u202f"), "+" + value,
                                                 value + " 1 min", value.replace(":", ".")])
        elif isinstance(value, (int, float)):
            container[key] = self.random.choice([value * 2, -value, value + 0.5, float(value), value * 1000])

    def mutated(self):
        document = copy.deepcopy(self.random.choice(self.documents))
        ways = [self.drop, self.other_type, self.unwrap, self.rename, self.add, self.double, self.swap, self.other_unit,
                self.other_unit, self.other_writing, self.other_writing]
        for _ in range(self.random.choice([1, 1, 1, 2, 3])):
            container = self.random.choice(list(containers(document)) or [document])
            keys = [key for key in keys_of(container) if key != "format" or self.random.random() < 0.1]
            if keys:
                self.random.choice(ways)(container, self.random.choice(keys))
        return document


def check_random(bench, documents, count, seed):
    mutator = Mutator(seed, documents, bench.schema)
    outcomes = {}
    for number in range(count):
        document = mutator.mutated()
        kind = kind_of_any(document)
        wrong = bench.schema_judges(kind, document)
        good, told = bench.program_judges(kind, document)
        outcomes[good, not wrong] = outcomes.get((good, not wrong), 0) + 1
        if good and wrong:
            expect(False, f"mutation {number} of seed {seed}: the program accepts what the schema refuses at {wrong}: "
                          f"{json.dumps(document, ensure_ascii=False)}")
    said = {True: "accepts", False: "refuses"}
    for good in (True, False):
        for fits in (True, False):
            print(f"of {count} files changed at random (seed {seed}): program {said[good]}, schema {said[fits]}: "
                  f"{outcomes.get((good, fits), 0)}")
    expect(outcomes.get((True, True), 0) >= count // 10, "too few random files are good to say anything")
    expect(outcomes.get((False, False), 0) >= count // 10, "too few random files are wrong to say anything")


def kind_of_any(document):
    """What the file was before it was changed."""
    marks = {"trip": ("legs", "places"), "study": ("trips", "choices", "draws"), "part": ("is",)}
    return next((kind for kind, keys in marks.items() if any(key in document for key in keys)), "van")


# ---- values, text by text ----


def check_texts(bench, texts):
    """The patterns accept exactly what the readers of single values accept."""
    schemas = {}
    for kind in KINDS:
        schemas.update(bench.schema[kind]["$defs"])
    counts, skipped = {True: 0, False: 0}, set()
    lines = subprocess.run([texts, "1"], capture_output=True, check=True).stdout.decode("utf-8").splitlines()
    for line in lines:
        says, good, text = line.split("\t")
        name = re.sub(r"[^a-z]", "-", re.sub(r"^an? ", "", says))
        if name not in schemas:
            skipped.add(says)
            continue
        good, text = good == "1", text.replace("\\t", "\t")
        counts[good] += 1
        fits = re.search(schemas[name]["pattern"], text) is not None
        expect(fits == good, f"{says}: {text!r} is {'good' if good else 'wrong'}, but its pattern says otherwise")
    expect(min(counts.values()) > 10000, f"too few texts: {counts}")
    print(f"{counts[True]} good and {counts[False]} wrong texts are told apart by the patterns as by the readers "
          f"(no key is {', '.join(sorted(skipped))})")


def main():
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--source", type=pathlib.Path, required=True, help="the folder that holds the project")
    words.add_argument("--program", required=True, help="stillwatt")
    words.add_argument("--texts", required=True, help="value_texts")
    words.add_argument("--count", type=int, default=600, help="files changed at random")
    words.add_argument("--seed", type=int, default=2026)
    given = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(given.source, given.program, pathlib.Path(folder))
        check_schemas(bench)
        check_examples(bench)
        documents = check_good(bench)
        check_coverage(bench, documents)
        check_wrong(bench)
        check_only_the_reader(bench)
        check_texts(bench, given.texts)
        check_random(bench, documents, given.count, given.seed)
    if failures:
        sys.exit(f"{len(failures)} checks failed; after a change of tables or units run scripts/schemas first")


if __name__ == "__main__":
    main()
