"""A field guessed from the cells of a column alone, for a question."""

from __future__ import annotations

from collections.abc import Set as AbstractSet

from bodycond.legacy.drafting.column_contents import ColumnContents


def guess_field(
    contents: ColumnContents, *, held_beside: AbstractSet[str] = frozenset()
) -> tuple[str, str]:
    """Guess a field from the cells alone.

    Parameters
    ----------
    contents : ColumnContents
        The column.
    held_beside : set of str, default empty
        Fields of the columns beside it: codes of four letters are no sign of a second species.

    Returns
    -------
    field : str
        The field that they point to; the empty text where they point to none.
    evidence : str
        Why.
    """
    if contents.n_used < 2:
        return "", ""
    different = len(contents.cells)
    for what, field, said in (
        ("calendar age", "age_code", "age codes such as AHY and SY"),
        ("age", "age_code", "words for ages"),
        ("sex", "sex", "words and letters for sex"),
        ("binomial", "species", "scientific names"),
        ("date", "exam_date", "dates"),
    ):
        if contents.holds(what) and (what != "sex" or different > 1):
            return field, f"its cells are {said}"
    if contents.holds("ring") and different > 0.5 * contents.n_used:
        return "ring_number", "its cells look like ring numbers"
    coded = contents.holds("four letters") and 2 * different <= contents.n_used
    if coded and "species" not in held_beside:
        return "species", "its cells are codes of four letters, as for species"
    if contents.holds("initials", least=0.9) and 3 * different <= contents.n_used and different > 1:
        return "scorer", "its cells are initials that recur"
    return "", ""
