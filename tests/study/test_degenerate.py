"""Degenerate input: a clear sentence that says what and where, the rest of the job goes on."""

import pytest

from bodycond.errors import ArgumentError, UnreadableFileError
from bodycond.study import StudySettings, run_study


def why(result, part):
    return " ".join(result.analysis.why_not(part))


def reconciles(result):
    counts = result.imported.reconciliation
    outcomes = counts[["accepted", "converted", "quarantined", "set_aside"]].sum(axis=1)
    return (outcomes == counts["raw_cells"]).all()


def test_a_sound_table_is_fitted(study_of, make_exams):
    result = study_of(make_exams())
    group = result.analysis.condition.linear.groups.iloc[0]
    assert group["n_birds"] == 40
    assert group["percent_low"] < 100 * (2.718281828**0.08 - 1) < group["percent_high"]
    assert result.complete


def test_three_birds(study_of, make_exams):
    result = study_of(make_exams(3))
    assert why(result, "mass by score") == (
        "No species and sex could be fitted. Buteo buteo, female: 3 exams for 2 terms; at least 4 "
        "are needed"
    )
    assert "an interval of r needs 4 pairs, found 3" in why(result, "scaled mass")
    assert not result.complete
    assert reconciles(result)
    assert (result.folder / "report.html").is_file()


def test_three_birds_beside_a_fitted_species(study_of, make_exams):
    import pandas as pd

    few = make_exams(3, seed=2).assign(Species="Milvus milvus")
    few["Case no."] = ["M1", "M2", "M3"]
    result = study_of(pd.concat([make_exams(), few]))
    groups = result.analysis.condition.linear.groups.set_index("species")["reason"]
    assert groups["Buteo buteo"] == ""
    assert "3 exams for 2 terms" in groups["Milvus milvus"]
    page = (result.folder / "report.html").read_text(encoding="utf-8")
    assert "no fit: 3 exams for 2 terms; at least 4 are needed" in page
    assert result.complete


def test_all_scores_equal(study_of, make_exams):
    """No mass by score, but the scaled mass index needs no score and goes on."""
    result = study_of(make_exams().assign(Keel=3))
    assert "Buteo buteo, female: all 40 exams have grade 3" in why(result, "mass by score")
    assert not result.complete
    assert result.analysis.condition.index.notna().sum() == 40
    assert (result.folder / "scaled_mass_fit.json").is_file()
    assert (result.folder / "figures" / "mass_on_size_buteo_buteo.pdf").is_file()
    page = (result.folder / "report.html").read_text(encoding="utf-8")
    assert "no fit: all 40 exams have grade 3" in page


def test_all_sizes_equal(study_of, make_exams):
    table = make_exams()
    table["Tarsus (mm)"] = 76.0
    result = study_of(table)
    scaled = result.analysis.condition.scaled_mass.groups.iloc[0]
    assert scaled["reason"] == "log tarsus_mm does not vary: all 40 values are equal"
    assert result.analysis.condition.index is None
    assert result.analysis.condition.linear.groups["reason"].iloc[0] == ""
    assert why(result, "scaled mass") == (
        "No species and sex has a usable index. Buteo buteo, female: log tarsus_mm does not vary: "
        "all 40 values are equal"
    )
    assert not result.complete
    assert "Not done: scaled mass. No species and sex has a usable index." in result.summary()


def test_missing_sex_is_a_level_of_its_own(study_of, make_exams):
    table = make_exams()
    table.loc[:14, "Sex"] = ""
    result = study_of(table)
    groups = result.analysis.condition.linear.groups.set_index("sex")["n_birds"]
    assert groups.to_dict() == {"F": 25, "U": 15}
    assert "sex_unknown" in " ".join(result.analysis.condition.scaled_mass.groups["gates"])


def test_an_absent_column_is_said(study_of, make_exams):
    result = study_of(make_exams().drop(columns="Tarsus (mm)"))
    assert any("Tarsus (mm)" in note for note in result.imported.notes)
    assert "No structural size was measured in half of the weighed birds" in why(
        result, "scaled mass"
    )
    assert result.analysis.condition.linear.groups["reason"].iloc[0] == ""


def test_no_column_of_grades(study_of, make_exams):
    result = study_of(make_exams().drop(columns="Keel"))
    assert "no exam holds both a mass and a grade" in why(result, "mass by score")
    assert "40 exams left out: Buteo buteo, F: keel missing" in why(result, "mass by score")
    assert result.analysis.condition.index.notna().sum() == 40
    assert not result.complete


def test_an_unknown_notation_is_held_back_with_its_address(study_of, make_exams):
    table = make_exams().astype({"Keel": object})
    table.loc[4, "Keel"] = "rather nice"
    table.loc[7, "Keel"] = "4/9"
    result = study_of(table)
    held = result.flags.loc[result.flags["found_by"] == "import"].set_index("row")
    assert held["value"].to_dict() == {6: "rather nice", 9: "4/9"}
    assert (held["column"] == "keel").all()
    assert reconciles(result)
    assert result.analysis.condition.linear.groups["n_birds"].iloc[0] == 38


def test_unreadable_files_are_named_and_the_others_go_on(study_of, make_exams, tmp_path):
    empty = tmp_path / "empty.csv"
    empty.write_bytes(b"")
    truncated = tmp_path / "truncated.xlsx"
    truncated.write_bytes(b"PK\x03\x04 and then the copying broke off")
    locked = tmp_path / "locked.xlsx"
    # The signature of a compound file, which is what a workbook with a password is wrapped in.
    locked.write_bytes(bytes.fromhex("d0cf11e0a1b11ae1") + bytes(4096))
    result = study_of(make_exams(), files=[empty, truncated, locked])
    problems = result.imported.files.set_index("file")["problem"].fillna("")
    assert problems["exams.csv"] == ""
    for name in ("empty.csv", "truncated.xlsx", "locked.xlsx"):
        assert name in problems[name]
    assert not result.complete
    assert len(result.imported.exams) == 40
    assert "Not read" in result.summary()


def test_nothing_readable(study_of, tmp_path):
    import pandas as pd

    with pytest.raises(UnreadableFileError, match=r"exams\.csv"):
        study_of(pd.DataFrame())


def test_an_unknown_score(study_of, make_exams):
    with pytest.raises(ArgumentError, match=r"'fat' has none.*score columns keel"):
        study_of(make_exams(), score="fat")


def test_an_unknown_size():
    with pytest.raises(ArgumentError, match=r"size is one of tarsus_mm, .*Found: 'beak_mm'"):
        StudySettings(size="beak_mm")
    with pytest.raises(ArgumentError, match="Found: 'mass_g'"):
        StudySettings(size="mass_g")


def test_a_size_that_nobody_measured(study_of, make_exams):
    result = study_of(make_exams(), size="tail_mm")
    assert "a line needs 2 complete pairs, found 0" in why(result, "scaled mass")
    assert not result.complete


def test_an_impossible_level():
    with pytest.raises(ArgumentError, match=r"strictly between 0 and 1\. Found: level=95"):
        StudySettings(level=95)


def test_ratings_alone_are_a_whole_study(rate_birds):
    result = rate_birds()
    assert why(result, "condition") == "The files hold no exams"
    assert result.complete
    assert result.analysis.headline_pair.kappa.n == 30


def test_a_reference_scorer_who_rated_nothing(rate_birds):
    with pytest.raises(
        ArgumentError, match=r"'ZZ' must have rated birds\. Found: ratings by AB, CD"
    ):
        rate_birds(reference="ZZ")


def test_a_reference_scorer_without_ratings_is_not_passed_over(study_of, make_exams):
    result = study_of(make_exams(), reference="AB")
    assert "no ratings by several scorers" in why(result, "agreement")
    assert not result.complete


def test_grades_on_two_scales_are_not_mixed(study_of, make_exams, recipe_text):
    recipe = recipe_text.replace(
        "version: 1", "version: 1\nscales:\n  another chart: {low: 1, high: 5, step: 1}"
    )
    both = recipe.replace('file: "*.csv"', "file: exams.csv") + recipe[
        recipe.index("  - file:") :
    ].replace('file: "*.csv"', "file: more.csv").replace("keel 1 to 5", "another chart")
    with pytest.raises(ArgumentError, match="grades on another chart, keel 1 to 5") as raised:
        study_of(make_exams(), recipe=both, more=make_exams(5, seed=3))
    assert "scales are not converted" in str(raised.value)


def test_nobody_loses_answers_written_into_a_draft(make_exams, tmp_path):
    make_exams().to_csv(tmp_path / "exams.csv", index=False)
    draft = tmp_path / "out" / "draft_recipe.yaml"
    settings = StudySettings(resamples=200)
    run_study([tmp_path / "exams.csv"], out=tmp_path / "out", settings=settings)
    # An untouched draft is written anew without a word.
    run_study([tmp_path / "exams.csv"], out=tmp_path / "out", settings=settings)
    answered = draft.read_text(encoding="utf-8") + "# the scale is 1 to 5\n"
    draft.write_text(answered, encoding="utf-8")
    with pytest.raises(ArgumentError, match="edited since it was drafted") as raised:
        run_study([tmp_path / "exams.csv"], out=tmp_path / "out", settings=settings)
    assert f"--recipe {draft}" in str(raised.value)
    assert draft.read_text(encoding="utf-8") == answered
    assert [path.name for path in draft.parent.glob(".*")] == []


def test_what_an_earlier_study_left_is_named(study_of, make_exams):
    import pandas as pd

    study_of(pd.concat([make_exams(), make_exams(20, seed=4).assign(Species="Milvus milvus")]))
    result = study_of(make_exams())
    left = {path.name for path in result.left_over}
    assert "mass_by_keel_milvus_milvus.pdf" in left
    assert not any("buteo" in name for name in left)
    assert "Left from an earlier study, no part of this one: figures/" in result.summary()


def test_birds_of_no_named_species_are_left_out_and_counted(study_of, make_exams):
    result = study_of(make_exams().assign(Species=""))
    assert why(result, "mass by score").endswith("40 exams left out: species or sex missing")
    assert why(result, "scaled mass").endswith("40 exams left out: species or sex missing")
