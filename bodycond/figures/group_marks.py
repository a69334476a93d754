"""Which groups of a result are shown, what they are called, and by which shape and colour."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from bodycond.codes import SEX_WORDS
from bodycond.errors import ArgumentError, name_first_few
from bodycond.figures.palette import OKABE_ITO


@dataclass(frozen=True, kw_only=True)
class GroupMark:
    """Shape and colour of one group; each alone tells the group.

    Parameters
    ----------
    colour : str
        As ``"#RRGGBB"``.
    marker : str
        matplotlib's name of the shape.
    """

    colour: str
    marker: str


SEX_MARKS: dict[str, GroupMark] = {
    "F": GroupMark(colour=OKABE_ITO["orange"], marker="o"),
    "M": GroupMark(colour=OKABE_ITO["blue"], marker="^"),
    "U": GroupMark(colour=OKABE_ITO["black"], marker="s"),
}
"""Bright, middling and dark, so that the sexes stay apart in a grey print."""

OTHER_MARKS: tuple[GroupMark, ...] = tuple(
    GroupMark(colour=OKABE_ITO[name], marker=marker)
    for name, marker in zip(
        ("blue", "orange", "black", "bluish_green", "reddish_purple", "sky_blue", "vermillion"),
        "o^sDvPX",
        strict=True,
    )
)
"""For groups that differ by more than sex; yellow is left out, since it fades on white."""


@dataclass(frozen=True, kw_only=True)
class ShownGroup:
    """One group on a figure.

    Parameters
    ----------
    keys : dict of str to str
        Its values of the ``by`` columns.
    label : str
        What tells it from the other groups shown: "female".
    mark : GroupMark
        Its shape and colour.
    """

    keys: dict[str, str]
    label: str
    mark: GroupMark


def select_groups(
    table: pd.DataFrame, *, by: Sequence[str], group: Mapping[str, str] | None
) -> list[ShownGroup]:
    """Select the groups to show and give each its mark.

    Parameters
    ----------
    table : DataFrame
        A result's table with one or more rows a group.
    by : sequence of str
        Columns that the groups are formed by.
    group : mapping of str to str or None
        Values that the groups shown must have, for example ``{"species": "Buteo buteo"}`` for
        both sexes of one species; None shows every group.

    Returns
    -------
    list of ShownGroup
        In the order of their values; empty where none matches.

    Raises
    ------
    ArgumentError
        If ``group`` names a column that the groups are not formed by, or more groups match than
        can be told apart.
    """
    wanted = dict(group or {})
    strangers = [name for name in wanted if name not in by]
    if strangers:
        raise ArgumentError(
            needed=f"group= names columns that the groups are formed by: {', '.join(by) or 'none'}",
            found=name_first_few(map(repr, strangers)),
            then="Give for example group={'species': 'Buteo buteo'}",
        )
    rows = take_rows(table, wanted)
    found = rows[list(by)].drop_duplicates().to_dict("records") if by else [{}] * bool(len(rows))
    keys = [{str(name): str(value) for name, value in each.items()} for each in found]
    # Sorted, so that the sexes stand in the same order on every figure of a study.
    keys.sort(key=lambda each: tuple(each.values()))
    if len(keys) > len(OTHER_MARKS):
        raise ArgumentError(
            needed=f"One figure tells up to {len(OTHER_MARKS)} groups apart",
            found=f"{len(keys)} groups for group={wanted or None}",
            then="Draw a figure for each species with group={'species': ...}",
        )
    varied = [name for name in by if len({each[name] for each in keys}) > 1]
    by_sex = set(varied) <= {"sex"} and all(each.get("sex") in SEX_MARKS for each in keys)
    return [
        ShownGroup(
            keys=each,
            label=_label_group(each, varied),
            mark=SEX_MARKS[each["sex"]] if by_sex else OTHER_MARKS[position],
        )
        for position, each in enumerate(keys)
    ]


def require_known_group(
    table: pd.DataFrame, shown: Sequence[ShownGroup], *, by: Sequence[str], group: object
) -> None:
    """Raise if ``group=`` matches nothing in a table that lists every group there is.

    Parameters
    ----------
    table : DataFrame
        The result's table of groups.
    shown : sequence of ShownGroup
        What was selected.
    by : sequence of str
        Columns that the groups are formed by.
    group : object
        What the caller asked for.

    Raises
    ------
    ArgumentError
        If the table has groups and none was selected.
    """
    if shown or table.empty or not by:
        return
    known = table[list(by)].drop_duplicates().astype(str).agg(", ".join, axis=1)
    raise ArgumentError(
        needed="group= must match a group of the result",
        found=f"group={group!r} among {len(known)} groups: {name_first_few(known)}",
        then="Use values as they stand in the result's table",
    )


def take_rows(table: pd.DataFrame, keys: Mapping[str, str]) -> pd.DataFrame:
    """Take the rows of one group.

    Parameters
    ----------
    table : DataFrame
        Any table of a result.
    keys : mapping of str to str
        Values of the ``by`` columns.

    Returns
    -------
    DataFrame
        The rows, with their index.
    """
    chosen = np.ones(len(table), dtype=bool)
    for name, value in keys.items():
        chosen &= (table[name].astype(str) == str(value)).to_numpy()
    return table.loc[chosen]


def name_shared(shown: Sequence[ShownGroup]) -> str:
    """Name what all groups shown have in common, sex apart: most often the species.

    Parameters
    ----------
    shown : sequence of ShownGroup
        The groups.

    Returns
    -------
    str
        For example ``"Buteo buteo"``; empty where they share nothing.
    """
    if not shown:
        return ""
    first = shown[0].keys
    return ", ".join(
        value
        for name, value in first.items()
        if name != "sex" and all(each.keys[name] == value for each in shown)
    )


def shares_species_alone(shown: Sequence[ShownGroup]) -> bool:
    """Tell whether what `name_shared` gives is a scientific name, to be set in italics.

    Parameters
    ----------
    shown : sequence of ShownGroup
        The groups.

    Returns
    -------
    bool
        True where it is the species and nothing else.
    """
    return bool(shown) and name_shared(shown) == shown[0].keys.get("species")


def _label_group(keys: Mapping[str, str], varied: Sequence[str]) -> str:
    words = [SEX_WORDS.get(keys[name], keys[name]) if name == "sex" else keys[name]
             for name in keys if name in varied or name == "sex"]  # fmt: skip
    if words:
        return ", ".join(words)
    return "all birds" if "sex" in keys else "sexes pooled"
