"""data_schema/ says what the code says: written anew it is the same, byte for byte."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pandas as pd
import pandera.pandas as pa
import pytest

from bodycond.columns import EXAM_COLUMNS, RATING_COLUMNS
from bodycond.errors import ArgumentError
from bodycond.exams import (
    build_exam_schema,
    build_rating_schema,
    coerce_exams,
    coerce_ratings,
)
from bodycond.exams.data_dictionary import main, write_data_schema

FOLDER = Path(__file__).parents[2] / "data_schema"


def test_folder_is_up_to_date(tmp_path: Path) -> None:
    written = write_data_schema(tmp_path)
    assert sorted(path.name for path in written) == sorted(
        path.name for path in FOLDER.iterdir() if path.is_file()
    )
    behind = [
        path.name for path in written
        # a checkout on Windows may have changed line ends
        if path.read_text(encoding="utf-8") != (FOLDER / path.name).read_text(encoding="utf-8")
    ]  # fmt: skip
    assert not behind, "run: python -m bodycond.exams.data_dictionary data_schema"


def test_bytes_are_the_same_every_time_and_end_lines_with_lf(tmp_path: Path) -> None:
    first, second = write_data_schema(tmp_path / "a"), write_data_schema(tmp_path / "b")
    assert [path.read_bytes() for path in first] == [path.read_bytes() for path in second]
    assert not any(b"\r" in path.read_bytes() for path in first)


def spoil_ratings() -> pd.DataFrame:
    """Ratings with one breach of each kind of rule that the YAML can tell."""
    ratings = coerce_ratings(
        pd.DataFrame(
            {
                "bird_id": ["B1", "B2", None],
                "scorer": ["S01", "", "S02"],
                "round": [0, 1, 2],
                "keel": [2.75, 3.0, 5.5],
            }
        )
    )
    return ratings.astype({"keel_blind": "float64"})


def spoil_exams() -> pd.DataFrame:
    """Exams with one breach of each kind of rule that the YAML can tell."""
    return coerce_exams(
        pd.DataFrame(
            {
                "exam_id": ["T1", "T1", None],
                "sex": ["F", "x", "U"],
                "mass_g": [29.0, 200.0, 15001.0],
                "keel_low": [0.5, 1.0, 5.0],
                "crop_fill": ["no_crop", "5", "0"],
                "source_row": [0, 1, 2],
            }
        )
    ).drop(columns="tail_mm")


@pytest.mark.parametrize(
    ("name", "build", "spoil"),
    [
        ("exams", build_exam_schema, spoil_exams),
        ("ratings", build_rating_schema, spoil_ratings),
    ],
)
def test_yaml_finds_what_the_model_in_the_code_finds(
    name: str, build: Callable[..., pa.DataFrameSchema], spoil: Callable[[], pd.DataFrame]
) -> None:
    pytest.importorskip("yaml")
    loaded = pa.DataFrameSchema.from_yaml(FOLDER / f"{name}.pandera.yaml")
    built = build(row_rules=False)
    assert {key: (column.nullable, column.unique) for key, column in loaded.columns.items()} == {
        key: (column.nullable, column.unique) for key, column in built.columns.items()
    }
    found = []
    for schema in (loaded, built):
        with pytest.raises(pa.errors.SchemaErrors) as caught:
            schema.validate(spoil(), lazy=True)
        cases = caught.value.failure_cases
        found.append(cases[["column", "check", "failure_case", "index"]].astype(str))
    pd.testing.assert_frame_equal(found[0], found[1])
    assert len(found[0]) >= 6


@pytest.mark.parametrize(
    ("name", "columns"), [("exams", EXAM_COLUMNS), ("ratings", RATING_COLUMNS)]
)
def test_table_schema_names_every_column_with_type_and_limits(
    name: str, columns: tuple[object, ...]
) -> None:
    schema = json.loads((FOLDER / f"{name}.tableschema.json").read_text(encoding="utf-8"))
    assert [field["name"] for field in schema["fields"]] == [column.name for column in columns]  # type: ignore[attr-defined]
    types = {"string", "number", "integer", "boolean", "date"}
    assert {field["type"] for field in schema["fields"]} <= types
    fields = {field["name"]: field for field in schema["fields"]}
    if name == "exams":
        assert schema["primaryKey"] == ["exam_id"]
        assert fields["mass_g"]["constraints"] == {"minimum": 30.0, "maximum": 15000.0}
        assert fields["mass_g"]["unit"] == "g"
        assert fields["sex"]["constraints"] == {"enum": ["F", "M", "U"]}
    assert fields["keel"]["constraints"]["enum"] == [1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5]


def test_dictionary_table_has_a_row_for_each_column_and_a_meaning_in_each() -> None:
    rows = pd.read_csv(FOLDER / "data_dictionary.csv", dtype="str", keep_default_na=False)
    assert len(rows) == len(EXAM_COLUMNS) + len(RATING_COLUMNS)
    assert (rows["meaning"] != "").all()
    mass = rows[rows["column"] == "mass_g"].iloc[0]
    assert (mass["unit"], mass["low"], mass["high"]) == ("g", "30", "15000")


def test_command_writes_the_folder_it_is_given(tmp_path: Path) -> None:
    main([str(tmp_path / "schema")])
    assert (tmp_path / "schema" / "data_dictionary.md").is_file()
    with pytest.raises(
        ArgumentError, match=r"One folder to write the data schema to\. Found: 0 arg"
    ):
        main([])
