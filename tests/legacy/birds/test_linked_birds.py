"""Decisions on birds carried out in exams and ratings; what was written stays beside them."""

import pandas as pd
import pytest

from bodycond.errors import ArgumentError
from bodycond.legacy.birds.linked_birds import link_birds
from bodycond.legacy.corrections.correction_records import Correction, Corrections

EXAMS = pd.DataFrame(
    {
        "exam_id": ["E1", "E2", "E3", "E4"],
        "bird_id": ["K7", "k-7", "12", "12"],
        "ring_number": ["AB0123", None, "AB0500", "AB0777"],
        "species": "Buteo buteo",
        "exam_date": pd.to_datetime(["2019-04-03", "2020-05-01", "2019-06-01", "2020-06-01"]),
    }
).astype(dict.fromkeys(("exam_id", "bird_id", "ring_number", "species"), "str"))
RATINGS = pd.DataFrame(
    {
        "exam_id": ["E2", None, None, "E4", None],
        "bird_id": ["k-7", "k-7", "12", "12", "Session 9"],
        "scorer": ["S1", "K2", "S1", "S1", "K2"],
    }
).astype("str")
NO_RATINGS = RATINGS.iloc[:0]


def decide(*rows, decision="same_bird"):
    return Corrections(
        rows=tuple(
            Correction(
                decision=decision, bird_id=bird, same_as=other, who="S1", why="ring read twice",
                given_in=f"bird_links.csv, line {line}",
            )
            for line, (bird, other) in enumerate(rows, start=2)
        )
    )  # fmt: skip


@pytest.mark.parametrize("corrections", [None, Corrections(), Corrections(rows=(Correction(
    decision="corrected", file="a.csv", sheet="a", cell="B7", raw="18S", corrected="185",
    who="S1", why="paper card"),))])  # fmt: skip
def test_without_a_decision_on_birds_the_very_tables_come_back(corrections):
    exams, ratings, logged = link_birds(EXAMS, RATINGS, corrections)
    assert exams is EXAMS
    assert ratings is RATINGS
    assert logged == []


def test_exams_and_ratings_get_the_bird_and_keep_what_was_written():
    corrections = decide(("k-7", "K7"))
    exams, ratings, (entry,) = link_birds(EXAMS, RATINGS, corrections)
    assert exams["bird_id"].tolist() == ["K7", "K7", "12", "12"]
    assert exams["bird_id_as_written"].tolist() == ["K7", "k-7", "12", "12"]
    assert ratings["bird_id"].tolist() == ["K7", "K7", "12", "12", "Session 9"]
    assert ratings["bird_id_as_written"].tolist() == RATINGS["bird_id"].tolist()
    assert (entry.applied, entry.outcome) == (True, "applied")
    assert entry.correction is corrections.rows[0]
    assert "bird_id_as_written" not in EXAMS.columns
    assert exams["exam_date"].dtype == EXAMS["exam_date"].dtype


def test_a_rating_follows_its_exam_where_one_id_is_split():
    split = decide(("12 (ring AB0777)", "12 (ring AB0500)"), decision="different_birds")
    exams, ratings, _ = link_birds(EXAMS, RATINGS, split)
    assert exams["bird_id"].tolist()[2:] == ["12 (ring AB0500)", "12 (ring AB0777)"]
    # A rating that names no exam cannot tell which of the two it is of, and stays as written.
    assert ratings["bird_id"].tolist()[2:4] == ["12", "12 (ring AB0777)"]


def test_a_bird_that_has_ratings_alone_can_be_linked():
    exams, ratings, (entry,) = link_birds(EXAMS, RATINGS, decide(("Session 9", "K7")))
    assert exams["bird_id"].tolist() == EXAMS["bird_id"].tolist()
    assert len(exams) == len(EXAMS)
    assert ratings["bird_id"].tolist()[-1] == "K7"
    assert entry.applied


def test_a_bird_that_nobody_is_changes_nothing_and_the_others_are_carried_out():
    corrections = decide(("K9", "K7"), ("k-7", "K7"), ("K-7", "X1"))
    exams, _, logged = link_birds(EXAMS, NO_RATINGS, corrections)
    assert exams["bird_id"].tolist() == ["K7", "K7", "12", "12"]
    assert [(entry.applied, entry.outcome) for entry in logged] == [
        (False, "not met: no exam and no rating is of 'K9'"),
        (True, "applied"),
        (False, "not met: no exam and no rating is of 'K-7' (there is 'K7', 'k-7') and 'X1'"),
    ]


def test_strangers_alone_leave_the_very_tables():
    exams, ratings, (entry,) = link_birds(EXAMS, RATINGS, decide(("A", "B")))
    assert exams is EXAMS
    assert ratings is RATINGS
    assert not entry.applied


def test_a_contradiction_names_the_file_and_line():
    corrections = Corrections(
        rows=(
            *decide(("12 (ring AB0777)", "12 (ring AB0500)"), decision="different_birds").rows,
            *decide(("12", "K7")).rows,
        )
    )
    with pytest.raises(ArgumentError) as caught:
        link_birds(EXAMS, RATINGS, corrections)
    assert caught.value.found == (
        "bird_links.csv, line 2: '12 (ring AB0777)' is another bird than '12 (ring AB0500)' (S1); "
        "bird_links.csv, line 2: '12' is the same bird as 'K7' (S1)"
    )


def test_linking_again_gives_the_same():
    corrections = decide(("k-7", "K7"), ("Session 9", "12"))
    once = link_birds(EXAMS, RATINGS, corrections)
    twice = link_birds(once[0], once[1], corrections)
    pd.testing.assert_frame_equal(once[0], twice[0])
    pd.testing.assert_frame_equal(once[1], twice[1])
