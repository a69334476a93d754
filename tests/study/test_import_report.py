"""The import report: whatever stands in a sheet is text in it, and no list is endless."""

import re
from html.parser import HTMLParser

import pytest

from bodycond.study import run_import

RECIPE = """\
version: 1
sheets:
- file: "*.csv"
  table: exams
  heading_row: 1
  columns:
    Case: {field: bird_id}
    Species: {field: species}
    Mass (g): {field: mass_g, unit: g}
    Nest: {set_aside: "not asked for"}
    Crop: {ask: "What does it hold?"}
"""
SCRIPT = "<script>alert(1)</script>"
TURNED = "heavy\u202egnp.exe"


class Page(HTMLParser):
    """Collects a page's tags, and its text by section."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.sections, self._now = [], {}, "top"
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        attributes = dict(attrs)
        self.tags.append((tag, attributes))
        if tag == "section":
            self._now = attributes["aria-labelledby"]

    def handle_data(self, data):
        self.sections[self._now] = self.sections.get(self._now, "") + data


@pytest.fixture
def make(tmp_path):
    """Import one table; give the page as text and as tags."""

    def run(*rows, name="exams.csv", recipe=RECIPE):
        text = "\n".join(["Case,Species,Mass (g),Nest,Crop", *rows]) + "\n"
        (tmp_path / name).write_text(text, encoding="utf-8")
        (tmp_path / "recipe.yaml").write_text(recipe, encoding="utf-8")
        result = run_import(
            tmp_path / name, recipe=tmp_path / "recipe.yaml", out=tmp_path / "out", marked=False
        )
        page = (result.folder / "import_report.html").read_text(encoding="utf-8")
        return page, Page(page), result

    return run


def test_no_cell_heading_or_name_becomes_markup(make):
    page, parsed, _ = make(
        f"{SCRIPT},Buteo buteo,{SCRIPT},{SCRIPT},{SCRIPT}",
        name="a<img src=x onerror=alert(1)>.csv",
        recipe=RECIPE.replace("not asked for", SCRIPT).replace("What does it hold?", SCRIPT),
    )
    names = {tag for tag, _ in parsed.tags}
    assert not names & {"script", "img", "iframe", "object", "embed", "link"}
    assert not [name for _, attributes in parsed.tags for name in attributes if name[:2] == "on"]
    for section in ("sheets", "held", "aside", "questions"):
        assert "<" in parsed.sections[section], section
    assert SCRIPT in parsed.sections["held"]
    assert page.count("<script") == 0


def test_letters_that_cannot_be_seen_are_shown_as_their_code(make):
    page, parsed, _ = make(f"A1,Buteo buteo,{TURNED},,")
    assert "heavy\\u202egnp.exe" in parsed.sections["held"]
    assert "\u202e" not in page


def test_a_long_cell_is_cut_and_its_length_said(make):
    page, parsed, _ = make(f"A1,Buteo buteo,{'x' * 5000},,")
    assert "x… (5000 letters)" in parsed.sections["held"]
    assert "x" * 100 not in page


def test_the_answer_comes_first_and_its_sums_are_counted_twice(make):
    _, parsed, result = make("A1,Buteo buteo,820,7,", "A2,Buteo buteo,heavy,7,full")
    first = list(parsed.sections)[1]
    assert first == "answer"
    assert "Every cell and every row is accounted for: all sums agree." in parsed.sections["answer"]
    checks = result.findings.checks
    assert checks["first_count"].tolist() == [14, 3, 2, 0, 2]
    assert checks["agrees"].all()


def test_sums_that_do_not_agree_are_said_first(make):
    from dataclasses import replace

    _, _, result = make("A1,Buteo buteo,heavy,7,")
    broken = replace(result.findings, quarantine=result.findings.quarantine.head(0))
    assert not broken.checks["agrees"].all()
    assert "THE SUMS DO NOT AGREE: cells counted as held back" in broken.word_answer()[0]


def test_each_section_says_its_part(make):
    _, parsed, _ = make("A1,Buteo buteo,0.82 kg,7,", "A2,Buteo buteo,heavy,7,full")
    told = parsed.sections
    assert re.search(r"Mass \(g\)\s*mass_g, unit g\s*the recipe", told["columns"])
    assert re.search(r"Nest\s*set aside: not asked for", told["columns"])
    assert re.search(r"Crop\s*nobody yet", told["columns"])
    assert "exams.csv, C3" in told["held"]
    assert "0.82 kg" in told["converted"]
    assert "820" in told["converted"]
    assert "not asked for" in told["aside"]
    assert "What does it hold?" in told["questions"]
    assert "No corrections were given." in told["corrections"]
    assert "bodycond import FILES... --recipe recipe.yaml" in told["next"]
    assert "licensed veterinarian" in told["cautions"]


def test_the_hash_of_each_file_is_whole(make, tmp_path):
    import hashlib

    _, parsed, _ = make("A1,Buteo buteo,820,7,")
    digest = hashlib.sha256((tmp_path / "exams.csv").read_bytes()).hexdigest()
    assert digest in parsed.sections["sheets"].replace(" ", "")


def test_lists_are_cut_with_their_count_and_the_file_that_has_all(make, tmp_path):
    codes = [f"c{number:03d}" for number in range(200)]
    rows = [f"A{code},Buteo buteo,820,7,{code}" for code in codes]
    listed = ", ".join(f"{code}: {number}" for number, code in enumerate(codes))
    recipe = RECIPE.replace(
        'Crop: {ask: "What does it hold?"}',
        f"Crop: {{field: crop_note, kind: text, codes: {{{listed}}}}}",
    )
    page, parsed, result = make(*rows, recipe=recipe)
    assert "The first 60 of 200; all are in reasons.csv." in parsed.sections["converted"]
    reasons = (result.folder / "reasons.csv").read_text(encoding="utf-8")
    assert reasons.count("converted,") == 200
    assert len(page) < 120_000


def test_headings_tables_and_regions_serve_every_reader(make):
    _, parsed, _ = make("A1,Buteo buteo,heavy,7,full")
    levels = [int(tag[1]) for tag, _ in parsed.tags if re.fullmatch("h[1-6]", tag)]
    assert levels == [1] + [2] * (len(levels) - 1)
    tables = [tag for tag, _ in parsed.tags if tag == "table"]
    captions = [tag for tag, _ in parsed.tags if tag == "caption"]
    assert len(tables) == len(captions) > 4
    scopes = {attributes.get("scope") for tag, attributes in parsed.tags if tag == "th"}
    assert scopes <= {"col", "row", "rowgroup"}
    anchors = {attributes.get("id") for tag, attributes in parsed.tags if tag == "h2"}
    links = {attributes["href"][1:] for tag, attributes in parsed.tags if tag == "a"}
    assert links == anchors


def test_nothing_is_fetched_and_no_clock_time_is_told(make):
    page, parsed, _ = make("A1,Buteo buteo,820,7,")
    for _, attributes in parsed.tags:
        for name in ("src", "href"):
            assert attributes.get(name, "#").startswith("#")
    assert not re.findall(r"url\(|@import", page)
    assert not re.search(r"\d\d:\d\d:\d\d", page)


def test_the_page_does_not_hang_on_where_it_is_written(make, tmp_path):
    page, _, _ = make("A1,Buteo buteo,heavy,7,full")
    assert str(tmp_path) not in page


def test_hidden_struck_commented_and_coloured_parts_are_counted(tmp_path):
    from openpyxl import Workbook
    from openpyxl.comments import Comment
    from openpyxl.styles import Font, PatternFill

    workbook = Workbook()
    sheet = workbook.active
    sheet.title = "2019"
    for row in (["Case", "Species", "Mass (g)"], ["A1", "Buteo buteo", 820],
                ["A2", "Buteo buteo", 900], ["A3", "Buteo buteo", 910]):  # fmt: skip
        sheet.append(row)
    sheet["A2"].fill = PatternFill("solid", fgColor="FFFF0000")
    sheet["C3"].font = Font(strike=True)
    sheet["C4"].comment = Comment("weighed twice", "S1")
    sheet.row_dimensions[4].hidden = True
    workbook.save(tmp_path / "old.xlsx")
    recipe = RECIPE.replace('"*.csv"', '"*.xlsx"')
    (tmp_path / "recipe.yaml").write_text(recipe, encoding="utf-8")
    run = run_import(tmp_path / "old.xlsx", recipe=tmp_path / "recipe.yaml", out=tmp_path / "out")
    parsed = Page((run.folder / "import_report.html").read_text(encoding="utf-8"))
    told = " ".join(parsed.sections["sheets"].split("What is on the sheets")[1].split())
    assert "Hidden rows Struck through Comments" in re.sub(r"(?<=[a-z])(?=[A-Z])", " ", told)
    assert "old.xlsx20191111" in told.replace(" ", "")
    assert "struck through" in parsed.sections["aside"]


def test_a_file_of_very_many_sheets_is_summed_and_says_so(tmp_path):
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.active)
    for number in range(13):
        sheet = book.create_sheet(f"nest {number}")
        for row in (["Case", "Mass (g)"], [f"K{number}", 180 + number]):
            sheet.append(row)
    book.save(tmp_path / "forms.xlsx")
    (tmp_path / "recipe.yaml").write_text(RECIPE.replace("*.csv", "*.xlsx"), encoding="utf-8")
    result = run_import(
        tmp_path / "forms.xlsx", recipe=tmp_path / "recipe.yaml", out=tmp_path / "out", marked=False
    )
    page = Page((result.folder / "import_report.html").read_text(encoding="utf-8"))
    told = page.sections["sheets"]
    assert "all 13 sheets" in told
    assert "nest 7" not in told
    assert "Of files of more than 12 sheets the sums are shown; each sheet is in reconc" in told
