"""Decisions on which birds are one, carried out in the exams and in the ratings alike."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import pandas as pd

from bodycond.errors import name_first_few
from bodycond.legacy.birds.applied_bird_links import (
    AS_WRITTEN,
    apply_bird_links,
    find_known_birds,
)
from bodycond.legacy.birds.ring_forms import join_number
from bodycond.legacy.corrections.correction_log import APPLIED, LoggedCorrection
from bodycond.legacy.corrections.correction_records import (
    Correction,
    Corrections,
    tabulate_corrections,
)

# All that a decision can name a bird or a part of its exams by.
_NAMING = ("bird_id", AS_WRITTEN, "ring_number", "species", "sex", "source_file", "exam_date")


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
        One a decision on birds. One that names no bird of the two tables changes nothing, and
        the others are carried out without it.

    Raises
    ------
    ArgumentError
        If decisions contradict one another.
    """
    decided = () if corrections is None else corrections.bird_links()
    if not decided:
        return exams, ratings, []
    named = _name_birds(exams, ratings)
    known = find_known_birds(named)
    alike = _index_forms(known) if any(_list_strangers(row, known) for row in decided) else {}
    logged = [_judge(row, known, alike=alike) for row in decided]
    met = [entry.correction for entry in logged if entry.applied]
    if not met:
        return exams, ratings, logged
    decisions = tabulate_corrections(met)
    # A contradiction is to be looked for in the file and line that it was given in.
    decisions.index = pd.Index([row.given_in or str(n) for n, row in enumerate(met, start=1)])
    linked = apply_bird_links(named, decisions=decisions)
    ids = linked.iloc[: len(exams)].set_axis(exams.index)
    changed = exams.assign(**{AS_WRITTEN: ids[AS_WRITTEN], "bird_id": ids["bird_id"]})
    return changed, _link_ratings(changed, ratings, linked=linked), logged


def _name_birds(exams: pd.DataFrame, ratings: pd.DataFrame) -> pd.DataFrame:
    """What names the birds of the exams, and a row for each that has ratings and no exam."""
    named = exams[[name for name in _NAMING if name in exams.columns]]
    if ratings.empty:
        return named
    base = AS_WRITTEN if AS_WRITTEN in exams.columns else "bird_id"
    rated = ratings[AS_WRITTEN if AS_WRITTEN in ratings.columns else "bird_id"].dropna().unique()
    alone = [bird for bird in rated if bird not in set(exams[base].dropna())]
    if not alone:
        return named
    added = pd.DataFrame({base: pd.array(alone, dtype="str")}).reindex(columns=named.columns)
    return pd.concat([named, added.astype(named.dtypes.to_dict())], ignore_index=True)


def _list_strangers(row: Correction, known: frozenset[str]) -> list[str]:
    return [name for name in (row.bird_id, row.same_as) if name not in known]


def _judge(
    row: Correction, known: frozenset[str], *, alike: Mapping[str, Sequence[str]]
) -> LoggedCorrection:
    strangers = _list_strangers(row, known)
    if not strangers:
        return LoggedCorrection(correction=row, applied=True, outcome=APPLIED)
    words = []
    for name in strangers:
        forms = name_first_few(map(repr, alike.get(join_number(name), ())))
        words.append(f"{name!r} (there is {forms})" if forms else repr(name))
    return LoggedCorrection(
        correction=row,
        applied=False,
        outcome=f"not met: no exam and no rating is of {' and '.join(words)}",
    )


def _index_forms(known: Iterable[str]) -> dict[str, list[str]]:
    """The names that differ in form alone, under what they share."""
    index: dict[str, list[str]] = {}
    for name in sorted(known):
        index.setdefault(join_number(name), []).append(name)
    index.pop("", None)
    return index


def _link_ratings(
    exams: pd.DataFrame, ratings: pd.DataFrame, *, linked: pd.DataFrame
) -> pd.DataFrame:
    """Follow the exams: by exam where a rating names one, else by an id that is one bird still."""
    if ratings.empty:
        return ratings
    by_exam = exams.drop_duplicates("exam_id").set_index("exam_id")["bird_id"]
    pairs = linked[[AS_WRITTEN, "bird_id"]].dropna().drop_duplicates()
    single = pairs[~pairs[AS_WRITTEN].duplicated(keep=False)].set_index(AS_WRITTEN)["bird_id"]
    written = ratings[AS_WRITTEN if AS_WRITTEN in ratings.columns else "bird_id"]
    named = ratings["exam_id"].map(by_exam)
    named = named.where(named.notna(), written.map(single))
    bird = named.where(named.notna(), written).astype("str")
    return ratings.assign(**{AS_WRITTEN: written, "bird_id": bird})
