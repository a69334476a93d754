"""Tables to write and read back."""

import string

import numpy as np
import pandas as pd
import pytest
from hypothesis import strategies as st

from bodycond.columns import EXAM_COLUMNS

AWKWARD = [
    "00123", "1E5", "=1+1", "'=1", "''-", " -", "\t=x", "a;=b", "\r", "a\r\nb", '"', 'a"b,c', ",",
    "\x01", "\x00", "_x0041_", "_x005F_x0041_", "_x005f", "NaN", "NA", "None", "TRUE", "2020-01-01",
    "\ufeffa", "\ufffe", "é\U0001f989", "<&>]]>", " a ", "'", "é",
]  # fmt: skip


@pytest.fixture
def awkward_table():
    """A table with every dtype and the values that are easily lost."""
    n = len(AWKWARD)
    dates = ["2020-01-01", "1850-05-05", "NaT", "1900-02-28", "1900-03-01", "2020-02-29T12:34:56",
             "2020-02-29T12:34:56.789012", "9999-12-31", "2079-06-06T23:59:59"]  # fmt: skip
    numbers = [0.1 + 0.2, 1 / 3, -0.0, np.inf, -np.inf, np.nan, 5e-324, 1.7976931348623157e308, 3.0]
    whole = [1, None, 2**63 - 1, -(2**63), 2**53 + 1, 0, 5, -1]
    return pd.DataFrame(
        {
            "ring_number": pd.Series(AWKWARD, dtype="str"),
            "remarks": pd.Series([None, "fine"] * (n // 2), dtype="str"),
            "mass_g": np.resize(np.array(numbers), n),
            "source_row": pd.Series(np.resize(np.array(whole, dtype=object), n), dtype="Int64"),
            "gravid": pd.Series([True, None, False] * (n // 3), dtype="boolean"),
            "exam_date": np.resize(np.array(dates, dtype="datetime64[us]"), n),
            "own_flag": [True, False] * (n // 2),
            "own_count": np.resize(np.array([2**53 + 1, 7]), n),
            "own_object": pd.Series(["x", None] * (n // 2), dtype=object),
            "own_day": np.resize(np.array(["2021-03-04", "NaT"], dtype="datetime64[s]"), n),
            "=own": "=2",
            "'@": ["a"] * n,
            "_x0041_\x02": [""] * (n - 1) + ["b"],
        }
    )


_VALUES = {
    "text": st.none() | st.text(st.characters(codec="utf-8")) | st.sampled_from(AWKWARD),
    "number": st.none() | st.floats(allow_nan=False),
    "count": st.none() | st.integers(-(2**63), 2**63 - 1),
    "date": st.none() | st.datetimes(),
    "flag": st.none() | st.booleans(),
}
_VALUES |= {"code": _VALUES["text"], "grade": _VALUES["number"]}


@st.composite
def make_tables(draw):
    """Exam tables with any cells, and a column of the user's own."""
    chosen = draw(st.lists(st.sampled_from(EXAM_COLUMNS), min_size=1, max_size=5, unique=True))
    n = draw(st.integers(0, 4))
    columns = {}
    for column in chosen:
        cells = draw(st.lists(_VALUES[column.kind], min_size=n, max_size=n))
        if column.kind == "date":
            cells = np.array(cells, dtype="datetime64[us]")
        columns[column.name] = pd.Series(cells, dtype=column.dtype)
    own = draw(st.text(string.ascii_letters + "=+-@'_;,\"\n\t\r ", min_size=1, max_size=8))
    cells = draw(st.lists(_VALUES["text"], min_size=n, max_size=n))
    return pd.DataFrame(columns | {own: pd.Series(cells, dtype="str")})


@pytest.fixture
def any_tables():
    """The strategy, since test files here cannot import one another."""
    return make_tables()
