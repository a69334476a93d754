"""Which exams enter the condition models; every one left out is counted, none is changed."""

import numpy as np
import pandas as pd
import pytest

from bodycond.study.choosing_exams import choose_exams


@pytest.fixture
def exams():
    """Six exams, of which one is sound in every respect: that of row r0."""
    return pd.DataFrame(
        {
            "mass_g": [900.0, 910.0, 920.0, 930.0, 940.0, 950.0],
            "keel": [3.0, 3.0, 2.0, 4.0, 4.0, 5.0],
            "wing_mm": [390.0, 391.0, 392.0, np.nan, 394.0, 395.0],
            "tarsus_mm": [76.0, 76.5, 77.0, 77.5, 78.0, 78.5],
            "age_class": ["adult", "pullus", "adult", "adult", None, "adult"],
            "gravid": pd.array([False, False, True, None, False, False], dtype="boolean"),
            "in_moult": pd.array([False, True, True, True, True, None], dtype="boolean"),
            "crop_fill": ["0", "0", "0", "1", "2", None],
        },
        index=[f"r{row}" for row in range(6)],
    )


def faults_of(*found):
    return pd.DataFrame(found, columns=["row", "column", "rule"])


def counts(chosen):
    return {(row.reason, row.column): row.n_exams for row in chosen.left_out.itertuples()}


def test_nestlings_and_gravid_birds_do_not_enter(exams):
    chosen = choose_exams(exams, faults_of(), score="keel")
    assert list(chosen.exams.index) == ["r0", "r3", "r4", "r5"]
    assert counts(chosen) == {
        ("nestling: still growing", ""): 1,
        ("gravid female: the egg is not condition", ""): 1,
        # Row r3 was in moult too, and had no wing to lose.
        ("measured in moult", "wing_mm"): 1,
    }


def test_moult_empties_feathers_and_leaves_bones(exams):
    chosen = choose_exams(exams, faults_of(), score="keel").exams
    assert np.isnan(chosen.loc["r4", "wing_mm"])
    assert chosen.loc["r4", "tarsus_mm"] == 78.0
    assert chosen.loc["r5", "wing_mm"] == 395.0


def test_a_flagged_value_is_emptied_and_the_exam_stays(exams):
    chosen = choose_exams(exams, faults_of(("r0", "mass_g", "robust_z")), score="keel")
    assert np.isnan(chosen.exams.loc["r0", "mass_g"])
    assert chosen.exams.loc["r0", "keel"] == 3.0
    assert counts(chosen)["flagged by the check", "mass_g"] == 1


def test_a_value_flagged_twice_counts_once(exams):
    faults = faults_of(("r0", "mass_g", "robust_z"), ("r0", "mass_g", "species_limits"))
    assert counts(choose_exams(exams, faults, score="keel"))["flagged by the check", "mass_g"] == 1


@pytest.mark.parametrize(
    ("rule", "column", "reason"),
    [
        ("other_identity", "species", "flagged: the measures fit another species or sex"),
        ("duplicate_row", "mass_g", "flagged: a copy of another row"),
    ],
)
def test_faults_of_a_whole_exam_leave_it_out(exams, rule, column, reason):
    chosen = choose_exams(exams, faults_of(("r5", column, rule)), score="keel")
    assert "r5" not in chosen.exams.index
    assert counts(chosen)[reason, ""] == 1
    assert ("flagged by the check", "mass_g") not in counts(chosen)


def test_a_fault_of_another_column_changes_nothing(exams):
    plain = choose_exams(exams, faults_of(), score="keel")
    other = choose_exams(exams, faults_of(("r0", "exam_id", "duplicate_exam_id")), score="keel")
    pd.testing.assert_frame_equal(plain.exams, other.exams)


def test_flagged_values_can_be_kept(exams):
    faults = faults_of(("r0", "mass_g", "robust_z"), ("r5", "species", "other_identity"))
    kept = choose_exams(exams, faults, score="keel", keep_flagged=True)
    pd.testing.assert_frame_equal(kept.exams, choose_exams(exams, faults_of(), score="keel").exams)
    assert not any(reason.startswith("flagged") for reason, _ in counts(kept))


def test_crops_half_full_or_more_can_be_left_out(exams):
    chosen = choose_exams(exams, faults_of(), score="keel", without_full_crops=True)
    # A quarter full stays, and so does a bird whose crop nobody noted.
    assert list(chosen.exams.index) == ["r0", "r3", "r5"]
    assert counts(chosen)["crop half full or three quarters full or full", ""] == 1


def test_every_exam_enters_or_is_counted(exams):
    faults = faults_of(("r5", "species", "other_identity"), ("r0", "keel", "off_scale"))
    chosen = choose_exams(exams, faults, score="keel", without_full_crops=True)
    whole = chosen.left_out.loc[chosen.left_out["column"] == "", "n_exams"].sum()
    assert whole + len(chosen.exams) == len(exams)


def test_the_exams_stay_as_they_were(exams):
    before = exams.copy(deep=True)
    choose_exams(exams, faults_of(("r0", "mass_g", "robust_z")), score="keel")
    pd.testing.assert_frame_equal(exams, before)


def test_a_flagged_grade_takes_its_interval_with_it(exams):
    """Else the exam would be counted as one of which only the interval is known."""
    graded = exams.assign(keel_low=exams["keel"], keel_high=exams["keel"])
    chosen = choose_exams(graded, faults_of(("r0", "keel", "off_scale")), score="keel").exams
    assert chosen.loc["r0", ["keel", "keel_low", "keel_high"]].isna().all()
    assert chosen.loc["r3", ["keel", "keel_low", "keel_high"]].tolist() == [4.0, 4.0, 4.0]
    assert graded.loc["r0", "keel_low"] == 3.0
