"""check_exams: every fault at once, no edit, and a reason for each rule that could not run."""

from __future__ import annotations

import datetime

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bodycond.errors import ArgumentError
from bodycond.exams import RULES, ExamCheck, check_exams
from bodycond.exams.faults import FAULT_COLUMNS

TODAY = datetime.date(2024, 12, 31)


def simulate_exams(*, n: int = 40, seed: int = 11) -> pd.DataFrame:
    """Female common buzzards of the invented Tarnmere Raptor Network."""
    rng = np.random.default_rng(seed)
    size = rng.normal(0.0, 0.02, n)
    return pd.DataFrame(
        {
            "exam_id": [f"TRN-{number:03d}" for number in range(n)],
            "bird_id": [f"B{number:03d}" for number in range(n)],
            "species": "Buteo buteo",
            "sex": "F",
            "exam_date": pd.Timestamp("2023-01-01") + pd.to_timedelta(np.arange(n), unit="D"),
            "mass_g": (969.0 * np.exp(3 * size + rng.normal(0, 0.06, n))).round(),
            "wing_mm": (395.0 * np.exp(size)).round(),
            "tarsus_mm": (76.0 * np.exp(size)).round(1),
            "tail_mm": (220.0 * np.exp(size)).round(),
            "keel": rng.choice([2.0, 2.5, 3.0, 3.5], n),
        }
    )


def list_cells(check: ExamCheck) -> list[list[object]]:
    return check.faults[["row", "column", "rule"]].to_numpy().tolist()


def test_sound_exams_pass_and_stay_as_they_were() -> None:
    exams = simulate_exams()
    before = exams.copy(deep=True)
    check = check_exams(exams, today=TODAY)
    assert check.passed
    assert check.faults.empty
    assert list(check.faults.columns) == list(FAULT_COLUMNS)
    assert (check.n_rows, check.n_flagged) == (40, 0)
    pd.testing.assert_frame_equal(exams, before)


def test_every_kind_of_hard_fault_is_found_in_one_call() -> None:
    exams = simulate_exams().astype({"mass_g": object})
    exams.loc[0, "mass_g"] = "about 900"
    exams.loc[1, "exam_id"] = "TRN-000"
    exams.loc[2, "exam_id"] = None
    exams.loc[3, "sex"] = "female"
    exams.loc[4, "keel"] = 2.75
    exams["keel_low"], exams["keel_high"] = exams["keel"], exams["keel"]
    exams.loc[4, ["keel_low", "keel_high"]] = [2.5, 3.0]
    exams.loc[5, ["keel", "keel_low", "keel_high"]] = [3.0, 3.5, 2.5]
    exams["crop_fill"] = "0"
    exams.loc[6, "species"] = "Strix aluco"
    exams.loc[7, "exam_date"] = pd.Timestamp("2091-05-01")
    exams.loc[8, "exam_date"] = pd.Timestamp("1899-12-31")
    exams["crop_fraction"] = 0.5
    exams.loc[9, "crop_fraction"] = 3.0
    exams.loc[10, "wing_mm"] = 39.5
    check = check_exams(exams, today=TODAY)
    must = check.faults[check.faults["severity"] == "must be mended"]
    assert must[["row", "column", "rule"]].to_numpy().tolist() == [
        [0, "mass_g", "not_convertible"],
        [0, "exam_id", "duplicate_exam_id"],
        [1, "exam_id", "duplicate_exam_id"],
        [2, "exam_id", "missing_required"],
        [3, "sex", "unknown_code"],
        [4, "keel", "off_scale"],
        [5, "keel_low", "interval_order"],
        [6, "crop_fill", "crop_for_owl"],
        [7, "exam_date", "date_out_of_range"],
        [8, "exam_date", "date_out_of_range"],
        [9, "crop_fraction", "outside_hard_range"],
        [10, "wing_mm", "outside_hard_range"],
    ]
    assert not check.passed
    by_row = must.set_index("row")
    assert by_row.loc[3, "cure"] == "'female' may mean 'F'"
    assert by_row.loc[10, "cure"].startswith("wing 39.5 mm may be 395 mm (centimetres")
    assert must["value"].iloc[0] == "about 900"


def test_a_tenfold_slip_is_explained_and_not_applied() -> None:
    exams = simulate_exams().set_index(pd.Index(list("abcdefghij") * 4))
    exams.iloc[12, exams.columns.get_loc("mass_g")] = 95.0
    check = check_exams(exams, today=TODAY)
    assert list_cells(check) == [["c", "mass_g", "robust_z"]]
    fault = check.faults.iloc[0]
    assert (fault["exam_id"], fault["bird_id"], fault["value"]) == ("TRN-012", "B012", 95.0)
    assert fault["cure"].startswith("mass 95 g may be 950 g (tenfold too small: z ")
    assert "species table asks outside 437 to 1712" in fault["evidence"]
    assert "tail_mm" in fault["evidence"]
    assert check.passed  # unlikely is not impossible


def test_a_third_measure_says_which_of_two_is_wrong() -> None:
    exams = simulate_exams()
    exams.loc[5, "wing_mm"] = 199.0
    check = check_exams(exams, today=TODAY)
    assert list_cells(check) == [[5, "wing_mm", "robust_z"]]
    assert "mass" not in check.faults["cure"].iloc[0]


def test_a_bird_of_another_species_is_one_finding() -> None:
    hawks = simulate_exams(seed=3).assign(
        species="Accipiter nisus",
        mass_g=lambda table: (table["mass_g"] * 260 / 969).round(),
        wing_mm=lambda table: (table["wing_mm"] * 237 / 395).round(),
        tarsus_mm=lambda table: table["tarsus_mm"] * 61 / 76,
        tail_mm=lambda table: (table["tail_mm"] * 180 / 220).round(),
    )
    hawks["exam_id"] = "N" + hawks["exam_id"]
    hawks["bird_id"] = "N" + hawks["bird_id"]
    exams = pd.concat([simulate_exams(), hawks], ignore_index=True)
    exams.loc[60, "species"] = "Buteo buteo"
    check = check_exams(exams, today=TODAY)
    assert list_cells(check) == [[60, "species", "other_identity"]]
    assert check.faults["cure"].iloc[0].startswith("all measurements fit Accipiter nisus, sex F")


def test_a_whole_column_in_another_unit_is_recognised() -> None:
    exams = simulate_exams()
    exams["tarsus_mm"] /= 10
    exams["mass_g"] /= 1000
    check = check_exams(exams, today=TODAY)
    assert (check.faults["rule"] == "outside_hard_range").all()
    assert len(check.faults) == 80
    tarsus = check.faults[check.faults["column"] == "tarsus_mm"]
    assert tarsus["cure"].str.contains("centimetres written for millimetres").all()
    mass = check.faults[check.faults["column"] == "mass_g"]
    assert mass["cure"].str.contains("kilograms written for grams").all()
    assert sum("the whole column may be in another unit" in note for note in check.notes) == 2


def test_gravid_birds_may_be_heavy_and_nestlings_are_left_alone() -> None:
    exams = pd.DataFrame(
        {
            "species": "Buteo buteo", "sex": "F", "mass_g": [1800.0, 1800.0, 200.0, 200.0],
            "gravid": [True, False, False, None],
            "age_class": ["adult", "adult", "pullus", "juvenile"],
        }
    )  # fmt: skip
    check = check_exams(exams)
    assert list_cells(check) == [[1, "mass_g", "species_limits"], [3, "mass_g", "species_limits"]]
    assert any(note.startswith("1 nestlings") for note in check.notes)


def test_copies_are_found_next_to_each_other_and_within_a_bird_and_day() -> None:
    exams = simulate_exams().drop(columns="exam_id")
    exams.loc[6] = exams.loc[5]
    exams.loc[6, "tarsus_mm"] = np.nan
    exams.loc[20] = exams.loc[9]
    exams.loc[30] = exams.loc[29]
    exams["scorer"] = "S01"
    exams.loc[30, "scorer"] = "S02"  # a second scorer's grade of one exam is no copy
    check = check_exams(exams, today=TODAY)
    assert list_cells(check) == [[6, "mass_g", "duplicate_row"], [20, "mass_g", "duplicate_row"]]
    assert check.faults["evidence"].tolist() == [
        "the same values as the row above",
        "the same values as the row 11 above",
    ]


def test_two_birds_that_share_two_measures_are_no_copies() -> None:
    exams = pd.DataFrame({"species": "Buteo buteo", "mass_g": [900.0, 900.0], "wing_mm": 390.0})
    assert check_exams(exams).faults.empty
    assert len(check_exams(exams.assign(tail_mm=220.0)).faults) == 1


def test_misspelt_species_are_pointed_out_and_strange_ones_noted_once() -> None:
    exams = pd.DataFrame(
        {
            "species": [
                "Buteo butoe", "Astur gentilis", "Common Kestrel", "Gyps fulvus", "Gyps fulvus",
            ],
            "sex": "F",
            "mass_g": [950.0, 1200.0, 210.0, 7800.0, 8000.0],
        }
    )  # fmt: skip
    check = check_exams(exams)
    assert list_cells(check) == [[0, "species", "species_spelling"]]
    assert check.faults["cure"].iloc[0] == "'Buteo butoe' may be 'Buteo buteo'"
    unknown = check.not_run[check.not_run["reason"].str.contains("not in the table of species")]
    assert unknown["about"].tolist() == ["Buteo butoe", "Common kestrel", "Gyps fulvus"]
    assert "it is the English name of Falco tinnunculus" in unknown["reason"].iloc[1]


def test_keel_graded_after_weighing_is_a_note_and_no_fault() -> None:
    exams = simulate_exams().assign(mass_known_when_scored=[True] * 15 + [None] * 25)
    check = check_exams(exams, today=TODAY)
    assert check.faults.empty
    assert check.notes[0].startswith("15 of 40 keel grades were given after the mass was known")
    assert check.notes[1] == "25 of 40 keel grades do not say whether the mass was known"


def test_the_users_own_scores_keep_their_scale() -> None:
    exams = simulate_exams().assign(keel_fat=0.0, keel_fat_low=0.0, keel_fat_high=0.5)
    assert check_exams(exams, today=TODAY).faults.empty
    exams.loc[4, "keel_fat"] = 2.0
    assert list_cells(check_exams(exams, today=TODAY)) == [[4, "keel_fat", "interval_order"]]


def test_text_in_the_users_own_columns_is_named_or_noted() -> None:
    exams = pd.DataFrame(
        {
            "fat": [1.0, 2.0], "fat_low": ["a", "b"], "fat_high": [1.0, 2.0],
            "crop_fraction": ["0.5", "half"],
        }
    )  # fmt: skip
    check = check_exams(exams)
    assert list_cells(check) == [[1, "crop_fraction", "not_convertible"]]
    noted = check.not_run[check.not_run["about"] == "fat"]
    assert noted["reason"].tolist() == ["its columns do not hold numbers"]


def test_today_is_the_last_day_that_counts() -> None:
    exams = pd.DataFrame({"exam_date": ["2024-12-31", "2025-01-01", "1900-01-01"]})
    assert list_cells(check_exams(exams, today=TODAY)) == [[1, "exam_date", "date_out_of_range"]]


class TestDegenerate:
    """Tables that leave little to check are answered with reasons."""

    def test_three_birds(self) -> None:
        check = check_exams(simulate_exams(n=3), today=TODAY)
        assert check.passed
        reasons = check.not_run.set_index(["rule", "about"])["reason"]
        assert reasons["robust_z", "Buteo buteo, sex F"] == (
            "needs 8 values of a measure in one species and sex; "
            + ", ".join(f"{name} has 3" for name in _present_measures(simulate_exams(n=3)))
        )

    def test_no_rows(self) -> None:
        check = check_exams(simulate_exams().head(0))
        assert check.faults.empty
        assert check.not_run.to_numpy().tolist() == [
            ["all", "the table", "it has no rows, so that nothing was checked"]
        ]
        assert check.summary().startswith("0 exams checked")

    def test_no_columns(self) -> None:
        check = check_exams(pd.DataFrame(index=range(3)))
        assert check.faults.empty
        assert set(check.not_run["rule"]) >= {"robust_z", "duplicate_exam_id", "off_scale"}

    def test_all_sizes_equal_and_all_scores_equal(self) -> None:
        exams = simulate_exams().assign(wing_mm=395.0, tarsus_mm=76.0, tail_mm=220.0, keel=3.0)
        exams["mass_g"] = np.linspace(900, 1000, 40).round()
        assert check_exams(exams, today=TODAY).faults.empty

    def test_missing_sex_column(self) -> None:
        check = check_exams(simulate_exams().drop(columns="sex"), today=TODAY)
        assert check.faults.empty
        assert "no column sex: every bird was treated as of unknown sex" in check.notes

    def test_all_missing_columns(self) -> None:
        exams = simulate_exams().assign(mass_g=np.nan, wing_mm=np.nan, species=None)
        check = check_exams(exams, today=TODAY)
        assert check.faults.empty
        assert check.notes[0].startswith("40 of 40 rows name no species")

    def test_text_in_the_mass_column_names_the_rows(self) -> None:
        exams = simulate_exams(n=10)
        exams["mass_g"] = exams["mass_g"].astype(str).replace(exams["mass_g"].astype(str)[4], "fat")
        check = check_exams(exams, today=TODAY)
        assert list_cells(check) == [[4, "mass_g", "not_convertible"]]
        assert check.faults["value"].tolist() == ["fat"]

    def test_duplicate_labels_and_repeated_headings(self) -> None:
        exams = simulate_exams().set_index(pd.Index([1] * 40))
        exams.iloc[[3, 7], exams.columns.get_loc("mass_g")] = [12.0, 10.0]
        check = check_exams(exams, today=TODAY)
        assert check.n_flagged == 2
        assert check.faults["exam_id"].tolist() == ["TRN-003", "TRN-007"]
        doubled = pd.concat([exams, exams[["mass_g"]]], axis=1)
        with pytest.raises(ArgumentError, match="more than one column called 'mass_g'"):
            check_exams(doubled)

    def test_zero_and_negative_mass(self) -> None:
        exams = simulate_exams()
        exams.loc[[2, 3], "mass_g"] = [0.0, -950.0]
        check = check_exams(exams, today=TODAY)
        assert [cell[1:] for cell in list_cells(check)] == [["mass_g", "outside_hard_range"]] * 2
        assert (
            check.faults["cure"]
            .str.startswith(
                ("mass 0 g may stand for 'not taken'", "mass -950 g may stand for a dash")
            )
            .all()
        )

    @pytest.mark.parametrize("thing", [None, np.zeros((2, 2)), {"mass_g": [1]}])
    def test_what_is_no_table_is_refused(self, thing: object) -> None:
        with pytest.raises(
            ArgumentError, match=rf"an object of type {type(thing).__name__}\. Read"
        ):
            check_exams(thing)
        with pytest.raises(ArgumentError, match="species_ranges= needs a pandas DataFrame"):
            check_exams(simulate_exams(), species_ranges=thing if thing is not None else [])

    def test_complex_numbers_are_no_masses(self) -> None:
        check = check_exams(pd.DataFrame({"exam_id": ["a"], "mass_g": [1 + 2j]}), today=TODAY)
        assert list_cells(check) == [[0, "mass_g", "not_convertible"]]


def _present_measures(exams: pd.DataFrame) -> list[str]:
    from bodycond.exams.exam_groups import MEASURES

    return [name for name in MEASURES if name in exams.columns]


def test_result_has_the_three_views() -> None:
    exams = simulate_exams()
    exams.loc[12, "mass_g"] = 95.0
    check = check_exams(exams, today=TODAY)
    frame = check.to_frame()
    frame["rule"] = "spoilt"
    assert check.faults["rule"].tolist() == ["robust_z"]
    assert check.summary().splitlines()[0] == (
        "40 exams checked: 0 faults must be mended, 1 should be looked at; 1 rows in all"
    )
    assert "robust_z: 1 in 1 rows (should be looked at)" in check.summary()
    assert "Rousseeuw" in check.methods()
    assert check.counts.to_numpy().tolist() == [["robust_z", "should be looked at", 1, 1]]
    assert {rule.name for rule in RULES} >= set(check.faults["rule"])


@settings(max_examples=20, deadline=None)
@given(seed=st.integers(0, 500))
def test_faults_follow_their_rows_when_the_order_changes(seed: int) -> None:
    exams = simulate_exams()
    exams.loc[12, "mass_g"] = 95.0
    exams.loc[20, "wing_mm"] = 39.5
    exams.loc[25, "sex"] = "x"
    shuffled = exams.iloc[np.random.default_rng(seed).permutation(40)]
    first, second = check_exams(exams, today=TODAY), check_exams(shuffled, today=TODAY)
    columns = ["row", "column", "rule", "cure"]
    pd.testing.assert_frame_equal(
        first.faults[columns].sort_values(["row", "column"], ignore_index=True),
        second.faults[columns].sort_values(["row", "column"], ignore_index=True),
    )
