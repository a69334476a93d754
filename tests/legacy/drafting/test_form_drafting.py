"""Field forms whose blocks move from sheet to sheet, drafted once."""

import pytest

HEAD = ["Date", "Ringed by", "Ring", "Trap wt (g)", "Keel (1-5)", "Wing (mm)", "Foot (mm)"]
BIRD = ["2019-05-30", "AB", "DA1", "677", "5", "322", ""]


@pytest.fixture
def forms(sheet_of):
    def form(number, n_males, *, crop=False):
        more = ["Crop"] if crop else []
        return sheet_of([
            ["Year", "2019", "Site", f"Millford {number}", "Visit", ""],
            ["Male Age/Sex", *HEAD, *more],
            *[["ASY/M", *BIRD, *(["empty"] if crop else [])] for _ in range(n_males)],
            ["Female Age/Sex", *HEAD, *more],
            ["ASY/F", *BIRD[:3], "1021", *BIRD[4:]],
            ["", "2019-06-13", "", "DA9", "", "", ""],
            ["Egg stage", "Date", "Egg 1", "Egg 2"],
            ["Laid", "", "2019-06-07", "2019-06-09"],
            ["Weight 1", "", "41", "42"],
        ], name=f"Site {number}")  # fmt: skip

    return [form(1, 1), form(2, 2, crop=True), form(3, 3), form(4, 1), form(5, 0)]


def test_one_set_of_entries_for_all_sheets(draft_sheets, forms):
    rules = draft_sheets(*forms).rules
    assert [(rule.sheet, rule.table) for rule in rules] == [
        ("*", "labels"), ("*", "exams"), ("*", "set_aside"),
    ]  # fmt: skip
    block = rules[1]
    assert block.starts_at == ("Male Age/Sex", "Female Age/Sex")
    assert block.ends_before == ("Egg stage",)
    assert block.heading_rows == (1,)


def test_the_columns_of_the_blocks(draft_sheets, forms):
    draft = draft_sheets(*forms)
    rule = draft["Male Age/Sex"]
    assert (rule.split, rule.system) == (("{age_code}/{sex}",), "BBL")
    assert rule.also == ("Female Age/Sex",)
    assert draft["Keel (1-5)"].scale == "keel 1 to 5"
    assert draft["Trap wt (g)"].unit == "g"
    assert all(draft.is_sure(name) for name in ("Trap wt (g)", "Keel (1-5)", "Wing (mm)", "Crop"))
    assert draft["Foot (mm)"].fields == ("foot_mm",)
    assert draft["Foot (mm)"].ask


def test_rows_without_a_measure_are_asked_about(draft_sheets, forms):
    block = draft_sheets(*forms).rules[1]
    assert set(block.needs) == {"mass_g", "keel", "wing_mm"}
    assert "5 of 17 rows hold no mass, score or size" in block.ask


def test_labels_of_the_sheet_go_with_every_record(draft_sheets, forms):
    draft = draft_sheets(*forms)
    assert draft["Site"].fields == ("site",)
    assert draft["Year"].ask
    assert draft["Visit"].ask


def test_the_rest_is_set_aside_when_asked(draft_sheets, forms):
    rest = draft_sheets(*forms).rules[2]
    assert "'Egg stage'" in rest.ask
    assert rest.why


def test_other_sheets_of_the_workbook_keep_their_own_entry(draft_sheets, forms, sheet_of):
    notes = sheet_of([["Notes"], ["net 4 was torn"]], name="Notes")
    rules = draft_sheets(*forms, notes).rules
    assert rules[0].sheet == "Notes"
    assert [rule.sheet for rule in rules[1:]] == ["Site ?"] * 3


def test_a_table_at_one_place_is_no_form(draft_sheets, sheet_of):
    sheets = [
        sheet_of([["Ring", *HEAD], ["x", *BIRD]], name=str(year)) for year in range(2015, 2019)
    ]
    (rule,) = draft_sheets(*sheets).rules
    assert (rule.sheet, rule.starts_at, rule.heading_rows) == ("201?", (), (1,))
