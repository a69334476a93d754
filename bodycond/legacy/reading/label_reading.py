"""Values that stand beside a label: found, read once, and given to the records of their block."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bodycond.legacy.reading.block_accounts import BlockAccount, CellColumn
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
        if rule.where != "same":
            _settle(block, found[0], "set_aside", "a label")
        if value is None:
            continue
        if rule.set_aside:
            _settle(block, value, "set_aside", f"label set aside: {rule.set_aside}")
        elif rule.ask:
            _settle(block, value, "quarantined", "the recipe leaves the label undecided")
        else:
            label = rule.heading if rule.where == "same" else ""
            cell = CellColumn(rule=rule, rows=np.array([value[0]]), column=value[1], label=label)
            columns.append(cell)
    return FoundLabels(columns=columns, notes=notes)


def _locate(block: BlockAccount, rules: Sequence[ColumnRule]) -> dict[str, list[tuple[int, int]]]:
    sheet = block.sheet
    rows, columns = np.nonzero(sheet.kinds == "t")
    texts = [fold_blanks(str(text)) for text in sheet.texts[rows, columns]]
    places: dict[str, list[tuple[int, int]]] = {}
    for rule in rules:
        patterns = [fold_blanks(text) for text in (rule.heading, *rule.also)]
        if rule.where == "same":
            patterns = [f"{pattern}*" for pattern in patterns]
        places[rule.heading] = [
            (int(row), int(column))
            for row, column, text in zip(rows, columns, texts, strict=True)
            if any(fits_pattern(text, pattern) for pattern in patterns)
            and not block.account.outcomes[row, column]
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
        if rule.where != "same":
            _settle(block, place, "set_aside", "a label")
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
    kinds = block.sheet.kinds
    row, column = label
    for _ in range(1 + _BLANKS_PASSED):
        row, column = (row + 1, column) if rule.where == "below" else (row, column + 1)
        if row >= kinds.shape[0] or column >= kinds.shape[1] or (row, column) in label_cells:
            return None
        if kinds[row, column] != " ":
            return row, column
    return None


def _settle(block: BlockAccount, place: tuple[int, int], outcome: str, reason: str) -> None:
    if not block.account.outcomes[place]:
        block.account.outcomes[place] = outcome
        block.account.reasons[place] = reason
