"""Tables, manifest, flags and file names: what is written can be read back and trusted."""

import json

import numpy as np
import pandas as pd

from bodycond.study.drawn_figures import name_stems
from bodycond.study.flags import FLAG_COLUMNS, list_flags
from bodycond.study.manifest import list_versions, read_earlier_outputs, write_manifest
from bodycond.study.written_tables import write_tables
from bodycond.tables_on_disk import hash_file


def test_tables_read_back_with_every_digit(tmp_path):
    table = pd.DataFrame({"mass_g": [377.38885184, np.nan], "note": ["a", "b"]})
    write_tables({"exams": table}, tmp_path)
    assert pd.read_csv(tmp_path / "exams.csv")["mass_g"].tolist()[0] == 377.38885184
    pd.testing.assert_frame_equal(
        pd.read_parquet(tmp_path / "exams.parquet"), table, check_dtype=False
    )


def test_cells_that_look_like_formulas_are_listed(tmp_path):
    raw = pd.DataFrame({"raw": ["3+", "=1+1", "-2"]})
    written = write_tables({"ledger": raw}, tmp_path)
    record = json.loads((tmp_path / "csv_neutralised.json").read_text(encoding="utf-8"))
    assert record["cells"] == {"ledger.csv": [[1, "raw"], [2, "raw"]]}
    assert pd.read_csv(tmp_path / "ledger.csv")["raw"].tolist() == ["3+", "'=1+1", "'-2"]
    assert pd.read_parquet(tmp_path / "ledger.parquet")["raw"].tolist() == ["3+", "=1+1", "-2"]
    assert {path.name for path in written} == {path.name for path in tmp_path.iterdir()}


def test_columns_named_by_grades_are_written(tmp_path):
    write_tables({"counts": pd.DataFrame({1.0: [3], 1.5: [4]})}, tmp_path)
    assert list(pd.read_parquet(tmp_path / "counts.parquet").columns) == ["1.0", "1.5"]


def write_small_manifest(folder):
    (folder / "tables").mkdir()
    outputs = [folder / "report.html", folder / "tables" / "a.csv"]
    for path in outputs:
        path.write_text(path.name, encoding="utf-8")
    return write_manifest(
        folder, inputs=[("book.xlsx", "00")], recipe=None, settings={"seed": 1}, outputs=outputs
    )


def test_the_manifest_lists_outputs_by_the_same_names_on_every_system(tmp_path):
    manifest = json.loads(write_small_manifest(tmp_path).read_text(encoding="utf-8"))
    assert [entry["file"] for entry in manifest["outputs"]] == ["report.html", "tables/a.csv"]
    assert manifest["inputs"] == [{"file": "book.xlsx", "sha256": "00"}]
    assert manifest["recipe"] is None
    assert "bodycond" in list_versions()


def test_a_manifest_tells_the_next_study_what_was_here(tmp_path):
    write_small_manifest(tmp_path)
    assert read_earlier_outputs(tmp_path) == {
        name: hash_file(tmp_path / name) for name in ("report.html", "tables/a.csv")
    }


def test_a_manifest_of_something_else_says_nothing(tmp_path):
    assert read_earlier_outputs(tmp_path) == {}
    for text in ("{}", "[1]", "not JSON", '{"outputs": 3}'):
        (tmp_path / "manifest.json").write_text(text, encoding="utf-8")
        assert read_earlier_outputs(tmp_path) == {}


EXAMS = pd.DataFrame(
    {"source_file": ["a.csv", "a.csv"], "source_sheet": ["a", "a"], "source_row": [2, 3]},
    index=[10, 11],
)
NO_FAULTS = pd.DataFrame(
    columns=["row", "exam_id", "bird_id", "column", "value", "rule", "severity", "expected",
             "cure", "evidence"]
)  # fmt: skip
NO_CELLS = pd.DataFrame(
    columns=["file", "sheet", "row", "exam_id", "target", "raw", "reason", "likely"]
)


def test_a_fault_gets_the_place_of_its_exam():
    faults = pd.DataFrame(
        [(11, "E2", "B2", "mass_g", 37.5, "robust_z", "should be looked at", "x", "y", "z"),
         (10, "E1", "B1", "bird_id", None, "missing_required", "must be mended", "x", "y", "z")],
        columns=NO_FAULTS.columns,
    )  # fmt: skip
    flags = list_flags(EXAMS, faults, NO_CELLS)
    assert flags[["file", "row", "value"]].to_numpy().tolist() == [
        ["a.csv", 3, "37.5"],
        ["a.csv", 2, ""],
    ]


def test_held_cells_stand_beside_faults():
    held = pd.DataFrame(
        [("a.csv", "a", 3, "E2", "exams.keel", "rather nice", "a word", "")],
        columns=NO_CELLS.columns,
    )
    flags = list_flags(EXAMS, NO_FAULTS, held)
    assert flags.loc[0, ["found_by", "column", "value", "rule"]].tolist() == [
        "import", "keel", "rather nice", "a word",
    ]  # fmt: skip


def test_no_flag_is_an_empty_table_with_its_columns():
    assert list(list_flags(EXAMS, NO_FAULTS, NO_CELLS).columns) == list(FLAG_COLUMNS)


def test_file_names_hold_on_every_system_and_never_collide():
    stems = name_stems(["Buteo buteo", "Buteo/buteo", "CON: ?", "Сова", "Tyto alba"])
    assert stems == {
        "Buteo buteo": "buteo_buteo",
        "Buteo/buteo": "buteo_buteo_2",
        "CON: ?": "con",
        "Tyto alba": "tyto_alba",
        "Сова": "species",
    }
