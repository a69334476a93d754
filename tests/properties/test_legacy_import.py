"""What must hold of the import for any grid of any text."""

import csv
from dataclasses import asdict

import numpy as np
import pandas as pd
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from bodycond.errors import UnreadableFileError
from bodycond.legacy import ImportRecipe, draft_recipe, import_legacy, read_sheets
from bodycond.tables_on_disk import write_bytes
from bodycond.tables_on_disk.workbook_parts import SheetCells, build_workbook, write_text_cell

RECIPE = """\
version: 1
scales:
  "fat 0 to 5": {low: 0, high: 5, step: 1}
sheets:
- file: "*"
  table: exams
  heading_row: 1
  columns:
    Bird: {field: bird_id, ditto: false}
    Ring: {field: ring_number, ditto: false}
    Species: {field: species, ditto: false}
    Sex: {field: sex, ditto: false}
    Age: {field: age_code, system: EURING, ditto: false}
    Date: {field: exam_date, date_order: dmy, ditto: false}
    Site: {field: site, ditto: false}
    Why: {field: exam_reason, ditto: false}
    Weight: {field: mass_g, unit: g, ditto: false}
    Wing: {field: wing_mm, unit: mm, ditto: false}
    Keel: {field: keel, scale: "keel 1 to 5", slash: of_scale, ditto: false}
    Tail: {field: [tail_note, tail_mm], unit: mm, kind: text, ditto: false}
    Crop: {field: crop_fill, ditto: false}
    Gravid: {field: gravid, ditto: false}
    Fat: {field: fat, scale: "fat 0 to 5", ditto: false}
    Eggs: {field: eggs, kind: count, low: 0, high: 9, ditto: false}
    Degrees: {field: degrees, kind: number, ditto: false}
    Loft: {field: loft, kind: text, ditto: false}
    Fitted: {field: fitted, kind: date, date_order: dmy, ditto: false}
    Tagged: {field: tagged, kind: flag, ditto: false}
    Coded: {field: coded, kind: text, codes: {x: "hollow", y: null}, ditto: false}
    Aside: {set_aside: "not ours"}
    Open: {ask: "what is it?"}
"""
KNOWN = [line.split(":")[0].strip() for line in RECIPE.splitlines() if line.startswith("    ")]
HEADINGS = [
    *KNOWN, "Weight (g)", "Flügel mm", "mass_g", "Keel score (1-5)", "Gewicht", "Year", "Month",
    "Day", "Notes", "Scorer", "Session", "BCS", "Total",
]  # fmt: skip
CELLS = [
    "A12", "00123", "1.2E+05", "Buteo buteo", "kestrel", "F", "m?", "5", "2y", "3/4/2021",
    "2021-04-03", "13.6.19", "Jan 2020", "Millford", "186", "186,5 g", "1 lb 3 oz", "~200", "<30",
    "250?", "1.089,0", "2-3", "3+", "2/5", "0", "yes", "full", "n/a", "-", "=1+1", "=907-68", "@x",
    "'", '"', "''", "do.", "#N/A", "#REF!", "  ", "\t", "\x00", "\x01", "a\nb", "a\r\nb", "a\rb",
    ";", ",", "|", "x;y;z", "Total", "Mean", "Weight", "é", "Ã©", "\U0001f989", "x", "y",
    "Ü" * 40_000, "sep=;",
]  # fmt: skip
ANY = st.text(st.characters(codec="utf-8") | st.sampled_from("0123456789.,/-+=\"'; \t\r\n\x00\x7f"))
TEXTS = st.just("") | st.sampled_from(CELLS) | ANY
# By heading what may stand in a row of units, and cells that go together.
LIKELY = {
    "Ring": ("", ["GX101", "00123", "EA 4915"]),
    "Species": ("", ["Buteo buteo", "Tyto alba", "buzzard"]),
    "Sex": ("", ["F", "M", "?", "m?"]),
    "Date": ("", ["13/4/2021", "25/12/2020", "4/5/21", "Mar 2021"]),
    "Age EURING": ("", ["3", "5", "1Y", "?"]),
    "Weight": ("g", ["986,5", "1.012,0", "1,012", "~940", "870", "-"]),
    "Wing length": ("mm", ["387", "39.1 cm", "401,5", "n/a"]),
    "Keel (1-5)": ("", ["2", "3+", "2-3", "2.5", "9"]),
    "Fat score": ("0-5", ["0", "1", "5"]),
    "Observer": ("", ["S1", "K2", '"']),
    "Remarks": ("", ["crop full", "=1+1", "wet; -2", ""]),
}
OUTCOMES = ["accepted", "converted", "quarantined", "set_aside"]
FATES = ["exams_out", "ratings_out", "rows_held", "rows_not_exams"]
FIELDS = [
    "bird_id", "ring_number", "species", "age_code", "exam_date", "site", "exam_reason", "mass_g",
    "wing_mm", "keel", "crop_fill", "gravid", "tail_mm", "tail_note", "fat", "eggs", "degrees",
    "loft", "fitted", "tagged", "coded",
]  # fmt: skip


def shared(max_examples):
    """Settings: a folder can serve every example, since each writes its files anew."""
    return settings(
        max_examples=max_examples,
        suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
    )


@st.composite
def grids(draw, most=5):
    """Any texts, often with a row of headings somewhere near the top."""
    width = draw(st.integers(1, 5))
    rows = draw(st.lists(st.lists(TEXTS, min_size=width, max_size=width), max_size=most))
    heading = st.lists(st.sampled_from(HEADINGS) | ANY, min_size=width, max_size=width)
    if draw(st.booleans()):
        rows.insert(draw(st.integers(0, min(2, len(rows)))), draw(heading))
    return rows


@st.composite
def likely_books(draw):
    """A book as people keep them: a title, units, odd rows between those of birds."""
    others = sorted(set(LIKELY) - {"Weight", "Wing length"})
    names = draw(st.lists(st.sampled_from(others), min_size=1, max_size=4, unique=True))
    names = draw(st.permutations([*names, "Weight", "Wing length"]))
    row = st.tuples(*(st.sampled_from(LIKELY[name][1]) for name in names))
    body = [list(cells) for cells in draw(st.lists(row, min_size=2, max_size=6))]
    blank = [""] * (len(names) - 1)
    odd = st.sampled_from(
        [["", *blank], ["see the other book", *blank], [*blank, "?"], ["Total", "12", *blank[1:]],
         ["Mean", *["3.5"] * len(blank)], names]
    )  # fmt: skip
    for cells in draw(st.lists(odd, max_size=3)):
        body.insert(draw(st.integers(0, len(body))), list(cells))
    title = [["Millford exams 2021", *blank]] * draw(st.integers(0, 2))
    units = [[LIKELY[name][0] for name in names]] * draw(st.integers(0, 1))
    return [*title, names, *units, *body]


@st.composite
def filled_sheets(draw, fewest=0, most=4):
    """A row of the recipe's headings, and rows of cells of any kind below it.

    The first two columns always hold a word each, so that no row is a title, a total or a note.
    """
    others = draw(st.lists(st.sampled_from(KNOWN[2:]), min_size=1, max_size=6, unique=True))
    words = st.text("ABCDEFG", min_size=2, max_size=4)
    row = st.tuples(words, words, *([TEXTS] * len(others)))
    rows = draw(st.lists(row, min_size=fewest, max_size=most))
    return [["Bird", "Ring", *others], *map(list, rows)]


def write_grid(path, rows):
    """Write texts as CSV, all in quotation marks, or as an XLSX of text cells."""
    if path.suffix == ".csv":
        with path.open("w", encoding="utf-8", newline="") as stream:
            csv.writer(stream, quoting=csv.QUOTE_ALL).writerows(rows)
        return path
    columns = [
        [write_text_cell(text, style=1) if text else "" for text in column]
        for column in zip(*rows, strict=True)
    ]
    sheet = SheetCells(name="Exams", columns=columns, formats=[0] * len(columns))
    write_bytes(path, build_workbook([sheet]))
    return path


def run_if_readable(work, *arguments):
    """Do something with files; None where it says that they cannot be read."""
    try:
        return work(*arguments)
    except UnreadableFileError:
        return None


def list_filled(path):
    """Give the cells that are not empty, as the reader sees them."""
    return {
        (sheet.name, row + 1, column + 1): sheet.texts[row, column]
        for sheet in read_sheets(path)
        for row, column in zip(*np.nonzero(sheet.kinds != " "), strict=True)
    }


def check_account(imported, filled):
    """Check that each cell and row went somewhere, and nothing held gives a value."""
    ledger, counts = imported.ledger, imported.reconciliation
    places = list(zip(ledger["sheet"], ledger["row"], ledger["column"], strict=True))
    assert len(places) == len(set(places))
    assert dict(zip(places, ledger["raw"], strict=True)) == filled
    assert ledger["outcome"].isin(OUTCOMES).all()
    assert (counts[OUTCOMES].sum(axis=1) == counts["raw_cells"]).all()
    assert counts["raw_cells"].sum() == len(ledger)
    spread = counts["rows_spread"]  # a row can give several records
    assert (counts[FATES].sum(axis=1) == counts["rows_in"] + spread).all()
    assert counts["rows_in"].sum() == len({place[:2] for place in places})
    assert counts["exams_out"].sum() == len(imported.exams)
    assert counts["ratings_out"].sum() == len(imported.ratings)
    held = ledger[ledger["outcome"] == "quarantined"]
    assert (held["value"].fillna("") == "").all()
    assert (held["reason"].fillna("") != "").all()
    order = ["sheet", "row", "column", "raw", "reason"]
    listed = imported.quarantine[order]
    pd.testing.assert_frame_equal(listed, held[order].reset_index(drop=True))


def frames_of(imported):
    """Give an import's tables by name."""
    names = ["exams", "ratings", "quarantine", "ledger", "reconciliation", "files"]
    return {name: getattr(imported, name) for name in names}


def tell_rules(recipe):
    """Give a recipe's rules as plain values, without the lines of the file."""
    sheets = [asdict(rule) for rule in recipe.sheets]
    for rule in [*sheets, *(column for sheet in sheets for column in sheet["columns"])]:
        rule.pop("line")
    return sheets


def assert_same_import(first, second):
    """Check that two imports gave the same."""
    assert first.notes == second.notes
    for name, frame in frames_of(first).items():
        pd.testing.assert_frame_equal(frame, frames_of(second)[name])


@pytest.mark.parametrize("ending", [".csv", ".xlsx"])
@given(grids() | likely_books())
@shared(90)
def test_any_grid_reconciles_under_its_own_draft(tmp_path, ending, rows):
    path = write_grid(tmp_path / f"book{ending}", rows)
    recipe = run_if_readable(draft_recipe, path)
    if recipe is None:
        # Of text cells alone no workbook is unreadable; of texts one with a zero byte is.
        assert ending == ".csv"
        return
    check_account(import_legacy(path, recipe), list_filled(path))


@pytest.mark.parametrize("ending", [".csv", ".xlsx"])
@given(filled_sheets())
@shared(80)
def test_any_grid_reconciles_under_a_recipe_with_every_kind_of_field(tmp_path, ending, rows):
    path = write_grid(tmp_path / f"book{ending}", rows)
    imported = run_if_readable(import_legacy, path, ImportRecipe.from_text(RECIPE))
    if imported is None:
        assert ending == ".csv"
        return
    check_account(imported, list_filled(path))
    if ending == ".xlsx":
        assert imported.ledger["raw"].tolist() == [text for row in rows for text in row if text]


@given(filled_sheets(fewest=1))
@shared(90)
def test_a_held_cell_gives_no_value_and_an_accepted_one_does(tmp_path, rows):
    path = write_grid(tmp_path / "book.xlsx", rows)
    imported = import_legacy(path, ImportRecipe.from_text(RECIPE))
    by_row = imported.exams.set_index("source_row")
    for cell in imported.ledger.itertuples():
        named = str(cell.target).replace("exams.", "").split("; ")
        for field in set(named) & set(FIELDS) if cell.row in by_row.index else ():
            value = by_row.loc[cell.row, field]
            if cell.outcome == "quarantined":
                assert pd.isna(value)
            elif cell.value and field not in {"keel", "fat", "age_code"}:
                assert not pd.isna(value)


@given(filled_sheets(fewest=2, most=5), st.randoms(use_true_random=False))
@shared(80)
def test_permuting_rows_permutes_the_result(tmp_path, rows, random):
    heading, *body = rows
    order = list(range(len(body)))
    random.shuffle(order)
    assume(order != sorted(order))
    recipe = ImportRecipe.from_text(RECIPE)
    first = import_legacy(write_grid(tmp_path / "book.xlsx", rows), recipe)
    turned = write_grid(tmp_path / "book.xlsx", [heading, *(body[place] for place in order)])
    second = import_legacy(turned, recipe)
    # Row 2 of the turned sheet is row order[0] + 2 of the first.
    home = {1: 1} | {row: place + 2 for row, place in enumerate(order, start=2)}

    def send_home(frame, column):
        return frame.assign(**{column: frame[column].map(home).astype(frame[column].dtype)})

    exams = send_home(second.exams, "source_row").sort_values("source_row", ignore_index=True)
    pd.testing.assert_frame_equal(
        exams.drop(columns="exam_id"), first.exams.drop(columns="exam_id")
    )
    ledger = send_home(second.ledger, "row").sort_values(["row", "column"], ignore_index=True)
    pd.testing.assert_frame_equal(
        ledger.drop(columns="address"), first.ledger.drop(columns="address")
    )
    pd.testing.assert_frame_equal(second.reconciliation, first.reconciliation)


@given(grids() | likely_books())
@shared(60)
def test_importing_twice_gives_the_same(tmp_path, rows):
    path = write_grid(tmp_path / "book.xlsx", rows)
    recipe = draft_recipe(path)
    assert draft_recipe(path).questions == recipe.questions
    assert_same_import(import_legacy(path, recipe), import_legacy(path, recipe))


@given(grids() | likely_books())
@shared(60)
def test_a_draft_saved_and_loaded_says_the_same(tmp_path, rows):
    path = write_grid(tmp_path / "book.xlsx", rows)
    recipe = draft_recipe(path)
    recipe.save(tmp_path / "recipe.yaml")
    loaded = ImportRecipe.load(tmp_path / "recipe.yaml")
    assert loaded.questions == recipe.questions
    assert tell_rules(loaded) == tell_rules(recipe)
    pd.testing.assert_frame_equal(loaded.fields, recipe.fields)
    assert_same_import(import_legacy(path, recipe), import_legacy(path, loaded))


@given(filled_sheets(fewest=1), filled_sheets(fewest=1))
@shared(60)
def test_the_order_of_files_orders_the_rows_and_nothing_else(tmp_path, one, other):
    assume(one != other)
    paths = [write_grid(tmp_path / "a.xlsx", one), write_grid(tmp_path / "b.xlsx", other)]
    recipe = ImportRecipe.from_text(RECIPE)
    first, second = import_legacy(paths, recipe), import_legacy(paths[::-1], recipe)
    keys = {
        "exams": ["source_file", "source_row"],
        "ledger": ["file", "row", "column"],
        "quarantine": ["file", "row", "column"],
        "reconciliation": ["file"],
        "files": ["file"],
    }
    for name, by in keys.items():
        frames = [
            frames_of(imported)[name].sort_values(by, ignore_index=True)
            for imported in (first, second)
        ]
        pd.testing.assert_frame_equal(*frames, check_like=True)
    assert list(first.files["file"]) == ["a.xlsx", "b.xlsx"]
    assert list(second.files["file"]) == ["b.xlsx", "a.xlsx"]
