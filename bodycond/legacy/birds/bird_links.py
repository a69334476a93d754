"""One bird under several ids, and one id that may be two birds: proposed, never decided here."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from bodycond.errors import ArgumentError
from bodycond.legacy.birds.applied_bird_links import AS_WRITTEN, apply_bird_links
from bodycond.legacy.birds.bird_identities import name_exams, prepare_exams
from bodycond.legacy.birds.bird_link_decisions import DecidedBirds, read_decisions
from bodycond.legacy.birds.carried_rings import MOST_SHARING
from bodycond.legacy.birds.link_assumptions import LinkAssumptions
from bodycond.legacy.birds.link_groups import GROUP_COLUMNS, group_birds, pair_positions
from bodycond.legacy.birds.link_weighing import (
    LinkTable,
    add_day_masses,
    read_table,
    weigh_candidates,
    weigh_doubts,
)
from bodycond.legacy.birds.link_words import LIKELY_BITS, ONE_LIKELY, ONE_SURE
from bodycond.legacy.birds.link_writing import (
    PAIR_COLUMNS,
    count_left_out,
    write_methods,
    write_pairs,
    write_summary,
)

__all__ = ["BirdLinks", "LinkAssumptions", "apply_bird_links", "propose_bird_links"]

DEFAULT_THRESHOLD = -LIKELY_BITS
"""One to ten that two ids are one bird: the region that a person should look at."""


@dataclass(frozen=True, kw_only=True, eq=False)
class BirdLinks:
    """Proposals about which ids are one bird, and which one id may be two.

    Parameters
    ----------
    pairs : DataFrame
        One row a proposal, most doubtful merges last: ``bird_id``, ``same_as`` (the one examined
        first), ``kind``, ``weight`` (evidence in bits), ``margin`` (log2 odds that both are one
        bird, the prior added), ``strength``, ``evidence_for``, ``evidence_against``,
        ``example_bird_id``, ``example_same_as`` (where an exam of each stands), and ``decision``,
        ``who``, ``why``, empty, for the people who decide.
    groups : DataFrame
        What the likely links would join: ``group``, ``bird_id``, ``same_as`` (the group's
        earliest), ``n_members``, ``n_exams``, ``conflict``. A group with a conflict holds two
        birds somewhere and must not be joined as a whole.
    left_out : DataFrame
        ``reason`` and ``n`` of exams and pairs that were not weighed or not listed.
    assumptions : LinkAssumptions
        What was assumed of one bird's records.
    n_exams, n_ids, n_compared, n_decided : int
        Exams in the table, ids in it, pairs weighed, and pairs that were decided already.
    threshold : float
        Margin below which a pair of ids is not listed, unless both carry one ring.
    reason : str
        Why nothing could be proposed; empty where something could.
    """

    pairs: pd.DataFrame
    groups: pd.DataFrame
    left_out: pd.DataFrame
    assumptions: LinkAssumptions
    n_exams: int
    n_ids: int
    n_compared: int
    n_decided: int
    threshold: float
    reason: str = ""

    def to_frame(self) -> pd.DataFrame:
        """Give the proposals, unrounded; filled in, they are decisions.

        Returns
        -------
        DataFrame
            A copy of ``pairs``.
        """
        return self.pairs.copy()

    def summary(self) -> str:
        """Write how many proposals of each kind there are, and what was left out.

        Returns
        -------
        str
            The lines.
        """
        return write_summary(
            self.pairs, groups=self.groups, left_out=self.left_out, n_exams=self.n_exams,
            n_ids=self.n_ids, n_compared=self.n_compared, n_decided=self.n_decided,
            reason=self.reason,
        )  # fmt: skip

    def methods(self) -> str:
        """Give the sentences that a methods section would carry.

        Returns
        -------
        str
            The sentences, then the reference.
        """
        return write_methods(
            n_exams=self.n_exams, n_ids=self.n_ids, n_compared=self.n_compared,
            n_listed=len(self.pairs), left_out=self.left_out, assumptions=self.assumptions,
            threshold=self.threshold,
        )  # fmt: skip


def propose_bird_links(
    exams: pd.DataFrame,
    *,
    decisions: pd.DataFrame | None = None,
    assumptions: LinkAssumptions | None = None,
    threshold: float = DEFAULT_THRESHOLD,
    progress: Callable[[str], None] | None = None,
) -> BirdLinks:
    """Propose which ids are one bird, and which one id may be two birds, with the evidence.

    Nothing is changed; `apply_bird_links` carries out what people decided.

    Parameters
    ----------
    exams : DataFrame
        Exams. Without a ``bird_id`` an exam goes by its ring, as ``"ring:AB1234"``; without
        either it is left out and counted.
    decisions : DataFrame, optional
        What was decided before, as `apply_bird_links` takes it; not proposed again. Where they
        were carried out already, the ids in ``bird_id_as_written`` are compared.
    assumptions : LinkAssumptions, optional
        What is assumed of one bird's records. Default `LinkAssumptions()`.
    threshold : float, default -3.33
        Margin in bits from which two ids are listed, by default odds of one to ten; pairs that
        carry one ring always are.
    progress : callable, optional
        Called with the name of each step as it begins.

    Returns
    -------
    BirdLinks
        The proposals.

    Raises
    ------
    ArgumentError
        If the threshold is no finite number or the decisions contradict one another.
    MissingColumnError
        If a column of the decisions is absent.

    Notes
    -----
    A pair's weight is the sum over fields of log2(m / u) [1]_: m is the probability of what is
    seen if both are one bird (`LinkAssumptions`), u if they are two. For a value v that agrees, u
    is the share of v in the table, so that a rare species tells more than a common sex. One ring
    under two ids has u = ring_slip / n; rings that differ by a slip have the share of such pairs
    among birds of one species and two sexes, which cannot be one bird, so that it is high where
    rings were issued in series. For a hard measure with means x and y of k and l measurements,
    error variance e and variance b between birds of that species and sex,
    m / u = (1 - s) N2(x, y; [[b + e/k, b], [b, b + e/l]]) / (N(x; b + e/k) N(y; b + e/l)) + s,
    with s the share of slips. The margin adds the prior log2 odds, 2 alias_share / (n - 1) for
    two of n ids and (1 - reused_share) / reused_share for two parts of one id; where numbering
    starts anew in several files, the share of ids that are one bird is estimated from the parts'
    weights by expectation and maximisation. Fields are taken as independent, which measures of
    one body are not quite: three that agree count a little too much. Only pairs that share a
    ring or number, but for form, a prefix or one slip, are weighed: measures alone never
    identify a bird. Wings are no evidence, since feathers grow and wear.

    References
    ----------
    .. [1] Fellegi IP, Sunter AB (1969) A theory for record linkage. Journal of the American
       Statistical Association 64:1183-1210. doi:10.1080/01621459.1969.10501049

    Examples
    --------
    >>> exams = pd.DataFrame(
    ...     {"bird_id": ["K7", "19"], "ring_number": ["AB0123", "ab 123"], "sex": ["F", "F"]}
    ... )
    >>> propose_bird_links(exams).pairs[["bird_id", "same_as", "kind"]].values.tolist()
    [['K7', '19', 'one ring under two ids']]
    """
    if not math.isfinite(threshold):
        raise ArgumentError(
            needed="threshold= is a finite number of bits",
            found=f"threshold={threshold!r}",
            then=f"Use the default of {DEFAULT_THRESHOLD:g}",
        )
    assumed = assumptions or LinkAssumptions()
    decided = read_decisions(decisions)
    # Decisions are about ids as written, also in a table in which they were carried out already.
    linked = decisions is not None and AS_WRITTEN in exams.columns
    bird = AS_WRITTEN if linked else "bird_id"
    say = progress or (lambda _step: None)
    say("reading ids and rings")
    facts = prepare_exams(exams, bird=bird)
    n_nameless = int(name_exams(exams, bird=bird)["name"].isna().sum())
    if facts.empty:
        return BirdLinks(
            pairs=pd.DataFrame(columns=list(PAIR_COLUMNS)),
            groups=pd.DataFrame(columns=list(GROUP_COLUMNS)),
            left_out=count_left_out(n_nameless=n_nameless),
            assumptions=assumed, n_exams=len(exams), n_ids=0, n_compared=0, n_decided=0,
            threshold=threshold,
            reason="no exam carries a bird_id or a ring_number, so there is nothing to link",
        )  # fmt: skip
    table = read_table(facts, assumptions=assumed)
    say("weighing pairs")
    aliases, doubts = weigh_candidates(table), weigh_doubts(table)
    say("writing proposals")
    return _gather(
        table, aliases=aliases, doubts=doubts, decided=decided,
        threshold=threshold, n_exams=len(exams), n_nameless=n_nameless,
    )  # fmt: skip


def _gather(
    table: LinkTable,
    *,
    aliases: pd.DataFrame,
    doubts: pd.DataFrame,
    decided: DecidedBirds,
    threshold: float,
    n_exams: int,
    n_nameless: int,
) -> BirdLinks:
    names = table.birds["name"]
    n_compared = len(aliases)
    # A mass of the same day can lift a pair by some bits, so near misses are looked at too.
    hopeful = (aliases["ring_kind"] == "same") | (aliases["margin"] >= threshold - 10)
    aliases = add_day_masses(aliases[hopeful].reset_index(drop=True), table=table)
    aliases["left_name"] = names.iloc[aliases["left"]].to_numpy()
    aliases["right_name"] = names.iloc[aliases["right"]].to_numpy()
    listed = (aliases["ring_kind"] == "same") | (aliases["margin"] >= threshold)
    n_below = n_compared - int(listed.sum())
    aliases = aliases[listed]
    open_aliases, n_first = _drop_decided(aliases, decided)
    open_doubts, n_second = _drop_decided(doubts, decided)
    pairs = write_pairs(
        open_aliases, open_doubts, birds=table.birds, exams=table.exams, rings=table.rings
    )
    return BirdLinks(
        pairs=pairs,
        groups=_group(table, pairs=pairs, aliases=open_aliases, doubts=doubts, decided=decided),
        left_out=count_left_out(
            n_nameless=n_nameless, n_below=n_below, n_wide=table.rings.n_widely_shared,
            most_sharing=MOST_SHARING, threshold=threshold,
        ),
        assumptions=table.assumptions, n_exams=n_exams, n_ids=len(names),
        n_compared=n_compared, n_decided=n_first + n_second, threshold=threshold,
        reason="" if len(names) > 1 or len(pairs) else "one id alone, and nothing against it",
    )  # fmt: skip


def _drop_decided(pairs: pd.DataFrame, decided: DecidedBirds) -> tuple[pd.DataFrame, int]:
    settled = np.array(
        [
            decided.settles(one, other)
            for one, other in zip(pairs["left_name"], pairs["right_name"], strict=True)
        ],
        dtype=bool,
    )
    return pairs[~settled].reset_index(drop=True), int(settled.sum())


def _group(
    table: LinkTable,
    *,
    pairs: pd.DataFrame,
    aliases: pd.DataFrame,
    doubts: pd.DataFrame,
    decided: DecidedBirds,
) -> pd.DataFrame:
    names = table.birds["name"]
    likely = pairs[pairs["strength"].isin((ONE_SURE, ONE_LIKELY))]
    wanted = set(zip(likely["same_as"], likely["bird_id"], strict=True))
    keep = [
        pair in wanted for pair in zip(aliases["left_name"], aliases["right_name"], strict=True)
    ]
    proposed = aliases.loc[keep, ["left", "right"]].assign(proposed=True)
    joined = pair_positions(
        [(line.bird_id, line.same_as) for line in decided.lines if line.same], names=names
    )
    known = pd.DataFrame(joined, columns=["left", "right"]).assign(proposed=False)
    return group_birds(
        pd.concat([proposed, known], ignore_index=True) if len(proposed) else proposed,
        birds=table.birds, doubted=_list_doubted(doubts, decided=decided),
        decided_apart=_list_apart(decided, names=names), population=table.population,
        assumptions=table.assumptions,
    )  # fmt: skip


def _list_doubted(doubts: pd.DataFrame, *, decided: DecidedBirds) -> dict[int, str]:
    doubted: dict[int, str] = {}
    for row in doubts.to_dict("records"):
        names = (str(row["left_name"]), str(row["right_name"]))
        joined = decided.group.get(names[0], -1) == decided.group.get(names[1], -2)
        if row["margin"] < 0 and not joined:
            doubted.setdefault(int(row["bird"]), f"{names[0]} and {names[1]}")
    return doubted


def _list_apart(decided: DecidedBirds, *, names: pd.Series) -> frozenset[tuple[int, int]]:
    members: dict[int, list[str]] = {}
    for name, number in decided.group.items():
        members.setdefault(number, []).append(name)
    pairs: Sequence[tuple[str, str]] = [
        (one, other)
        for first, second in sorted(decided.apart)
        for one in members[first]
        for other in members[second]
    ]
    return frozenset((int(a), int(b)) for a, b in pair_positions(pairs, names=names))
