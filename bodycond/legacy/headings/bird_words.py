"""Words that speak of birds, in headings, titles, names of files and cells."""

from __future__ import annotations

import re
from functools import lru_cache

from bodycond.legacy.headings.heading_units import fold_heading

# Beginnings of words, so that 'falconry', 'Greifvogel' and 'kestrels' are met.
_BEGINNINGS = re.compile(
    r"\b(birds?|hawks?|falcon\w*|owls?|owlets?|eagles?|kestrels?|buzzards?|raptors?|harriers?|"
    r"kites?|merlins?|goshawks?|sparrowhawks?|ospreys?|vultures?|accip\w*|buteo\w*|"
    r"finch\w*|sparrows?|swallows?|gulls?|terns?|ducks?|goose|geese|pigeons?|crows?|penguins?|"
    r"warblers?|hummingbirds?|robins?|passerines?|seabirds?|shorebirds?|waders?|ringers?|ringing|"
    r"bander|banding|nestlings?|fledglings?|chicks?|pullus|pulli|"
    r"vogel\w*|vogels?|greif\w*|falk\w*|falke\w*|eulen?|kauz|beringung\w*|beringer|"
    r"oiseaux?|rapaces?|faucons?|buses?|chouettes?|hiboux?|bagueur|baguage|passereaux?|"
    r"aves?|pajaros?|rapac\w*|halcon\w*|cernicalos?|lechuzas?|buhos?|anillador|anillamiento|"
    r"uccell\w*|gheppi\w*|poian\w*|falch\w*|inanellat\w*|aguias?|corujas?|anilhador|"
    r"roofvogels?|valk\w*|uil|uilen|buizerd\w*|fugl\w*|fagel|faglar|hok|hokar|"
    r"ugle\w*|falk|markare|ringmarker)\b"
    r"|\w+(vogel|vogels|falke|falken|bussard|kauz|eule|valk|buizerd|falk|hawk|bird|fugl)\b"
)


@lru_cache(maxsize=16_384)
def names_bird(text: str) -> bool:
    """Tell whether a text holds a word for birds, one kind of them, or their ringing.

    Parameters
    ----------
    text : str
        A heading, title, name or cell.

    Returns
    -------
    bool
        True where it does.

    Examples
    --------
    >>> names_bird("Barn Owl"), names_bird("M\u00e4usebussard"), names_bird("day-old chicks")
    (True, True, False)
    >>> names_bird("falconry_log_2011.csv"), names_bird("Parcel")
    (True, False)
    """
    words = fold_heading(text)
    # Feed of falcons is no sign of a table of birds.
    if re.search(r"\b(day old|doc|feed|food|frozen|dead)\b", words):
        return False
    return _BEGINNINGS.search(words) is not None
