"""Headings of computed values, counts, details of a ring, other birds, and ages in time."""

import pytest

from bodycond.legacy.headings.headings import CERTAIN, match_heading


@pytest.mark.parametrize(
    "heading",
    ["Daily wing growth", "WeightGain", "mass_gain", "Mass ratio", "wing residuals", "Diff. weight",
     "Condition index", "weight change (g)", "growth rate tarsus", "Gewichtszunahme",
     "Fl\u00fcgelwachstum", "Gewichtsdifferenz", "T\u00e4glich Gewicht", "Taux de croissance",
     "\u00c9cart poids", "R\u00e9sidu masse", "Tasa de crecimiento", "Diferencia peso",
     "Gewichtstoename", "Groei vleugel", "Verschil gewicht"],
)  # fmt: skip
def test_a_computed_value_names_no_raw_measure(heading):
    match = match_heading(heading)
    assert match.field == ""
    assert match.evidence.startswith("it speaks of a computed value (")


@pytest.mark.parametrize("heading", ["Wing", "Ring change", "Date of change", "Indice quilla"])
def test_words_of_computed_values_elsewhere_change_nothing(heading):
    assert not match_heading(heading).theme.startswith("a computed value")


@pytest.mark.parametrize(
    "heading",
    ["NumberHatched", "n_eggs", "N eggs", "No. of chicks", "nb oeufs", "Nombre de poussins",
     "Anzahl Eier", "Aantal jongen", "N\u00famero de huevos", "numfledged", "num ringed", "Chick.n",
     "Observation n", "Wing count", "n_by_pair", "Clutch size", "BroodSize",
     "Gelegegr\u00f6\u00dfe", "Taille de ponte", "Tama\u00f1o de puesta", "Legselgrootte"],
)  # fmt: skip
def test_a_count_is_no_date_scorer_nest_or_measure(heading):
    match = match_heading(heading)
    assert match.field == ""
    assert match.theme.startswith("a count or a number (")


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("Number", "bird_id"), ("N\u00b0", "bird_id"), ("N bague droite", "ring_number"),
        ("Ring number left", "ring_number"), ("N\u00famero de anilla", "ring_number"),
        ("Number of birds", "bird_count"), ("Nombre com\u00fan", "species"),
        ("Exam no.", "exam_id"), ("Nombre anillador", ""), ("Recruit Y or N", ""),
        ("N E", ""),
    ],
)  # fmt: skip
def test_a_number_that_names_something_is_no_count(heading, field):
    match = match_heading(heading)
    assert match.field == field
    assert not match.theme.startswith("a count")


@pytest.mark.parametrize(
    "heading",
    ["Band size", "Ring size", "Ringgr\u00f6\u00dfe", "Taille bague", "Tama\u00f1o anilla",
     "ring_owner"],
)  # fmt: skip
def test_the_make_of_a_ring_is_no_ring_number(heading):
    assert match_heading(heading).field == ""


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("age_nestling", "chick_age_days"), ("Banding age", "chick_age_days"),
        ("Age at ringing", "chick_age_days"), ("Chick's age", "chick_age_days"),
        ("Pull. age", "chick_age_days"), ("Alter Nestling", "chick_age_days"),
        ("Edad pollo", "chick_age_days"), ("\u00c2ge poussin (jours)", "chick_age_days"),
        ("Leeftijd kuiken", "chick_age_days"), ("Age (weeks)", "chick_age_weeks"),
        ("Leeftijd weken", "chick_age_weeks"), ("Alter in Wochen", "chick_age_weeks"),
        ("Age (years)", "age_years"),
    ],
)  # fmt: skip
def test_an_age_in_time_is_no_age_code(heading, field):
    match = match_heading(heading)
    assert (match.field, match.kind) == (field, "number")
    assert match.confidence < CERTAIN


@pytest.mark.parametrize("heading", ["Age", "Age band", "Groupe d'\u00e2ge", "Classe d'\u00e2ge"])
def test_an_age_without_such_a_word_stays_an_age(heading):
    assert match_heading(heading).field == "age_code"


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("femaleband", "ring_number"), ("female_band", "ring_number"), ("male_band", "ring_number"),
        ("MaleWing", "wing_mm"), ("mother ring", "ring_number"), ("dad tarsus", "tarsus_mm"),
    ],
)  # fmt: skip
def test_another_bird_is_named_in_the_evidence(heading, field):
    match = match_heading(heading)
    assert (match.field, match.confidence) == (field, 0.4)
    assert "another bird" in match.evidence


@pytest.mark.parametrize("heading", ["Damage", "Manage", "Female"])
def test_words_that_only_begin_like_a_parent_are_none(heading):
    assert match_heading(heading).field == ""


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("Measurers", "scorer"), ("Measured by", "scorer"), ("Catch ID", "exam_id"),
        ("Catch no.", "exam_id"), ("Capture ID", "exam_id"), ("Population", "site"),
        ("Collection", "collection"), ("Museum", "collection"), ("Subspecies", "subspecies"),
        ("Method.Age.", "ageing_method"), ("Method sex", "sexing_method"),
        ("Collection date", "exam_date"),
    ],
)  # fmt: skip
def test_words_of_the_trade_are_proposed(heading, field):
    match = match_heading(heading)
    assert (match.field, match.confidence < CERTAIN) == (field, True)


@pytest.mark.parametrize(
    "heading", ["method_wing", "time.group", "time_mins", "carcassweight", "Species model"]
)
def test_a_part_method_or_group_of_something_is_not_it(heading):
    assert match_heading(heading).field == ""


def test_a_mean_keeps_its_measure_and_says_that_it_is_computed():
    match = match_heading("Tarsus average")
    assert (match.field, match.confidence) == ("tarsus_mm", 0.5)
    assert "speaks of a computed value ('average')" in match.evidence
