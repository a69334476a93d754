"""Any table of texts, numbers and truth values survives being saved, whatever its index."""

import math
import struct
import tempfile
from dataclasses import dataclass
from pathlib import Path

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.errors import ArgumentError
from bodycond.tables_on_disk.stored_results import ResultKind, load_result, save_result

TEXTS = st.text(st.characters(codec="utf-8"), max_size=8)
WHOLE = st.integers(-(2**63), 2**63 - 1)
MISSING = st.none()
CELLS = {
    "str": TEXTS | MISSING,
    "string": TEXTS | MISSING,
    "float64": st.floats() | st.sampled_from([math.inf, -math.inf, math.nan, -0.0]),
    "int64": WHOLE,
    "Int64": WHOLE | MISSING,
    "bool": st.booleans(),
    "boolean": st.booleans() | MISSING,
    "object": TEXTS | WHOLE | st.booleans() | MISSING
    | st.floats(allow_nan=False, allow_infinity=False),
}  # fmt: skip


@dataclass(frozen=True, kw_only=True, eq=False)
class Toy:
    """A result of one table."""

    table: pd.DataFrame


@st.composite
def tables(draw):
    n_rows = draw(st.integers(0, 5))
    names = draw(st.lists(TEXTS, unique=True, max_size=5))
    dtypes = [draw(st.sampled_from(sorted(CELLS))) for _ in names]
    index = pd.RangeIndex(n_rows)
    if draw(st.booleans()):
        labels = draw(st.sampled_from([TEXTS, WHOLE]))
        index = pd.Index(
            draw(st.lists(labels, min_size=n_rows, max_size=n_rows)), name=draw(TEXTS | MISSING)
        )
    columns = {
        name: pd.Series(
            draw(st.lists(CELLS[dtype], min_size=n_rows, max_size=n_rows)), dtype=dtype, index=index
        )
        for name, dtype in zip(names, dtypes, strict=True)
    }
    return pd.DataFrame(columns, index=index)


def pass_through(table, *, with_index):
    kind = ResultKind(name="toy", word="toy", rows="Play", with_index=with_index)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "toy.json"
        save_result(Toy(table=table), path, kind=kind)
        return load_result(Toy, path, kind=kind).table


def show_exactly(cell):
    """Tell a cell from every other: -0.0 from 0.0, True from 1, 1 from 1.0, all NaN alike."""
    if cell is None or cell is pd.NA or (isinstance(cell, float) and math.isnan(cell)):
        return "missing"
    return type(cell), struct.pack("d", cell) if isinstance(cell, float) else cell


@given(tables(), st.booleans())
def test_every_cell_dtype_and_label_comes_back(table, with_index):
    again = pass_through(table, with_index=with_index)
    assert list(again.columns) == list(table.columns)
    assert list(map(str, again.dtypes)) == list(map(str, table.dtypes))
    pd.testing.assert_index_equal(again.index, table.index, exact="equiv")
    for name in table:
        before, after = table[name].astype(object), again[name].astype(object)
        assert list(map(show_exactly, after)) == list(map(show_exactly, before))


@given(
    st.sampled_from([math.nan, math.inf, -math.inf, pd.NA, b"x", (1,), pd.Timestamp(0)]),
    st.lists(CELLS["object"], max_size=4), st.integers(0, 4),
)  # fmt: skip
def test_a_cell_that_would_not_come_back_is_refused(cell, others, place):
    cells = [*others[:place], cell, *others[place:]]
    table = pd.DataFrame({"a": pd.Series(cells, dtype="object")})
    with pytest.raises(ArgumentError, match="A toy is saved with cells of texts"):
        pass_through(table, with_index=False)
