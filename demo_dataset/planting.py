"""Errors planted in the pages, each with its line in the answer key."""

from __future__ import annotations

import copy
import datetime
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pandas as pd
from notation import GRAMS_PER_OUNCE, GRAMS_PER_POUND
from pages import IDENTITY, Cell, Page, Row, place_rows, write_cell

SLIP_LENGTH = 12
SLIP_MARGIN = 5  # sound rows kept above and below, to compare with
SLIP_SHEET = "2021"
N_DATE_CELLS = 5
LIGHTEST_G = 30.0


@dataclass(frozen=True, kw_only=True)
class Planted:
    """One planted error: where it stands, what it says, what it should say."""

    page: Page
    row: Row
    field: str
    planted: Cell
    true: Cell
    kind: str
    twin: Row | None = None


@dataclass(frozen=True, kw_only=True)
class _Plan:
    """One kind of slip in one field of one book, and how many of them."""

    kind: str
    book: str
    field: str
    change: Callable[[Cell], Cell | None]
    count: int = 1


def plant_errors(
    pages: list[Page], *, rng: np.random.Generator
) -> tuple[list[Page], list[Planted]]:
    """Plant every error in a copy of the pages; give the copy and what was planted.

    No row gets two errors. Rows are told apart by `id`, since a duplicate equals its twin.
    """
    pages = copy.deepcopy(pages)
    planted = _plant_slip(next(page for page in pages if page.sheet == SLIP_SHEET))
    taken = {id(error.row) for error in planted}
    for plan in PLANS:
        planted += _plant_single(pages, plan=plan, taken=taken, rng=rng)
    planted += _plant_duplicates(pages, taken=taken, rng=rng)
    return pages, planted


def _plant_single(
    pages: list[Page], *, plan: _Plan, taken: set[int], rng: np.random.Generator
) -> list[Planted]:
    candidates = [
        (page, row, changed)
        for page in pages
        if page.book == plan.book
        for row in page.rows
        if id(row) not in taken and (changed := plan.change(row[plan.field])) is not None
    ]
    planted = []
    for position in rng.permutation(len(candidates))[: plan.count]:
        page, row, changed = candidates[position]
        planted.append(
            Planted(
                page=page, row=row, field=plan.field, planted=changed, true=row[plan.field],
                kind=plan.kind,
            )
        )  # fmt: skip
        row[plan.field] = changed
        taken.add(id(row))
    if len(planted) != plan.count:
        raise ValueError(f"only {len(planted)} of {plan.count} places for {plan.kind}")
    return planted


def _plant_slip(page: Page) -> list[Planted]:
    """Move the identity columns of 12 rows down by one, the last row's going to the first.

    In the block every row gets another bird; of such blocks it is the one with the most rows of
    another species and the most birds, so that the slip shows and only one shift explains it.
    """

    def rank_start(start: int) -> tuple[int, int]:
        block = page.rows[start : start + SLIP_LENGTH]
        changes = {
            name: sum(
                row[name] != above[name]
                for row, above in zip(block, block[-1:] + block[:-1], strict=True)
            )
            for name in ("bird_id", "species")
        }
        birds = len({row["bird_id"] for row in block})
        return changes["bird_id"], changes["species"] + birds

    starts = range(SLIP_MARGIN, len(page.rows) - SLIP_LENGTH - SLIP_MARGIN)
    start = max(starts, key=rank_start)
    block = page.rows[start : start + SLIP_LENGTH]
    before = [{name: row[name] for name in IDENTITY} for row in block]
    planted = []
    for position, row in enumerate(block):
        for name in IDENTITY:
            slipped, true = before[position - 1][name], before[position][name]
            row[name] = slipped
            if slipped != true:
                planted.append(
                    Planted(page=page, row=row, field=name, planted=slipped, true=true,
                            kind="row_slip")
                )  # fmt: skip
    return planted


def _plant_duplicates(
    pages: list[Page], *, taken: set[int], rng: np.random.Generator
) -> list[Planted]:
    """Copy three rows: two directly below themselves, one nine rows on under a new number."""
    planted = []
    for book, distance, suffix in (("late", 1, ""), ("station", 1, ""), ("aviary", 9, "a")):
        page = next(page for page in pages if page.book == book)
        free = [
            position
            for position, row in enumerate(page.rows[:-10])
            if id(row) not in taken and row["mass_g"] is not None
        ]
        position = free[rng.permutation(len(free))[0]]
        twin = page.rows[position]
        again = twin | {"exam_id": f"{twin['exam_id']}{suffix}"}
        page.rows.insert(position + distance, again)
        taken |= {id(twin), id(again)}
        planted.append(
            Planted(page=page, row=again, field="exam_id", planted=again["exam_id"], true=None,
                    kind="duplicate", twin=twin)
        )  # fmt: skip
    return planted


def _multiply_ten(cell: Cell) -> Cell | None:
    return cell * 10 if type(cell) is int and cell != 999 else None


def _divide_ten(cell: Cell) -> Cell | None:
    """Lose a digit: only masses that stay possible for some bird of prey."""
    if type(cell) is not int or cell / 10 < LIGHTEST_G:
        return None
    return cell / 10 if cell % 10 else cell // 10


def _drop_decimal_comma(cell: Cell) -> Cell | None:
    return cell.replace(",", "") if isinstance(cell, str) and "," in cell else None


def _pounds_as_kilograms(cell: Cell) -> Cell | None:
    if not (isinstance(cell, str) and cell.endswith(" kg")):
        return None
    return f"{float(cell.removesuffix(' kg')) * 1000.0 / GRAMS_PER_POUND:.2f} kg"


def _kilograms_as_pounds(cell: Cell) -> Cell | None:
    return cell.replace(" kg", " lb") if isinstance(cell, str) and cell.endswith(" kg") else None


def _light_ounces_as_grams(cell: Cell) -> Cell | None:
    """Write the reading of an ounce scale in a column of grams: no bird of prey is so light."""
    reading = _ounces_as_grams(cell)
    return reading if reading is not None and reading < LIGHTEST_G else None


def _heavy_ounces_as_grams(cell: Cell) -> Cell | None:
    """The same, for a bird so heavy that the reading is possible for some bird of prey."""
    reading = _ounces_as_grams(cell)
    return reading if reading is not None and reading >= LIGHTEST_G else None


def _ounces_as_grams(cell: Cell) -> float | None:
    return round(cell / GRAMS_PER_OUNCE, 1) if type(cell) is int else None


def _swap_digits(cell: Cell) -> Cell | None:
    """Swap the first two digits where that shows: by a third or more, and no length beyond 900."""
    number = str(cell).removesuffix(",0") if cell is not None else ""
    if not number.isdigit() or len(number) != 3 or number[1] == "0":
        return None
    swapped = number[1] + number[0] + number[2]
    if abs(np.log(int(swapped) / int(number))) < 0.35 or int(swapped) > 900:
        return None
    return int(swapped) if type(cell) is int else str(cell).replace(number, swapped)


def _become_date(cell: Cell) -> Cell | None:
    """Do what a spreadsheet program does to "2-3" where days come first: 2 March."""
    if not (isinstance(cell, str) and len(cell) == 3 and cell[1] == "-"):
        return None
    return datetime.datetime(2024, int(cell[2]), int(cell[0]))


PLANS: tuple[_Plan, ...] = (
    _Plan(kind="tenfold", book="early", field="mass_g", change=_multiply_ten),
    _Plan(kind="tenfold", book="station", field="mass_g", change=_divide_ten),
    _Plan(kind="tenfold", book="late", field="wing_mm", change=_divide_ten),
    _Plan(kind="tenfold", book="aviary", field="tarsus_mm", change=_drop_decimal_comma),
    _Plan(kind="lb_kg", book="early", field="mass_g", change=_pounds_as_kilograms),
    _Plan(kind="lb_kg", book="early", field="mass_g", change=_kilograms_as_pounds),
    _Plan(kind="oz_g", book="late", field="mass_g", change=_light_ounces_as_grams),
    _Plan(kind="oz_g", book="station", field="mass_g", change=_heavy_ounces_as_grams),
    _Plan(kind="transposition", book="early", field="wing_mm", change=_swap_digits),
    _Plan(kind="transposition", book="late", field="mass_g", change=_swap_digits),
    _Plan(kind="transposition", book="aviary", field="mass_g", change=_swap_digits),
    _Plan(kind="transposition", book="station", field="wing_mm", change=_swap_digits),
    _Plan(
        kind="date_converted", book="late", field="keel", change=_become_date, count=N_DATE_CELLS
    ),
)


def list_answers(planted: list[Planted]) -> pd.DataFrame:
    """Make the answer key, one line a cell, once every row knows where it stands in its sheet."""
    lines = []
    for error in planted:
        page = error.page
        places = {id(row): place for row, place in zip(page.rows, place_rows(page), strict=True)}
        true = write_cell(error.true)
        if error.twin is not None:
            true = f"copy of row {places[id(error.twin)]}"
        lines.append(
            {
                "file": page.file,
                "sheet": page.sheet,
                "row": places[id(error.row)],
                "column": page.headings[error.field],
                "planted_value": write_cell(error.planted),
                "true_value": true,
                "kind": error.kind,
            }
        )
    table = pd.DataFrame(lines)
    return table.sort_values(["file", "sheet", "row", "column"], kind="stable", ignore_index=True)
