"""Every fault of an exam table at once, with its row, its rule and its likely cure."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

import numpy as np
import pandas as pd

from bodycond.exams.ask_limits import (
    AskLimits,
    find_displaced_groups,
    find_misspelt_species,
    look_up_limits,
)
from bodycond.exams.check_progress import (
    CheckProgress,
    list_not_run,
    note_displaced_groups,
    note_groups,
    note_scoring,
    skip_absent_measures,
    skip_rule,
)
from bodycond.exams.coercion import require_unique_headings
from bodycond.exams.duplicate_rows import find_duplicate_rows
from bodycond.exams.exam_groups import MEASURES, MIN_GROUP_ROWS, convert_exams, group_exams
from bodycond.exams.faults import MUST_BE_MENDED, count_faults, list_faults
from bodycond.exams.plausibility import find_implausible
from bodycond.exams.robust_slips import (
    FLAG_Z,
    MAD_TO_SD,
    SCALE_FLOOR,
    list_thin_groups,
    measure_deviations,
)
from bodycond.exams.species_ranges import (
    SPECIES_SYNONYMS,
    accept_names,
    load_species_ranges,
    validate_species_ranges,
)
from bodycond.exams.tables import find_text_scores
from bodycond.exams.value_rules import (
    find_fractions_beyond,
    find_interval_faults,
    find_owl_crops,
    find_schema_breaches,
    find_unconvertible,
    find_wrong_dates,
)
from bodycond.references import cite


@dataclass(frozen=True, kw_only=True, eq=False)
class ExamCheck:
    """What a check of an exam table found; the table itself is as it was.

    Parameters
    ----------
    faults : DataFrame
        One row a fault: ``row`` (index label), ``exam_id``, ``bird_id``, ``column``, ``value``
        (as recorded), ``rule``, ``severity`` ("must be mended" or "should be looked at"),
        ``expected``, ``cure`` (in words, likelier ones first, never applied), ``evidence``.
        Within a row the likelier seat of the error comes first.
    passed : bool
        True if nothing must be mended.
    counts : DataFrame
        ``rule severity n_faults n_rows`` for each rule that found something.
    not_run : DataFrame
        ``rule about reason`` for each rule that could not be run on something.
    notes : tuple of str
        What a user of the table should know and no single row is to blame for.
    n_rows : int
        Rows checked.
    n_flagged : int
        Rows with a fault.
    """

    faults: pd.DataFrame
    passed: bool
    counts: pd.DataFrame
    not_run: pd.DataFrame
    notes: tuple[str, ...]
    n_rows: int
    n_flagged: int

    def to_frame(self) -> pd.DataFrame:
        """Give the faults as a table of their own.

        Returns
        -------
        DataFrame
            A copy of ``faults``.
        """
        return self.faults.copy()

    def summary(self) -> str:
        """Write what was found in a few lines.

        Returns
        -------
        str
            Verdict, counts by rule, rules not run, notes.
        """
        must = int((self.faults["severity"] == MUST_BE_MENDED).sum())
        lines = [
            f"{self.n_rows} exams checked: {must} faults must be mended, "
            f"{len(self.faults) - must} should be looked at; {self.n_flagged} rows in all"
        ]
        lines += [
            f"  {count.rule}: {count.n_faults} in {count.n_rows} rows ({count.severity})"
            for count in self.counts.itertuples(index=False)
        ]
        if len(self.not_run):
            lines.append("Not run:")
            lines += [
                f"  {one.rule}, {one.about}: {one.reason}"
                for one in self.not_run.itertuples(index=False)
            ]
        return "\n".join([*lines, *self.notes])

    def methods(self) -> str:
        """Give the sentences that a methods section would carry.

        Returns
        -------
        str
            The sentences, then the reference.
        """
        return (
            f"The {self.n_rows} exams were checked against column types, code lists, hard limits "
            "and species ranges, and each mass and length was compared with the median of its "
            f"species and sex on the log scale; values {FLAG_Z:g} or more robust standard "
            f"deviations away ({MAD_TO_SD} times the median absolute deviation, at least "
            f"{SCALE_FLOOR:g}; groups of {MIN_GROUP_ROWS} or more) and masses as far from three "
            f"times the log of size were listed, which gave {self.n_flagged} rows. The check "
            f"changed no value. {cite(['rousseeuw_1993'])}"
        )


def check_exams(
    exams: pd.DataFrame,
    *,
    species_ranges: pd.DataFrame | None = None,
    today: datetime.date | None = None,
) -> ExamCheck:
    """Check an exam table and list every fault at once; nothing is changed.

    Parameters
    ----------
    exams : DataFrame
        Exams, one row each, with any of the columns of `bodycond.columns.EXAM_COLUMNS`. Rules
        whose columns are absent are listed in ``not_run``. Other columns are left alone, but
        for scores in the pattern ``x``, ``x_low``, ``x_high`` and columns ``*_fraction``.
    species_ranges : DataFrame, optional
        Limits to ask at, in the shape of `load_species_ranges`, which is the default.
    today : date, optional
        Latest day on which an exam can have been. Default the day of the call; give it to get
        the same answer on any day.

    Returns
    -------
    ExamCheck
        The faults, the rules that could not be run, and notes.

    Raises
    ------
    ArgumentError
        If two columns have one name, or the species ranges cannot be used.

    Notes
    -----
    A cell that is implausible by several rules is listed once, under the strongest, and the
    others are named in the evidence. A factor is proposed as a cure only if it brings the
    value back to its species and sex and the bird's other measures then agree.

    Examples
    --------
    >>> import pandas as pd
    >>> exams = pd.DataFrame({"species": "Buteo buteo", "sex": "F", "mass_g": [950.0, 95.0]})
    >>> check = check_exams(exams)
    >>> check.faults[["row", "column", "value", "rule"]].values.tolist()
    [[1, 'mass_g', 95.0, 'species_limits']]
    >>> check.faults["cure"].iloc[0]
    "mass 95 g may be 950 g (tenfold too small: within the species' limits)"
    """
    require_unique_headings(exams)
    ranges = load_species_ranges() if species_ranges is None else species_ranges
    validate_species_ranges(ranges)
    converted = convert_exams(exams)
    table = converted.table
    progress = CheckProgress(findings=[], skipped=[], notes=[])
    progress.findings.extend(find_unconvertible(converted))
    progress.findings.extend(find_schema_breaches(table))
    progress.findings.extend(find_fractions_beyond(exams))
    _check_rows(table, exams=exams, today=today or datetime.date.today(), progress=progress)
    _check_plausibility(table, ranges=ranges, progress=progress)
    note_scoring(table, progress=progress)
    faults = list_faults(progress.findings, exams=exams)
    positions = [found["position"].to_numpy() for found in progress.findings if len(found)]
    return ExamCheck(
        faults=faults,
        passed=bool((faults["severity"] != MUST_BE_MENDED).all()),
        counts=count_faults(faults),
        not_run=list_not_run(exams, progress=progress),
        notes=tuple(progress.notes),
        n_rows=len(exams),
        n_flagged=len(np.unique(np.concatenate(positions))) if positions else 0,
    )


def _check_rows(
    table: pd.DataFrame, *, exams: pd.DataFrame, today: datetime.date, progress: CheckProgress
) -> None:
    """Run the rules on rows that need several columns, or say which are absent."""
    own = {
        str(name): exams[name].set_axis(table.index)
        for name in exams.columns
        if name not in table.columns
    }
    everything = pd.DataFrame({**table, **own})
    progress.findings.extend(find_interval_faults(everything))
    progress.skipped.extend(
        ("interval_order", score, "its columns do not hold numbers")
        for score in find_text_scores(everything)
    )
    have = set(table.columns)
    if not {"keel_low", "keel_high"} <= have:
        skip_rule(progress, rule="interval_order", absent={"keel_low", "keel_high"} - have)
    if {"species", "crop_fill"} <= have:
        progress.findings.extend(find_owl_crops(table))
    else:
        skip_rule(progress, rule="crop_for_owl", absent={"species", "crop_fill"} - have)
    if "exam_date" in have:
        progress.findings.extend(find_wrong_dates(table, today=today))
    else:
        skip_rule(progress, rule="date_out_of_range", absent={"exam_date"})
    if have & set(MEASURES):
        progress.findings.extend(find_duplicate_rows(table))
    else:
        skip_rule(progress, rule="duplicate_row", absent=set(MEASURES))


def _check_plausibility(
    table: pd.DataFrame, *, ranges: pd.DataFrame, progress: CheckProgress
) -> None:
    """Run the rules that compare within species and sex."""
    if "species" not in table.columns:
        for rule in ("robust_z", "mass_for_size", "other_identity", "species_limits"):
            skip_rule(progress, rule=rule, absent={"species"})
        table = table.assign(species=pd.Series(index=table.index, dtype="str"))
    grouped = group_exams(table)
    deviations = measure_deviations(table, grouped=grouped)
    limits = look_up_limits(grouped, measures=deviations.measures, species_ranges=ranges)
    progress.findings.extend(
        find_implausible(
            grouped=grouped, deviations=deviations, limits=limits, gravid=_read_gravid(table)
        )
    )
    _check_species(table, ranges=ranges, limits=limits, progress=progress)
    progress.skipped.extend(
        ("robust_z", about, reason)
        for about, reason in list_thin_groups(grouped, deviations=deviations)
    )
    note_groups(table, grouped_rows=grouped.group, progress=progress)
    displaced = find_displaced_groups(deviations, grouped=grouped, limits=limits)
    note_displaced_groups(displaced, grouped=grouped, deviations=deviations, progress=progress)
    if not grouped.full_grown.all():
        progress.notes.append(
            f"{int((~grouped.full_grown).sum())} nestlings: compared with no range and no other "
            "bird, since the ranges are those of full-grown birds"
        )
    skip_absent_measures(table, progress=progress)


def _check_species(
    table: pd.DataFrame, *, ranges: pd.DataFrame, limits: AskLimits, progress: CheckProgress
) -> None:
    """Find misspelt species, and note what the table of ranges does not know."""
    names = accept_names(ranges["scientific_name"])
    known = sorted({*names, *SPECIES_SYNONYMS})
    progress.findings.extend(find_misspelt_species(table, known=known))
    english = dict(zip(ranges.get("english_name", names).astype("str"), names, strict=True))
    for species in limits.unknown:
        hint = next(
            (f"; it is the English name of {name}" for common, name in english.items()
             if common.casefold() == species.casefold()), "",
        )  # fmt: skip
        progress.skipped.append(
            ("species_limits", species, f"not in the table of species ranges{hint}")
        )
    progress.skipped.extend(
        ("species_limits", about, "the table of species ranges has no limits for it")
        for about in limits.open_measures
    )


def _read_gravid(table: pd.DataFrame) -> pd.Series:
    if "gravid" in table.columns:
        return table["gravid"].fillna(False).astype(bool)
    return pd.Series(False, index=table.index)
