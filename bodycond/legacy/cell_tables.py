"""Cells of sheets listed as one table, every different text kept once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.legacy.files.sheets import Sheet
from bodycond.tables_on_disk import name_column

if TYPE_CHECKING:
    import pyarrow as pa

Texts = npt.NDArray[np.object_]

_NUMBERS = frozenset({"row", "column"})


def tabulate_cells(
    sheet: Sheet, *, where: npt.NDArray[np.bool_], texts: Mapping[str, Texts]
) -> pa.Table:
    """List cells of a sheet, row by row, with what is known of each.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    where : ndarray of bool, shape of the sheet
        The cells that are listed.
    texts : mapping of str to ndarray of object, shape of the sheet
        Texts by the name of their column.

    Returns
    -------
    pyarrow.Table
        ``file sheet row column address raw`` and the columns of ``texts``; texts as dictionaries.
    """
    import pyarrow as pa

    rows, columns = np.nonzero(where)
    once = np.zeros(len(rows), dtype=np.int32)
    data = {
        "file": _dictionary(once, [sheet.file]),
        "sheet": _dictionary(once, [sheet.name]),
        "row": pa.array(rows + 1, type=pa.int64()),
        "column": pa.array(columns + 1, type=pa.int64()),
        "address": _word_addresses(sheet, rows, columns),
    }
    for name, grid in {"raw": sheet.texts, **texts}.items():
        codes, different = pd.factorize(grid[where])
        data[name] = _dictionary(codes, list(different))
    return pa.table(data)


def _dictionary(codes: npt.NDArray[Any], different: Sequence[str]) -> pa.DictionaryArray:
    import pyarrow as pa

    try:
        texts = pa.array(different, type=pa.large_string())
    except UnicodeEncodeError:
        # A lone surrogate, as a damaged file can hold, has no place in UTF-8.
        safe = [text.encode("utf-8", "backslashreplace").decode() for text in different]
        texts = pa.array(safe, type=pa.large_string())
    return pa.DictionaryArray.from_arrays(pa.array(codes, type=pa.int32()), texts)


def _word_addresses(
    sheet: Sheet, rows: npt.NDArray[np.intp], columns: npt.NDArray[np.intp]
) -> pa.Array:
    import pyarrow as pa
    import pyarrow.compute as pc

    height, width = sheet.texts.shape
    letters = [f"{sheet.name}!{name_column(number)}" for number in range(1, width + 1)]
    numbers = pa.array(np.arange(1, height + 1)).cast(pa.large_string())
    return pc.binary_join_element_wise(
        pa.array(letters, type=pa.large_string()).take(pa.array(columns)),
        numbers.take(pa.array(rows)),
        pa.scalar("", type=pa.large_string()),
    )


def stack_tables(tables: Sequence[pa.Table], columns: Sequence[str]) -> pa.Table:
    """Put tables of cells below one another.

    Parameters
    ----------
    tables : sequence of pyarrow.Table
        As `tabulate_cells` gives; there may be none.
    columns : sequence of str
        The columns wanted, in order.

    Returns
    -------
    pyarrow.Table
        The columns, empty where there is no table.
    """
    import pyarrow as pa

    if tables:
        return pa.concat_tables([table.select(list(columns)) for table in tables])
    fields = [(name, pa.int64() if name in _NUMBERS else pa.large_string()) for name in columns]
    return pa.schema(fields).empty_table()


def frame_cells(table: pa.Table) -> pd.DataFrame:
    """Make a table of cells a DataFrame of texts and whole numbers.

    Parameters
    ----------
    table : pyarrow.Table
        As `stack_tables` gives.

    Returns
    -------
    DataFrame
        Texts as ``str``, rows and columns as ``int64``.
    """
    import pyarrow as pa

    fields = [
        (name, pa.int64() if name in _NUMBERS else pa.large_string()) for name in table.column_names
    ]
    frame: pd.DataFrame = table.cast(pa.schema(fields)).to_pandas()
    return frame.astype({name: "int64" if name in _NUMBERS else "str" for name in frame.columns})
