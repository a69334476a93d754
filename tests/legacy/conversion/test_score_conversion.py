"""Grades on another scale: refused without a study, a distribution with one, never a grade."""

from __future__ import annotations

import json

import numpy as np
import pandas as pd
import pytest

from bodycond.columns import EXAM_COLUMNS, RATING_COLUMNS
from bodycond.errors import (
    ArgumentError,
    BodycondError,
    DegenerateDataError,
    MissingColumnError,
    ScaleError,
    UnreadableFileError,
)
from bodycond.legacy.conversion.score_conversion import ScoreConversion, convert_scores
from bodycond.scales import KEEL_SCALE, ScoreScale

BUZZARD = "Buteo buteo"


def make_study(n=60, **columns):
    """Grade n mod 3 on '0 to 2' is 1, 2 or 3.5 on the keel scale, one step off in every fifth."""
    generator = np.random.default_rng(4)
    rows = [
        {
            "bird_id": f"b{number}", "scorer": scorer, "from_grade": float(number % 3),
            "to_grade": (1.0, 2.0, 3.5)[number % 3] + 0.5 * (generator.random() < 0.2),
            "from_scale": "muscle 0 to 2", "to_scale": KEEL_SCALE.name, "chart_version": "2",
            "rated_on": f"2024-05-{1 + number % 28:02d}", "species": BUZZARD, "blind": True,
        }
        for number in range(n)
        for scorer in ("S1", "K2")
    ]  # fmt: skip
    return pd.DataFrame(rows).assign(**columns)


def convert(scores=(0.0, 1.0, 2.0), **options):
    options = {"calibration": make_study(), "species": BUZZARD, **options}
    return convert_scores(scores, **options)


def test_without_a_study_nothing_is_converted():
    with pytest.raises(BodycondError) as raised:
        convert_scores([1, 2])
    assert str(raised.value) == (
        "Grades on another scale are converted by a calibration study alone, in which at least 50 "
        "birds were graded on both scales by at least 2 blinded scorers. Found: no calibration. "
        "Keep the grades on their own scale, or make the study; there is no formula, since scales "
        "differ in their anchors and in what is felt."
    )


def test_probabilities_by_hand():
    table = convert().table
    assert table["from_grade"].unique().tolist() == [0.0, 1.0, 2.0]
    assert table["to_grade"].tolist() == [*KEEL_SCALE.values] * 3
    assert table.groupby("from_grade")["probability"].sum().tolist() == pytest.approx([1] * 3)
    study = make_study()
    counted = ((study["from_grade"] == 1) & (study["to_grade"] == 2.0)).sum()
    row = table[(table["from_grade"] == 1) & (table["to_grade"] == 2.0)].iloc[0]
    effective = 40 / convert().design_effect
    assert row["n_birds"] == 20
    assert row["n_ratings"] == 40
    assert row["probability"] == pytest.approx((1 / 9 + counted / 40 * effective) / (1 + effective))
    assert row["low"] < counted / 40 < row["high"]


def test_limits_are_quantiles_of_the_beta_marginal():
    from scipy.stats import beta

    table = convert(level=0.9).table
    row = table[(table["from_grade"] == 0) & (table["to_grade"] == 1.0)].iloc[0]
    rest = table.loc[table["from_grade"] == 0, "concentration"].sum() - row["concentration"]
    assert [row["low"], row["high"]] == pytest.approx(
        beta.ppf([0.05, 0.95], row["concentration"], rest)
    )


def test_a_grade_never_seen_may_be_impossible_and_one_always_seen_certain():
    study = make_study()
    study.loc[study["from_grade"] == 0, "to_grade"] = 1.0
    table = convert(calibration=study).table
    nought = table[table["from_grade"] == 0]
    assert nought["high"].iloc[0] == 1.0
    assert (nought["low"].iloc[1:] == 0).all()
    assert (nought["high"].iloc[1:] > 0).all()


def test_scores_that_cannot_be_converted_say_why():
    scores = pd.Series([1.0, np.nan, 3.0], index=["E1", "E2", "E3"])
    conversion = convert(scores)
    assert conversion.scores.index.tolist() == ["E1", "E2", "E3"]
    assert conversion.scores["converted"].tolist() == [True, False, False]
    assert conversion.scores["reason"].tolist() == [
        "", "no point grade", "grade 3 was given to no bird of the calibration study",
    ]  # fmt: skip
    assert conversion.draws(2, seed=1).isna().to_numpy().tolist() == [[False] * 2, [True] * 2,
                                                                      [True] * 2]  # fmt: skip
    assert conversion.probabilities().isna().all(axis=1).tolist() == [False, True, True]
    assert (
        "Not converted: grade 3 was given to no bird of the calibration study: 1"
        in conversion.summary()
    )


def test_no_column_could_be_taken_for_a_score():
    conversion = convert()
    names = {column.name for column in (*EXAM_COLUMNS, *RATING_COLUMNS)}
    for frame in (
        conversion.table, conversion.scores, conversion.probabilities(),
        conversion.draws(3, seed=1),
    ):  # fmt: skip
        assert not names & set(frame.columns)


def test_the_frame_names_the_scales():
    conversion = convert()
    frame = conversion.to_frame()
    assert frame.columns[:2].tolist() == ["from_scale", "to_scale"]
    assert set(frame["from_scale"]) == {"muscle 0 to 2"}
    pd.testing.assert_frame_equal(frame.iloc[:, 2:], conversion.table)


def test_probabilities_follow_the_scores():
    wide = convert(pd.Series([2.0, 0.0, 2.0])).probabilities()
    assert wide.columns[1] == "probability_1.5"
    assert wide.sum(axis=1).tolist() == pytest.approx([1.0] * 3)
    assert wide["probability_3.5"].iloc[0] > 0.5
    assert wide["probability_1"].iloc[1] > 0.5
    pd.testing.assert_series_equal(wide.iloc[0], wide.iloc[2], check_names=False)


def test_draws_repeat_with_their_seed_and_keep_to_the_scale():
    conversion = convert(pd.Series([0.0, 1.0, 2.0] * 200))
    first = conversion.draws(4, seed=9)
    pd.testing.assert_frame_equal(first, conversion.draws(4, seed=9))
    assert not first.equals(conversion.draws(4, seed=10))
    assert first.columns.tolist() == ["draw_1", "draw_2", "draw_3", "draw_4"]
    assert KEEL_SCALE.contains(first.to_numpy()).all()
    shares = (first == 2.0).to_numpy()[1::3].mean()
    assert shares == pytest.approx(conversion.probabilities()["probability_2"].iloc[1], abs=0.12)


def test_draws_asked_for_in_the_call_are_kept():
    conversion = convert(draws=3, seed=9)
    pd.testing.assert_frame_equal(conversion.imputed, conversion.draws(3, seed=9))
    assert convert().imputed.shape == (3, 0)


def test_text_numbers_and_lists_are_taken():
    assert convert(["0", "1", "x"]).scores["converted"].tolist() == [True, True, False]


def test_species_that_the_study_did_not_have_are_said():
    conversion = convert(species=pd.Series([BUZZARD, "Tyto alba", None]))
    assert conversion.scores["note"].tolist() == [
        "", "Tyto alba is not in the calibration study",
        "unknown species is not in the calibration study",
    ]  # fmt: skip
    assert (
        "1 score of Tyto alba, which the calibration study does not have (Buteo buteo)"
        in conversion.summary()
    )
    assert "species of the scores were not given" in convert(species=None).summary()


def test_a_study_of_two_species_says_so():
    study = make_study()
    study.loc[study.index[:10], "species"] = "Tyto alba"
    conversion = convert(calibration=study)
    assert conversion.species == (BUZZARD, "Tyto alba")
    assert "pools 2 species" in conversion.summary()


def test_a_weak_grade_is_said():
    study = make_study()
    study.loc[study["bird_id"] == "b3", "from_grade"] = 5.0
    conversion = convert((5.0,), calibration=study)
    assert "Fewer than 5 birds of the study stand behind 5 (1 bird)" in conversion.summary()


def test_where_the_study_came_from_is_kept():
    conversion = convert()
    assert (conversion.first_day, conversion.last_day) == ("2024-05-01", "2024-05-28")
    assert conversion.scorers == ("K2", "S1")
    assert conversion.chart_version == "2"
    assert (conversion.n_birds, conversion.n_ratings) == (60, 120)
    methods = conversion.methods()
    assert "60 birds, Buteo buteo; 2 blinded scorers; 2024-05-01 to 2024-05-28; chart 2" in methods
    assert "Rubin DB (1987)" in methods


def test_the_order_of_the_study_changes_nothing():
    study = make_study().sample(frac=1, random_state=2)
    pd.testing.assert_frame_equal(convert(calibration=study).table, convert().table)


def test_rounds_count_as_ratings_of_one_bird():
    study = make_study()
    twice = pd.concat([study.assign(round=1), study.assign(round=2)])
    conversion = convert(calibration=twice)
    assert conversion.n_birds == 60
    assert conversion.n_ratings == 240
    assert conversion.design_effect > 1.9
    with pytest.raises(
        ArgumentError, match=r"holds each bird once for each scorer and round\. Found: twice: bird"
    ):
        convert(calibration=twice.drop(columns="round"))


def test_ratings_left_out_are_counted():
    study = make_study(70).astype({"blind": "boolean"})
    study.loc[0, "blind"] = False
    study.loc[1, "blind"] = pd.NA
    study.loc[2, "to_grade"] = np.nan
    study.loc[4, "species"] = None
    study.loc[5, "rated_on"] = "last spring"
    conversion = convert(calibration=study)
    assert conversion.n_ratings == 135
    for text in (
        "Ratings of the study left out: not graded blind: 2",
        "Ratings of the study left out: without a grade on one of the scales: 1",
        "Ratings of the study left out: without bird, scorer, species or day: 2",
    ):
        assert text in conversion.summary()


@pytest.mark.parametrize(
    ("study", "found"),
    [
        (make_study(49), "49 such birds of 49, by 2 scorers"),
        (make_study(60)[lambda rows: rows["scorer"] == "S1"], "0 such birds of 60, by 1 scorers"),
        (make_study(60, blind=False), "0 such birds of 0, by 0 scorers; 120 ratings not graded"),
    ],
)
def test_studies_too_small(study, found):
    with pytest.raises(DegenerateDataError) as raised:
        convert(calibration=study)
    assert raised.value.needed == (
        "A calibration study needs 50 birds, each graded blind on both scales by at least 2 scorers"
    )
    assert raised.value.found.startswith(found)


def test_no_score_at_a_grade_that_was_seen():
    with pytest.raises(DegenerateDataError, match=r"calibration study saw: 0, 1, 2\. Found: 2"):
        convert([7.0, np.nan])
    with pytest.raises(DegenerateDataError, match="0 scores; none given"):
        convert([])


def test_scales_must_be_the_studys():
    with pytest.raises(ArgumentError, match="is of one from scale, here 'fat 0 to 8'"):
        convert(from_scale="fat 0 to 8")
    with pytest.raises(ArgumentError, match="is of one to scale, here 'another'"):
        convert(to_scale=ScoreScale("another", 1, 5, 0.5))
    study = make_study()
    study.loc[study.index[:20], "chart_version"] = "1"
    with pytest.raises(ArgumentError, match=r"one chart version\. Found: chart_version: '1', '2'"):
        convert(calibration=study)
    assert convert(calibration=study, chart_version="2").n_birds == 50
    with pytest.raises(ArgumentError, match="from_scale: none named"):
        convert(calibration=make_study(from_scale=None))


def test_grades_of_the_study_must_be_on_the_scale():
    with pytest.raises(ScaleError, match="Scores must be grades of 'keel 1 to 5'"):
        convert(calibration=make_study(to_grade=6.0))


def test_a_study_needs_its_columns():
    with pytest.raises(MissingColumnError, match="A calibration study needs the column 'blind'"):
        convert(calibration=make_study().drop(columns="blind"))


@pytest.mark.parametrize(
    ("options", "text"),
    [
        ({"draws": 2}, r"draws= needs seed=, .* Found: draws=2, seed=None"),
        ({"draws": -1}, r"draws= is a whole number from 0 up\. Found: draws=-1"),
        ({"draws": 1.0, "seed": 1}, r"draws= is a whole number from 0 up\. Found: draws=1\.0"),
        ({"seed": -1}, r"seed= is a whole number from 0 up\. Found: seed=-1"),
        ({"prior": 0.0}, r"prior= is a number of ratings above 0\. Found: prior=0\.0"),
        ({"level": 1.0}, "level= is a confidence level"),
        ({"species": [BUZZARD]}, r"species= is one name, or one a score\. Found: 1 names for 3"),
    ],
)
def test_options(options, text):
    with pytest.raises(ArgumentError, match=text):
        convert(**options)


def test_draws_need_a_number():
    with pytest.raises(ArgumentError, match="m= is a whole number from 1 up"):
        convert().draws(0, seed=1)
    with pytest.raises(ArgumentError, match="seed= is a whole number from 0 up"):
        convert().draws(1, seed=True)


@pytest.mark.parametrize(
    "index", [None, pd.Index(["E1", "E2", "E3"], name="exam_id"), pd.Index([5, 3, 9])]
)
def test_saved_and_loaded_every_number_comes_back(tmp_path, index):
    scores = pd.Series([0.0, np.nan, 2.0], index=index)
    conversion = convert(scores, draws=2, seed=np.int64(5), species=["Tyto alba", None, BUZZARD])
    path = tmp_path / "conversion.json"
    conversion.save(path)
    loaded = ScoreConversion.load(path)
    for name in ("table", "scores", "imputed"):
        pd.testing.assert_frame_equal(
            getattr(loaded, name), getattr(conversion, name), check_exact=True,
            check_index_type="equiv",
        )  # fmt: skip
    assert loaded.summary() == conversion.summary()
    assert loaded.methods() == conversion.methods()
    loaded.save(tmp_path / "again.json")
    assert (tmp_path / "again.json").read_bytes() == path.read_bytes()


def test_an_index_that_json_cannot_hold(tmp_path):
    scores = pd.Series([0.0], index=pd.to_datetime(["2024-05-01"]))
    with pytest.raises(ArgumentError, match="saved with an index of text or whole numbers"):
        convert(scores, species=None).save(tmp_path / "x.json")


@pytest.mark.parametrize(
    ("change", "text"),
    [
        (lambda stored: stored.update(format_version=99), "format version 1"),
        (lambda stored: stored.pop("table"), r"missing: \['table'\]"),
        (lambda stored: stored.update(more=1), r"unknown: \['more'\]"),
        (lambda stored: stored["table"].pop("rows"), "a table that cannot be read"),
    ],
)
def test_damaged_files(tmp_path, change, text):
    path = tmp_path / "conversion.json"
    convert().save(path)
    stored = json.loads(path.read_text(encoding="utf-8"))
    change(stored)
    path.write_text(json.dumps(stored), encoding="utf-8")
    with pytest.raises(UnreadableFileError, match=text):
        ScoreConversion.load(path)


def test_files_that_are_no_conversion(tmp_path):
    with pytest.raises(UnreadableFileError, match="must be a score conversion that bodycond saved"):
        ScoreConversion.load(tmp_path / "absent.json")
    (tmp_path / "list.json").write_text("[]", encoding="utf-8")
    with pytest.raises(UnreadableFileError, match="format version 1"):
        ScoreConversion.load(tmp_path / "list.json")
