"""Headings read: fields, units, scales and orders of dates, in many languages, with their traps."""

import pytest

from bodycond.legacy.headings.heading_units import fold_heading, read_unit
from bodycond.legacy.headings.headings import match_heading


@pytest.mark.parametrize(
    ("heading", "field", "unit"),
    [
        ("Weight", "mass_g", None),
        ("Body_mass.g.", "mass_g", "g"),
        ("Body Mass (g)", "mass_g", "g"),
        ("BodyMass", "mass_g", None),
        ("Wt(gm)", "mass_g", "g"),
        ("Gewicht (g)", "mass_g", "g"),
        ("Poids", "mass_g", None),
        ("Peso", "mass_g", None),
        ("wingLength", "wing_mm", None),
        ("Flügellänge", "wing_mm", None),
        ("Aile", "wing_mm", None),
        ("Vleugel", "wing_mm", None),
        ("Wing chord [mm]", "wing_mm", "mm"),
        ("Tars (mm)", "tarsus_mm", "mm"),
        ("Brustbein (1-5)", "keel", None),
        ("Bréchet", "keel", None),
        ("Keel score", "keel", None),
        ("Band_Number", "ring_number", None),
        ("Ringnr.", "ring_number", None),
        ("Case no.", "bird_id", None),
        ("Fecha", "exam_date", None),
        ("Geschl.", "sex", None),
        ("M/F", "sex", None),
        ("Âge", "age_code", None),
        ("Espèce", "species", None),
        ("Kropf", "crop_fill", None),
    ],
)
def test_headings_of_five_languages_are_sure(heading, field, unit):
    match = match_heading(heading)
    assert (match.field, match.unit) == (field, unit)
    assert match.confidence >= 0.9


@pytest.mark.parametrize(
    "heading",
    ["BCS", "Cond.", "By", "ID", "Bill", "Keel old chart", "W (g)", "Fl", "Loop", "Data", "Obs",
     "Bander", "Individual", "Wt 2", "Score", "Dat.", "Island", "bw", "Vogel", "Capture no."],
)  # fmt: skip
def test_headings_with_other_meanings_are_not_sure(heading):
    match = match_heading(heading)
    assert match.field
    assert match.confidence < 0.9


def test_fat_is_no_keel_score():
    fat = match_heading("KeelFat")
    assert (fat.field, fat.kind, fat.is_score) == ("keel_fat", "number", True)
    assert fat.confidence < 0.9
    assert match_heading("Cage").evidence == "heading not known"


def test_scale_limits_are_read():
    assert match_heading("Keel (1-5)").scale_limits == (1, 5)
    assert match_heading("Crop (0-4)").scale_limits == (0, 4)
    assert match_heading("Keel").scale_limits is None


def test_a_unit_that_does_not_fit_makes_unsure():
    match = match_heading("Wing (g)")
    assert match.confidence == 0.5
    assert "does not fit" in match.evidence


def test_units():
    assert [read_unit(text) for text in ["g", "(mm)", "lb/oz", "inches", "1-5"]] == [
        "g", "mm", "lb.oz", "in", None,
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("Trap wt   (g)", "mass_g"),
        ("rt_wing_length", "wing_mm"),
        ("Fl\u00fcgel rechts", "wing_mm"),
        ("Fluegel", "wing_mm"),
        ("Longueur d'aile", "wing_mm"),
        ("Longitud del ala (mm)", "wing_mm"),
        ("ala dx", "wing_mm"),
        ("Vinge", "wing_mm"),
        ("Asa", "wing_mm"),
        ("Wing R", "wing_mm"),
        ("K\u00f6rpermasse [g]", "mass_g"),
        ("Fanggewicht", "mass_g"),
        ("Gewicht in g", "mass_g"),
        ("Peso (gr)", "mass_g"),
        ("Vikt", "mass_g"),
        ("Pds", "mass_g"),
        ("Long. tarse", "tarsus_mm"),
        ("Tarsusl\u00e4nge", "tarsus_mm"),
        ("Bague n\u00b0", "ring_number"),
        ("N\u00ba anilla", "ring_number"),
        ("Anello", "ring_number"),
        ("Ringnummer", "ring_number"),
        ("K\u00f6n", "sex"),
        ("Sesso", "sex"),
        ("Leeftijd", "age_code"),
        ("Et\u00e0", "age_code"),
        ("Soort", "species"),
        ("Nombre cient\u00edfico", "species"),
        ("Fangdatum", "exam_date"),
        ("Fecha de captura", "exam_date"),
        ("Vangplaats", "site"),
        ("Hallux claw (mm)", "hallux_mm"),
        ("Schwanzl\u00e4nge", "tail_mm"),
        ("Borstbeen", "keel"),
        ("Opm.", "remarks"),
    ],
)
def test_further_languages_and_words_beside_are_sure(heading, field):
    match = match_heading(heading)
    assert match.field == field
    assert match.confidence >= 0.9


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("Length", "total_length_mm"),
        ("Head", "head_mm"),
        ("totalHead", "head_mm"),
        ("Kopf-Schnabel", "head_mm"),
        ("gape", "gape_mm"),
        ("bill depth", "bill_depth_mm"),
        ("Foot (mm)", "foot_mm"),
        ("Axillary (mm)", "axillary_mm"),
        ("DiagTarsus", "diagonal_tarsus_mm"),
        ("Tarsus width", "tarsus_width_mm"),
        ("NareTip", "nares_to_tip_mm"),
        ("StandardTail", "standard_tail_mm"),
        ("P8", "primary_mm"),
        ("Teilfeder", "primary_mm"),
        ("Fat_Score", "fat"),
        ("Graisse", "fat"),
        ("Vet", "fat"),
        ("PecScore", "pectoral_muscle"),
        ("Brustmuskel (0-3)", "pectoral_muscle"),
        ("PecSizeBest", "pectoral_size"),
        ("hatch_date", "hatch_date"),
        ("nestling_age", "chick_age_days"),
        ("Color bands", "colour_ring"),
        ("Keel length (mm)", "keel_length_mm"),
    ],
)
def test_other_measures_are_fields_of_their_own_and_never_sure(heading, field):
    match = match_heading(heading)
    assert (match.field, match.kind is not None) == (field, True)
    assert match.confidence <= 0.6


@pytest.mark.parametrize(
    "heading",
    ["Egg wt (g)", "Bag weight", "Weight loss", "Crop mass", "Prey weight (g)", "Peso con bolsa",
     "r1 Length", "Wing wear", "Ring colour code", "Tail moult", "Egg date mass", "mass residual"],
)  # fmt: skip
def test_a_known_word_about_another_thing_means_nothing_sure(heading):
    match = match_heading(heading)
    assert match.confidence < 0.9
    assert match.field in {"", "colour_ring", "moult_text"}


@pytest.mark.parametrize(
    ("heading", "field"),
    [("female_band", "ring_number"), ("Chick weight (g)", "mass_g"), ("nestling mass", "mass_g")],
)
def test_a_measure_of_another_bird_is_hardly_likely(heading, field):
    match = match_heading(heading)
    assert match.field == field
    assert match.confidence <= 0.5


@pytest.mark.parametrize(
    ("heading", "theme"),
    [
        ("Latitude", "coordinates"),
        ("Julian", "a day of the year without its year"),
        ("weightUnit", "the unit of a neighbouring column"),
        ("Season code", "a season or project"),
        ("Blood (ml)", "a laboratory or sample value"),
        ("Ann\u00e9e", "a year without its day"),
    ],
)
def test_what_is_no_part_of_an_exam_is_named(heading, theme):
    match = match_heading(heading)
    assert (match.field, match.theme) == ("", theme)


@pytest.mark.parametrize(
    ("heading", "order"),
    [
        ("Date (mm/dd/yyyy)", "mdy"),
        ("Datum (TT.MM.JJJJ)", "dmy"),
        ("Date (jj/mm/aaaa)", "dmy"),
        ("Datum (jjjj-mm-dd)", "ymd"),
        ("Fecha dd-mm-aa", "dmy"),
        ("Date", None),
    ],
)
def test_the_order_of_a_date_is_read_from_its_heading(heading, order):
    match = match_heading(heading)
    assert (match.field, match.date_order, match.unit) == ("exam_date", order, None)


def test_two_measures_under_one_heading_are_told_apart():
    first, second = match_heading("Tarsus (mm)   L   W"), match_heading("Tarsus (mm) L W.2")
    assert (first.field, first.unit) == ("tarsus_mm", "mm")
    assert "this one L" in first.evidence
    assert (second.field, second.kind) == ("tarsus_width_mm", "number")
    assert max(first.confidence, second.confidence) < 0.9


def test_garbled_headings_are_read_as_meant():
    assert match_heading("Fl\u00c3\u00bcgel").field == "wing_mm"


def test_an_inch_is_not_taken_for_a_word():
    assert match_heading("Wing (in)").unit == "in"
    assert match_heading("Date in").field == "exam_date"
    assert match_heading("Date in").unit is None


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("1. Ring no.", "ring_number"),
        ("3. Weight (g)*", "mass_g"),
        ("4) Wing (mm) \u00b11", "wing_mm"),
    ],
)
def test_numbering_and_tolerance_are_left_out(heading, field):
    match = match_heading(heading)
    assert match.field == field
    assert match.confidence >= 0.9


def test_a_measure_of_one_of_several_birds_is_the_measure():
    assert match_heading("Bird A wt (g)").field == "mass_g"
    assert match_heading("Bird A keel").field == "keel"


def test_folding():
    assert fold_heading("Tail_length.mm.") == "tail length mm"


def test_what_stands_in_brackets_is_said_and_makes_unsure():
    match = match_heading("Keel (1=fat, 5=thin)")
    assert match.field == "keel"
    assert match.confidence < 0.9
    assert "in brackets stands '1=fat, 5=thin'" in match.evidence
