"""Reads reports with programs that share nothing with ours: poppler, mupdf, qpdf and pypdf.

Usage: read_report.py VERIDICAL [CASES]

For visits of the cases that come with the program: poppler (pdftotext) and mupdf (mutool) find every
threshold and acuity of findings.json in the text; mutool and pdftoppm render every page; qpdf finds
no fault in the file. With pypdf the claims of ISO 19005-3 and ISO 14289-1 that can be read are read:
metadata, language, embedded type, no encryption, every leaf of the structure tree on its page, tables
with rows of one length and with headers, figures with alternative text, associated files; and the
journal inside is the one beside it, byte for byte. No independent validator of either standard was
found in the registries (the Java one is not in them); this is no substitute for one.
"""

import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import pypdf

HERE = Path(__file__).resolve().parents[2]


def run(*args):
    done = subprocess.run(args, capture_output=True, text=True)
    assert done.returncode == 0, (args, done.stdout, done.stderr)
    return done.stdout


def flat(text):
    return re.sub(r"\s+", " ", text)


def name(element):
    return str(element.get("/S", ""))


def children(element):
    kids = element.get("/K")
    if kids is None:
        return []
    kids = kids.get_object()
    return list(kids) if isinstance(kids, list) else [kids]


def elements(element):
    for kid in children(element):
        kid = kid.get_object() if hasattr(kid, "get_object") else kid
        if isinstance(kid, dict) and "/S" in kid:
            yield kid
            yield from elements(kid)


def rows(table):
    return [one for one in elements(table) if name(one) == "/TR"]


def check_structure(reader):
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"], "tagged"
    assert str(root["/Lang"]).startswith("en"), root["/Lang"]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    tree = root["/StructTreeRoot"]
    all_of_it = list(elements(tree))
    names = {name(one) for one in all_of_it}
    for needed in ("/H1", "/H2", "/P", "/Table", "/TR", "/TH", "/TD", "/Figure", "/L", "/LI"):
        assert needed in names, needed
    tables = [one for one in all_of_it if name(one) == "/Table"]
    for table in tables:
        cells = [[name(cell) for cell in elements(row) if name(cell) in ("/TH", "/TD")] for row in rows(table)]
        lengths = {len(row) for row in cells}
        assert len(lengths) == 1, ("a cell is missing or blank", cells)
        assert set(cells[0]) == {"/TH"}, cells[0]
    figures = [one for one in all_of_it if name(one) == "/Figure"]
    assert figures and all(str(one.get("/Alt", "")).strip() for one in figures)
    levels = [int(name(one)[2:]) for one in all_of_it if re.fullmatch(r"/H\d", name(one))]
    assert levels[0] == 1 and all(b <= a + 1 for a, b in zip(levels, levels[1:])), levels
    return len(all_of_it), len(tables), len(figures)


def check_file(reader, journal):
    root = reader.trailer["/Root"]
    assert not reader.is_encrypted
    xmp = root["/Metadata"].get_data().decode()
    for claim in ("<pdfaid:part>3</pdfaid:part>", "<pdfaid:conformance>A</pdfaid:conformance>",
                  "<pdfuaid:part>1</pdfuaid:part>"):
        assert claim in xmp, claim
    assert root["/OutputIntents"][0].get_object()["/S"] == "/GTS_PDFA1"
    fonts = 0
    for page in reader.pages:
        for font in page["/Resources"].get("/Font", {}).values():
            font = font.get_object()
            below = font["/DescendantFonts"][0].get_object()
            what = below["/FontDescriptor"].get_object()
            assert any(key in what for key in ("/FontFile2", "/FontFile3")), font
            assert "/ToUnicode" in font, font
            fonts += 1
    assert fonts
    inside = reader.attachments
    assert inside["journal.jsonl"][0] == journal.read_bytes()
    for file in root["/AF"]:
        assert str(file.get_object()["/AFRelationship"]) in ("/Source", "/Data", "/Alternative")
    return len(inside)


def figures_of(findings):
    for ear in ("right", "left"):
        for one in findings["hearing"][ear]:
            level = one.get("threshold_db_hl", one.get("no_response_at_db_hl"))
            if level is not None:
                yield f"{level:.0f}".replace("-", "\u2212")
    for eye in ("right", "left", "both"):
        if "log_mar" in findings["sight"][eye]:
            yield f"{findings['sight'][eye]['log_mar']:.2f}".replace("-", "\u2212")


def check(veridical, case, scratch):
    out = scratch / case.stem
    run(veridical, "visit", "--case", str(case), "--seed", "11", "--out", str(out))
    journal, report = out / "journal.jsonl", out / "report.pdf"
    findings = json.loads((out / "findings.json").read_text())
    run("qpdf", "--check", str(report))
    texts = {
        "poppler": flat(run("pdftotext", "-layout", str(report), "-")),
        "mupdf": flat(run("mutool", "draw", "-F", "txt", str(report))),
    }
    head = json.loads(journal.read_text().splitlines()[-1])["hash"]
    for reader, text in texts.items():
        words = text.split(" ")
        for figure in figures_of(findings):
            assert figure in words, (reader, case.stem, figure)
        assert head in text.replace(" ", "").replace("\u00a0", ""), (reader, "head of the chain")
    run("pdftoppm", "-r", "40", "-png", str(report), str(out / "poppler"))
    run("mutool", "draw", "-r", "40", "-o", str(out / "mupdf-%d.png"), str(report))
    reader = pypdf.PdfReader(report)
    pages = len(reader.pages)
    for drawn in ("poppler", "mupdf"):
        assert len(list(out.glob(f"{drawn}-*.png"))) == pages, drawn
    attached = check_file(reader, journal)
    tagged, tables, figures = check_structure(reader)
    print(f"{case.stem}: {pages} pages, {report.stat().st_size} bytes, {attached} attached, "
          f"{tagged} elements, {tables} tables, {figures} figures")


def main():
    veridical = str(Path(sys.argv[1]).resolve())
    cases = [HERE / "demo/cases" / f"{stem}.toml" for stem in (sys.argv[2:] or ["average", "one_sided"])]
    with tempfile.TemporaryDirectory() as scratch:
        for case in cases:
            check(veridical, case, Path(scratch))


if __name__ == "__main__":
    main()
