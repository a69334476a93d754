"""One rule for every result class: frozen, compared by identity, three ways to be read.

To hold a new class to it, add one line to ``RESULTS``: the class and a function that makes one.
"""

import dataclasses
import importlib
import inspect
import pkgutil
import tempfile
import warnings
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from bodycond import agreement, condition, legacy, statistics
from bodycond.errors import GateWarning
from bodycond.statistics.estimates import Estimate
from bodycond.statistics.rank_correlation import rank_correlation

GRADES = [1, 2, 3, 4, 5, 3, 2, 4]
OTHERS = [1, 2.5, 3, 3, 5, 4, 2, 2]


def make_exams():
    generator = np.random.default_rng(1)
    log_size = np.log(76) + 0.045 * generator.normal(size=60)
    return pd.DataFrame(
        {
            "species": "Buteo buteo",
            "sex": ["F", "M"] * 30,
            "bird_id": [f"b{row // 4}-{row % 2}" for row in range(60)],
            "tarsus_mm": np.exp(log_size),
            "mass_g": 950
            * np.exp(2.6 * (log_size - np.log(76)) + 0.05 * generator.normal(size=60)),
            "keel": np.resize([2.0, 3, 3.5, 4, 2.5], 60),
        }
    )


def make_ratings():
    return pd.DataFrame(
        {
            "bird_id": [*"abcdefgh"] * 2,
            "scorer": ["S01"] * 8 + ["S02"] * 8,
            "keel": GRADES + OTHERS,
        }
    )


def make_two_ids():
    rings = ["AB012345", "AB12345", *map(str, range(6))]
    return make_exams().iloc[:8].assign(bird_id=[f"K{n}" for n in range(8)], ring_number=rings)


def make_calibration():
    return pd.DataFrame(
        [(f"b{n}", who, n % 4, 1 + n % 4, "0 to 3", "keel 1 to 5", "2", "2024-05-01",
          "Buteo buteo", True) for n in range(60) for who in ("S1", "K2")],
        columns=["bird_id", "scorer", "from_grade", "to_grade", "from_scale", "to_scale",
                 "chart_version", "rated_on", "species", "blind"],
    )  # fmt: skip


def import_a_sheet():
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "exams.csv"
        path.write_text("Case,Wt\nK1,900\n", encoding="utf-8")
        recipe = legacy.ImportRecipe.from_text(
            'version: 1\nsheets: [{file: "*", heading_row: 1, columns: '
            "{Case: {field: bird_id}, Wt: {field: mass_g, unit: g}}}]"
        )
        return legacy.import_legacy(path, recipe)


def fit():
    return condition.fit_scaled_mass(make_exams(), size="tarsus_mm")


RESULTS = {
    Estimate: lambda: rank_correlation(GRADES, OTHERS, resamples=100),
    condition.LineFit: lambda: condition.fit_line(GRADES, OTHERS),
    condition.ScaledMassFit: fit,
    condition.MassByKeel: lambda: condition.fit_mass_by_keel(make_exams()),
    condition.MassOnSize: lambda: condition.collect_mass_on_size(fit(), make_exams()),
    condition.IndexByKeel: lambda: condition.tabulate_index_by_keel(
        fit(), make_exams(), resamples=100
    ),
    agreement.KappaEstimate: lambda: agreement.weighted_kappa(GRADES, OTHERS, resamples=100),
    agreement.TwoScorerComparison: lambda: agreement.compare_two_scorers(
        GRADES, OTHERS, resamples=100
    ),
    legacy.BirdLinks: lambda: legacy.propose_bird_links(make_two_ids()),
    legacy.ScoreConversion: lambda: legacy.convert_scores(
        [0, 3], calibration=make_calibration(), species="Buteo buteo"
    ),
    legacy.LegacyImport: import_a_sheet,
    agreement.ScorerPairs: lambda: agreement.compare_scorer_pairs(make_ratings(), resamples=100),
}

PACKAGES = [statistics, legacy, condition, agreement]


@pytest.fixture(params=RESULTS, ids=lambda kind: kind.__name__)
def result(request):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", GateWarning)
        made = RESULTS[request.param]()
    assert type(made) is request.param
    return made


def test_is_a_frozen_dataclass_compared_by_identity(result):
    kind = type(result)
    parameters = kind.__dataclass_params__
    assert parameters.frozen
    assert not parameters.eq
    assert all(field.kw_only for field in dataclasses.fields(kind))
    first = dataclasses.fields(kind)[0].name
    with pytest.raises(dataclasses.FrozenInstanceError):
        setattr(result, first, None)
    assert result != dataclasses.replace(result)


def test_frame_is_tidy_unrounded_and_a_copy(result):
    frame = result.to_frame()
    assert isinstance(frame, pd.DataFrame)
    assert len(frame)
    assert frame.columns.is_unique
    estimates = frame.select_dtypes("float")
    numbers = estimates.to_numpy().ravel()
    numbers = numbers[np.isfinite(numbers)]
    # An account of cells holds whole counts alone.
    assert estimates.empty or (numbers != np.round(numbers, 6)).any()
    before = result.to_frame()
    frame.iloc[:, 0] = "changed"
    pd.testing.assert_frame_equal(result.to_frame(), before)


@pytest.mark.parametrize("way", ["summary", "methods"])
def test_words(result, way):
    text = getattr(result, way)()
    assert isinstance(text, str)
    assert text == text.strip()
    assert len(text) > 40
    assert "nan" not in text.lower().split()
    assert "None" not in text
    assert "  ." not in text


def test_every_part_is_documented(result):
    text = inspect.getdoc(type(result))
    for field in dataclasses.fields(result):
        inherited = any(field.name in inspect.getdoc(base) for base in type(result).__mro__[1:-1])
        assert field.name in text or inherited, field.name


def test_no_result_class_is_forgotten():
    """Whatever has the three methods is a result, and must stand in ``RESULTS``."""
    found = set()
    for package in PACKAGES:
        for module in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            members = inspect.getmembers(importlib.import_module(module.name), inspect.isclass)
            found |= {
                kind
                for _, kind in members
                if kind.__module__ == module.name
                and all(hasattr(kind, name) for name in ("to_frame", "summary", "methods"))
            }
    assert found == set(RESULTS)
