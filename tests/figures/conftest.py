"""Results to draw: an invented buzzard study of the Tarnmere Raptor Network, small and seeded."""

from __future__ import annotations

import copy
import warnings
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from typing import Any

import numpy as np
import pandas as pd
import pytest

from bodycond.agreement import TwoScorerComparison, compare_two_scorers
from bodycond.condition import (
    IndexByKeel,
    MassByKeel,
    MassOnSize,
    collect_mass_on_size,
    fit_mass_by_keel,
    fit_scaled_mass,
    tabulate_index_by_keel,
)
from bodycond.errors import GateWarning

# Mass (g) at grade 3, wing (mm) and birds of each group.
_GROUPS = {
    ("Buteo buteo", "F"): (960.0, 400.0, 30),
    ("Buteo buteo", "M"): (780.0, 380.0, 28),
    ("Buteo buteo", "U"): (860.0, 390.0, 4),
    ("Accipiter nisus", "F"): (265.0, 238.0, 24),
    ("Accipiter nisus", "M"): (150.0, 200.0, 3),
}


@pytest.fixture(scope="session")
def exams() -> pd.DataFrame:
    random = np.random.default_rng(7)
    tables = []
    for (species, sex), (mass, wing, n) in _GROUPS.items():
        grades = np.resize([1.0, 2.0, 2.5, 3.0, 3.0, 4.0, 4.0, 5.0], n)
        log_size = random.normal(0.0, 0.045, n)
        log_mass = 2.6 * log_size + 0.08 * (grades - 3.0) + random.normal(0.0, 0.04, n)
        birds = [f"{species[:2]}{sex}{number:02d}" for number in range(n)]
        table = pd.DataFrame(
            {
                "bird_id": birds, "species": species, "sex": sex, "keel": grades,
                "wing_mm": (wing * np.exp(log_size)).round(),
                "mass_g": (mass * np.exp(log_mass)).round(),
            }
        )  # fmt: skip
        # Three birds come back, and two exams lack what the fits need.
        again = table.iloc[:3].assign(mass_g=lambda rows: rows["mass_g"] + 10.0) if n > 10 else None
        tables.append(pd.concat([table, again]) if again is not None else table)
    joined = pd.concat(tables, ignore_index=True)
    joined.loc[[1, 40], "mass_g"] = np.nan
    return joined


@pytest.fixture(scope="session")
def linear(exams: pd.DataFrame) -> MassByKeel:
    return fit_mass_by_keel(exams)


@pytest.fixture(scope="session")
def factor(exams: pd.DataFrame) -> MassByKeel:
    return fit_mass_by_keel(exams, form="factor", response="mass", bird="no_such_column")


@pytest.fixture(scope="session")
def on_size(exams: pd.DataFrame) -> MassOnSize:
    return collect_mass_on_size(fit_scaled_mass(exams, size="wing_mm"), exams)


@pytest.fixture(scope="session")
def index(exams: pd.DataFrame) -> IndexByKeel:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", GateWarning)
        return tabulate_index_by_keel(fit_scaled_mass(exams, size="wing_mm"), exams, resamples=50)


@pytest.fixture(scope="session")
def comparison() -> TwoScorerComparison:
    first = [1.0, 2.0, 2.0, 3.0, 3.0, 3.0, 3.5, 4.0, 4.0, 5.0, 3.0, np.nan]
    second = [1.0, 1.5, 2.0, 3.0, 2.5, 3.0, 3.0, 4.0, 3.5, 4.0, 3.0, 4.0]
    return compare_two_scorers(first, second, names=("S01", "S02"), resamples=50)


@pytest.fixture(scope="session")
def unmeasured(exams: pd.DataFrame) -> pd.DataFrame:
    return exams.loc[exams["sex"] == "F"].assign(mass_g=np.nan)


@pytest.fixture(scope="session")
def unchanged() -> Callable[[Any], AbstractContextManager[None]]:
    """A block after which a result must be as it was before."""

    @contextmanager
    def compare(result: Any) -> Iterator[None]:
        before = copy.deepcopy(vars(result))
        yield
        for name, value in before.items():
            if isinstance(value, pd.DataFrame):
                pd.testing.assert_frame_equal(getattr(result, name), value)

    return compare


@pytest.fixture(scope="session")
def artist() -> Callable[[Any, str], Any]:
    """Find the one artist of axes with an identifier."""

    def find(ax: Any, gid: str) -> Any:
        (found,) = [child for child in ax.get_children() if child.get_gid() == gid]
        return found

    return find
