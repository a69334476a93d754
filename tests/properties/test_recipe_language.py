"""What must hold for any recipe that the language allows, on any grid; and of any faulty text."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pandas as pd
from hypothesis import given, settings
from hypothesis import strategies as st

from bodycond.errors import RecipeError
from bodycond.legacy import ImportRecipe
from bodycond.legacy.corrections.correction_records import Correction, Corrections
from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.ledger import OUTCOMES, build_ledger, build_quarantine, build_reconciliation
from bodycond.legacy.reading.sheet_reading import import_sheet
from bodycond.legacy.reading.table_building import build_table
from bodycond.legacy.recipes.recipe_writing import write_recipe_text
from bodycond.tables_on_disk import name_column

SCALE = 'scale: "keel 1 to 5"'
# Sets of columns that fill one thing, of which an entry has at most one of each group.
GROUPS = {
    "bird": [{"No": "field: bird_id"}, {"No": "field: bird_id, ditto: false"}],
    "mass": [
        {"Wt": "field: mass_g, unit: g"},
        {"Wt": "field: mass_g, unit_from: U", "U": "set_aside: the unit"},
        {"Wt": "field: mass_g, unit_from: U", "U": "field: weighed_in, kind: text"},
        {"lb": "field: mass_g, part: pounds", "oz": "field: mass_g, part: ounces"},
        {"Wt 1": "field: mass_g, unit: g, with: {exam_reason: intake}",
         "Wt 2": "field: mass_g, unit: g, with: {exam_reason: recheck}"},
        {"Wt": "field: mass_g, unit: g, ask: which balance?"},
        {"Both": 'split: ["{exam_date}, {mass_g}", "{mass_g}"], unit: g, date_order: dmy'},
    ],
    "date": [
        {"Date": "field: exam_date, date_order: dmy, fill_down: true, short_years_to: 1999"},
        {"Date": "field: exam_date, date_order: dmy, year: file"},
        {"Y": "field: exam_date, part: year, short_years_to: 1930, fill_down: true",
         "M": "field: exam_date, part: month", "D": "field: exam_date, part: day"},
        {"M": "field: exam_date, part: month, year: sheet", "D": "field: exam_date, part: day"},
    ],
    "ring": [
        {"Ring": "field: ring_number, digits: 5"},
        {"Series": "field: ring_number, part: prefix",
         "Last": "field: ring_number, part: suffix, digits: 5"},
    ],
    "species": [{"Genus": "field: species, part: genus", "Kind": "field: species, part: epithet"}],
    "sex": [{"Sex": "field: sex, codes: {x: F, y: null}"}],
    "site": [{"Place": "field: site, fill_down: true"}, {"Place": "field: site, also: [Ort]"}],
    "size": [{"Wing": "field: wing_mm, unit: mm, decimal: comma"},
             {"Size": 'split: "{wing_mm} x {tail_mm}", unit: mm'}],
    "ratings": [
        {"K S1": f"field: keel, {SCALE}, into: ratings, with: {{scorer: S1}}",
         "K S2": f"field: keel, {SCALE}, into: ratings, with: {{scorer: S2}}"},
        {"K S1": f"field: keel, {SCALE}"},
    ],
    "remarks": [{"Seen": "field: remarks", "Crop": "field: [remarks, crop_fill]"}],
    "others": [{"Open": "ask: what is it?"}, {"Aside": "set_aside: not ours"}],
}  # fmt: skip
RATINGS = {"No": "field: bird_id", "By": "field: scorer, fill_down: true",
           "K": f"field: keel, {SCALE}", "On": "field: rated_on, date_order: dmy"}  # fmt: skip
LABELS = {
    "Site": "field: site", "Visit": "field: exam_date, date_order: dmy, where: below",
    "Weight": "field: mass_g, unit: g, where: same, also: [Gewicht]", "Bird": "field: bird_id",
    "Said": "field: remarks", "Left": "set_aside: no matter", "Odd": "ask: what is it?",
}  # fmt: skip
TEXTS = [
    "", "", "", "A12", "00123", "12345", "3", "3+", "2-3", "186", "186,5", "186 g", "1.2 kg", "kg",
    "g", "stone", "3/4/2021", "13.6.2019", "2019", "12", "F", "x", "y", "?", '"', "ditto", "-",
    "wet", "F?", "200 x 100", "3/4/2021, 200 g", "Total", "n/a", "#REF!", "  ", "Elm Wood", "S1",
    "Observer:", "Weight: 950 g", "Weight:", "Gewicht 940", *LABELS, "STOP", "No", "Buteo",
    "buteo", "Buteo buteo",
]  # fmt: skip
CELLS = st.sampled_from(TEXTS) | st.sampled_from([3, 186, 12345, 2.5])
VALUES = {"mass_g", "wing_mm", "tail_mm", "bird_id", "ring_number", "sex", "site", "exam_date",
          "rated_on", "scorer", "weighed_in", "crop_fill", "keel", "species"}  # fmt: skip


def word_entry(*, heading_row=None, columns=(), labels=(), **keys):
    lines = ['- file: "*"', *(f"  {key}: {value}" for key, value in keys.items())]
    if heading_row is not None:
        lines.append(f"  heading_row: {heading_row}")
    for name, rules in (("labels", labels), ("columns", columns)):
        if rules:
            lines.append(f"  {name}:")
            lines += [f'    "{heading}": {{{rules[heading]}}}' for heading in rules]
    return lines


@st.composite
def column_sets(draw):
    """Columns that fill no field twice."""
    names = draw(st.lists(st.sampled_from(sorted(GROUPS)), min_size=1, max_size=5, unique=True))
    columns = {}
    for name in dict.fromkeys(["bird", *names]):
        columns |= draw(st.sampled_from(GROUPS[name]))
    if "Both" in columns:
        columns = {heading: rule for heading, rule in columns.items()
                   if "exam_date" not in rule or heading == "Both"}  # fmt: skip
    return columns


@st.composite
def label_sets(draw, leave_out=()):
    names = st.sampled_from(sorted(set(LABELS) - set(leave_out)))
    return {name: LABELS[name] for name in draw(st.lists(names, min_size=1, unique=True))}


@st.composite
def tables(draw, top, left):
    """A table with rows, and an entry that describes it: rows of cells, lines of YAML."""
    is_ratings = draw(st.integers(0, 4)) == 0
    columns = RATINGS if is_ratings else draw(column_sets())
    headings = [heading for heading in columns if draw(st.integers(0, 12))]
    extra = draw(st.lists(st.sampled_from(["Ort", "other", ""]), max_size=1))
    headings = draw(st.permutations([*headings, *extra]))
    width = len(headings)
    row = st.lists(CELLS, min_size=width, max_size=width)
    body = draw(st.lists(row, max_size=5))
    keys = {"table": "ratings" if is_ratings else "exams"}
    filled = [field for field in ("mass_g", "wing_mm", "keel") for rule in columns.values()
              if f"field: {field}," in rule or f"{{{field}}}" in rule]  # fmt: skip
    if filled and draw(st.booleans()):
        keys["needs"] = f"[{', '.join(dict.fromkeys(filled))}]"
    if "Place" not in columns and not is_ratings and draw(st.booleans()):
        keys["constants"] = '{site: "{file}"}'
    return [headings, *body], keys, columns, headings


def join_sides(rows, block, left):
    """Put a block beside rows, at a column."""
    height = max(len(rows), len(block))
    rows = [*rows, *([[]] * (height - len(rows)))]
    block = [*block, *([[]] * (height - len(block)))]
    return [row + [""] * (left - len(row)) + cells for row, cells in zip(rows, block, strict=True)]


@st.composite
def sheets(draw):
    """A sheet of one or two tables, or a form, with a recipe for it."""
    lines, rows, left = ["version: 1", "sheets:"], [], 0
    kind = draw(st.sampled_from(["whole", "labels", "areas", "beside", "marks", "form"]))
    if draw(st.integers(0, 3)) == 0:
        lines += word_entry(table="labels", labels=draw(label_sets(["Weight", "Bird"])))
    if kind == "form":
        rows = draw(st.lists(st.lists(CELLS, min_size=4, max_size=4), min_size=1, max_size=7))
        needs = {"needs": "bird_id"} if draw(st.booleans()) else {}
        labels = {**draw(label_sets()), "Bird": LABELS["Bird"]}
        lines += word_entry(table="exams", labels=labels, **needs)
    for number in range({"areas": 2, "beside": 2, "marks": 2, "form": 0}.get(kind, 1)):
        block, keys, columns, headings = draw(tables(len(rows), left))
        if kind == "marks":
            block[0] = [f"Mark {number}", *block[0]]
            columns = {**columns, f"Mark {number}": "set_aside: a mark"}
            block[1:] = [[draw(CELLS), *row] for row in block[1:]]
            keys |= {"starts_at": f'"Mark {number}"', "ends_before": "STOP"}
            lines += word_entry(heading_row=1, columns=columns, **keys)
            rows += block
        elif kind == "beside":
            area = f"{name_column(left + 1)}:{name_column(left + max(len(headings), 1))}"
            lines += word_entry(heading_row=1, columns=columns, area=area, **keys)
            rows = join_sides(rows, block, left)
            left += max(len(headings), 1)
        else:
            note = [[draw(CELLS) for _ in range(3)] for _ in range(draw(st.integers(0, 2)))]
            rows += note
            heading = len(rows) + 1
            rows += block
            if kind == "areas":
                keys["area"] = f"{heading - len(note)}:{len(rows)}"
            if kind == "labels" and keys["table"] == "exams":
                used = {"Weight", "Bird"} | ({"Site"} if "Place" in columns or "constants" in keys
                                             else set())  # fmt: skip
                used |= {"Visit"} if any("exam_date" in r for r in columns.values()) else set()
                keys["labels"] = draw(label_sets(used))
            lines += word_entry(heading_row=heading, columns=columns, **keys)
    if kind in {"areas", "marks", "beside"} and draw(st.booleans()):
        lines += word_entry(table="set_aside", why="the rest")
    width = max((len(row) for row in rows), default=1)
    places = [(row, column) for row in range(len(rows)) for column in range(width)]
    struck = draw(st.lists(st.sampled_from(places), max_size=3)) if places else []
    partly = draw(st.lists(st.sampled_from(places), max_size=1)) if places else []
    return make_sheet(rows, width, struck, partly), "\n".join([*lines, ""])


def make_sheet(rows, width, struck, partly):
    texts, kinds = build_grid([list(row) + [""] * (width - len(row)) for row in rows])
    height, width = kinds.shape  # what is empty at the end is not there
    filled = [(row, column) for row, column in struck
              if row < height and column < width and kinds[row, column] != " "]  # fmt: skip
    parts = {(row, column): "a" for row, column in partly
             if row < height and column < width and kinds[row, column] == "t"
             and (row, column) not in filled}  # fmt: skip
    return Sheet(file="book 2019.csv", name="s 1998", texts=texts, kinds=kinds,
                 struck=frozenset(filled), partly_struck=parts)  # fmt: skip


def read(sheet, recipe, corrections=None):
    part = import_sheet(sheet, recipe, stem="b", corrections=corrections)
    account = part.account
    ledger = build_ledger([account])
    ids = account.exam_ids[ledger["row"].to_numpy() - 1, ledger["column"].to_numpy() - 1]
    return SimpleNamespace(
        exams=build_table([part], table="exams"), ratings=build_table([part], table="ratings"),
        ledger=ledger.assign(exam_id=ids), counts=build_reconciliation([account]).iloc[0],
        quarantine=build_quarantine([account]), notes=part.notes,
    )  # fmt: skip


def check_account(got, sheet):
    """Check that every cell and row is accounted for once."""
    places = list(zip(got.ledger["row"] - 1, got.ledger["column"] - 1, strict=True))
    rows, columns = np.nonzero(sheet.kinds != " ")
    assert places == list(zip(rows, columns, strict=True))
    assert got.ledger["raw"].tolist() == [sheet.texts[place] for place in places]
    assert got.ledger["outcome"].isin(OUTCOMES).all()
    assert got.counts["exams_out"] == len(got.exams)
    assert got.counts["ratings_out"] == len(got.ratings)
    assert got.counts["raw_cells"] == len(places)
    held = got.ledger[got.ledger["outcome"] == "quarantined"]
    assert (held["value"] == "").all()
    assert (held["reason"] != "").all()
    assert got.exams["exam_id"].is_unique
    known = {*got.exams["exam_id"], *got.ratings["exam_id"].dropna(), ""}
    assert set(got.ledger["exam_id"]) <= known
    if not len(held):
        assert got.counts["rows_held"] == 0


def says(value, found):
    """Tell whether a table holds what the account says of a cell."""
    if pd.isna(found):
        return False
    if isinstance(found, pd.Timestamp):
        return found.date().isoformat() == value
    if isinstance(found, float):
        return math.isclose(float(value), found, rel_tol=1e-12) if value[:1].isdigit() else False
    return str(found) == value


def check_values(got):
    """Check that what the account says was used is in the record that it names, and only that."""
    for cell in got.ledger.itertuples():
        targets = [target.split(".") for target in cell.target.split("; ") if target]
        candidates = []
        for table, field in targets:
            frame = getattr(got, table)
            if field not in VALUES or field not in frame.columns:
                continue
            own = frame[frame["exam_id"] == cell.exam_id] if cell.exam_id else frame[
                (frame["source_row"] == cell.row)]  # fmt: skip
            candidates.append((field, own[field] if len(own) else frame[field]))
        if cell.outcome in {"accepted", "converted"} and cell.value and " to " not in cell.value:
            written = [value for _, values in candidates for value in values]
            if len(candidates) == len(targets) and targets:
                assert any(says(cell.value, value) for value in written), cell
        elif cell.outcome == "quarantined" and cell.exam_id and len(targets) == 1:
            for field, values in candidates:
                if field != "keel" and len(values) == 1 and "row held" not in cell.reason:
                    assert values.isna().all() or (field == "sex" and values.eq("U").all()), cell


@given(sheets())
@settings(max_examples=250)
def test_every_recipe_accounts_for_every_cell_and_value(drawn):
    sheet, text = drawn
    got = read(sheet, ImportRecipe.from_text(text))
    check_account(got, sheet)
    check_values(got)


@given(sheets())
@settings(max_examples=150)
def test_a_recipe_written_and_read_back_imports_the_same(drawn):
    sheet, text = drawn
    recipe = ImportRecipe.from_text(text)
    again = ImportRecipe.from_text(write_recipe_text(recipe.sheets, recipe.scales))
    first, second = read(sheet, recipe), read(sheet, again)
    assert first.notes == second.notes
    for name in ("exams", "ratings", "ledger", "quarantine"):
        pd.testing.assert_frame_equal(getattr(first, name), getattr(second, name))
    pd.testing.assert_series_equal(first.counts, second.counts)


@given(sheets(), st.data())
@settings(max_examples=200)
def test_a_corrected_sheet_is_accounted_for_too(drawn, data):
    sheet, text = drawn
    recipe = ImportRecipe.from_text(text)
    rows = []
    for row, column in sorted(zip(*np.nonzero(sheet.kinds != " "), strict=True)):
        decision = data.draw(st.sampled_from(["", "", "", "corrected", "no_value", "not_exam",
                                              "as_written"]))  # fmt: skip
        if decision:
            words = data.draw(st.sampled_from([t for t in TEXTS if t.strip()]))
            rows.append(Correction(
                decision=decision, file=sheet.file, sheet=sheet.name,
                raw=str(sheet.texts[row, column]),
                cell=f"{name_column(int(column) + 1)}{int(row) + 1}", who="S1", why="paper card",
                corrected=words if decision == "corrected" else "",
            ))  # fmt: skip
    got = read(sheet, recipe, Corrections(rows=tuple(rows)))
    check_account(got, sheet)
    check_values(got)
    for decided in rows:
        if decided.decision == "not_exam":
            cell = got.ledger[got.ledger["address"] == f"{sheet.name}!{decided.cell}"]
            assert cell["outcome"].tolist() == ["set_aside"]


@given(st.text() | st.text("[]{}:,-#&*!|>'\"%@`?~ \n0a\\U"))
@settings(max_examples=400)
def test_any_text_is_a_recipe_or_a_fault_with_a_line(text):
    expect_recipe_or_fault(text)


@given(sheets(), st.data())
@settings(max_examples=250)
def test_a_damaged_recipe_is_a_recipe_or_a_fault_with_a_line(drawn, data):
    letters = list(drawn[1])
    for _ in range(data.draw(st.integers(1, 6))):
        place = data.draw(st.integers(0, len(letters) - 1))
        piece = data.draw(st.sampled_from(
            ["", "*a", "&a ", "!x ", "null", "1e999", "9" * 400, "[", "}", "\t", '"', "\\U00110000",
             "\n", ": ", "- ", "<<: ", "\x00", "\ud800", "-1", "true", "{a: b}"]))  # fmt: skip
        end = place + data.draw(st.integers(0, 5))
        letters[place:end] = list(piece) or [" "]
    expect_recipe_or_fault("".join(letters))


def expect_recipe_or_fault(text):
    """Read a text; whatever is wrong with it, a `RecipeError` says in which line."""
    found = None
    try:
        recipe = ImportRecipe.from_text(text)
    except RecipeError as error:
        found = error.found
    if found is not None:
        assert "line " in found
        return
    texts, kinds = build_grid([["No", "Wt"], ["A1", "200"]])
    sheet = Sheet(file="a.csv", name="s", texts=texts, kinds=kinds)
    check_account(read(sheet, recipe), sheet)
    check_account(read(replace(sheet, texts=texts[:0], kinds=kinds[:0]), recipe),
                  replace(sheet, texts=texts[:0], kinds=kinds[:0]))  # fmt: skip
