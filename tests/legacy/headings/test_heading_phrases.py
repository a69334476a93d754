"""Names of several words, and headings of days that are no exam's."""

import pytest

from bodycond.legacy.headings.heading_words import LIKELY, SURE
from bodycond.legacy.headings.headings import CERTAIN, match_heading
from bodycond.legacy.headings.own_words import OWN_CONCEPTS


def test_no_name_holds_more_than_one_blank_in_a_row():
    listed = [word for table in (SURE, LIKELY) for words in table.values() for word in words]
    listed += [word for concept in OWN_CONCEPTS for word in concept.headings]
    assert [word for word in listed if "  " in word or "\n" in word] == []


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("N\u00b0 entr\u00e9e", "bird_id"),
        ("N\u00ba processo", "bird_id"), ("Inv.-Nr.", "bird_id"), ("Cat. No.", "bird_id"),
        ("Ringer_Init", "scorer"), ("KGW", "mass_g"), ("Age (d)", "chick_age_days"),
        ("Alter (Tage)", "chick_age_days"), ("Data de entrada", "exam_date"),
    ],
)  # fmt: skip
def test_a_name_used_for_other_things_too_is_proposed(heading, field):
    match = match_heading(heading)
    assert (match.field, match.confidence < CERTAIN) == (field, True)


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("N\u00ba expediente", "bird_id"),
        ("Visit date", "exam_date"), ("Controledatum", "exam_date"), ("Locality", "site"),
        ("Max chord", "wing_mm"), ("ClinicalNotes", "remarks"), ("sex.molecular", "sex"),
    ],
)  # fmt: skip
def test_a_name_of_one_meaning_is_certain(heading, field):
    match = match_heading(heading)
    assert (match.field, match.confidence >= CERTAIN) == (field, True)


@pytest.mark.parametrize("heading", ["Date of purchase", "Invoice date", "Date sold", "Ship date"])
def test_days_on_which_no_bird_is_examined_are_other_days(heading):
    assert match_heading(heading).field == "other_date"


@pytest.mark.parametrize("heading", ["Egg no", "Bait weight (g)", "Cage weight (kg)"])
def test_numbers_of_eggs_and_weights_of_things_mean_no_field(heading):
    assert match_heading(heading).field == ""
