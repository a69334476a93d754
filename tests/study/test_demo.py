"""The demo: what it finds of the planted truth, and what it writes."""

import json
import re
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from bodycond.study import run_demo
from bodycond.study.demo import find_demo_dataset
from bodycond.study.running import STAGES
from bodycond.tables_on_disk import hash_file


@pytest.fixture(scope="module")
def truths():
    return json.loads((find_demo_dataset() / "truths.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def answer_key():
    return pd.read_csv(find_demo_dataset() / "answer_key.csv", dtype=str, keep_default_na=False)


def test_every_stage_is_announced_in_order(demo):
    assert tuple(demo[1]) == STAGES


def test_every_cell_and_row_is_accounted_for(demo):
    counts = demo[0].imported.reconciliation
    outcomes = counts[["accepted", "converted", "quarantined", "set_aside"]].sum(axis=1)
    assert (outcomes == counts["raw_cells"]).all()
    rows = counts[["exams_out", "ratings_out", "rows_held", "rows_not_exams"]].sum(axis=1)
    assert (rows == counts["rows_in"]).all()
    assert counts["raw_cells"].sum() == len(demo[0].imported.ledger)


def test_no_value_differs_from_what_was_written_unless_the_key_says_so(demo, answer_key):
    """The imported masses are the true ones, but for planted errors and copies."""
    imported = demo[0].imported.exams
    true = pd.read_csv(find_demo_dataset() / "true_exams.csv").set_index("exam_id")
    planted = set(zip(answer_key["file"], answer_key["sheet"], answer_key["row"], strict=True))
    # A text file has no sheets, so the key names none.
    sheets = imported["source_sheet"].where(~imported["source_file"].str.endswith(".csv"), "")
    places = zip(imported["source_file"], sheets, imported["source_row"].astype(str), strict=True)
    clean = imported.loc[[place not in planted for place in places]].set_index("exam_id")
    for name in ("mass_g", "wing_mm", "tarsus_mm"):
        pairs = pd.concat(
            [clean[name], true[name].reindex(clean.index)], axis=1, keys=["in", "true"]
        )
        both = pairs.dropna()
        assert len(both) > 350
        # Pounds and ounces hold a mass to the half ounce that was written, 7.1 g either way.
        imperial = clean.loc[both.index, "mass_text"].str.contains("lb|oz", regex=True, na=False)
        allowed = np.where(imperial & (name == "mass_g"), 7.1, 1e-9)
        assert ((both["in"] - both["true"]).abs() <= allowed).all(), name


def test_planted_slips_are_flagged_and_none_is_mended(demo, answer_key):
    flags = demo[0].flags
    found = set(zip(flags["file"], flags["row"].astype(int).astype(str), strict=True))
    gross = answer_key.loc[
        answer_key["kind"].isin(["tenfold", "oz_g", "date_converted", "duplicate"])
    ]
    assert len(gross) > 10
    missed = [key for key in zip(gross["file"], gross["row"], strict=True) if key not in found]
    assert missed == []


def test_estimands_lie_in_their_intervals_as_often_as_they_should(demo, truths):
    """Exponents and percentages against a million simulated birds a group.

    The demo is one data set, so misses are held against their binomial distribution at 95 %
    coverage: more than its 99 % point would mean that the planted errors came through.
    """
    from scipy.stats import binom

    condition = demo[0].analysis.condition
    assert condition.scaled_mass.size == "wing_mm"
    estimands = {
        (group["species"], group["sex"]): group["samples"]["every_exam"]
        for group in truths["groups"]
    }
    exponents = condition.scaled_mass.groups.query("n >= 10 and sex != 'U'")
    percents = condition.linear.groups.query("n_birds >= 10 and sex != 'U'")
    held = [
        row.slope_low
        <= estimands[row.species, row.sex]["size"]["wing_mm"]["sma_slope"]
        <= row.slope_high
        for row in exponents.itertuples()
    ]
    held += [
        row.percent_low
        <= estimands[row.species, row.sex]["keel"]["random_scorer"]["per_cent_per_grade"]
        <= row.percent_high
        for row in percents.itertuples()
    ]
    assert len(held) == 20
    assert held.count(False) <= binom.ppf(0.99, len(held), 0.05)


def test_severe_scorer_is_below_the_reference(demo):
    pairs = demo[0].analysis.agreement.to_frame()
    signed = pairs.loc[pairs["statistic"].str.startswith("mean signed") & (pairs["first"] == "S01")]
    harsh = signed.set_index("second").loc["S02"]
    assert harsh["high"] < 0


def test_tables_are_written_twice_and_agree(demo):
    folder = demo[0].folder / "tables"
    csv, parquet = sorted(folder.glob("*.csv")), sorted(folder.glob("*.parquet"))
    assert [file.stem for file in csv] == [file.stem for file in parquet]
    assert {"exams", "ratings", "ledger", "quarantine", "flags", "expected_mass"} <= {
        file.stem for file in csv
    }
    assert len(pd.read_csv(folder / "exams.csv")) == len(pd.read_parquet(folder / "exams.parquet"))


def test_figures_are_written_in_three_formats_with_captions(demo):
    folder = demo[0].folder / "figures"
    stems = {file.stem for file in folder.glob("*.pdf")}
    assert {"agreement_table", "mass_by_keel_buteo_buteo", "mass_on_size_buteo_buteo",
            "index_by_keel_buteo_buteo"} <= stems  # fmt: skip
    for stem in stems:
        for ending in ("svg", "png", "caption.txt"):
            assert (folder / f"{stem}.{ending}").is_file()


def test_report_is_self_contained(demo):
    page = (demo[0].folder / "report.html").read_text(encoding="utf-8")
    # Namespaces inside embedded figures are base64 here, so any address would be a real link.
    assert re.findall(r'(?:src|href)="(?!data:|#)[^"]*"', page) == []
    assert "<script" not in page
    assert page.count("<img") == len(list((demo[0].folder / "figures").glob("*.svg")))
    assert all(alt.strip() for alt in re.findall(r'<img[^>]* alt="([^"]*)"', page))
    for words in ("A keel score is no diagnosis", "Talons", "Alcohol", "licensed veterinarian"):
        assert words in page


def test_manifest_lists_inputs_versions_seed_and_every_output(demo):
    result = demo[0]
    manifest = json.loads((result.folder / "manifest.json").read_text(encoding="utf-8"))
    listed = {entry["file"]: entry["sha256"] for entry in manifest["outputs"]}
    written = {
        path.relative_to(result.folder).as_posix()
        for path in result.folder.rglob("*")
        if path.is_file() and path.name != "manifest.json"
    }
    assert set(listed) == written
    assert all(hash_file(result.folder / name) == digest for name, digest in listed.items())
    legacy = find_demo_dataset() / "legacy"
    assert {entry["file"]: entry["sha256"] for entry in manifest["inputs"]} == {
        path.name: hash_file(path) for path in legacy.iterdir()
    }
    assert manifest["settings"]["seed"] == 20240501
    assert {"python", "pandas", "numpy", "bodycond"} <= set(manifest["versions"])


@pytest.mark.slow
def test_running_twice_gives_the_same_bytes(demo, tmp_path):
    first, second = demo[0], run_demo(out=tmp_path)
    hashes = [
        {
            path.relative_to(result.folder).as_posix(): hash_file(path)
            for path in result.folder.rglob("*")
            if path.is_file()
        }
        for result in (first, second)
    ]
    assert hashes[0] == hashes[1]


def test_result_summary_and_methods(demo):
    result = demo[0]
    assert result.complete
    assert "exams of" in result.summary()
    assert "Peig" in result.methods()
    assert isinstance(result.folder, Path)
    assert result.to_frame().loc[0, "exams"] == 603
