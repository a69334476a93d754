"""Colours that colour-blind readers can tell apart, and how bright each is in grey."""

from __future__ import annotations

OKABE_ITO: dict[str, str] = {
    "black": "#000000",
    "orange": "#E69F00",
    "sky_blue": "#56B4E9",
    "bluish_green": "#009E73",
    "yellow": "#F0E442",
    "blue": "#0072B2",
    "vermillion": "#D55E00",
    "reddish_purple": "#CC79A7",
}
"""The eight colours of Okabe and Ito (2008), Color Universal Design."""

GREY = "#595959"
"""For ink that belongs to no group; 7 to 1 against white."""


def relative_luminance(colour: str) -> float:
    """Give the brightness that is left of a colour in a grey print.

    Parameters
    ----------
    colour : str
        As ``"#RRGGBB"``.

    Returns
    -------
    float
        0 for black to 1 for white.

    Notes
    -----
    The relative luminance of the Web Content Accessibility Guidelines 2.2, from linear sRGB.

    Examples
    --------
    >>> round(relative_luminance("#0072B2"), 2)
    0.15
    """
    parts = [int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5)]
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast_ratio(first: str, second: str) -> float:
    """Give the contrast of two colours, which hue has no part in.

    Parameters
    ----------
    first, second : str
        As ``"#RRGGBB"``.

    Returns
    -------
    float
        1 for equally bright colours to 21 for black on white; small text needs 4.5, lines 3.

    Examples
    --------
    >>> round(contrast_ratio("#000000", "#FFFFFF"))
    21
    """
    dark, bright = sorted((relative_luminance(first), relative_luminance(second)))
    return (bright + 0.05) / (dark + 0.05)
