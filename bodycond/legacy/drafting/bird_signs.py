"""Whether a table speaks of birds at all: a weight with a unit can be one of parcels or people."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bodycond.legacy.drafting.drafted_columns import DraftedColumn
from bodycond.legacy.headings.bird_words import names_bird
from bodycond.legacy.headings.headings import CERTAIN, fold_heading
from bodycond.legacy.recipes.recipe_rules import ColumnRule

NO_EXAMS = (
    "Is each row an exam? No mass, size, score or moult stands here, so it may be a list of "
    "sightings, nests or behaviour. If they are exams delete this line; otherwise write table: "
    "set_aside with why."
)
"""Question about a table with birds but nothing that is measured or graded."""

NO_BIRDS = (
    "Nothing here speaks of birds. Is it a table of birds' exams? If so delete this line; "
    "otherwise write table: set_aside with why."
)
"""Question about a table without a sign of birds."""

# Nobody measures or grades these on people, eggs or parcels.
_OF_BIRDS = frozenset(
    {
        "ring_number", "wing_mm", "tarsus_mm", "culmen_mm", "hallux_mm", "tail_mm", "keel",
        "crop_fill", "gravid", "in_moult", "keel_blind", "mass_known_when_scored",
        "breast_wetted", "wetting_agent", "keel_chart_version", "session", "fat", "keel_fat",
        "pectoral_muscle", "brood_patch", "head_mm", "nares_to_tip_mm", "bill_depth_mm",
        "bill_width_mm", "primary_mm", "wing_pit_fat", "furcular_fat", "colour_ring",
    }
)  # fmt: skip
_EXAMINED = _OF_BIRDS - {"ring_number", "session", "colour_ring"} | {"moult_text"}
# Headings of tables about other animals, which have body masses too.
_OTHER_ANIMALS = frozenset({
    "antler", "antlers", "blubber", "carapace", "carcass", "carcase", "fork", "fur", "girth",
    "hindfoot", "lactating", "litter", "pelt", "plastron", "pup", "pups", "sculp", "snout", "svl",
    "teats",
})  # fmt: skip
_CELLS_LOOKED_AT = 60
_LEAST_SHARE = 0.5


def speaks_of_birds(columns: Sequence[DraftedColumn], *, titles: Iterable[str], place: str) -> bool:
    """Tell whether headings, cells, titles or names speak of birds.

    Parameters
    ----------
    columns : sequence of DraftedColumn
        The columns of a table.
    titles : iterable of str
        What stands above its headings.
    place : str
        Names of file and sheet.

    Returns
    -------
    bool
        False where nothing does: the table can be one of feed, equipment or people.
    """
    if any(_OTHER_ANIMALS & set(fold_heading(column.heading).split()) for column in columns):
        return False
    if names_bird(place) or any(names_bird(title) for title in titles):
        return True
    return any(_is_sign(column) for column in columns)


def _is_sign(column: DraftedColumn) -> bool:
    match, contents = column.match, column.contents
    if names_bird(column.heading) or (match.field in _OF_BIRDS and _is_named_clearly(column)):
        return True
    if match.field == "mass_g" and match.confidence >= CERTAIN and _is_body(column.heading):
        return True
    if match.field == "species" and contents.holds("binomial"):
        return True
    if contents.share("calendar age") > 0.5 and not contents.holds("number"):
        return True
    texts = [text for text, kind in list(contents.cells)[:_CELLS_LOOKED_AT] if kind == "t"]
    named = sum(names_bird(text) for text in texts if len(text) <= 40)
    # Cars and places have names of birds too, but few of them.
    return bool(named) and named >= _LEAST_SHARE * len(texts)


def _is_named_clearly(column: DraftedColumn) -> bool:
    match = column.match
    if match.confidence >= CERTAIN:
        return True
    # Two letters, as 'BD' or 'HB', are codes of many things.
    return match.kind is not None and match.confidence >= 0.6 and len(column.heading) > 2


def _is_body(heading: str) -> bool:
    low = heading.casefold()
    words = ("body", "k\u00f6rper", "koerper", "corp", "lichaam", "live")
    return any(word in low for word in words)


def holds_exams(rules: Iterable[ColumnRule]) -> bool:
    """Tell whether a table has a column for anything that is measured or graded on a bird.

    Parameters
    ----------
    rules : iterable of ColumnRule
        The drafted columns.

    Returns
    -------
    bool
        False for a list of sightings, nests or behaviour: birds, days and places alone.
    """
    fields = {field for rule in rules for field in rule.fields}
    return any(field in _EXAMINED or field.endswith(("_mm", "_g")) for field in fields)
