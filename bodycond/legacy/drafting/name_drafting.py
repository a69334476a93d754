"""Columns of genus and epithet: one scientific name in two columns."""

from __future__ import annotations

import re
from dataclasses import replace

from bodycond.legacy.drafting.drafted_columns import DraftedColumn, ask
from bodycond.legacy.drafting.table_data import TableData
from bodycond.legacy.headings.heading_units import fold_heading
from bodycond.legacy.headings.plain_words import EPITHET_WORDS, GENUS_WORDS
from bodycond.legacy.notation import parse_species
from bodycond.legacy.recipes.recipe_rules import ColumnRule
from bodycond.legacy.recipes.targets import known_columns

_GENUS = re.compile(r"[A-Z][a-z]+")
_EPITHET = re.compile(r"[a-z]+(-[a-z]+)?")
# Share of the rows that leaves no doubt, and the share below which nothing is proposed.
_UNMISTAKABLE = 0.95
_FITS = 0.5


def draft_name_parts(data: TableData) -> dict[str, ColumnRule]:
    """Draft columns of genus and epithet as one species.

    Parameters
    ----------
    data : TableData
        The table.

    Returns
    -------
    dict of str to ColumnRule
        The rules of the two columns by heading, without a question only where nearly all rows
        hold a capitalised word and a lower-case word. None where the cells are none of that. A
        whole name in a third column goes first, and the two are asked about.
    """
    words = {column.heading: fold_heading(column.heading) for column in data.columns}
    genera = [column for column in data.columns if words[column.heading] in GENUS_WORDS]
    named = [column for column in data.columns if words[column.heading] in EPITHET_WORDS]
    species = [column for column in data.columns if column.match.field == "species"]
    if len(genera) != 1 or "species" not in known_columns(data.table):
        return {}
    whole = [column for column in species if column.contents.holds("binomial", least=_FITS)]
    genus = genera[0]
    for epithet in named or species:
        pairs = data.sample_rows([genus.heading, epithet.heading])
        fitting = sum(_is_name(*pair) for pair in pairs)
        if fitting <= _FITS * len(pairs) or epithet in whole:
            continue
        if whole:
            return _ask_to_set_aside(genus, epithet, whole[0])
        return _draft_pair(genus, epithet, fitting, len(pairs))
    return {}


def _is_name(genus: str, epithet: str) -> bool:
    formed = _GENUS.fullmatch(genus) and _EPITHET.fullmatch(epithet)
    return bool(formed) and parse_species(f"{genus} {epithet}").value is not None


def _draft_pair(
    genus: DraftedColumn, epithet: DraftedColumn, fitting: int, total: int
) -> dict[str, ColumnRule]:
    used = sorted((genus.contents.n_used, epithet.contents.n_used))
    evidence = (
        f"{genus.heading!r} and {epithet.heading!r} hold a capitalised and a lower-case word in "
        f"{fitting} of {total} rows looked at"
    )
    sure = fitting >= _UNMISTAKABLE * total and used[0] >= _UNMISTAKABLE * used[1]
    made: dict[str, ColumnRule] = {}
    for column, part in ((genus, "genus"), (epithet, "epithet")):
        rule = ColumnRule(
            heading=column.heading, fields=("species",), part=part, evidence=evidence,
            confidence=0.95,
        )  # fmt: skip
        if not sure:
            question = (
                f"Does the species stand in two columns, the genus in {genus.heading!r} (part: "
                f"genus) and the epithet in {epithet.heading!r} (part: epithet)? It looks so in "
                f"{fitting} of {total} rows. {column.contents.show()}"
            )
            rule = ask(column, question, rule=rule, confidence=0.7)
        made[column.heading] = rule
    return made


def _ask_to_set_aside(
    genus: DraftedColumn, epithet: DraftedColumn, whole: DraftedColumn
) -> dict[str, ColumnRule]:
    made = {}
    for column in (genus, epithet):
        question = (
            f"May it be set aside? The whole scientific name seems to stand in {whole.heading!r}. "
            f"{column.contents.show()}"
        )
        bare = replace(column, match=replace(column.match, field="", kind=None))
        made[column.heading] = ask(bare, question)
    return made
