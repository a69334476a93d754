"""Proposals as a table to decide in, and what the result says of itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import pandas as pd

from bodycond.legacy.birds.bird_identities import HARD_MEASURES, RING_PREFIX
from bodycond.legacy.birds.carried_rings import Rings
from bodycond.legacy.birds.link_assumptions import LinkAssumptions
from bodycond.legacy.birds.link_words import (
    CONFLICT_BELOW,
    PLACE_FIELDS,
    word_evidence,
    word_place,
    word_strength,
)
from bodycond.references import cite

PAIR_COLUMNS = (
    "bird_id", "same_as", "kind", "weight", "margin", "strength", "evidence_for",
    "evidence_against", "example_bird_id", "example_same_as", "decision", "who", "why",
)  # fmt: skip

ONE_RING = "one ring under two ids"
RING_OF_EXAM = "exam without an id, ring of another"
RING_FORM = "ring written with and without a prefix"
RING_SLIP = "rings one slip apart"
ID_FORM = "one id written in two ways"
ID_IS_RING = "id of one is the ring of the other"
TWO_RINGS = "one id under two rings: re-ringed, or two birds"
TWO_BIRDS = "one id, perhaps two birds"
TWO_BIRDS_RESTART = "one id, perhaps two birds: numbering starts anew"
KINDS = (
    ONE_RING, RING_OF_EXAM, ID_IS_RING, ID_FORM, RING_FORM, RING_SLIP, TWO_RINGS, TWO_BIRDS,
    TWO_BIRDS_RESTART,
)  # fmt: skip

_BITS = ("ring", "number", "species", "sex", "age", *HARD_MEASURES, "day")


def write_pairs(
    aliases: pd.DataFrame,
    doubts: pd.DataFrame,
    *,
    birds: pd.DataFrame,
    exams: pd.DataFrame,
    rings: Rings,
) -> pd.DataFrame:
    """Write the proposals with their evidence, in an order that hangs on nothing but them.

    Parameters
    ----------
    aliases : DataFrame
        Pairs of ids.
    doubts : DataFrame
        Pairs of parts of one id.
    birds : DataFrame
        Result of `summarise_birds`, with ``name``.
    exams : DataFrame
        Result of `prepare_exams`.
    rings : Rings
        The rings.

    Returns
    -------
    DataFrame
        Columns `PAIR_COLUMNS`.
    """
    texts = _RingTexts(exams, rings)
    facts = _list_facts(birds, aliases=aliases)
    places = exams[list(PLACE_FIELDS)].to_dict("records")
    rows = []
    for pair in aliases.to_dict("records"):
        left, right = (dict(facts[int(pair[side])]) for side in ("left", "right"))
        for side, bird in (("left", left), ("right", right)):
            bird["day_mass_g"] = pair[f"day_{side}"]
            bird["ring_text"], bird["example"] = texts.find(bird, ring=int(pair[f"ring_{side}"]))
        kind = _name_alias(pair, left=left, right=right)
        rows.append(_write_row(pair, left=left, right=right, kind=kind, places=places))
    for pair in doubts.to_dict("records"):
        left, right = dict(pair["left_facts"]), dict(pair["right_facts"])
        for bird in (left, right):
            bird["ring_text"] = texts.first.get(int(bird["ring"]), "none or several")
        kind = TWO_BIRDS_RESTART if pair["restarts"] else TWO_BIRDS
        kind = TWO_RINGS if pair["dimension"] == "ring" else kind
        rows.append(_write_row(pair, left=left, right=right, kind=kind, places=places))
    table = pd.DataFrame(rows, columns=list(PAIR_COLUMNS))
    order = table["kind"].map({kind: place for place, kind in enumerate(KINDS)})
    ordered = table.assign(order=order, off=-table["margin"].astype("float64"))
    ordered = ordered.sort_values(["order", "off", "same_as", "bird_id"], ignore_index=True)
    return ordered[list(PAIR_COLUMNS)]


def _list_facts(birds: pd.DataFrame, *, aliases: pd.DataFrame) -> dict[int, dict[str, Any]]:
    named = np.unique(aliases[["left", "right"]].to_numpy(dtype=np.intp))
    return dict(zip(named.tolist(), birds.iloc[named].to_dict("records"), strict=True))


class _RingTexts:
    """Rings as they were written, by identity."""

    def __init__(self, exams: pd.DataFrame, rings: Rings) -> None:
        named, texts = exams["name"].tolist(), exams["ring"].tolist()
        self._by_bird: dict[tuple[str, int], tuple[str, int]] = {}
        self._any: dict[str, tuple[str, int]] = {}
        self.first: dict[int, str] = {}
        numbers = rings.of_exam.tolist()
        for position in np.flatnonzero(rings.of_exam >= 0).tolist():
            ring, text = numbers[position], str(texts[position])
            self._by_bird.setdefault((named[position], ring), (text, position))
            self._any.setdefault(named[position], (text, position))
            self.first.setdefault(ring, text)

    def find(self, bird: Mapping[Any, Any], *, ring: int) -> tuple[str, int]:
        """The ring's text for this identity, and the position of an exam that has it."""
        name = str(bird["name"])
        fallback = self._any.get(name, (name.removeprefix(RING_PREFIX), int(bird["example"])))
        return self._by_bird.get((name, ring), fallback)


def _name_alias(
    pair: Mapping[Any, Any], *, left: Mapping[Any, Any], right: Mapping[Any, Any]
) -> str:
    ring = str(pair["ring_kind"])
    unnumbered = [str(bird["name"]).startswith(RING_PREFIX) for bird in (left, right)]
    if ring == "same" and pair["is_id"]:
        return ID_IS_RING
    if ring == "same":
        return RING_OF_EXAM if any(unnumbered) else ONE_RING
    if pair["same_id"]:
        return ID_FORM
    return RING_FORM if ring == "prefix" else RING_SLIP


def _write_row(
    pair: Mapping[Any, Any],
    *,
    left: Mapping[Any, Any],
    right: Mapping[Any, Any],
    kind: str,
    places: Sequence[Mapping[Any, Any]],
) -> tuple[object, ...]:
    bits = {name: float(pair[name]) for name in _BITS if name in pair}
    conflict = any(bits[name] < limit for name, limit in CONFLICT_BELOW.items())
    speaks_for, against = word_evidence(bits, left=left, right=right)
    where = [word_place(places[int(bird["example"])]) for bird in (right, left)]
    strength = word_strength(float(pair["margin"]), conflict=conflict)
    return (
        right["name"], left["name"], kind, float(pair["weight"]), float(pair["margin"]), strength,
        speaks_for, against, *where, "", "", "",
    )  # fmt: skip


def count_left_out(
    *,
    n_nameless: int,
    n_below: int = 0,
    n_wide: int = 0,
    most_sharing: int = 0,
    threshold: float = 0.0,
) -> pd.DataFrame:
    """Tabulate what was not weighed or not listed.

    Parameters
    ----------
    n_nameless : int
        Exams with neither bird_id nor ring.
    n_below : int, default 0
        Pairs weighed and found below the threshold.
    n_wide : int, default 0
        Rings carried by too many ids.
    most_sharing : int, default 0
        How many ids may carry one ring.
    threshold : float, default 0
        The threshold.

    Returns
    -------
    DataFrame
        ``reason`` and ``n``; reasons that nothing has are passed over.
    """
    counted = [
        ("exams with neither bird_id nor ring_number: nothing to link them by", n_nameless),
        (f"pairs of ids weighed, with a margin below {threshold:g} bits", n_below),
        (f"rings under more than {most_sharing} ids, which name nobody", n_wide),
    ]
    return pd.DataFrame([pair for pair in counted if pair[1]], columns=["reason", "n"])


def write_summary(
    pairs: pd.DataFrame,
    *,
    groups: pd.DataFrame,
    left_out: pd.DataFrame,
    n_exams: int,
    n_ids: int,
    n_compared: int,
    n_decided: int,
    reason: str,
) -> str:
    """Write how many proposals of each kind there are, and what was left out.

    Parameters
    ----------
    pairs, groups, left_out : DataFrame
        Parts of `BirdLinks`.
    n_exams, n_ids, n_compared, n_decided : int
        Counts of `BirdLinks`.
    reason : str
        Why nothing could be proposed.

    Returns
    -------
    str
        The lines.
    """
    lines = [
        f"{_count(n_exams, 'exam')} under {_count(n_ids, 'id')}: {_count(len(pairs), 'proposal')} "
        f"to decide, from {_count(n_compared, 'pair')} of ids weighed"
    ]
    if n_decided:
        lines.append(f"{_count(n_decided, 'pair')} decided before, not proposed again")
    if reason:
        lines.append(f"Nothing proposed: {reason}" if pairs.empty else reason)
    counts = pairs.groupby(["kind", "strength"], sort=False).size()
    lines += [
        f"{row.kind}: {row.n} ({row.strength})" for row in counts.reset_index(name="n").itertuples()
    ]
    if len(groups):
        conflicts = groups[groups["conflict"] != ""]
        lines.append(
            f"The likely links would join {len(groups)} ids into {groups['group'].nunique()} "
            f"birds; {conflicts['group'].nunique()} of these groups hold a conflict and must not "
            "be joined as a whole"
        )
    lines += [f"Left out: {row.reason}: {row.n}" for row in left_out.itertuples()]
    return "\n".join(lines)


def _count(n: int, word: str) -> str:
    return f"{n} {word}{'' if n == 1 else 's'}"


def write_methods(
    *,
    n_exams: int,
    n_ids: int,
    n_compared: int,
    n_listed: int,
    left_out: pd.DataFrame,
    assumptions: LinkAssumptions,
    threshold: float,
) -> str:
    """Write the sentences that a methods section would carry.

    Parameters
    ----------
    n_exams, n_ids, n_compared, n_listed : int
        Exams, ids, pairs of ids weighed, and proposals.
    left_out : DataFrame
        What was left out.
    assumptions : LinkAssumptions
        What was assumed.
    threshold : float
        Margin from which a pair was listed.

    Returns
    -------
    str
        The sentences, then the reference.
    """
    errors = ", ".join(
        f"{name.removesuffix('_mm')} {assumptions.measurement_error_mm[name]:g} mm"
        for name in HARD_MEASURES
    )
    left = "; ".join(f"{row.reason}: {row.n}" for row in left_out.itertuples())
    return (
        f"Birds recorded under several ids, and ids that may stand for two birds, were sought "
        f"among {_count(n_ids, 'id')} of {_count(n_exams, 'exam')} by probabilistic record "
        f"linkage: ring, number, species, sex, possible hatch years and hard measures were each "
        f"weighed by the log ratio of their probabilities in one bird and in two, the latter from "
        f"the table's own frequencies, the former assumed (measurement error SD {errors}; common "
        f"practice with no source). {_count(n_compared, 'pair')} of ids that shared a ring or "
        f"number but for its form or one slip were weighed; from {threshold:g} bits, "
        f"{_count(n_listed, 'proposal')} went to a person, and none was applied without a "
        f"decision.{f' Left out: {left}.' if left else ''} {cite(['fellegi_1969'])}"
    )
