"""Forms of labels and values."""

import pytest


def test_values_beside_their_labels(draft_sheets, sheet_of):
    def form(number, date, name):
        return sheet_of([
            ["Patient record"], ["Bird no.:", number, "Species:", "Buteo buteo"],
            ["Weight:", "950 g", "Wing:", "38 cm"], ["Date:", date], ["Cage:", "4"],
        ], name=name)  # fmt: skip

    draft = draft_sheets(form("12", "14/03/2019", "a"), form("13", "04/03/2019", "b"))
    (rule,) = draft.rules
    assert (rule.sheet, rule.heading_rows, rule.columns) == ("*", (), ())
    assert draft.fields() == {
        "Bird no.:": "bird_id", "Species:": "species", "Weight:": "mass_g", "Wing:": "wing_mm",
        "Date:": "exam_date", "Cage:": "?",
    }  # fmt: skip
    assert draft["Date:"].date_order == "dmy"
    assert {column.where for column in rule.labels} == {"right"}


def test_values_in_the_cells_of_their_labels(draft_rows):
    draft = draft_rows([
        ["Bird no.: 12"], ["Weight: 950 g"], ["Keel (1-5): 3"], ["Date: 2019-03-04"],
    ])  # fmt: skip
    assert draft.fields() == {
        "Bird no.:": "bird_id", "Weight:": "mass_g", "Keel (1-5):": "keel", "Date:": "exam_date",
    }  # fmt: skip
    assert {column.where for column in draft.columns.values()} == {"same"}


def test_labels_without_colons_down_a_page(draft_rows):
    draft = draft_rows([
        ["Ring", "DA1"], ["Species", "Tyto alba"], ["Wing (mm)", "290"], ["Weight", "310"],
    ])  # fmt: skip
    assert draft.fields()["Ring"] == "ring_number"
    assert draft.is_sure("Wing (mm)")
    assert "In which unit" in draft["Weight"].ask


def test_a_table_is_no_form(draft_rows):
    draft = draft_rows([["Ring", "Sex", "Wing (mm)"], ["a1", "F", "240"], ["a2", "M", "238"]])
    assert draft.rules[0].heading_rows == (1,)
    assert draft.rules[0].labels == ()


def test_a_label_that_stands_below(draft_rows):
    draft = draft_rows([
        ["Ring:", "", "Sex:"], ["DA1", "", "F"], ["Weight:", "", "Wing:"], ["310 g", "", "29 cm"],
        ["Species:", "", ""], ["Tyto alba", "", ""],
    ])  # fmt: skip
    assert draft["Weight:"].where == "below"
    assert draft.is_sure("Weight:")


def test_a_turned_table_is_asked_about(draft_rows):
    draft = draft_rows([
        ["Ring", "DA1", "DA2"], ["Species", "Tyto alba", "Tyto alba"], ["Wing (mm)", "290", "291"],
        ["Weight (g)", "310", "305"], ["Sex", "F", "M"],
    ])  # fmt: skip
    assert draft.rules[0].ask.startswith("The headings seem to stand below each other")
    assert not draft.columns


@pytest.mark.parametrize(
    "above",
    [
        [["Site:", "Millford"], ["Observer:", "S1"], ["Net:", "4"]],
        [["Site: Millford", "Observer: S1"], ["Net: 4"]],
    ],
)
def test_labels_above_a_table_go_with_its_rows(draft_rows, above):
    table = [["Ring", "Weight (g)", "Wing (mm)"], ["a1", "186", "240"], ["a2", "190", "241"]]
    draft = draft_rows([["Ringing day"], *above, [], *table])
    labels, rows = draft.rules
    assert labels.table == "labels"
    assert {" ".join(label.fields) for label in labels.labels} >= {"site", "scorer"}
    assert rows.heading_rows == (len(above) + 3,)
    assert draft.is_sure("Weight (g)")


def test_a_title_above_a_table_is_no_label(draft_rows):
    rows = [["Weights without wrap. Wing: flattened"], ["Ring", "Wt (g)"], ["a1", "186"]]
    assert [rule.table for rule in draft_rows(rows).rules] == ["exams"]
