"""Captions: n, what bars and bands are, what was left out, all from the result."""

import numpy as np
import pytest

from bodycond.agreement import compare_two_scorers
from bodycond.condition import collect_mass_on_size, fit_mass_by_keel, fit_scaled_mass
from bodycond.figures import (
    describe_agreement_table,
    describe_index_by_keel,
    describe_mass_by_keel,
    describe_mass_on_size,
)

BUZZARD = {"species": "Buteo buteo"}


def rows_of(table, species, sex):
    return table.loc[(table["species"] == species) & (table["sex"] == sex)]


def test_mass_by_keel(linear):
    caption = describe_mass_by_keel(linear, group=BUZZARD).caption
    assert caption.startswith("Body mass by keel score (keel 1 to 5) of Buteo buteo (female, male,")
    for sex, word in (("F", "Female"), ("M", "Male")):
        (row,) = rows_of(linear.groups, "Buteo buteo", sex).to_dict("records")
        assert f"{word}: {row['n_rows']} exams of {row['n_birds']} birds" in caption
    assert "expected (median) mass by least squares of log mass" in caption
    assert "filled band: its 95 % interval; short dashes: 95 % band of the next bird" in caption
    assert "standard errors clustered by bird" in caption
    assert "1 emaciated, 2 thin" in caption
    assert "Left out, female: 1 exam, mass_g missing or not positive." in caption
    assert "Accipiter" not in caption


def test_mass_by_keel_in_the_factor_form(factor):
    caption = describe_mass_by_keel(factor, group={**BUZZARD, "sex": "M"}).caption
    assert "Bars: mean mass at each grade, its 95 % interval (thick)" in caption
    assert "% per grade" not in caption


def test_alternative_text_tells_the_trend(linear):
    text = describe_mass_by_keel(linear, group={**BUZZARD, "sex": "F"}).alt_text
    rows = rows_of(linear.expected, "Buteo buteo", "F")
    first, last = rows.iloc[0], rows.iloc[-1]
    assert f"female: {first['mass_g']:.0f} g at grade 1, {last['mass_g']:.0f} g at 5" in text


def test_a_pool_and_covariates_are_said(exams):
    pooled = fit_mass_by_keel(
        exams, by=("species",), pool="sexes differ little", covariates=["sex"]
    )
    caption = describe_mass_by_keel(pooled, group=BUZZARD).caption
    assert "Pooled, because: sexes differ little." in caption
    assert "Expected masses are at the mean or commonest sex." in caption
    assert "Sexes pooled: " in caption


def test_mass_on_size(on_size):
    described = describe_mass_on_size(on_size, group=BUZZARD)
    (row,) = rows_of(on_size.lines, "Buteo buteo", "F").to_dict("records")
    numbers = f"Female: {row['n']} birds, exponent {row['slope']:.2f}, r = {row['r']:.2f}"
    assert numbers in described.caption
    assert "Sex unknown: 4 birds" in described.caption
    assert "dashed, not usable for an index: few_birds: 4 birds" in described.caption
    later = ~on_size.points.loc[on_size.points["species"] == "Buteo buteo", "in_line"]
    assert f"Pale: {later.sum()} later exams of a bird, not in the line." in described.caption
    assert f"{on_size.n_missing} exams of the whole table lacked mass" in described.caption
    assert "mass rises with size" in described.alt_text


def test_index_by_keel(index):
    described = describe_index_by_keel(index, group=BUZZARD)
    assert "Points: one a bird" in described.caption
    assert "median and quartiles" in described.caption
    for measure in ("scaled mass", "mass"):
        assert f"Female: rank correlation of {measure} with the grade" in described.caption
    (n,) = set(rows_of(index.correlations, "Buteo buteo", "F")["n"])
    assert f"{n} birds" in described.caption
    for row in index.excluded.itertuples():
        assert f"{row.n_rows} exam" in described.caption
        assert row.reason in described.caption
    grades = rows_of(index.grades, "Buteo buteo", "F")
    assert f"Median, female: {grades.iloc[0]['median_g']:.0f} g at grade 1" in described.alt_text


def test_agreement_table(comparison):
    described = describe_agreement_table(comparison)
    assert "n = 11 birds, 11 pairs of grades." in described.caption
    assert f"Quadratic weighted kappa: {comparison.kappa.value:.2f}"[:-1] in described.caption
    assert "(95 % interval " in described.caption
    assert "Exact agreement" in described.caption
    assert "1 row left out, where one of the two gave no grade." in described.caption
    same = int(np.trace(comparison.table.to_numpy()))
    assert described.alt_text == (
        f"Table of 11 pairs of grades by S01 and S02; {same} lie on the diagonal of equal grades."
    )


def test_what_is_empty_is_called_so(unmeasured, exams):
    fit = fit_mass_by_keel(unmeasured)
    assert "Empty. No fit for female: no exam holds both a mass and a grade." in (
        describe_mass_by_keel(fit, group=BUZZARD).caption
    )
    nobody = exams.iloc[:0]
    lines = collect_mass_on_size(fit_scaled_mass(nobody, size="wing_mm"), nobody)
    described = describe_mass_on_size(lines)
    assert "Empty. No exam of the groups asked for" in described.caption
    assert "Nothing could be drawn." in described.alt_text
    apart = compare_two_scorers([np.nan, 2.0], [1.0, np.nan], names=("S01", "S02"))
    assert "Empty. No bird was graded by both S01 and S02." in (
        describe_agreement_table(apart).caption
    )


@pytest.mark.parametrize("kind", ["linear", "factor"])
def test_describing_changes_nothing(request, kind, unchanged):
    fit = request.getfixturevalue(kind)
    with unchanged(fit):
        describe_mass_by_keel(fit, group=BUZZARD)
