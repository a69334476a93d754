"""Small workbooks of the invented network, and the demo study run once."""

import numpy as np
import pandas as pd
import pytest

from bodycond.study import StudySettings, run_demo, run_study


@pytest.fixture(scope="session")
def demo(tmp_path_factory):
    """The demo, run once for every test that looks at its results."""
    stages = []
    result = run_demo(out=tmp_path_factory.mktemp("demo"), progress=stages.append)
    return result, stages


def make_exams(n=40, *, seed=1):
    """Exams of female buzzards, written the way a tidy site would."""
    generator = np.random.default_rng(seed)
    tarsus = generator.normal(76, 3, n)
    keel = generator.integers(1, 6, n)
    mass = 960 * (tarsus / 76) ** 3 * np.exp(0.08 * (keel - 3) + generator.normal(0, 0.04, n))
    return pd.DataFrame(
        {
            "Case no.": [f"B{number:03d}" for number in range(n)],
            "Species": "Buteo buteo",
            "Sex": "F",
            "Date": pd.date_range("2022-01-05", periods=n, freq="9D").strftime("%Y-%m-%d"),
            "Mass (g)": mass.round(0).astype(int),
            "Tarsus (mm)": tarsus.round(1),
            "Keel": keel,
        }
    )


RECIPE = """\
version: 1
sheets:
  - file: "*.csv"
    sheet: "*"
    table: exams
    heading_row: 1
    columns:
      "Case no.": {field: bird_id}
      "Species": {field: species}
      "Sex": {field: sex}
      "Date": {field: exam_date, date_order: ymd}
      "Mass (g)": {field: mass_g, unit: g}
      "Tarsus (mm)": {field: tarsus_mm, unit: mm}
      "Keel": {field: keel, scale: keel 1 to 5}
"""


@pytest.fixture
def study_of(tmp_path):
    """Run a study of a table and give its result."""

    def run(table, *, recipe=RECIPE, files=(), more=None, **settings):
        book = tmp_path / "exams.csv"
        table.to_csv(book, index=False)
        if more is not None:
            more.to_csv(tmp_path / "more.csv", index=False)
            files = [*files, tmp_path / "more.csv"]
        recipe_file = tmp_path / "recipe.yaml"
        recipe_file.write_text(recipe, encoding="utf-8")
        return run_study(
            [book, *files],
            out=tmp_path / "out",
            recipe=recipe_file,
            settings=StudySettings(resamples=200, **settings),
        )

    return run


RATINGS_RECIPE = """\
version: 1
sheets:
  - file: "*.csv"
    sheet: "*"
    table: ratings
    heading_row: 1
    columns:
      "Exam": {field: exam_id}
      "Bird": {field: bird_id}
      "Scorer": {field: scorer}
      "Keel": {field: keel, scale: keel 1 to 5}
"""


@pytest.fixture
def rate_birds(tmp_path):
    """Run a study of two scorers' grades of 30 birds and of no exam."""

    def run(**settings):
        generator = np.random.default_rng(5)
        truth = generator.integers(1, 6, 30)
        rows = [
            (f"E{bird}", f"B{bird}", scorer, int(np.clip(grade + generator.integers(-1, 2), 1, 5)))
            for bird, grade in enumerate(truth)
            for scorer in ("AB", "CD")
        ]
        table = pd.DataFrame(rows, columns=["Exam", "Bird", "Scorer", "Keel"])
        table.to_csv(tmp_path / "ratings.csv", index=False)
        (tmp_path / "recipe.yaml").write_text(RATINGS_RECIPE, encoding="utf-8")
        return run_study(
            [tmp_path / "ratings.csv"],
            out=tmp_path / "out",
            recipe=tmp_path / "recipe.yaml",
            settings=StudySettings(resamples=200, **settings),
        )

    return run


@pytest.fixture(name="recipe_text")
def recipe_text_fixture():
    """The recipe of the small tables, to be varied."""
    return RECIPE


@pytest.fixture(name="make_exams")
def make_exams_fixture():
    """The maker of small tables."""
    return make_exams
