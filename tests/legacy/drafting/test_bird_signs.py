"""Tables that speak of no bird are asked about as a whole."""

import pytest

from bodycond.legacy.drafting.bird_signs import NO_BIRDS, NO_EXAMS

FOOD = [
    ["Date", "Item", "Weight (g)", "Supplier"],
    ["13/03/2019", "day-old chicks", 5000, "S1"],
    ["14/03/2019", "quail", 4800, "K2"],
    ["20/03/2019", "day-old chicks", 5100, "S1"],
]
PARCELS = [["Parcel", "Mass (g)"], ["P1", 900], ["P2", 950], ["P3", 990]]
CARS = [["Make", "Weight (kg)", "Length (mm)"], ["Eagle", 1.3, 430], ["Volva", 1.2, 420],
        ["Fordo", 1.1, 410], ["Fordo", 1.1, 415], ["Fordo", 1.2, 415],
        ["Zeda", 1.2, 401]]  # fmt: skip


SEALS = [["Id", "Sex", "Body weight (g)", "Blubber weight (g)"], ["1", "F", 900, 300]]


@pytest.mark.parametrize("rows", [FOOD, PARCELS, CARS, SEALS])
def test_a_weight_of_other_things_is_not_taken(draft_rows, rows):
    draft = draft_rows(rows, file="book.csv")
    assert [rule.ask for rule in draft.rules] == [NO_BIRDS]


@pytest.mark.parametrize(
    ("rows", "name"),
    [
        (PARCELS, "birds 2011"),
        ([["Hawk weights"], [], *PARCELS], "s"),
        ([["No", "Weight (g)", "Wing (mm)"], ["1", 205, 245], ["2", 210, 250]], "s"),
        ([["No", "Weight (g)", "Kind"], ["1", 205, "Barn Owl"], ["2", 210, "Kestrel"]], "s"),
        ([["No", "Weight (g)", "Age"], ["1", 205, "AHY"], ["2", 210, "SY"]], "s"),
        ([["Id", "Body mass (g)"], ["1", 205], ["2", 210]], "s"),
        ([["Species", "Weight (g)"], ["Buteo buteo", 805], ["Strix aluco", 510]], "s"),
    ],
)
def test_one_sign_of_birds_is_enough(draft_rows, rows, name):
    draft = draft_rows(rows, name=name)
    assert all(rule.ask is None for rule in draft.rules)


@pytest.mark.parametrize(
    "rows",
    [
        [["Ring no.", "Date", "Species"], ["DA1001", "2019-05-03", "Strix aluco"]],
        [["Ring no.", "Nest", "Eggs", "Observer"], ["DA1001", "3", "4", "S1"]],
    ],
)
def test_birds_without_anything_measured_or_graded_are_asked_about(draft_rows, rows):
    assert [rule.ask for rule in draft_rows(rows).rules] == [NO_EXAMS]
    for heading, cell in (("Wing (mm)", "240"), ("Keel (1-5)", "3"), ("Fat", "2"), ("Moult", "y")):
        more = [[*rows[0], heading], [*rows[1], cell]]
        assert [rule.ask for rule in draft_rows(more).rules] == [None]


@pytest.mark.parametrize("heading", ["Observer", "Beob.", "Examiner"])
def test_an_observer_without_a_score_is_asked_about(draft_rows, heading):
    rows = [["Ring no.", heading, "Wing (mm)"], ["DA1001", "S1", "240"], ["DA1002", "K2", "241"]]
    draft = draft_rows(rows)
    assert draft[heading].fields == ("scorer",)
    assert "No score stands in this table" in draft[heading].ask
    graded = draft_rows([[*row, last] for row, last in zip(rows, ("KS", "3", "4"), strict=True)])
    assert "No score stands" not in (graded[heading].ask or "")
