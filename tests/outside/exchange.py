#!/usr/bin/env python3
"""What leaves the house, checked by libraries that share nothing with the program.

    exchange.py PROGRAM FOLDER      FOLDER: scratch, made here

Visits of the demo cases are exported and then read by: jsonschema (journal and findings against the
published schemas; broken ones refused), pandas (tables equal to the findings; every column in the
dictionary), fhir.resources (the bundle is FHIR R4B; broken ones refused), ucumvert (units are UCUM).
References, document rules and codes are checked by hand, against the table of the reference written
down here once more.
"""
import copy
import csv
import hashlib
import json
import math
import pathlib
import subprocess
import sys

import jsonschema
import pandas
from fhir.resources.R4B.bundle import Bundle
from ucumvert import get_ucum_parser

HERE = pathlib.Path(__file__).resolve().parents[2]
LOCAL = "https://veridical.invalid/local/codes"

# Hz, right, left: HL7 PACIO value sets, written down apart from the program's table.
LOINC = {
    250: ("91374-9", "91375-6"), 500: ("89025-1", "89024-4"), 750: ("91378-0", "91379-8"),
    1000: ("89017-8", "89016-0"), 1500: ("91372-3", "91373-1"), 2000: ("89019-4", "89018-6"),
    3000: ("89021-0", "89020-2"), 4000: ("89023-6", "89022-8"), 5000: ("91376-4", "91377-2"),
    6000: ("89027-7", "89026-9"), 8000: ("89029-3", "89028-5"),
}

# One good body of every kind that the demo visits do not have (journal/FORMAT.md, written down by hand).
GOOD = {
    "resumed": {"gives_again": 3}, "repaired": {"cut": "{\"number\":9"},
    "void": {"n": 2, "reason": "the output lost samples"}, "undone": {"n": 2, "reason": "the wrong ear"},
    "amended": {"n": 2, "answer": {"letters": "K-*"}, "reason": "misheard"},
    "readied": {"item": "tandem", "side": None},
    "entered": {"item": "pupils", "side": "left", "found": "abnormal", "grade": None, "who": "examiner 2"},
    "ended": {"section": {"series": 2}, "how": "declined", "reason": "tired"},
    "measured_by": {"procedure": "estimate"}, "paused": {"reason": "a drink of water"}, "continued": {},
    "noted": {"text": "a ship's horn at 14:02"},
    "laid": {"format": 1, "name": "short", "item": [{"id": "pupils", "nerve": "II III", "words": "Pupils"}]},
    "acts": {"user": "U-2", "role": "trainee", "supervisor": "U-1"},
    "outside": {"source": "letter of the harbour clinic", "right": [{"hz": 1000, "threshold_db_hl": 20}]},
    "pressed": {"at_s": 4.25, "who": "examiner"}, "closed": {},
}

failures = []


def check(holds, what):
    if not holds:
        failures.append(what)
        print("DOES NOT HOLD:", what)


def run(program, *words, code=0):
    done = subprocess.run([program, *map(str, words)], capture_output=True, text=True, check=False)
    check(done.returncode == code, f"{words}: exit {done.returncode}, expected {code}: {done.stderr}")
    return done.stdout


# What the demo plans have not: one eye from two distances, and what a person tells of their eyes.
BESIDE_SIGHT = """
format = 1
name = "two distances"
[sight]
correction = "best"
eyes = ["right"]
[[sight.also]]
eye = "right"
distance_mm = 2000
[[sight.history]]
about = "flashes"
answer = "yes"
eye = "right"
words = "since the ferry docked"
[[sight.history]]
about = "double_vision"
answer = "no"
[[sight.history]]
about = "haloes"
answer = "unknown"
"""


def visits(program, scratch):
    """Every demo case by the quick plan; the full plan, with masking and no response, and the bedside; two distances."""
    scratch.mkdir(parents=True, exist_ok=True)
    beside_sight = scratch / "beside-sight.toml"
    beside_sight.write_text(BESIDE_SIGHT)
    asked = [(path.stem, path, "quick") for path in sorted((HERE / "demo/cases").glob("*.toml"))]
    asked += [("full", HERE / "demo/cases/profound.toml", "full"),
              ("by-hand", HERE / "demo/cases/average.toml", "bedside"),
              ("beside-sight", HERE / "demo/cases/average.toml", beside_sight)]
    for name, case, plan in asked:
        run(program, "visit", "--case", case, "--seed", 5, "--plan", plan, "--out", scratch / "visits" / name)
    run(program, "export", scratch / "visits", "--out", scratch / "out")
    return [scratch / "out" / name for name, _, _ in asked]


# --- JSON Schema

def schemas(program, folders):
    validator = jsonschema.Draft202012Validator
    made = []
    for of in ("journal", "findings"):
        schema = json.loads(run(program, "schema", of))
        validator.check_schema(schema)
        made.append(validator(schema, format_checker=validator.FORMAT_CHECKER))
    journal, findings = made
    kinds = {}
    lines = 0
    for folder in folders:
        for line in (folder / "journal.jsonl").read_text().splitlines():
            event = json.loads(line)
            lines += 1
            kinds.setdefault(event["kind"], []).append(event)
            check(journal.is_valid(event), f"{folder.name}: a line of the journal is refused: {line[:200]}")
        found = json.loads((folder / "findings.json").read_text())
        problems = [error.message for error in findings.iter_errors(found)]
        check(not problems, f"{folder.name}: findings refused: {problems[:2]}")
    line = kinds["closed"][0]
    for kind, body in GOOD.items():
        event = {**line, "kind": kind, "body": body}
        check(journal.is_valid(event), f"refused: a good {kind}")
        if body and kind != "resumed":
            check(not journal.is_valid({**event, "body": {}}), f"accepted: a {kind} without a body")
    every = {one["properties"]["kind"]["const"] for one in journal.schema["oneOf"]}
    unseen = sorted(every - set(kinds) - set(GOOD))
    print(f"schema: {lines} lines of {len(kinds)} kinds and {len(folders)} findings accepted; not tried: {unseen}")
    broken_lines(journal, kinds)
    broken_findings(findings, json.loads((folders[0] / "findings.json").read_text()))


def broken_lines(journal, kinds):
    def tone():
        of = next(event for event in kinds["planned"] if event["body"]["presentation"]["task"] == "detect"
                  and event["body"]["presentation"]["parts"])
        return copy.deepcopy(of)

    def first(kind):
        return copy.deepcopy(kinds[kind][0])

    def broken(event, change):
        change(event)
        return event

    def part(event):
        return event["body"]["presentation"]["parts"][0]

    silent = next(event for event in kinds["planned"] if event["body"]["purpose"] == "silent")
    tones = tone()["body"]["presentation"]["parts"]
    cases = {
        "no hash": broken(first("arrived"), lambda e: e.pop("hash")),
        "a hash that is none": broken(first("arrived"), lambda e: e.update(hash="abc")),
        "number 0": broken(first("arrived"), lambda e: e.update(number=0)),
        "a number in words": broken(first("arrived"), lambda e: e.update(number="two")),
        "an unknown kind": broken(first("arrived"), lambda e: e.update(kind="imagined")),
        "a seventh key": broken(first("arrived"), lambda e: e.update(extra=1)),
        "a body of another kind": broken(first("arrived"), lambda e: e.update(body={"text": "x"})),
        "no time": broken(first("arrived"), lambda e: e.pop("time")),
        "a time that is none": broken(first("arrived"), lambda e: e.update(time="yesterday")),
        "an opening that is not first": broken(first("opened"), lambda e: e.update(number=2)),
        "a first line that opens nothing": broken(first("arrived"), lambda e: e.update(number=1)),
        "another format": broken(first("opened"), lambda e: e["body"].update(format=2)),
        "an unknown field in the set-up": broken(first("opened"), lambda e: e["body"]["set_up"].update(x=1)),
        "a digest that is none": broken(first("opened"), lambda e: e["body"].update(earphone_digest="x")),
        "a tone without a level": broken(tone(), lambda e: part(e).pop("level_db_hl")),
        "a tone with two levels": broken(tone(), lambda e: part(e).update(level_db_fs=-40.0)),
        "a tone of no frequency": broken(tone(), lambda e: part(e).update(hz=0)),
        "an ear in the middle": broken(tone(), lambda e: part(e).update(ear="middle")),
        "a detection without its slot": broken(tone(), lambda e: e["body"].pop("slot")),
        "a tone in silence": broken(copy.deepcopy(silent),
                                    lambda e: e["body"]["presentation"].update(parts=tones)),
        "an unknown purpose": broken(tone(), lambda e: e["body"].update(purpose="entertain")),
        "a void without its reason": {**first("arrived"), "kind": "void", "body": {"n": 1}},
        "an answer to nothing": broken(first("answered"), lambda e: e["body"].pop("n")),
        "two answers at once": broken(first("answered"),
                                      lambda e: e["body"].update(answer={"facing": "up", "heard": True})),
    }
    for name, line in cases.items():
        check(not journal.is_valid(line), f"accepted: {name}")
    print(f"schema: {len(cases)} broken lines refused")


def broken_findings(findings, good):
    def broken(change):
        found = copy.deepcopy(good)
        change(found)
        return found

    ear = next(side for side in ("right", "left") if good["hearing"][side])
    cases = {
        "another format": broken(lambda f: f.update(format=2)),
        "no caution": broken(lambda f: f.pop("caution")),
        "a status of its own": broken(lambda f: f["hearing"][ear][0].update(status="fine")),
        "measured without a threshold": broken(lambda f: f["hearing"][ear][0].pop("threshold_db_hl")),
        "no response with a threshold": broken(
            lambda f: f["hearing"][ear][0].update(status="no_response_at_maximum")),
        "a probability of 2": broken(lambda f: f["consistency"]["hearing"]["checks"][0].update(p=2)),
        "a grade of its own": broken(lambda f: f["consistency"]["hearing"].update(grade="good")),
        "an eye that is missing": broken(lambda f: f["sight"].pop("both")),
    }
    for name, found in cases.items():
        check(not findings.is_valid(found), f"findings accepted: {name}")
    print(f"schema: {len(cases)} broken findings refused")


# --- Tables

def same(cell, value):
    """A cell of a table beside a value of the findings; an empty cell is no value."""
    if value is None:
        return cell is None or (isinstance(cell, float) and math.isnan(cell))
    if isinstance(value, float):
        return cell == value
    return cell == value


def tables(folders):
    dictionary = pandas.read_csv(folders[0].parent / "dictionary.csv", dtype=str, keep_default_na=False)
    rows = 0
    for folder in folders:
        for path in folder.glob("*.csv"):
            raw = path.read_bytes()
            check(raw.endswith(b"\r\n") and b"\xef\xbb\xbf" not in raw, f"{path.name}: RFC 4180 wants CRLF")
            known = dictionary[dictionary.table == path.stem]
            with path.open(newline="", encoding="utf-8") as file:
                read = list(csv.reader(file, strict=True))
            check(read[0] == list(known.column), f"{path.name}: columns are not those of the dictionary")
            check(all(len(row) == len(read[0]) for row in read), f"{path.name}: rows of other lengths")
            cells_fit(path, read, known)
        rows += tables_say_what_findings_say(folder)
    wide = pandas.read_csv(folders[0].parent / "visits.csv")
    check(len(wide) == len(folders), f"visits.csv: {len(wide)} rows for {len(folders)} visits")
    print(f"tables: {rows} rows read back equal to the findings; {len(dictionary)} columns described")


def cells_fit(path, read, known):
    """Every cell is of the type that the dictionary names, and every word one of its list."""
    for at, column in enumerate(known.itertuples()):
        for row in read[1:]:
            cell = row[at]
            if cell == "":
                continue
            fits = {
                "number": lambda cell: math.isfinite(float(cell)),
                "count": lambda cell: cell.isdigit(),
                "yes_no": lambda cell: cell in ("true", "false"),
                "word": lambda cell: cell in column.words.split("|"),
                "text": lambda cell: cell[0] not in "=+-@",
            }[column.type]
            check(fits(cell), f"{path.name}, {column.column}: {cell!r} is no {column.type}")


HEARING = [
    ("status", "status"), ("threshold_db_hl", "threshold_db_hl"), ("midpoint_db_hl", "midpoint_db_hl"),
    ("no_response_at_db_hl", "no_response_at_db_hl"), ("unmasked_db_hl", "unmasked_db_hl"),
    ("sd_db", "sd_db"), ("u_db", "u_db"), ("masking", "masking"), ("presentations", "presentations"),
    ("repeat_db", "repeat_db"),
]
SIGHT = [
    ("status", "status"), ("log_mar", "log_mar"), ("midpoint_log_mar", "midpoint_log_mar"),
    ("chart_log_mar", "chart_log_mar"), ("sd_log_mar", "sd_log_mar"), ("u_log_mar", "u_log_mar"),
    ("decimal", "decimal"), ("fraction", "snellen"), ("distance_mm", "distance_mm"),
    ("correction", "correction"),
]


def every_acuity(found):
    """Each eye's finding, then those under other conditions, in the order of the findings."""
    sight = found["sight"]
    return [(eye, sight[eye]) for eye in ("right", "left", "both")] + [
        (one["eye"], one) for one in sight.get("further", [])]


def tables_say_what_findings_say(folder):
    found = json.loads((folder / "findings.json").read_text())
    rows = 0
    if (folder / "thresholds.csv").exists():
        table = pandas.read_csv(folder / "thresholds.csv")
        wanted = [(ear, one) for ear in ("right", "left") for one in found["hearing"][ear]]
        check(len(table) == len(wanted), f"{folder.name}: thresholds.csv has {len(table)} rows")
        for row, (ear, one) in zip(table.to_dict("records"), wanted):
            rows += 1
            check(row["ear"] == ear and row["frequency_hz"] == one["hz"], f"{folder.name}: {row}")
            for column, key in HEARING:
                what = f"{folder.name}: {ear} {one['hz']} {column}: {row[column]} is not {one.get(key)}"
                check(same(row[column], one.get(key)), what)
            low, high = one["interval_90_db"] or (None, None)
            check(same(row["interval_90_low_db"], low) and same(row["interval_90_high_db"], high), "interval")
    if (folder / "acuity.csv").exists():
        table = pandas.read_csv(folder / "acuity.csv")
        wanted = every_acuity(found)
        check(len(table) == len(wanted), f"{folder.name}: acuity.csv has {len(table)} rows")
        for row, (eye, one) in zip(table.to_dict("records"), wanted):
            rows += 1
            check(row["eye"] == eye, f"{folder.name}: {row}")
            for column, key in SIGHT:
                what = f"{folder.name}: {row['eye']} {column}: {row[column]} is not {one.get(key)}"
                check(same(row[column], one.get(key)), what)
    trials = pandas.read_csv(folder / "trials.csv")
    counted = trials[trials.status == "trial"]
    check(counted.frequency_hz.notna().sum() == found["counts"]["tones"], f"{folder.name}: tones")
    check((counted.purpose == "silent").sum() == found["counts"]["silent"], f"{folder.name}: silent")
    check((trials.status == "void").sum() == found["counts"]["void"], f"{folder.name}: void")
    return rows + len(trials)


# --- The bundle

def walk(value):
    yield value
    for inner in value.values() if isinstance(value, dict) else value if isinstance(value, list) else []:
        yield from walk(inner)


def bundles(folders):
    ucum = get_ucum_parser()
    units, references, resources = set(), 0, 0
    for folder in folders:
        raw = json.loads((folder / "fhir-bundle.json").read_text())
        Bundle.model_validate(raw)
        resources += len(raw["entry"])
        references += document_rules(folder, raw)
        for value in walk(raw):
            if isinstance(value, dict) and value.get("system") == "http://unitsofmeasure.org":
                units.add(value["code"])
        codes_are_known(folder, raw)
        hearing(folder, raw)
        sight(folder, raw)
        beside_sight(folder, raw)
        journal = (folder / "journal.jsonl").read_bytes()
        digest = hashlib.sha256(journal).hexdigest()
        named = [named_digest(one["value"]) for one in of_type(raw, "DocumentReference")[0]["identifier"]]
        check(named == [digest, json.loads(journal.splitlines()[-1])["hash"]], f"{folder.name}: digest, head")
    for unit in units:
        ucum.parse(unit)
    for unit in ("dB[HL]", "logMAR"):
        check(refused(ucum.parse, unit), f"the validator takes {unit}")
    print(f"bundle: {len(folders)} with {resources} resources accepted, {references} references resolved, "
          f"units {sorted(units)} are UCUM")
    broken_bundles(folders[0])


def named_digest(name):
    import base64
    text = name.removeprefix("ni:///sha-256;")
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4)).hex()


def refused(of, value):
    try:
        of(value)
    except Exception:  # whatever the library raises is a refusal
        return True
    return False


def of_type(raw, kind):
    return [entry["resource"] for entry in raw["entry"] if entry["resource"]["resourceType"] == kind]


def problems_of(raw):
    """Rules of FHIR R4B that the library does not check: bdl-7, -9, -10, -11, obs-3, obs-6, and that
    every reference resolves within the document."""
    problems = []
    if raw["entry"][0]["resource"]["resourceType"] != "Composition":
        problems.append("bdl-11: the first is no Composition")
    if not (raw.get("identifier", {}).get("system") and raw["identifier"].get("value")):
        problems.append("bdl-9: no identifier")
    if "timestamp" not in raw:
        problems.append("bdl-10: no timestamp")
    urls = [entry["fullUrl"] for entry in raw["entry"]]
    if len(set(urls)) != len(urls):
        problems.append("bdl-7: an address twice")
    for entry in raw["entry"]:
        if entry["fullUrl"] != "urn:uuid:" + entry["resource"]["id"]:
            problems.append("an id that is not its address")
    for value in walk(raw):
        if isinstance(value, dict) and "reference" in value and value["reference"] not in urls:
            problems.append(f"leads nowhere: {value['reference']}")
    for one in of_type(raw, "Observation"):
        has_value = any(key.startswith("value") for key in one)
        if has_value and "dataAbsentReason" in one:
            problems.append("obs-6: a value and a reason why there is none")
        if not (has_value or "dataAbsentReason" in one or one.get("hasMember")):
            problems.append("obs-3: neither value nor members nor a reason")
        for part in one.get("component", []):
            if not any(key.startswith("value") for key in part):
                problems.append("a component without a value")
    return problems


def document_rules(folder, raw):
    problems = problems_of(raw)
    check(not problems, f"{folder.name}: {problems[:3]}")
    return sum(isinstance(value, dict) and "reference" in value for value in walk(raw))


def codes_are_known(folder, raw):
    system = of_type(raw, "CodeSystem")[0]
    known = {concept["code"]: concept["display"] for concept in system["concept"]}
    check(system["url"] == LOCAL, "the code system's address")
    for value in walk(raw):
        if isinstance(value, dict) and value.get("system") == LOCAL:
            fits = known.get(value["code"]) == value.get("display")
            check(fits, f"{folder.name}: local code {value['code']} is not in the code system")


def hearing(folder, raw):
    """Codes by the table above, values by the findings."""
    found = json.loads((folder / "findings.json").read_text())
    thresholds = {code for pair in LOINC.values() for code in pair}
    by_code = {}
    for one in of_type(raw, "Observation"):
        for coding in one["code"].get("coding", []):
            # An eye may be asked in several ways under one code; a threshold has its own.
            if coding["code"] in thresholds:
                check(coding["code"] not in by_code, f"{folder.name}: {coding['code']} twice")
                by_code[coding["code"]] = one
    for at, ear in enumerate(("right", "left")):
        for finding in found["hearing"][ear]:
            code = LOINC[int(finding["hz"])][at]
            one = by_code.get(code)
            if one is None:
                check(False, f"{folder.name}: {ear} {finding['hz']} Hz: no {code}")
                continue
            check(one["bodySite"]["text"].lower() == f"{ear} ear", f"{code}: {one['bodySite']}")
            parts = {part["code"]["coding"][0]["code"]: part for part in one["component"]}
            check(parts["frequency"]["valueQuantity"]["value"] == finding["hz"], f"{code}: frequency")
            value = one.get("valueQuantity", {})
            if found["as_obtained"]["hearing"]:
                check(not value, f"{folder.name}, {code}: a value although answers do not agree")
            elif finding["status"] == "measured":
                check(value.get("value") == finding["threshold_db_hl"], f"{folder.name}, {code}: {value}")
                check((value["unit"], value["code"]) == ("dB HL", "dB"), f"{code}: {value}")
            elif finding["status"] == "no_response_at_maximum":
                check(not value and one["dataAbsentReason"]["coding"][0]["code"] == "unknown", code)
                check(one["interpretation"][0]["coding"][0]["code"] == ">", code)
                highest = parts["highest-level"]["valueQuantity"]["value"]
                check(highest == finding["no_response_at_db_hl"], f"{code}: {highest}")


def sight(folder, raw):
    found = json.loads((folder / "findings.json").read_text())
    for one in of_type(raw, "Observation"):
        ratio = one.get("valueRatio")
        eye = {"Right eye": "right", "Left eye": "left", "Both eyes": "both"}.get(
            one.get("bodySite", {}).get("text"))
        if eye is None or ratio is None:
            continue
        numerator, denominator = ratio["numerator"], ratio["denominator"]
        check(numerator["code"] == denominator["code"] == "m", f"{folder.name}: {ratio}")
        log_mar = math.log10(denominator["value"] / numerator["value"])
        fits = [one for of, one in every_acuity(found) if of == eye and one["status"] == "measured"
                and numerator["value"] == one["distance_mm"] / 1000 and abs(log_mar - one["log_mar"]) < 1e-4]
        check(fits, f"{folder.name}: {eye} {log_mar} at {numerator['value']} m is no finding")


def beside_sight(folder, raw):
    """Two distances, cautions, what was told and criteria met: an observation each, equal to the findings."""
    found = json.loads((folder / "findings.json").read_text())
    by_code = {}
    for one in of_type(raw, "Observation"):
        for coding in one["code"].get("coding", []):
            by_code.setdefault(coding["code"], []).append(one)
    of = found["sight"]
    check([one["valueString"] for one in by_code.get("caution", [])] == of.get("cautions", []), f"{folder.name}: cautions")
    check([one["valueString"] for one in by_code.get("criterion-met", [])] == [cue["what"] for cue in found["cues"]],
          f"{folder.name}: criteria met")
    for one, pair in zip(by_code.get("two-distances", []), of.get("distances", []), strict=True):
        value = {part["code"]["coding"][0]["code"]: part["valueQuantity"]["value"] for part in one["component"]}
        check(value["greater-distance"] == pair["far_mm"] / 1000 and value["smaller-distance"] == pair["near_mm"] / 1000
              and abs(value["difference"] - pair["difference_log_mar"]) < 1e-4, f"{folder.name}: {value}")
        agrees = one.get("valueCodeableConcept", {"coding": [{"code": None}]})["coding"][0]["code"]
        words = {True: "agree-as-angles", False: "differ-as-angles", None: None}[pair["agrees"]]
        check(found["as_obtained"]["sight"] or agrees == words, f"{folder.name}: {agrees}")
    for told in of.get("history", []):
        (one,) = by_code[told["about"]]
        check(one.get("valueBoolean") == {"yes": True, "no": False}.get(told["answer"]), f"{folder.name}: {told}")
        if told["answer"] == "unknown":
            check(one["dataAbsentReason"]["coding"][0]["code"] == "asked-unknown", f"{folder.name}: {told}")


def broken_bundles(folder):
    good = json.loads((folder / "fhir-bundle.json").read_text())

    def broken(change):
        raw = copy.deepcopy(good)
        change(raw)
        return raw

    def first(raw, kind):
        return next(entry["resource"] for entry in raw["entry"] if entry["resource"]["resourceType"] == kind)

    def threshold(raw):
        return next(one for one in of_type(raw, "Observation") if "valueQuantity" in one)

    by_library = {
        "a status of its own": broken(lambda r: threshold(r).update(status=["done"])),
        "an observation without a code": broken(lambda r: threshold(r).pop("code")),
        "a field of its own": broken(lambda r: threshold(r).update(loudness=1)),
        "a value in words": broken(lambda r: threshold(r)["valueQuantity"].update(value="loud")),
        "a composition without a title": broken(lambda r: first(r, "Composition").pop("title")),
        "a provenance of nothing": broken(lambda r: first(r, "Provenance").pop("target")),
        "two values at once": broken(lambda r: threshold(r).update(valueString="x")),
    }
    by_rule = {
        "a value and a reason": broken(lambda r: threshold(r).update(dataAbsentReason={"text": "x"})),
        "a reference to nowhere": broken(lambda r: r["entry"].pop(3)),
        "another first entry": broken(lambda r: r["entry"].reverse()),
        "an address twice": broken(lambda r: r["entry"].append(r["entry"][-1])),
        "no timestamp": broken(lambda r: r.pop("timestamp")),
    }
    for name, raw in by_library.items():
        check(refused(Bundle.model_validate, raw), f"the library accepts: {name}")
    for name, raw in by_rule.items():
        check(problems_of(raw), f"the rules accept: {name}")
    print(f"bundle: {len(by_library)} broken ones refused by the library, {len(by_rule)} by the rules")


def names_only_when_asked(program, scratch):
    journal = next((scratch / "visits").glob("*/journal.jsonl"))
    run(program, "export", journal, "--out", scratch / "plain")
    run(program, "export", journal, "--out", scratch / "again")
    run(program, "export", journal, "--out", scratch / "plain", code=2)
    run(program, "export", journal, "--out", scratch / "coded", "--patient")
    run(program, "export", journal, "--out", scratch / "named", "--family", "Brenn", "--given", "Oda",
        "--born-on", "1970-12-31")
    for path in (scratch / "plain").iterdir():
        check(path.read_bytes() == (scratch / "again" / path.name).read_bytes(), f"{path.name}: other bytes")
    patients = [of_type(json.loads((scratch / name / "fhir-bundle.json").read_text()), "Patient")
                for name in ("plain", "coded", "named")]
    check(patients[0] == [], "a Patient that nobody asked for")
    check("name" not in patients[1][0], "a name that nobody asked for")
    check(patients[2][0]["name"] == [{"family": "Brenn", "given": ["Oda"]}], f"{patients[2]}")
    for name in ("coded", "named"):
        Bundle.model_validate(json.loads((scratch / name / "fhir-bundle.json").read_text()))
    print("bundle: a Patient and a name only when asked; the same journal gives the same bytes")


def main():
    program, scratch = sys.argv[1], pathlib.Path(sys.argv[2])
    folders = visits(program, scratch)
    schemas(program, folders)
    tables(folders)
    bundles(folders)
    names_only_when_asked(program, scratch)
    print("exchange:", "all holds" if not failures else f"{len(failures)} do not hold")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
