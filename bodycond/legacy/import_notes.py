"""What a reader of an import should know that no single cell tells."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
import pandas as pd

from bodycond.errors import name_first_few
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.ledger import SheetAccount
from bodycond.legacy.notation import MARKER_REASON
from bodycond.legacy.reading.sheet_reading import SheetImport
from bodycond.legacy.recipes.recipe import ImportRecipe
from bodycond.tables_on_disk import name_column

_ORIGIN_COLUMNS = ("exam_id", "source_file", "source_sheet", "source_row")
# The same value can be written '186' in one file and '186 g' in another.
_WRITTEN_TEXTS = ("mass_text", "keel_text", "remarks")
_TELLING_FACTS = 4
_FEWEST_ALIKE = 3
_MOST_PLACES = 20


def word_sheet_notes(parts: Iterable[SheetImport]) -> list[str]:
    """Give the notes of all sheets with their places, one for sheets that say the same.

    Parameters
    ----------
    parts : iterable of SheetImport
        The sheets, read.

    Returns
    -------
    list of str
        In the order in which each was said first.
    """
    places: dict[tuple[str, str], list[str]] = {}
    for part in parts:
        sheet = part.account.sheet
        for note in part.notes:
            places.setdefault((sheet.file, note), []).append(sheet.name)
    return [
        f"{file}, sheet{'' if len(names) == 1 else 's'} {name_first_few(names)}: {note}"
        for (file, note), names in places.items()
    ]


def note_unmatched(recipe: ImportRecipe, opened: Mapping[str, list[Sheet]]) -> list[str]:
    """Note the recipe's entries that read no sheet, and why.

    Parameters
    ----------
    recipe : ImportRecipe
        The recipe.
    opened : mapping of str to list of Sheet
        The sheets by the label of their file.

    Returns
    -------
    list of str
        One note an entry.
    """
    pairs = [(label, sheet.name) for label, sheets in opened.items() for sheet in sheets]
    used = {id(rule) for file, sheet in pairs for rule in recipe.find_rules(file=file, sheet=sheet)}
    notes = []
    for rule in recipe.sheets:
        if id(rule) in used:
            continue
        matches = any(rule.matches(file=file, sheet=sheet) for file, sheet in pairs)
        why = "is not used: an entry above it matches the same sheets"
        name = f"the recipe's entry for {rule.file}, sheet {rule.sheet}"
        name += f" (line {rule.line})," if rule.line else ","
        notes.append(f"{name} {why if matches else 'matches no sheet'}")
    return notes


def note_same_content(files: pd.DataFrame) -> list[str]:
    """Note files that are copies of one another, since their exams are counted again.

    Parameters
    ----------
    files : DataFrame
        As `LegacyImport.files`.

    Returns
    -------
    list of str
        One note a set of copies.
    """
    known = files.dropna(subset=["sha256"])
    return [
        f"files of the same content, each row of them counted {len(same)} times: "
        f"{name_first_few(same['file'])}"
        for _, same in known[known["readable"]].groupby("sha256", sort=False)
        if len(same) > 1
    ]


def note_same_rows(exams: pd.DataFrame) -> list[str]:
    """Note pairs of sheets of which one repeats much of the other, as copies of a table do.

    Parameters
    ----------
    exams : DataFrame
        The exams.

    Returns
    -------
    list of str
        One note a pair of which half the shorter one's rows, and at least three, are alike.
    """
    place = exams["source_file"] + ", sheet " + exams["source_sheet"]
    if place.nunique() < 2:
        return []
    said = exams.drop(columns=[*_ORIGIN_COLUMNS, *_WRITTEN_TEXTS], errors="ignore")
    said = said.loc[:, said.notna().any()]
    # A row of two facts, such as a species and a day, is alike by chance.
    telling = said.notna().sum(axis=1) >= _TELLING_FACTS
    facts = pd.util.hash_pandas_object(said.astype("str"), index=False)
    rows = pd.DataFrame({"facts": facts, "place": place})[telling].drop_duplicates()
    pairs = _pair_places(rows)
    sizes = {str(name): int(count) for name, count in rows.groupby("place").size().items()}
    notes = []
    for pair in pairs.to_dict("records"):
        first, second, count = str(pair["place_x"]), str(pair["place_y"]), int(pair["count"])
        if count >= _FEWEST_ALIKE and 2 * count >= min(sizes[first], sizes[second]):
            notes.append(
                f"the same table twice? {count} rows of {first} stand in {second} too; they are "
                "counted in both, so set one of them aside if they are copies"
            )
    return notes


def _pair_places(rows: pd.DataFrame) -> pd.DataFrame:
    """Count the rows that pairs of places share: ``place_x place_y count``."""
    rows = rows.sort_values("place", kind="stable")
    alike = rows.groupby("facts")["place"].transform("size")
    # Of thousands of sheets with one row alike each is held against the first alone.
    few, many = rows[alike <= _MOST_PLACES], rows[alike > _MOST_PLACES]
    firsts = many.drop_duplicates("facts")
    shared = pd.concat([few.merge(few, on="facts"), firsts.merge(many, on="facts")])
    shared = shared[shared["place_x"] < shared["place_y"]]
    return shared.groupby(["place_x", "place_y"], sort=True).size().reset_index(name="count")


def note_repeated_exams(exams: pd.DataFrame) -> list[str]:
    """Note exam numbers that more than one row has.

    Parameters
    ----------
    exams : DataFrame
        The exams.

    Returns
    -------
    list of str
        One note, or none.
    """
    again = exams["exam_id"][exams["exam_id"].duplicated()].unique()
    if not len(again):
        return []
    return [f"exam_id given to more than one row: {name_first_few(again)}"]


def note_days_ahead(exams: pd.DataFrame) -> list[str]:
    """Note exam dates that are still to come, by the machine's clock.

    Parameters
    ----------
    exams : DataFrame
        The exams.

    Returns
    -------
    list of str
        One note, or none. It names no day of its own, so that outputs stay the same until one of
        those days has come.
    """
    today = pd.Timestamp.now().normalize()
    ahead = exams[exams["exam_date"] > today]
    if ahead.empty:
        return []
    places = (
        f"{row.source_file} {row.source_sheet} row {row.source_row}: {row.exam_date:%Y-%m-%d}"
        for row in ahead.itertuples()
    )
    return [
        f"{len(ahead)} exam dates are still to come ({name_first_few(places)}); where two-digit "
        "years are of another century, write short_years_to in the recipe"
    ]


def note_markers(accounts: Iterable[SheetAccount]) -> list[str]:
    """Note how many numbers were read as markers for no value, and how to overrule it.

    Parameters
    ----------
    accounts : iterable of SheetAccount
        The accounts.

    Returns
    -------
    list of str
        One note, or none.
    """
    places: list[str] = []
    for account in accounts:
        codes, reasons = pd.factorize(account.reasons.ravel())
        marked = np.array([MARKER_REASON in str(reason) for reason in reasons], dtype=bool)
        at = np.flatnonzero(marked[codes]) if len(reasons) else np.array([], dtype=np.intp)
        sheet, width = account.sheet, account.reasons.shape[1]
        places += [
            f"{sheet.file} {sheet.name}!{name_column(int(cell) % width + 1)}"
            f"{int(cell) // width + 1}: {sheet.texts.flat[cell]}"
            for cell in at
        ]
    if not places:
        return []
    return [
        f"{len(places)} cells of 0, 999 or 9999 were read as no value ({name_first_few(places)}); "
        "where one is a measurement, say so in the recipe, for example codes: {999: 999}"
    ]
