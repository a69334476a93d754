"""Degenerate input: a clear sentence that says what and where, the rest of the job goes on."""

import pytest

from bodycond.errors import ArgumentError, UnreadableFileError


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
    assert "3 exams for 2 terms; at least 4 are needed" in why(result, "condition")
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
    result = study_of(make_exams().assign(Keel=3))
    assert "all 40 exams have grade 3" in why(result, "condition")


def test_all_sizes_equal(study_of, make_exams):
    table = make_exams()
    table["Tarsus (mm)"] = 76.0
    result = study_of(table)
    scaled = result.analysis.condition.scaled_mass.groups.iloc[0]
    assert scaled["reason"] == "log tarsus_mm does not vary: all 40 values are equal"
    assert result.analysis.condition.index is None
    assert result.analysis.condition.linear.groups["reason"].iloc[0] == ""


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
    assert "no structural size was measured often enough" in why(result, "scaled mass")
    assert result.analysis.condition.linear.groups["reason"].iloc[0] == ""


def test_no_column_of_grades(study_of, make_exams):
    result = study_of(make_exams().drop(columns="Keel"))
    assert "no exam holds both a mass and a grade" in why(result, "condition")
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


def test_an_unknown_size(study_of, make_exams):
    result = study_of(make_exams(), size="beak_mm")
    assert "beak_mm" in why(result, "condition")
