"""How long things take beside the call that a user would write without bodycond.

Run ``python tests/benchmarks/bench_study.py``. Nothing here is a test: machines differ, so each
figure stands beside the other call's, timed in the same run; the first, cold call is apart.
"""

from __future__ import annotations

import subprocess
import sys
import time
import warnings
from collections.abc import Callable
from pathlib import Path
from statistics import median

import numpy as np
import pandas as pd

DEMO = Path(__file__).parents[2] / "demo_dataset"


def time_calls(call: Callable[[], object], *, repeats: int) -> tuple[float, float]:
    """Give the first call's seconds, and the median of the others."""
    seconds = []
    for _ in range(repeats + 1):
        begun = time.perf_counter()
        call()
        seconds.append(time.perf_counter() - begun)
    return seconds[0], median(seconds[1:])


def compare(title: str, ours: Callable[[], object], theirs: Callable[[], object], *,
            their_code: str, repeats: int = 5) -> None:  # fmt: skip
    """Time two calls and print both, their ratio and the other call in full."""
    our_first, our_warm = time_calls(ours, repeats=repeats)
    their_first, their_warm = time_calls(theirs, repeats=repeats)
    print(f"\n{title}")
    print(f"  bodycond: {our_warm:.4f} s warm, {our_first:.4f} s first")
    print(f"  other:    {their_warm:.4f} s warm, {their_first:.4f} s first")
    print(f"  ratio:    {our_warm / their_warm:.3g}")
    print(f"  the other call: {their_code}")


def start_up() -> None:
    """Importing bodycond beside importing pandas, each in a process of its own."""

    def run(code: str) -> Callable[[], object]:
        return lambda: subprocess.run([sys.executable, "-c", code], check=True)

    compare("import bodycond", run("import bodycond"), run("import pandas"),
            their_code="import pandas", repeats=7)  # fmt: skip


def read_books() -> None:
    """Importing the demo's books with a ledger beside reading their cells alone."""
    from bodycond.legacy import ImportRecipe, import_legacy

    books = sorted((DEMO / "legacy").iterdir())
    recipe = ImportRecipe.load(DEMO / "recipe.yaml")
    workbooks = [book for book in books if book.suffix == ".xlsx"]
    compare(
        "import the demo's books, every cell in the ledger",
        lambda: import_legacy(books, recipe),
        lambda: [pd.read_excel(book, sheet_name=None, header=None) for book in workbooks],
        their_code="[pd.read_excel(book, sheet_name=None, header=None) for book in workbooks]",
    )


def bootstrap_kappa() -> None:
    """A bootstrap interval of kappa beside a loop over scikit-learn."""
    from sklearn.metrics import cohen_kappa_score

    from bodycond.agreement import weighted_kappa
    from bodycond.scales import ScoreScale

    generator = np.random.default_rng(1)
    first = generator.integers(1, 6, 60)
    second = np.clip(first + generator.integers(-1, 2, 60), 1, 5)
    scale = ScoreScale(name="1 to 5", low=1, high=5, step=1)

    def loop() -> None:
        draws = np.random.default_rng(2).integers(0, 60, (2000, 60))
        for rows in draws:
            cohen_kappa_score(
                first[rows], second[rows], labels=[1, 2, 3, 4, 5], weights="quadratic"
            )

    compare(
        "quadratic kappa of 60 birds, 2000 bootstrap resamples",
        lambda: weighted_kappa(first, second, scale=scale),
        loop,
        their_code="[cohen_kappa_score(first[rows], second[rows], labels=[1, 2, 3, 4, 5], "
        'weights="quadratic") for rows in draws]',
        repeats=1,
    )


def fit_groups() -> None:
    """Expected masses of many groups beside statsmodels formulas, one a group."""
    import statsmodels.formula.api as smf

    from bodycond.condition import fit_mass_by_keel

    generator = np.random.default_rng(3)
    n = 20_000
    exams = pd.DataFrame(
        {
            "species": generator.choice([f"Species {number:02d}" for number in range(20)], n),
            "sex": generator.choice(["F", "M"], n),
            "bird_id": generator.integers(0, 12_000, n).astype(str),
            "keel": generator.integers(1, 6, n).astype(float),
            "mass_g": np.exp(generator.normal(6, 0.1, n)),
        }
    )

    def formulas() -> list[object]:
        return [
            smf.ols("np.log(mass_g) ~ keel", group).fit(
                cov_type="cluster", cov_kwds={"groups": pd.factorize(group["bird_id"])[0]}
            )
            for _, group in exams.groupby(["species", "sex"])
        ]

    compare(
        "mass by keel score, 40 groups, 20 000 exams, clustered by bird",
        lambda: fit_mass_by_keel(exams),
        formulas,
        their_code='[smf.ols("np.log(mass_g) ~ keel", group).fit(cov_type="cluster", cov_kwds='
        '{"groups": pd.factorize(group["bird_id"])[0]}) for _, group in exams.groupby([...])]',
        repeats=3,
    )


if __name__ == "__main__":
    warnings.simplefilter("ignore")
    start_up()
    read_books()
    bootstrap_kappa()
    fit_groups()
