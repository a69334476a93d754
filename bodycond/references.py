"""The publications that methods paragraphs and docstrings refer to, one entry each."""

from __future__ import annotations

from collections.abc import Iterable

REFERENCES: dict[str, str] = {
    "cohen_1968": "Cohen J (1968) Weighted kappa: nominal scale agreement with provision for "
    "scaled disagreement or partial credit. Psychological Bulletin 70:213-220.",
    "efron_1987": "Efron B (1987) Better bootstrap confidence intervals. Journal of the American "
    "Statistical Association 82:171-185.",
    "fleiss_1969": "Fleiss JL, Cohen J, Everitt BS (1969) Large sample standard errors of kappa "
    "and weighted kappa. Psychological Bulletin 72:323-327.",
    "fleiss_1973": "Fleiss JL, Cohen J (1973) The equivalence of weighted kappa and the intraclass "
    "correlation coefficient as measures of reliability. Educational and Psychological "
    "Measurement 33:613-619.",
    "jolicoeur_1968": "Jolicoeur P, Mosimann JE (1968) Intervalles de confiance pour la pente de "
    "l'axe majeur d'une distribution normale bidimensionnelle. Biometrie-Praximetrie 9:121-140.",
    "peig_2009": "Peig J, Green AJ (2009) New perspectives for estimating body condition from "
    "mass/length data: the scaled mass index as an alternative method. Oikos 118:1883-1891.",
    "warton_2006": "Warton DI, Wright IJ, Falster DS, Westoby M (2006) Bivariate line-fitting "
    "methods for allometry. Biological Reviews 81:259-291.",
    "liang_1986": "Liang KY, Zeger SL (1986) Longitudinal data analysis using generalized linear "
    "models. Biometrika 73:13-22.",
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
