"""Parts of a ring number and of a mass in columns of their own."""

import pytest


@pytest.mark.parametrize(
    ("prefix", "suffix"),
    [("Pr\u00e9fixe", "Suffixe"), ("band prefix", "band #"), ("Prefijo", "Sufijo")],
)
def test_a_ring_number_in_two_columns(draft_rows, prefix, suffix):
    rows = [["0941", "17121"], ["0941", "1712"], ["0941", "17123"]]
    draft = draft_rows([[prefix, suffix, "Wt (g)"], *([*row, "186"] for row in rows)])
    assert (draft[prefix].part, draft[suffix].part) == ("prefix", "suffix")
    assert draft[suffix].digits == 5
    assert draft.is_sure(prefix)
    assert draft.is_sure(suffix)
    assert "3 or 4 digits before 5; 1 numbers have fewer and are held" in draft[suffix].evidence


@pytest.mark.parametrize(
    "rows",
    [
        [["A", "17121"], ["A", "1712"], ["B", "17123"]],
        [["0941", "171210"], ["0941", "17121"], ["0941", "171232"]],
        [["0941", "K1"], ["0941", "17121"], ["0941", "17123"]],
    ],
)
def test_parts_of_other_numberings_are_asked_about(draft_rows, rows):
    draft = draft_rows([["Prefix", "Suffix", "Wt (g)"], *([*row, "186"] for row in rows)])
    assert (draft["Prefix"].part, draft["Suffix"].part) == ("prefix", "suffix")
    assert "A part alone names no bird." in draft["Prefix"].ask
    assert draft["Suffix"].ask


def test_suffixes_that_may_have_lost_a_zero_are_counted(draft_rows):
    rows = [["AB", "17121"], ["AB", "1712"], ["AB", "17123"]]
    draft = draft_rows([["Prefix", "Suffix", "Wt (g)"], *([*row, "186"] for row in rows)])
    assert "1 have fewer and may have lost a zero in front" in draft["Suffix"].ask


def test_a_whole_ring_number_is_no_part(draft_rows):
    draft = draft_rows([["band #", "Sex"], ["0941-17121", "F"]])
    assert draft.is_sure("band #")
    assert draft["band #"].part is None


def test_pounds_and_ounces(draft_rows):
    draft = draft_rows([["Case no.", "lb", "oz"], ["K-1", "2", "5"], ["K-2", "1", "14.5"]])
    assert (draft["lb"].part, draft["oz"].part) == ("pounds", "ounces")
    assert draft.is_sure("lb")


def test_the_same_mass_in_two_units_is_asked_about(draft_rows):
    rows = [["K-1", "2.3", "36.8"], ["K-2", "1.9", "30.4"]]
    draft = draft_rows([["Case no.", "Weight (lb)", "Weight (oz)"], *rows])
    assert "or the same mass in two units?" in draft["Weight (lb)"].ask


@pytest.mark.parametrize(
    ("gross", "bag"),
    [("Gross wt (g)", "Bag (g)"), ("Brutto", "Beutel"), ("Poids brut", "Tare"),
     ("Peso bruto", "Bolsa"), ("Weight (g)", "Bag weight (g)")],
)  # fmt: skip
def test_gross_and_bag(draft_rows, gross, bag):
    draft = draft_rows([["Ring", gross, bag], ["a1", "236", "50"], ["a2", "240", "50"]])
    assert (draft[gross].part, draft[bag].part) == ("gross", "tare")
    assert draft[gross].ask
    assert draft[bag].ask


def test_a_net_mass_beside_gross_and_bag(draft_rows):
    draft = draft_rows([["Ring", "Gross", "Bag", "Net"], ["a1", "236", "50", "186"]])
    assert draft["Net"].fields == ("mass_g",)
    assert "Is this the mass without its bag" in draft["Net"].ask
    assert "May it be set aside? 'Net'" in draft["Gross"].ask


def test_a_mass_with_its_bag_is_gross(draft_rows):
    draft = draft_rows([["Ring", "Wt with bag (g)", "Bag (g)"], ["a1", "236", "50"]])
    assert (draft["Wt with bag (g)"].part, draft["Bag (g)"].part) == ("gross", "tare")


def test_a_bag_alone_is_no_part_of_anything(draft_rows):
    draft = draft_rows([["Ring", "Wing (mm)", "Bag (g)"], ["a1", "240", "50"]])
    assert draft["Bag (g)"].fields == ()
    assert draft["Bag (g)"].ask


MASSES = [["a1", "236", "50", "186"], ["a2", "240", "48", "192"], ["a3", "231", "50", "181"]]


@pytest.mark.parametrize(
    ("gross", "bag", "net"),
    [("uncorr_mass", "mass_tare", "mass_corr"), ("Mass uncorrected", "Tare", "Mass corrected"),
     ("Brutto", "Beutel", "Netto"), ("Poids brut", "Sac", "Poids net"),
     ("Peso bruto", "Bolsa", "Peso neto"), ("Brutogewicht", "Zak", "Gewicht netto")],
)  # fmt: skip
def test_gross_bag_and_net_are_no_weighings_of_their_own(draft_rows, gross, bag, net):
    draft = draft_rows([["Ring", gross, bag, net], *MASSES])
    assert draft[net].fields == ("mass_g",)
    assert "Is this the mass without its bag" in draft[net].ask
    for heading in (gross, bag):
        assert draft[heading].fields == ()
        assert f"{net!r} seems to be the mass without its bag" in draft[heading].ask
    for heading in (gross, bag, net):
        said = f"{gross!r} less {bag!r} gives {net!r} in 3 of 3 rows looked at."
        assert said in draft[heading].ask
        assert "weighing of its own" not in draft[heading].ask


def test_two_masses_beside_a_bag_are_told_apart_by_their_numbers(draft_rows):
    draft = draft_rows([["Ring", "Mass A", "Bag (g)", "Mass B"], *MASSES])
    assert draft["Mass B"].fields == ("mass_g",)
    assert "May it be set aside? 'Mass B'" in draft["Mass A"].ask


def test_rows_that_do_not_add_up_are_counted(draft_rows):
    rows = [*MASSES, ["a4", "250", "50", "150"]]
    draft = draft_rows([["Ring", "Gross", "Bag", "Net"], *rows])
    assert "in 3 of 4 rows looked at" in draft["Net"].ask


def test_masses_that_no_bag_parts_stay_rivals(draft_rows):
    rows = [["a1", "236", "50", "235"], ["a2", "240", "48", "238"], ["a3", "231", "50", "233"]]
    draft = draft_rows([["Ring", "Weight (g)", "Bag (g)", "Mass (g)"], *rows])
    assert "More than one column looks like mass_g" in draft["Weight (g)"].ask
    assert "More than one column looks like mass_g" in draft["Mass (g)"].ask
