"""Fits on disk come back as they were; damaged files are refused with what is wrong."""

import json
import re

import numpy as np
import pandas as pd
import pytest

from bodycond.condition import ScaledMassFit, fit_scaled_mass
from bodycond.errors import UnreadableFileError


@pytest.fixture
def fit(make_exams):
    exams = pd.concat(
        [make_exams(), make_exams(2, sex="M", seed=2), make_exams(1, sex="U", seed=3)]
    )
    return fit_scaled_mass(exams, size="tarsus_mm", accept=("wide_slope",))


def check_same(one, two):
    for name in ("size", "mass", "by", "pool", "accept", "mixed", "only", "level"):
        assert getattr(one, name) == getattr(two, name), name
        assert type(getattr(one, name)) is type(getattr(two, name)), name
    pd.testing.assert_frame_equal(one.groups, two.groups, check_exact=True)
    pd.testing.assert_frame_equal(one.excluded, two.excluded, check_exact=True)


def test_round_trip_with_undefined_numbers(fit, tmp_path):
    assert fit.groups.isna().any(axis=None)
    fit.save(tmp_path / "fit.json")
    check_same(fit, ScaledMassFit.load(tmp_path / "fit.json"))


def test_round_trip_gives_the_same_bytes_and_the_same_index(make_exams, tmp_path):
    exams = make_exams(200)
    fit = fit_scaled_mass(exams, size="tarsus_mm", by=("species",))
    fit.save(str(tmp_path / "one.json"))
    again = ScaledMassFit.load(str(tmp_path / "one.json"))
    again.save(tmp_path / "two.json")
    assert (tmp_path / "one.json").read_bytes() == (tmp_path / "two.json").read_bytes()
    pd.testing.assert_series_equal(fit.index(exams), again.index(exams), check_exact=True)
    assert again.only == {"sex": "F"}
    assert again.summary() == fit.summary()


def test_round_trip_of_a_fit_without_groups(make_exams, tmp_path):
    fit = fit_scaled_mass(make_exams(0), size="tarsus_mm")
    fit.save(tmp_path / "fit.json")
    check_same(fit, ScaledMassFit.load(tmp_path / "fit.json"))


def test_mixed_groups_are_remembered(make_exams, tmp_path):
    exams = pd.concat([make_exams(), make_exams(sex="M", seed=2)])
    fit = fit_scaled_mass(exams, size="tarsus_mm", by=("species",))
    fit.save(tmp_path / "fit.json")
    again = ScaledMassFit.load(tmp_path / "fit.json")
    assert again.mixed == {"sex": "F, M"}
    with pytest.raises(ValueError, match="sex pooled"):
        again.index(exams)


@pytest.mark.parametrize("text", ["", "{", "no json", '{"a": 1'])
def test_no_json(tmp_path, text):
    path = tmp_path / "fit.json"
    path.write_text(text, encoding="utf-8")
    start = f"{path} must be a scaled mass fit that bodycond saved. Found: "
    with pytest.raises(UnreadableFileError, match=f"^{re.escape(start)}.+Save the fit again with"):
        ScaledMassFit.load(path)


def test_absent_and_undecodable_files(tmp_path):
    with pytest.raises(UnreadableFileError, match="must be a scaled mass fit that bodycond saved"):
        ScaledMassFit.load(tmp_path / "absent.json")
    (tmp_path / "fit.json").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(UnreadableFileError, match="must be a scaled mass fit that bodycond saved"):
        ScaledMassFit.load(tmp_path / "fit.json")


@pytest.mark.parametrize(
    ("content", "found"),
    [
        ([1, 2], "None, version None"),
        ({"format": "bodycond scaled mass fit", "format_version": 99},
         "'bodycond scaled mass fit', version 99"),
        ({"format": "a manifest", "format_version": 1}, "'a manifest', version 1"),
    ],
)  # fmt: skip
def test_another_format(tmp_path, content, found):
    path = tmp_path / "fit.json"
    path.write_text(json.dumps(content), encoding="utf-8")
    message = (
        f"{path} must be a bodycond scaled mass fit, format version 1. Found: {found}. Save the "
        "fit again with this version of bodycond."
    )
    with pytest.raises(UnreadableFileError, match=f"^{re.escape(message)}$"):
        ScaledMassFit.load(path)


def test_missing_and_unknown_parts(fit, tmp_path):
    path = tmp_path / "fit.json"
    fit.save(path)
    content = json.loads(path.read_text(encoding="utf-8"))
    del content["groups"]
    content["colour"] = "red"
    path.write_text(json.dumps(content), encoding="utf-8")
    message = (
        f"{path} must hold every part of a scaled mass fit. Found: missing: ['groups']; unknown: "
        "['colour']. Save the fit again; the file was changed after bodycond wrote it."
    )
    with pytest.raises(UnreadableFileError, match=f"^{re.escape(message)}$"):
        ScaledMassFit.load(path)


@pytest.mark.parametrize(
    "damage", [{"groups": {}}, {"groups": None}, {"by": None}, {"excluded": {"rows": [[1]]}}]
)
def test_damaged_tables(fit, tmp_path, damage):
    path = tmp_path / "fit.json"
    fit.save(path)
    content = json.loads(path.read_text(encoding="utf-8")) | damage
    path.write_text(json.dumps(content), encoding="utf-8")
    with pytest.raises(UnreadableFileError, match="Found: a table that cannot be read"):
        ScaledMassFit.load(path)


def test_numbers_come_back_to_the_last_digit(fit, tmp_path):
    groups = fit.groups.assign(slope=[0.1 + 0.2, np.nan, 1 / 3])
    settings = {name: getattr(fit, name) for name in fit.__dataclass_fields__}
    changed = ScaledMassFit(**(settings | {"groups": groups}))
    changed.save(tmp_path / "fit.json")
    check_same(changed, ScaledMassFit.load(tmp_path / "fit.json"))
