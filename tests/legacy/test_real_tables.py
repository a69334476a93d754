"""Real tables of open research, imported by committed recipes: nothing lost, oddities held.

The tables are not part of the project. They are looked for in a folder beside it and the tests are
skipped where that is absent. Each recipe names headings and codes; row numbers are the files' own.
What is expected of each file was counted in it by hand or stands in the list that lies beside them.
"""

from functools import cache
from pathlib import Path

import pandas as pd
import pytest

from bodycond.exams import check_exams
from bodycond.legacy import ImportRecipe, import_legacy

TABLES = Path(__file__).parents[2].parent / "shared" / "legacy"
RECIPES = Path(__file__).parent / "recipes"

pytestmark = pytest.mark.skipif(not TABLES.is_dir(), reason=f"no folder of real tables at {TABLES}")

FILES = {
    "falcon_forms": ("falcon_forms_2013.xlsx",),
    "finch_banding": ("finch_banding_fr.xlsx",),
    "hummingbird_banded": tuple(f"hummingbird_banded_{year}.csv" for year in range(2003, 2007)),
    "island_songbirds": ("island_songbirds.csv",),
    "penguin_fledging": (
        "penguin_fledging_1992_2020.csv", "penguin_fledging_2022.csv", "penguin_fledging_2023.xlsx",
    ),
    "shorebird_captures": ("shorebird_captures.csv",),
    "sparrow_banding": ("sparrow_banding.csv",),
    "swallow_nestlings": ("swallow_nestlings.csv",),
    "tits": ("tits_leuco_adults.csv", "tits_nestlings.csv"),
}  # fmt: skip


@cache
def read(name):
    recipe = ImportRecipe.load(RECIPES / f"{name}.yaml")
    return import_legacy([TABLES / file for file in FILES[name]], recipe)


@pytest.mark.parametrize("name", FILES)
def test_every_cell_and_row_is_accounted_for(name):
    counts = read(name).reconciliation
    outcomes = counts[["accepted", "converted", "quarantined", "set_aside"]].sum(axis=1)
    assert (outcomes == counts["raw_cells"]).all()
    out = counts[["exams_out", "ratings_out", "rows_held", "rows_not_exams"]].sum(axis=1)
    assert (out == counts["rows_in"] + counts["rows_spread"]).all()
    ledger = read(name).ledger
    assert len(ledger) == counts["raw_cells"].sum()
    assert (ledger["reason"].ne("") | ledger["outcome"].eq("accepted")).all()


@pytest.mark.parametrize(
    ("name", "exams"),
    [
        ("falcon_forms", 25), ("finch_banding", 21227), ("hummingbird_banded", 3429),
        ("island_songbirds", 197), ("penguin_fledging", 6536 + 101), ("shorebird_captures", 182),
        ("sparrow_banding", 352), ("tits", 296 + 90),
    ],
)  # fmt: skip
def test_every_row_becomes_an_exam(name, exams):
    assert len(read(name).exams) == exams


def test_falcon_forms_give_exactly_the_expected_records():
    imported = read("falcon_forms")
    expected = pd.read_csv(TABLES / "falcon_forms_2013_expected.csv")
    exams = imported.exams
    assert exams["source_sheet"].tolist() == expected["sheet"].tolist() or sorted(
        zip(exams["source_sheet"], exams["source_row"], strict=True)
    ) == sorted(zip(expected["sheet"], expected["row"], strict=True))
    joined = expected.merge(
        exams, left_on=["sheet", "row"], right_on=["source_sheet", "source_row"],
        suffixes=("_expected", ""), validate="one_to_one",
    )  # fmt: skip
    assert len(joined) == len(expected) == len(exams) == 25
    assert joined["sex"].tolist() == joined["block"].str[0].tolist()
    masses = joined["mass_g_expected"].astype(str).str.removesuffix("g").astype(float)
    assert joined["mass_g"].tolist() == masses.tolist()
    days = pd.to_datetime(joined["date"]).dt.date.tolist()
    assert joined["exam_date"].dt.date.tolist() == days
    assert joined["keel"].tolist() == joined["keel_1_5"].astype(float).tolist()
    for name, theirs in (
        ("wing_mm", "wing_mm_expected"), ("tail_mm", "tail_mm_expected"),
        ("tarsus_mm", "tarsus_L"), ("culmen_mm", "culmen_L"), ("hallux_mm", "hallux_mm_expected"),
    ):  # fmt: skip
        wanted = pd.to_numeric(joined[theirs].replace("no", None))
        pd.testing.assert_series_equal(
            joined[name], wanted, check_names=False, check_dtype=False, obj=name
        )
    ledger = imported.ledger.set_index(["sheet", "address"])
    for row in joined.itertuples():
        cell = ledger.loc[(row.sheet, f"{row.sheet}!{row.mass_cell}")]
        assert cell["raw"] == str(row.mass_g_expected)


def test_falcon_oddities_are_held():
    imported = read("falcon_forms")
    held = imported.quarantine
    # An age and sex that do not go together, fractions of a crop that no code has, a short ring.
    assert "ASY/Y" in held["raw"].tolist()
    assert held["target"].str.contains("crop_fill").sum() == 5
    short = held[held["target"].eq("exams.ring_number") & held["sheet"].eq("Site 74")]
    assert short["row"].tolist() == [5]
    assert short["reason"].str.contains("digits").all()
    formulas = imported.ledger["raw"].str.startswith("=AVERAGE")
    assert set(imported.ledger.loc[formulas, "outcome"]) <= {"set_aside", "quarantined"}


def test_finch_rings_that_lost_a_zero_are_held_or_restored_from_what_the_cell_shows():
    imported = read("finch_banding")
    suffixes = imported.ledger[imported.ledger["column"].eq(2) & imported.ledger["row"].gt(1)]
    short = suffixes[suffixes["raw"].str.fullmatch(r"\d{4}")]
    assert len(short) == 1012
    assert short["outcome"].isin(["quarantined", "converted"]).all()
    rings = imported.exams["ring_number"].dropna()
    assert rings.str.fullmatch(r"[0-9A-Z]+-\d{5}").all()


def test_finch_formulas_and_points_are_accounted_for():
    imported = read("finch_banding")
    formulas = imported.ledger[imported.ledger["reason"].str.contains("formula: =", regex=False)]
    masses = formulas[formulas["target"].eq("exams.mass_g")]
    assert masses["row"].tolist() == [20720, 20721]
    assert masses["value"].astype(float).tolist() == pytest.approx([74.9 - 18, 76 - 18])
    points = imported.ledger[imported.ledger["raw"].str.strip().eq(".")]
    assert points["reason"].str.endswith("no value").all()


def test_hummingbird_oddities_are_held_or_flagged():
    imported = read("hummingbird_banded")
    held = imported.quarantine
    assert {"43.J62", "A"} <= set(held["raw"])
    assert (held["raw"].str.contains("x") & held["target"].eq("exams.r5_width_mm")).sum() > 100
    starred = imported.ledger[imported.ledger["raw"].str.fullmatch(r"\d+\.\d\*")]
    assert len(starred)
    assert starred["outcome"].isin(["converted", "set_aside"]).all()
    faults = check_exams(imported.exams).faults
    exams = imported.exams
    for file, row, column in (
        ("hummingbird_banded_2004.csv", 662, "wing_mm"),
        ("hummingbird_banded_2005.csv", 374, "culmen_mm"),
    ):
        label = exams.index[exams["source_file"].eq(file) & exams["source_row"].eq(row)][0]
        assert column in faults.loc[faults["row"].eq(label), "column"].tolist()


def test_files_of_one_kind_share_a_recipe_though_their_headings_drift():
    imported = read("hummingbird_banded")
    assert imported.exams["r1_length_mm"].notna().groupby(imported.exams["source_file"]).any().all()
    assert not any("headings changed" in note for note in imported.notes)


def test_a_heading_without_rows_is_an_answer():
    counts = read("penguin_fledging").reconciliation.set_index("file")
    empty = counts.loc["penguin_fledging_2022.csv"]
    assert (empty["rows_in"], empty["exams_out"], empty["set_aside"]) == (1, 0, 6)


def test_rows_that_repeat_are_all_kept():
    exams = read("penguin_fledging").exams
    own = exams[exams["source_file"].eq("penguin_fledging_1992_2020.csv")]
    facts = own[["exam_date", "site", "ring_number", "mass_g", "season", "island"]]
    assert facts.duplicated().sum() == 1650
    # Ring 0 is none.
    assert "0" not in own["ring_number"].dropna().tolist()


def test_shorebird_depths_below_zero_are_kept():
    exams = read("shorebird_captures").exams
    assert (exams["pectoral_depth_best_mm"].dropna() <= 0).all()
    assert exams["pectoral_muscle_scale"].dropna().unique().tolist() == ["pectoral muscle 0 to 4"]
    assert exams["keel"].isna().all()


def test_sparrow_markers_for_no_value_differ_by_column():
    imported = read("sparrow_banding")
    assert imported.quarantine.empty
    ledger = imported.ledger
    tail = ledger[ledger["target"].eq("exams.tail_mm") & ledger["raw"].isin(["x", "?", "NA"])]
    assert len(tail)
    assert tail["reason"].str.endswith("no value").all()
    trace = imported.exams[imported.exams["fat_text"].isin(["T", "t"])]
    assert trace["fat"].isna().all()
    assert set(zip(trace["fat_low"], trace["fat_high"], strict=True)) == {(0.0, 1.0)}


def test_two_masses_of_a_visit_are_two_records():
    imported = read("swallow_nestlings")
    exams = imported.exams
    assert set(exams["age_class"]) == {"pullus"}
    pairs = exams.pivot_table(index="source_row", columns="remarks", values="mass_g")
    assert len(pairs) == 354 - 9
    after, before = pairs["mass after the watch"], pairs["mass before the watch"]
    change = (after / before - 1).abs()
    # The four visits whose masses disagree are the four that change most.
    assert set(change.nlargest(4).index) == {26, 291, 313, 319}


def test_tits_are_read_in_their_letters_and_decimal_commas():
    imported = read("tits")
    assert "négatif" in imported.exams["strain"].dropna().tolist()
    levels = imported.exams["urban_level"].dropna()
    assert levels.between(-6, 3).all()
    assert (imported.exams["exam_date_precision"].dropna() == "year").sum() == 90
