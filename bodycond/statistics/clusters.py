"""Numbering of clusters (birds) by their labels."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pandas as pd


def number_clusters(labels: npt.ArrayLike) -> npt.NDArray[np.intp]:
    """Number clusters from 0 in order of appearance; an unlabelled row is a cluster of its own.

    Parameters
    ----------
    labels : array_like, shape (n_rows,)
        Labels; None or NaN where there is none.

    Returns
    -------
    ndarray of int, shape (n_rows,)
        Numbers without gaps.

    Examples
    --------
    >>> number_clusters(["K7", "K9", None, "K7", None]).tolist()
    [0, 1, 2, 0, 3]
    """
    codes, known = pd.factorize(np.asarray(labels, dtype=object), use_na_sentinel=True)
    numbers = np.array(codes, dtype=np.intp)
    unknown = numbers < 0
    numbers[unknown] = len(known) + np.arange(int(unknown.sum()))
    return numbers
