"""The publications that methods paragraphs and docstrings refer to, one entry each.

How well the details are known: Liang and Zeger, Rousseeuw and Croux, and Efron (but for its last
page) were compared with reference lists of public statistical documentation; Cohen, Fleiss et al.,
Peig and Green, and Warton et al. stand as the sources of the published values in the tests give
them; Jolicoeur and Mosimann is from memory. Of Rubin the title was confirmed; Fellegi and Sunter,
Perks, Rao and Scott, and all of their pages are from memory.
"""

from __future__ import annotations

from collections.abc import Iterable

REFERENCES: dict[str, str] = {
    "cohen_1968": "Cohen J (1968) Weighted kappa: nominal scale agreement with provision for "
    "scaled disagreement or partial credit. Psychological Bulletin 70:213-220.",
    "efron_1987": "Efron B (1987) Better bootstrap confidence intervals. Journal of the American "
    "Statistical Association 82:171-185.",
    "fleiss_1969": "Fleiss JL, Cohen J, Everitt BS (1969) Large sample standard errors of kappa "
    "and weighted kappa. Psychological Bulletin 72:323-327.",
    "jolicoeur_1968": "Jolicoeur P, Mosimann JE (1968) Intervalles de confiance pour la pente de "
    "l'axe majeur d'une distribution normale bidimensionnelle. Biometrie-Praximetrie 9:121-140.",
    "peig_2009": "Peig J, Green AJ (2009) New perspectives for estimating body condition from "
    "mass/length data: the scaled mass index as an alternative method. Oikos 118:1883-1891.",
    "warton_2006": "Warton DI, Wright IJ, Falster DS, Westoby M (2006) Bivariate line-fitting "
    "methods for allometry. Biological Reviews 81:259-291.",
    "liang_1986": "Liang KY, Zeger SL (1986) Longitudinal data analysis using generalized linear "
    "models. Biometrika 73:13-22.",
    "fellegi_1969": "Fellegi IP, Sunter AB (1969) A theory for record linkage. Journal of the "
    "American Statistical Association 64:1183-1210.",
    "perks_1947": "Perks W (1947) Some observations on inverse probability including a new "
    "indifference rule. Journal of the Institute of Actuaries 73:285-334.",
    "rao_1981": "Rao JNK, Scott AJ (1981) The analysis of categorical data from complex sample "
    "surveys. Journal of the American Statistical Association 76:221-230.",
    "rubin_1987": "Rubin DB (1987) Multiple imputation for nonresponse in surveys. Wiley, "
    "New York, 258 pp.",
    "rousseeuw_1993": "Rousseeuw PJ, Croux C (1993) Alternatives to the median absolute deviation. "
    "Journal of the American Statistical Association 88:1273-1283.",
}


def cite(keys: Iterable[str]) -> str:
    """Give full references for a methods paragraph, in the order asked for.

    Parameters
    ----------
    keys : iterable of str
        Keys of `REFERENCES`.

    Returns
    -------
    str
        The references, one sentence group each, parted by a blank.

    Raises
    ------
    KeyError
        If a key is unknown; a reference that is not in the list is a mistake in bodycond.
    """
    return " ".join(REFERENCES[key] for key in keys)


def shorten_reference(reference: str) -> str:
    """Give the author-year form of a full reference.

    Parameters
    ----------
    reference : str
        A value of `REFERENCES`: authors, year in brackets, the rest.

    Returns
    -------
    str
        For example "Peig and Green 2009".

    Examples
    --------
    >>> shorten_reference(REFERENCES["warton_2006"]), shorten_reference(REFERENCES["peig_2009"])
    ('Warton et al. 2006', 'Peig and Green 2009')
    """
    authors, _, rest = reference.partition(" (")
    surnames = [author.rsplit(" ", 1)[0] for author in authors.split(", ")]
    year = rest[:4]
    if len(surnames) > 2:
        return f"{surnames[0]} et al. {year}"
    return f"{' and '.join(surnames)} {year}"


def split_references(text: str) -> tuple[str, tuple[str, ...]]:
    """Replace full references in a methods text by author and year, and list them apart.

    Parameters
    ----------
    text : str
        Text that ends with references as `cite` writes them.

    Returns
    -------
    tuple of (str, tuple of str)
        The sentences with the short citations at their end, and the full references.
    """
    found = [reference for reference in REFERENCES.values() if reference in text]
    for reference in found:
        text = text.replace(reference, "")
    sentences = " ".join(text.split())
    if not found:
        return sentences, ()
    short = "; ".join(sorted(shorten_reference(reference) for reference in found))
    return f"{sentences.rstrip('.')} ({short}).", tuple(sorted(found))
