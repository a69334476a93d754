"""What a check gathers while its rules run: findings, rules that could not run, and notes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.columns import EXAM_COLUMNS
from bodycond.exams.exam_groups import MEASURES, ExamGroups
from bodycond.exams.robust_slips import Deviations
from bodycond.exams.species_ranges import ASK_COLUMNS
from bodycond.exams.tables import KEEL_GRADES


@dataclass(frozen=True, kw_only=True, eq=False)
class CheckProgress:
    """Findings and omissions of one check; the lists grow while it runs.

    Parameters
    ----------
    findings : list of DataFrame
        What `make_findings` gave.
    skipped : list of (str, str, str)
        Rule, what it could not be run on, and why.
    notes : list of str
        What no single row is to blame for.
    """

    findings: list[pd.DataFrame]
    skipped: list[tuple[str, str, str]]
    notes: list[str]


def skip_absent_measures(table: pd.DataFrame, *, progress: CheckProgress) -> None:
    """Note which comparisons within species and sex lack their columns.

    Parameters
    ----------
    table : DataFrame
        Converted exams.
    progress : CheckProgress
        Where to note it.
    """
    absent = [name for name in MEASURES if name not in table.columns]
    if absent:
        skip_rule(progress, rule="robust_z", absent=set(absent))
    absent_limits = [name for name in ASK_COLUMNS if name not in table.columns]
    if absent_limits:
        skip_rule(progress, rule="species_limits", absent=set(absent_limits))
    if "mass_g" in absent or len(absent) >= len(MEASURES) - 1:
        needed = {"mass_g"} if "mass_g" in absent else set(absent)
        skip_rule(progress, rule="mass_for_size", absent=needed)


def note_groups(
    table: pd.DataFrame, *, grouped_rows: npt.NDArray[np.intp], progress: CheckProgress
) -> None:
    """Note how many birds have no species or no known sex.

    Parameters
    ----------
    table : DataFrame
        Converted exams.
    grouped_rows : ndarray of int
        Group of each exam; -1 without a species.
    progress : CheckProgress
        Where to note it.
    """
    nameless = int((grouped_rows < 0).sum())
    if nameless:
        progress.notes.append(
            f"{nameless} of {len(table)} rows name no species and were compared with no other "
            "bird and no range"
        )
    if "sex" not in table.columns:
        progress.notes.append("no column sex: every bird was treated as of unknown sex")
        return
    unsexed = int((~table["sex"].isin(["F", "M"])).sum())
    if unsexed:
        progress.notes.append(
            f"{unsexed} of {len(table)} birds are of unknown sex: compared with females and "
            "males where the species has enough of both, else among themselves"
        )


def note_displaced_groups(
    displaced: npt.NDArray[np.bool_],
    *,
    grouped: ExamGroups,
    deviations: Deviations,
    progress: CheckProgress,
) -> None:
    """Note species and sexes that as a whole lie outside the limits of the species table.

    Parameters
    ----------
    displaced : ndarray of bool, shape (n_groups, n_measures)
        What `find_displaced_groups` gave.
    grouped : ExamGroups
        The groups.
    deviations : Deviations
        The measures.
    progress : CheckProgress
        Where to note it.
    """
    for position, place in np.argwhere(displaced).tolist():
        named = grouped.groups.iloc[position]
        centre = float(np.exp(deviations.spread.median[position, place]))
        progress.notes.append(
            f"{deviations.measures[place]} of {named['species']}, sex {named['sex']}: the median "
            f"{centre:.4g} lies outside the limits of the species table, so that the whole column "
            "may be in another unit, or the table is wrong for these birds"
        )


def note_scoring(table: pd.DataFrame, *, progress: CheckProgress) -> None:
    """Note how many keel grades were given after the mass was known.

    It is a property of the protocol, and no row is at fault for it.

    Parameters
    ----------
    table : DataFrame
        Converted exams.
    progress : CheckProgress
        Where to note it.
    """
    if not {"keel", "mass_known_when_scored"} <= set(table.columns):
        return
    graded = table["keel"].notna()
    known = table["mass_known_when_scored"]
    n_known = int((graded & known.fillna(False)).sum())
    n_unsaid = int((graded & known.isna()).sum())
    if n_known:
        progress.notes.append(
            f"{n_known} of {int(graded.sum())} keel grades were given after the mass was known: "
            "their errors follow the mass, and no correction for scoring error holds for them"
        )
    if n_unsaid:
        progress.notes.append(
            f"{n_unsaid} of {int(graded.sum())} keel grades do not say whether the mass was known"
        )


def skip_rule(progress: CheckProgress, *, rule: str, absent: set[str]) -> None:
    """Note that a rule could not be run because columns are absent.

    Parameters
    ----------
    progress : CheckProgress
        Where to note it.
    rule : str
        The rule.
    absent : set of str
        The columns that it lacks.
    """
    ordered = [column.name for column in EXAM_COLUMNS if column.name in absent]
    names = ", ".join(ordered)
    plural = "columns are" if len(ordered) > 1 else "column is"
    progress.skipped.append((rule, names, f"the {plural} not in the table"))


def list_not_run(exams: pd.DataFrame, *, progress: CheckProgress) -> pd.DataFrame:
    """List the rules that could not be run, what on and why.

    Parameters
    ----------
    exams : DataFrame
        The exams as given.
    progress : CheckProgress
        What was noted.

    Returns
    -------
    DataFrame
        Columns ``rule about reason``.
    """
    skipped = list(progress.skipped)
    if "exam_id" not in exams.columns:
        reason = "the column is not in the table"
        skipped[:0] = [
            (rule, "exam_id", reason) for rule in ("missing_required", "duplicate_exam_id")
        ]
    coded = [
        column.name for column in EXAM_COLUMNS if column.codes and column.name not in exams.columns
    ]
    graded = [name for name in KEEL_GRADES if name not in exams.columns]
    for rule, names in (("unknown_code", coded), ("off_scale", graded)):
        if names:
            plural = "columns are" if len(names) > 1 else "column is"
            skipped.append((rule, ", ".join(names), f"the {plural} not in the table"))
    if not len(exams):
        skipped = [("all", "the table", "it has no rows, so that nothing was checked")]
    return pd.DataFrame(skipped, columns=["rule", "about", "reason"], dtype="str")
