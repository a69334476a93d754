"""Birds by their labels; no label, a bird of its own."""

import numpy as np
import pandas as pd
import pytest

from bodycond.statistics.clusters import number_clusters


@pytest.mark.parametrize(
    ("labels", "numbers"),
    [
        (["K7", "K9", None, "K7", None], [0, 1, 2, 0, 3]),
        ([], []),
        ([None, np.nan, pd.NA, pd.NaT], [0, 1, 2, 3]),
        ([3, 3.0, "3"], [0, 0, 1]),
        (pd.Series(["b", None, "b"], dtype="str", index=[5, 5, 5]), [0, 1, 0]),
        (pd.Series([2, None, 2], dtype="Int64"), [0, 1, 0]),
        (pd.Categorical(["x", "y", None, "x"]), [0, 1, 2, 0]),
    ],
)
def test_numbers(labels, numbers):
    assert number_clusters(labels).tolist() == numbers


def test_labels_are_left_alone():
    labels = np.array(["a", None], dtype=object)
    number_clusters(labels)
    assert labels.tolist() == ["a", None]
