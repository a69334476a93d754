"""The faults that a check can find: their rules, and the table in which they are listed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

MUST_BE_MENDED = "must be mended"
SHOULD_BE_LOOKED_AT = "should be looked at"


@dataclass(frozen=True, kw_only=True)
class Rule:
    """One thing that a check looks for.

    Parameters
    ----------
    name : str
        The rule's name in the table of faults.
    severity : {"must be mended", "should be looked at"}
        The first for what cannot be true, the second for what is merely unlikely.
    meaning : str
        What the rule finds.
    """

    name: str
    severity: str
    meaning: str


RULES: tuple[Rule, ...] = (
    Rule(
        name="not_convertible",
        severity=MUST_BE_MENDED,
        meaning="the cell holds something that its column cannot hold, such as text for a mass",
    ),
    Rule(name="missing_required", severity=MUST_BE_MENDED, meaning="a required cell is empty"),
    Rule(
        name="duplicate_exam_id",
        severity=MUST_BE_MENDED,
        meaning="two rows have one exam number",
    ),
    Rule(name="unknown_code", severity=MUST_BE_MENDED, meaning="the code is not in the code list"),
    Rule(
        name="off_scale",
        severity=MUST_BE_MENDED,
        meaning="the keel grade is not on the scale of 1 to 5 in halves",
    ),
    Rule(
        name="interval_order",
        severity=MUST_BE_MENDED,
        meaning="a score's interval is upside down, or its point lies outside",
    ),
    Rule(
        name="crop_for_owl",
        severity=MUST_BE_MENDED,
        meaning="a filling is recorded for the crop of an owl, which has none",
    ),
    Rule(
        name="date_out_of_range",
        severity=MUST_BE_MENDED,
        meaning="the exam is dated in the future or before 1900",
    ),
    Rule(
        name="outside_hard_range",
        severity=MUST_BE_MENDED,
        meaning="the value is impossible for any full-grown bird of prey, or a fraction is not "
        "within 0 to 1",
    ),
    Rule(
        name="other_identity",
        severity=SHOULD_BE_LOOKED_AT,
        meaning="the measurements together fit another species or sex of the same table",
    ),
    Rule(
        name="robust_z",
        severity=SHOULD_BE_LOOKED_AT,
        meaning="a mass or length lies 4 or more robust standard deviations from the median of "
        "its species and sex, on the log scale",
    ),
    Rule(
        name="species_limits",
        severity=SHOULD_BE_LOOKED_AT,
        meaning="a mass or length lies outside what the table of species ranges asks about",
    ),
    Rule(
        name="mass_for_size",
        severity=SHOULD_BE_LOOKED_AT,
        meaning="mass and lengths are each plausible and do not go together",
    ),
    Rule(
        name="duplicate_row",
        severity=SHOULD_BE_LOOKED_AT,
        meaning="the row repeats another: the row above it, or the same bird on the same day",
    ),
    Rule(
        name="species_spelling",
        severity=SHOULD_BE_LOOKED_AT,
        meaning="the species is not in the table of species ranges and nearly spelt like one",
    ),
)
"""Every rule, in the order in which faults of one row are listed."""

_SEVERITIES = {rule.name: rule.severity for rule in RULES}
_ORDER = {rule.name: position for position, rule in enumerate(RULES)}

FAULT_COLUMNS: tuple[str, ...] = (
    "row", "exam_id", "bird_id", "column", "value", "rule", "severity", "expected", "cure",
    "evidence",
)  # fmt: skip


def make_findings(
    positions: npt.ArrayLike,
    *,
    column: str | Sequence[str],
    rule: str,
    expected: str | Sequence[str],
    cure: str | Sequence[str],
    evidence: str | Sequence[str] = "",
    blame: float | Sequence[float] = 0.0,
) -> pd.DataFrame:
    """Make a table of findings, one a row, before they are put into order.

    Parameters
    ----------
    positions : array_like of int
        Positions of the rows at fault.
    column : str or sequence of str
        The column blamed; one for all, or one each.
    rule : str
        Name of the rule.
    expected, cure, evidence : str or sequence of str
        As in the table of faults; one text for all, or one each.
    blame : float or sequence of float, default 0
        Among faults of one row and like rules, the higher comes first.

    Returns
    -------
    DataFrame
        Columns ``position column rule expected cure evidence blame``.
    """
    where = np.asarray(positions, dtype=np.intp)
    return pd.DataFrame(
        {
            "position": where,
            "column": column,
            "rule": rule,
            "expected": expected,
            "cure": cure,
            "evidence": evidence,
            "blame": blame,
        },
        index=range(where.size),
    )


def list_faults(findings: Sequence[pd.DataFrame], *, exams: pd.DataFrame) -> pd.DataFrame:
    """Put findings into one table, by row and then by how likely each is the cause.

    Parameters
    ----------
    findings : sequence of DataFrame
        What `make_findings` gave.
    exams : DataFrame
        The exams as they were given to the check: labels and values come from here.

    Returns
    -------
    DataFrame
        Columns `FAULT_COLUMNS`, one row a fault.
    """
    some = [table for table in findings if len(table)]
    if not some:
        empty = pd.DataFrame({name: pd.Series(dtype="str") for name in FAULT_COLUMNS})
        return empty.astype({"row": exams.index.dtype, "value": object})
    found = pd.concat(some, ignore_index=True)
    order = found["rule"].map(_ORDER)
    # Within a row what must be mended comes first; then the likelier seat of the error.
    found = found.assign(
        hard=(found["rule"].map(_SEVERITIES) != MUST_BE_MENDED), guilt=-found["blame"], order=order
    ).sort_values(["position", "hard", "guilt", "order"], kind="stable", ignore_index=True)
    positions = found["position"].to_numpy()
    names = found["column"].to_numpy(dtype=object)
    values = np.empty(len(found), dtype=object)
    for name in pd.unique(found["column"]):
        here = names == name
        values[here] = exams[name].iloc[positions[here]].to_numpy(dtype=object)
    return pd.DataFrame(
        {
            "row": exams.index.take(positions),
            "exam_id": _take_identity(exams, name="exam_id", positions=positions),
            "bird_id": _take_identity(exams, name="bird_id", positions=positions),
            "column": found["column"].astype("str"),
            "value": values,
            "rule": found["rule"].astype("str"),
            "severity": found["rule"].map(_SEVERITIES).astype("str"),
            "expected": found["expected"].astype("str"),
            "cure": found["cure"].astype("str"),
            "evidence": found["evidence"].astype("str"),
        }
    )


def _take_identity(exams: pd.DataFrame, *, name: str, positions: npt.NDArray[np.intp]) -> pd.Series:
    if name not in exams.columns:
        return pd.Series(index=range(len(positions)), dtype="str")
    return exams[name].iloc[positions].reset_index(drop=True).astype("str")


def count_faults(faults: pd.DataFrame) -> pd.DataFrame:
    """Count the faults of each rule that found any.

    Parameters
    ----------
    faults : DataFrame
        What `list_faults` gave.

    Returns
    -------
    DataFrame
        Columns ``rule severity n_faults n_rows``, in the order of `RULES`; ``n_rows`` counts
        different index labels.
    """
    groups = faults.groupby("rule")["row"]
    sizes, rows = groups.size(), groups.nunique()
    names = [rule for rule in RULES if rule.name in sizes.index]
    return pd.DataFrame(
        {
            "rule": pd.Series([rule.name for rule in names], dtype="str"),
            "severity": pd.Series([rule.severity for rule in names], dtype="str"),
            "n_faults": pd.Series([int(sizes[rule.name]) for rule in names], dtype="int64"),
            "n_rows": pd.Series([int(rows[rule.name]) for rule in names], dtype="int64"),
        }
    )
