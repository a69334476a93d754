"""Which exams the condition models use, and why the others do not enter."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from bodycond.codes import CROP_CODES
from bodycond.columns import FEATHER_COLUMNS, SIZE_COLUMNS

# Half full or more: food that weighs something beside the bird.
_FULL_CROPS = ("2", "3", "4")

# Faults of an exam as a whole; any other fault concerns the one value that it names.
_RULES_OF_WHOLE_EXAMS = {
    "other_identity": "flagged: the measures fit another species or sex",
    "duplicate_row": "flagged: a copy of another row",
}


@dataclass(frozen=True, kw_only=True, eq=False)
class ChosenExams:
    """Exams for the condition models: a copy in which doubtful cells are empty.

    Parameters
    ----------
    exams : DataFrame
        The exams that enter. The imported table keeps every value.
    left_out : DataFrame
        ``reason``, ``column`` (empty where the whole exam is left out) and ``n_exams``.
    """

    exams: pd.DataFrame
    left_out: pd.DataFrame


def choose_exams(
    exams: pd.DataFrame,
    faults: pd.DataFrame,
    *,
    score: str,
    keep_flagged: bool = False,
    without_full_crops: bool = False,
) -> ChosenExams:
    """Leave out nestlings, gravid birds and flagged values, counting each.

    Parameters
    ----------
    exams : DataFrame
        Imported exams with a unique index.
    faults : DataFrame
        Faults found by the check: ``row`` (index label), ``column`` and ``rule``.
    score : str
        Column of the grade.
    keep_flagged : bool, default False
        Keep flagged values, to see what they do to a result.
    without_full_crops : bool, default False
        Leave out birds whose crop was half full or more; birds without a crop code stay.

    Returns
    -------
    ChosenExams
        What enters, and what does not and why.
    """
    left_out: list[tuple[str, str, int]] = []
    rows = exams
    exclusions = _name_exclusions(exams, without_full_crops=without_full_crops)
    if not keep_flagged:
        exclusions += [
            (reason, exams.index.to_series().isin(faults.loc[faults["rule"] == rule, "row"]))
            for rule, reason in _RULES_OF_WHOLE_EXAMS.items()
        ]
    for reason, drop in exclusions:
        dropped = drop.reindex(rows.index)
        left_out.append((reason, "", int(dropped.sum())))
        rows = rows.loc[~dropped]
    used = [name for name in ("mass_g", score, *SIZE_COLUMNS) if name in rows.columns]
    blanked = rows.copy()
    for name in used:
        if not keep_flagged:
            flagged = rows.index.isin(faults.loc[faults["column"] == name, "row"])
            flagged &= rows[name].notna().to_numpy()
            left_out.append(("flagged by the check", name, int(flagged.sum())))
            blanked.loc[flagged, name] = float("nan")
            # Else a flagged grade would count as one of which only the interval is known.
            interval = [side for side in (f"{name}_low", f"{name}_high") if side in rows.columns]
            blanked.loc[flagged, interval] = float("nan")
        if name in FEATHER_COLUMNS and "in_moult" in rows.columns:
            growing = (rows["in_moult"].fillna(False) & blanked[name].notna()).astype(bool)
            left_out.append(("measured in moult", name, int(growing.sum())))
            blanked.loc[growing, name] = float("nan")
    return ChosenExams(
        exams=blanked,
        left_out=pd.DataFrame(
            [row for row in left_out if row[2]], columns=["reason", "column", "n_exams"]
        ),
    )


def _name_exclusions(
    exams: pd.DataFrame, *, without_full_crops: bool
) -> list[tuple[str, pd.Series]]:
    named = [
        ("nestling: still growing", exams["age_class"].eq("pullus")),
        ("gravid female: the egg is not condition", exams["gravid"].fillna(False)),
    ]
    if without_full_crops:
        full = " or ".join(CROP_CODES[code] for code in _FULL_CROPS)
        named.append((f"crop {full}", exams["crop_fill"].isin(_FULL_CROPS)))
    return [(reason, drop.fillna(False).astype(bool)) for reason, drop in named]
