"""Columns of names, numbers and codes: used, or asked about with what was seen."""

import pytest


def drafted(draft_rows, heading, cells):
    rows = [["Wing (mm)", heading], *(["240", cell] for cell in cells)]
    return draft_rows(rows)[heading]


@pytest.mark.parametrize(
    ("heading", "cells", "field"),
    [
        ("Ringnr.", ["DA1001", "DA1002"], "ring_number"),
        ("Sexe", ["M", "F"], "sex"),
        ("Species", ["Buteo buteo", "Tyto alba"], "species"),
        ("Scorer", ["S1", "K2"], "scorer"),
        ("Ort", ["Millford", "Oakham"], "site"),
        ("Moult", ["n", "y"], "in_moult"),
        ("Kropf (0-4)", ["0", "4"], "crop_fill"),
        ("Bemerkung", ["zweite Wiegung"], "remarks"),
        ("Age", ["AHY", "SY"], "age_code"),
    ],
)
def test_used(draft_rows, heading, cells, field):
    rule = drafted(draft_rows, heading, cells)
    assert (rule.fields, rule.ask) == ((field,), None)
    assert rule.confidence >= 0.9


@pytest.mark.parametrize(
    ("heading", "cells", "field", "said"),
    [
        ("Age", ["2", "4"], "age_code", "Name the system (BBL, EURING)"),
        ("Geschl.", ["m", "w"], "sex", "'w' is likely F"),
        ("Sex", ["1", "2"], "sex", "cannot be read"),
        ("Sp.", ["KES", "BUZ"], "species", "Explain them under 'codes:'"),
        ("By", ["S01", "S02"], "scorer", "Is this scorer?"),
        ("Band Number", ["4859", "0", "0"], "ring_number", "Does it stand for none (codes: null)?"),
        (
            "Sex",
            ["M", "F", "x", "X"],
            "sex",
            "Does 'x' (1 cells), 'X' (1 cells) stand for no value",
        ),
        ("Ring", ["12/03/2019", "13/03/2019"], "ring_number", "Its cells are dates."),
        ("Ring", ["red", "blue", "green", "lost", "gone"], "ring_number", "hold a number"),
        ("Bird", ["Buteo buteo", "Tyto alba"], "bird_id", "recur like names of species"),
        ("Crop", ["0", "3"], "crop_fill", "graded from 0, empty, to 4, full?"),
        ("Crop (0-3)", ["0", "3"], "crop_fill", "graded from 0, empty, to 4, full?"),
        ("Moult", ["n", "s"], "in_moult", "Does 's' mean yes or no here?"),
        ("Age", ["AHY", "4", "HY"], "age_code", "1 of 3 cells cannot be read"),
        ("Note", ["3", "4"], "remarks", "Its cells are numbers"),
        ("Blind", ["Y", "N"], "keel_blind", "Is this keel_blind?"),
        ("Location", ["ward 3", "ward 4"], "site", "Is this site?"),
        ("Exam no.", ["E1", "E1"], "exam_id", "It must be unique"),
        ("Observer", [f"{at}.5" for at in range(9)], "scorer", "no names or initials"),
    ],
)
def test_asked_with_the_field_proposed(draft_rows, heading, cells, field, said):
    rule = drafted(draft_rows, heading, cells)
    assert rule.fields == (field,)
    assert said in rule.ask
    assert rule.confidence < 0.9


@pytest.mark.parametrize(
    ("heading", "cells", "field"),
    [
        ("Gatt", ["M", "F", "F"], "sex"),
        ("Foo", ["Buteo buteo", "Tyto alba"], "species"),
        ("Foo", ["AHY", "SY"], "age_code"),
        ("Foo", ["2019-01-02", "2019-01-03"], "exam_date"),
        ("Foo", ["2831-20020", "2831-20021"], "ring_number"),
    ],
)
def test_cells_point_to_a_field_that_the_heading_does_not_name(draft_rows, heading, cells, field):
    rule = drafted(draft_rows, heading, cells)
    assert rule.fields == (field,)
    assert rule.ask.startswith(f"Is this {field}? The heading is not known, but")


@pytest.mark.parametrize(
    ("heading", "cells", "said"),
    [
        ("Cage", ["4", "5"], "What does it hold? It holds '4', '5'."),
        ("Latitude", ["52.1", "52.2"], "May it be set aside? It seems to hold coordinates"),
        ("Zz", ["1", "2", "3"], "It counts the rows from 1 to 3."),
        ("Zz", ["", ""], "What is it for? It is empty."),
        ("Bag weight", ["18", "18"], "speaks of 'bag'"),
    ],
)
def test_what_is_not_known_has_a_question_and_no_field(draft_rows, heading, cells, said):
    rule = drafted(draft_rows, heading, cells)
    assert rule.fields == ()
    assert said in rule.ask


def test_the_questions_that_matter_come_first(draft_rows):
    rows = [["Cage", "Fat", "Wing", "Latitude", "Ring"], ["4", "2", "240", "52.1", "DA1"]]
    assert list(draft_rows(rows).columns) == ["Wing", "Ring", "Fat", "Cage", "Latitude"]


def test_an_unnamed_column_is_kept_where_it_holds_something(draft_rows):
    rows = [["Ring", "Wing (mm)", "", ""], ["DA1", "240", "AHY", ""], ["DA2", "241", "SY", ""]]
    draft = draft_rows(rows)
    assert list(draft.columns) == ["Ring", "Wing (mm)", "(column C)"]
    assert draft["(column C)"].fields == ("age_code",)


def test_every_proposal_says_what_it_went_by(draft_rows):
    rows = [["Ring", "Wing", "Fat", "Cage", "Sex"], ["DA1", "240", "3", "4", "F"]]
    assert all(column.evidence for column in draft_rows(rows).columns.values())


def test_rings_of_another_form_than_nearly_all_are_named(draft_rows):
    rings = [f"0941-{at:05d}" for at in range(40)]
    rule = drafted(draft_rows, "Ring", [*rings, "0941-123"])
    assert "40 of 41 are written like '0941-00000', but 1 not: '0941-123'." in rule.ask
    assert drafted(draft_rows, "Ring", rings).ask is None


@pytest.mark.parametrize(
    ("rows", "name"),
    [
        ([["Egg no.", "Length (mm)", "Weight (g)"], ["1", "45", "51"]], "s"),
        ([["Prey remains 2019"], ["Ring", "Date", "Weight (g)"], ["a", "2019-01-02", "51"]], "s"),
        ([["Ring", "Date", "Weight (g)"], ["a", "2019-01-02", "51"]], "Chicks"),
        ([["Ring", "nestling_age", "Weight (g)"], ["a", "12", "51"]], "s"),
    ],
)
def test_a_table_of_eggs_prey_or_chicks_is_not_taken_for_exams_unasked(draft_rows, rows, name):
    rule = draft_rows(rows, name=name)["Weight (g)"]
    assert rule.fields == ("mass_g",)
    assert "of the bird itself?" in rule.ask
