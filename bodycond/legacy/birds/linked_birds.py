"""Decisions on which birds are one, carried out in the exams and in the ratings alike."""

from __future__ import annotations

import pandas as pd

from bodycond.legacy.birds.applied_bird_links import AS_WRITTEN, apply_bird_links
from bodycond.legacy.corrections.correction_log import APPLIED, LoggedCorrection
from bodycond.legacy.corrections.correction_records import Corrections, tabulate_corrections


def link_birds(
    exams: pd.DataFrame, ratings: pd.DataFrame, corrections: Corrections | None
) -> tuple[pd.DataFrame, pd.DataFrame, list[LoggedCorrection]]:
    """Give exams and ratings the bird that was decided; what was written is kept beside it.

    Parameters
    ----------
    exams, ratings : DataFrame
        Tables of the import.
    corrections : Corrections or None
        All decisions; those on cells are passed over.

    Returns
    -------
    exams, ratings : DataFrame
        The very tables where nothing was decided, else copies with ``bird_id_as_written``.
    logged : list of LoggedCorrection
        One a decision on birds.

    Raises
    ------
    ArgumentError
        If decisions contradict one another or name no bird of the exams.
    """
    decided = () if corrections is None else corrections.bird_links()
    if not decided:
        return exams, ratings, []
    linked = apply_bird_links(exams, decisions=tabulate_corrections(decided))
    logged = [LoggedCorrection(correction=row, applied=True, outcome=APPLIED) for row in decided]
    return linked, _link_ratings(linked, ratings), logged


def _link_ratings(exams: pd.DataFrame, ratings: pd.DataFrame) -> pd.DataFrame:
    """Follow the exams: by exam where a rating names one, else by an id that is one bird still."""
    if ratings.empty:
        return ratings
    by_exam = exams.drop_duplicates("exam_id").set_index("exam_id")["bird_id"]
    pairs = exams[[AS_WRITTEN, "bird_id"]].dropna().drop_duplicates()
    single = pairs[~pairs[AS_WRITTEN].duplicated(keep=False)].set_index(AS_WRITTEN)["bird_id"]
    named = ratings["exam_id"].map(by_exam)
    named = named.where(named.notna(), ratings["bird_id"].map(single))
    bird = named.where(named.notna(), ratings["bird_id"]).astype("str")
    return ratings.assign(**{AS_WRITTEN: ratings["bird_id"], "bird_id": bird})
