"""Scientific names of which genus and epithet stand in columns of their own."""

from __future__ import annotations

from collections.abc import Mapping

from bodycond.legacy import notation

_BOTH = ("genus", "epithet")


def join_name(texts: Mapping[str, str]) -> notation.Reading:
    """Join the genus and the epithet of a species.

    Parameters
    ----------
    texts : mapping of str to str
        Texts of the two cells, under ``genus`` and ``epithet``; any texts at all.

    Returns
    -------
    TextReading
        The name, as `parse_species` gives it of both. Held with the reason where one of the two
        is missing or the two make no name. An epithet's cell that holds the whole name is taken
        once where the genus beside it is the same.

    Examples
    --------
    >>> join_name({"genus": "Buteo", "epithet": "buteo"}).value
    'Buteo buteo'
    >>> join_name({"genus": "Buteo", "epithet": ""}).reason
    'the epithet is empty'
    """
    raw = " ".join(texts.get(part, "") for part in _BOTH)
    genus, epithet = (
        "" if notation.says_missing(text) else " ".join(text.replace("_", " ").split())
        for text in (texts.get(part, "") for part in _BOTH)
    )
    if not genus and not epithet:
        return notation.TextReading(raw=raw, outcome="accepted", reason=notation.NO_VALUE)
    whole = notation.parse_species(epithet).value
    if not genus or not epithet:
        absent = "epithet" if genus else "genus"
        return _hold(raw, f"the {absent} is empty", likely=whole or "")
    if len(genus.split()) > 1:
        return _hold(raw, f"the genus is more than one word: {genus!r}")
    if whole is not None:
        if whole.split()[0] != genus:
            return _hold(raw, f"the epithet's cell holds the name {whole!r} of another genus")
        said = "the epithet's cell holds the whole name, taken once"
        return notation.TextReading(raw=raw, outcome="converted", value=whole, reason=said)
    first, _, rest = epithet.partition(" ")
    if rest and first.casefold() == genus.casefold():
        # 'falco tinnunculus' beside 'Falco', or a subspecies of the genus's own name.
        likely = f"{genus} {rest}"
        return _hold(raw, "the epithet's cell repeats the genus", likely=likely)
    reading = notation.parse_species(f"{genus} {epithet}")
    if reading.value is None:
        return _hold(raw, reading.reason, likely=reading.likely)
    said = "genus and epithet joined"
    if reading.value != f"{genus} {epithet}":
        said = f"{said}, {f'{genus} {epithet}'!r} is {reading.value!r}"
    return notation.TextReading(raw=raw, outcome="converted", value=reading.value, reason=said)


def _hold(raw: str, reason: str, *, likely: str = "") -> notation.TextReading:
    return notation.TextReading(raw=raw, outcome="quarantined", reason=reason, likely=likely)
