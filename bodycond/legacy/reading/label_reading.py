"""Values that stand beside a label: found, read once, and given to the records of their block."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from bodycond.legacy.reading.block_accounts import EMPTIED, BlockAccount
from bodycond.legacy.reading.cell_columns import CellColumn, strip_label
from bodycond.legacy.recipes.recipe_rules import ColumnRule, fits_pattern
from bodycond.legacy.recipes.sheet_areas import fold_blanks

_BLANKS_PASSED = 3
"""Empty cells between a label and its value that are passed over: labels are often padded."""


@dataclass(frozen=True, kw_only=True, eq=False)
class FoundLabels:
    """The labels of a block with the cells of their values.

    Parameters
    ----------
    columns : list of CellColumn
        One a label that was found and has a field, with one cell.
    notes : list of str
        Labels that stand nowhere or several times.
    """

    columns: list[CellColumn]
    notes: list[str]


def find_labels(block: BlockAccount, rules: Sequence[ColumnRule]) -> FoundLabels:
    """Find labels and their values, and settle what needs no reading.

    Parameters
    ----------
    block : BlockAccount
        The block.
    rules : sequence of ColumnRule
        Labels of the recipe.

    Returns
    -------
    FoundLabels
        Cells to read. The labels themselves are set aside in the account.
    """
    if not rules:
        return FoundLabels(columns=[], notes=[])
    places = _locate(block, rules)
    label_cells = {place for found in places.values() for place in found}
    columns: list[CellColumn] = []
    notes: list[str] = []
    for rule in rules:
        found = places[rule.heading]
        if len(found) != 1:
            notes += _note_count(block, rule, found)
            _hold(block, rule, found, label_cells)
            continue
        value = _find_value(block, rule, found[0], label_cells)
        _settle_label(block, rule, found[0])
        if value is None or _settle_struck(block, found[0], value):
            continue
        if rule.set_aside:
            _settle(block, value, "set_aside", f"label set aside: {rule.set_aside}")
        elif rule.ask:
            _settle(block, value, "quarantined", "the recipe leaves the label undecided")
        else:
            label = _find_written(block, rule, value) if rule.where == "same" else ""
            cell = CellColumn(rule=rule, rows=np.array([value[0]]), column=value[1], label=label)
            columns.append(cell)
    return FoundLabels(columns=columns, notes=notes)


def _locate(block: BlockAccount, rules: Sequence[ColumnRule]) -> dict[str, list[tuple[int, int]]]:
    sheet = block.sheet
    rows, columns = np.nonzero(sheet.kinds == "t")
    codes, different = pd.factorize(sheet.texts[rows, columns])
    texts = [fold_blanks(str(text)) for text in different]
    places: dict[str, list[tuple[int, int]]] = {}
    for rule in rules:
        patterns = [fold_blanks(text) for text in (rule.heading, *rule.also)]
        if rule.where == "same":
            patterns = [f"{pattern}*" for pattern in patterns]
        fits = [any(fits_pattern(text, pattern) for pattern in patterns) for text in texts]
        at = np.flatnonzero(np.array(fits, dtype=bool)[codes])
        places[rule.heading] = [
            (row, column)
            for row, column in zip(rows[at].tolist(), columns[at].tolist(), strict=True)
            if not block.account.outcomes[row, column]
        ]
    return places


def _note_count(block: BlockAccount, rule: ColumnRule, found: list[tuple[int, int]]) -> list[str]:
    if not found:
        return [f"the recipe's label {rule.heading!r} not found"]
    listed = ", ".join(block.name_cell(*place) for place in found[:4])
    return [f"the label {rule.heading!r} stands {len(found)} times ({listed}): held"]


def _hold(
    block: BlockAccount, rule: ColumnRule, found: list[tuple[int, int]],
    label_cells: set[tuple[int, int]],
) -> None:  # fmt: skip
    """Hold values of a label that stands several times, since nothing says which is meant."""
    for place in found:
        value = _find_value(block, rule, place, label_cells)
        reason = f"the label {rule.heading!r} stands more than once"
        _settle_label(block, rule, place)
        if value is not None:
            outcome = "set_aside" if rule.set_aside else "quarantined"
            said = f"label set aside: {rule.set_aside}" if rule.set_aside else reason
            _settle(block, value, outcome, said)


def _find_value(
    block: BlockAccount, rule: ColumnRule, label: tuple[int, int],
    label_cells: set[tuple[int, int]],
) -> tuple[int, int] | None:  # fmt: skip
    if rule.where == "same":
        return label
    sheet, outcomes = block.sheet, block.account.outcomes
    row, column = _find_end(block, rule, label)
    for _ in range(1 + _BLANKS_PASSED):
        row, column = (row + 1, column) if rule.where == "below" else (row, column + 1)
        outside = row >= sheet.kinds.shape[0] or column >= sheet.kinds.shape[1]
        if outside or (row, column) in label_cells:
            return None
        # A cell that was emptied by decision was the value; what stands behind it is another's.
        if outcomes[row, column] == EMPTIED or _is_other_label(block, row, column):
            return None
        if sheet.kinds[row, column] != " ":
            return row, column
    return None


def _find_end(block: BlockAccount, rule: ColumnRule, label: tuple[int, int]) -> tuple[int, int]:
    """Give the last cell of a label, which can be merged over several."""
    for top, left, bottom, right in block.sheet.merged:
        if (top, left) == label:
            return (bottom, left) if rule.where == "below" else (top, right)
    return label


def _is_other_label(block: BlockAccount, row: int, column: int) -> bool:
    # Some label that the recipe does not name, whose value stands behind it in turn.
    text = str(block.sheet.texts[row, column])
    return block.sheet.kinds[row, column] == "t" and text.rstrip().endswith(":")


def _find_written(block: BlockAccount, rule: ColumnRule, place: tuple[int, int]) -> str:
    """Tell which of its forms the label has in a cell that holds its value too."""
    text = fold_blanks(str(block.sheet.texts[place]))
    for pattern in (rule.heading, *rule.also):
        if fits_pattern(text, f"{fold_blanks(pattern)}*"):
            return pattern
    return rule.heading


def _settle_label(block: BlockAccount, rule: ColumnRule, place: tuple[int, int]) -> None:
    """Set a label aside; one in the cell of its value only where no value stands behind it."""
    if rule.where == "same":
        text = str(block.sheet.texts[place])
        if strip_label(text, _find_written(block, rule, place)):
            return
    _settle(block, place, "set_aside", "a label")


def _settle_struck(block: BlockAccount, label: tuple[int, int], value: tuple[int, int]) -> bool:
    """Settle a value that is struck through, or whose label is; tell whether it was."""
    sheet = block.sheet
    if value in sheet.struck:
        _settle(block, value, "set_aside", "struck through")
    elif value in sheet.partly_struck:
        _settle(block, value, "quarantined", "a part of the text is struck through")
        block.account.likely[value] = sheet.partly_struck[value].strip()
    elif label in sheet.struck or label in sheet.partly_struck:
        _settle(block, value, "quarantined", "the label beside it is struck through")
    else:
        return False
    return True


def _settle(block: BlockAccount, place: tuple[int, int], outcome: str, reason: str) -> None:
    if not block.account.outcomes[place]:
        block.account.outcomes[place] = outcome
        block.account.reasons[place] = reason
