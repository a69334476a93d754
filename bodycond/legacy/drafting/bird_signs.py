"""Whether a table speaks of birds at all: a weight with a unit can be one of parcels or people."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bodycond.legacy.drafting.drafted_columns import DraftedColumn
from bodycond.legacy.headings.bird_words import names_bird
from bodycond.legacy.headings.headings import CERTAIN

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
