"""Files written whole or not at all, and tables that come back as they were written."""

from bodycond.tables_on_disk.cell_addresses import name_column, number_column
from bodycond.tables_on_disk.csv_files import WrittenCsv, read_csv, write_csv
from bodycond.tables_on_disk.formula_guard import neutralise_text, restore_text
from bodycond.tables_on_disk.parquet_files import SCHEMA_VERSION, read_parquet, write_parquet
from bodycond.tables_on_disk.whole_files import (
    hash_file,
    read_bytes,
    write_bytes,
    write_json,
    write_text,
)
from bodycond.tables_on_disk.workbook_files import (
    COLUMNS_HEADINGS,
    COLUMNS_SHEET,
    read_xlsx,
    write_xlsx,
)

__all__ = [
    "COLUMNS_HEADINGS",
    "COLUMNS_SHEET",
    "SCHEMA_VERSION",
    "WrittenCsv",
    "hash_file",
    "name_column",
    "neutralise_text",
    "number_column",
    "read_bytes",
    "read_csv",
    "read_parquet",
    "read_xlsx",
    "restore_text",
    "write_bytes",
    "write_csv",
    "write_json",
    "write_parquet",
    "write_text",
    "write_xlsx",
]
