"""What a caption and an alternative text are made of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import pandas as pd

from bodycond.figures.group_marks import ShownGroup, name_shared, take_rows
from bodycond.scales import ScoreScale


@dataclass(frozen=True, kw_only=True)
class FigureDescription:
    """The words that go with a figure.

    Parameters
    ----------
    caption : str
        What is drawn, what bars and bands are, n, what was left out.
    alt_text : str
        What there is to see, for readers who cannot.
    """

    caption: str
    alt_text: str


def name_subject(shown: Sequence[ShownGroup], group: Mapping[str, str] | None) -> str:
    """Name whose birds a figure shows.

    Parameters
    ----------
    shown : sequence of ShownGroup
        The groups drawn.
    group : mapping of str to str or None
        What was asked for, where nothing is drawn.

    Returns
    -------
    str
        For example ``"Buteo buteo (female, male)"``.
    """
    shared = name_shared(shown) or ", ".join((group or {}).values())
    labels = [each.label for each in shown]
    if not labels:
        return shared or "all groups"
    return f"{shared} ({', '.join(labels)})" if shared else "; ".join(labels)


def gather_points(points: pd.DataFrame, shown: Sequence[ShownGroup]) -> pd.DataFrame:
    """Gather the points of the groups drawn.

    Parameters
    ----------
    points : DataFrame
        A result's points.
    shown : sequence of ShownGroup
        The groups drawn.

    Returns
    -------
    DataFrame
        Their rows.
    """
    if not shown:
        return points.iloc[:0]
    return pd.concat([take_rows(points, each.keys) for each in shown])


def word_grades(scale: ScoreScale) -> list[str]:
    """Spell out what the grades of a scale mean.

    Parameters
    ----------
    scale : ScoreScale
        The scale.

    Returns
    -------
    list of str
        One sentence, or none where the scale has no words.
    """
    if not scale.grades:
        return []
    words = ", ".join(f"{grade:g} {word}" for grade, word in sorted(scale.grades.items()))
    return [f"Grades: {words}."]


def word_left_out(excluded: pd.DataFrame, shown: Sequence[ShownGroup]) -> list[str]:
    """Say which exams did not enter, for the groups drawn and for the whole table.

    Parameters
    ----------
    excluded : DataFrame
        The groups' columns (empty for exams of no group), ``reason`` and ``n_rows``.
    shown : sequence of ShownGroup
        The groups drawn.

    Returns
    -------
    list of str
        The sentences.
    """
    by = [name for name in excluded.columns if name not in ("reason", "n_rows")]
    labels = {tuple(str(each.keys[name]) for name in by): each.label for each in shown}
    nobody = tuple("" for _ in by)
    said = []
    for row in excluded.to_dict("records"):
        group = tuple(str(row[name]) for name in by)
        what = f"{word_count(int(row['n_rows']), 'exam')}, {row['reason']}."
        if not by:
            said.append(f"Left out: {what}")
        elif group == nobody:
            said.append(f"Left out of the whole table: {what}")
        elif group in labels:
            said.append(f"Left out, {labels[group]}: {what}")
    return said


def word_count(number: int, noun: str) -> str:
    """Give a number with its noun.

    Parameters
    ----------
    number : int
        How many.
    noun : str
        Of what, in the singular.

    Returns
    -------
    str
        For example ``"1 bird"`` or ``"3 birds"``.
    """
    return f"{number} {noun}{'' if number == 1 else 's'}"
