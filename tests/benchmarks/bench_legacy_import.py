"""How long a whole import takes beside a bare reading of the same workbook's cells.

Run ``python tests/benchmarks/bench_legacy_import.py``. A workbook of 100,000 exams in 11 columns is
drafted, read, converted and ledgered, exams and ledger written as Parquet; beside it stands
pandas reading the cells alone, by the fast reader. Both in one process, the first call apart; the
sheets that bodycond keeps between draft and import are forgotten before each round. Then the same
with comments, merged cells, hidden rows and a hidden column. Peak memory is that of a process that
does one round and nothing else.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import median

import numpy as np
import pandas as pd

N_EXAMS = 100_000
REPEATS = 3
THEIR_CODE = 'pandas.read_excel(path, engine="calamine")'
HEADINGS = (
    "Case no", "Ring no", "Species", "Sex", "Age", "Date", "Mass (g)", "Wing (mm)", "Tarsus (mm)",
    "Keel score (1-5)", "Remarks",
)  # fmt: skip
SPECIES = ("Buteo buteo", "Falco tinnunculus", "Accipiter nisus", "Tyto alba", "Strix aluco")
REMARKS = ("", "", "", "calm", "thin", "wing injury", "found by the road", "moulting")

_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_STYLES = (
    f'<styleSheet xmlns="{_MAIN}"><fonts count="1"><font/></fonts><fills count="1"><fill/></fills>'
    '<borders count="1"><border/></borders><cellStyleXfs count="1"><xf/></cellStyleXfs>'
    '<cellXfs count="2"><xf/><xf numFmtId="14" applyNumberFormat="1"/></cellXfs></styleSheet>'
)


def draw_columns() -> list[np.ndarray]:
    """Draw the columns of the workbook; dates are days as a spreadsheet counts them."""
    random = np.random.default_rng(1)
    numbers = np.arange(N_EXAMS)
    return [
        np.char.add("C", np.char.zfill(numbers.astype(str), 6)),
        np.char.add("E", np.char.zfill(random.integers(0, 10**6, N_EXAMS).astype(str), 6)),
        np.array(SPECIES)[random.integers(0, len(SPECIES), N_EXAMS)],
        np.array(["F", "M", "U"])[random.integers(0, 3, N_EXAMS)],
        np.array(["juvenile", "adult", "unknown"])[random.integers(0, 3, N_EXAMS)],
        random.integers(38_400, 45_600, N_EXAMS),
        random.normal(600, 120, N_EXAMS).round(1),
        random.normal(330, 15, N_EXAMS).round(1),
        random.normal(70, 4, N_EXAMS).round(1),
        random.integers(1, 6, N_EXAMS),
        np.array(REMARKS)[random.integers(0, len(REMARKS), N_EXAMS)],
    ]


def word_rows(texts: dict[str, int], *, hidden: set[int]) -> Iterator[str]:
    """Write the rows as a spreadsheet program does, texts by their number."""
    letters = "ABCDEFGHIJK"

    def word(column: int, row: int, value: object) -> str:
        place = f'r="{letters[column]}{row}"'
        if isinstance(value, str):
            if not value:
                return ""
            return f'<c {place} t="s"><v>{texts.setdefault(value, len(texts))}</v></c>'
        style = ' s="1"' if column == HEADINGS.index("Date") else ""
        return f"<c {place}{style}><v>{value}</v></c>"

    yield f'<row r="1">{"".join(word(i, 1, text) for i, text in enumerate(HEADINGS))}</row>'
    columns = [column.tolist() for column in draw_columns()]
    for row, values in enumerate(zip(*columns, strict=True), start=2):
        about = ' hidden="1"' if row in hidden else ""
        cells = "".join(word(column, row, value) for column, value in enumerate(values))
        yield f'<row r="{row}"{about}>{cells}</row>'


def write_workbook(path: Path, *, structured: bool) -> None:
    """Write the workbook part by part: a general writer would take longer than all the rest."""
    texts: dict[str, int] = {}
    hidden = set(range(500, N_EXAMS, 1000)) if structured else set()
    rows = "".join(word_rows(texts, hidden=hidden))
    columns = '<cols><col min="11" max="11" hidden="1"/></cols>' if structured else ""
    ranges = [f"K{row}:K{row + 1}" for row in range(100, N_EXAMS, 5000)]
    merged = "".join(f'<mergeCell ref="{where}"/>' for where in ranges)
    tail = f"<mergeCells>{merged}</mergeCells>" if structured else ""
    comments = "".join(
        f'<comment ref="G{row}" authorId="0"><text><t>weighed twice</t></text></comment>'
        for row in range(50, N_EXAMS, 300)
    )
    strings = "".join(f"<si><t>{text}</t></si>" for text in texts)

    def link(number: int, kind: str, target: str) -> str:
        return f'<Relationship Id="r{number}" Type="{_OFFICE}/{kind}" Target="{target}"/>'

    def links(*items: str) -> str:
        space = f"{_PACKAGE}/relationships"
        return f'<Relationships xmlns="{space}">{"".join(items)}</Relationships>'

    parts = {
        "[Content_Types].xml": f'<Types xmlns="{_PACKAGE}/content-types"/>',
        "_rels/.rels": links(link(1, "officeDocument", "xl/workbook.xml")),
        "xl/workbook.xml": f'<workbook xmlns="{_MAIN}" xmlns:r="{_OFFICE}"><sheets>'
        '<sheet name="Exams" sheetId="1" r:id="r1"/></sheets></workbook>',
        "xl/_rels/workbook.xml.rels": links(
            link(1, "worksheet", "worksheets/sheet1.xml"), link(2, "styles", "styles.xml"),
            link(3, "sharedStrings", "sharedStrings.xml"),
        ),
        "xl/styles.xml": _STYLES,
        "xl/sharedStrings.xml": f'<sst xmlns="{_MAIN}">{strings}</sst>',
        "xl/worksheets/sheet1.xml": f'<worksheet xmlns="{_MAIN}">{columns}<sheetData>{rows}'
        f"</sheetData>{tail}</worksheet>",
    }  # fmt: skip
    if structured:
        parts["xl/worksheets/_rels/sheet1.xml.rels"] = links(
            link(1, "comments", "../comments1.xml")
        )
        parts["xl/comments1.xml"] = (
            f'<comments xmlns="{_MAIN}"><authors><author>S1</author></authors>'
            f"<commentList>{comments}</commentList></comments>"
        )
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)


def import_workbook(path: Path, folder: Path) -> dict[str, float]:
    """Draft, import and write; give the seconds of each step."""
    from bodycond.legacy import draft_recipe, import_legacy
    from bodycond.legacy.files.source_files import forget_sheets
    from bodycond.legacy.ledger import write_ledger
    from bodycond.tables_on_disk import write_parquet

    forget_sheets()
    marks = [time.perf_counter()]
    recipe = draft_recipe(path)
    marks.append(time.perf_counter())
    imported = import_legacy(path, recipe)
    marks.append(time.perf_counter())
    write_parquet(imported.exams, folder / "exams.parquet")
    write_ledger(imported.accounts, folder / "ledger.parquet")
    marks.append(time.perf_counter())
    if len(imported.exams) != N_EXAMS:
        raise SystemExit(f"{len(imported.exams)} exams of {N_EXAMS}: the draft asked a question")
    return dict(zip(("draft", "import", "write"), np.diff(marks).tolist(), strict=True))


def time_call(call: Callable[[], object]) -> float:
    """Give a call's seconds."""
    begun = time.perf_counter()
    call()
    return time.perf_counter() - begun


def measure_peak(path: Path, *, ours: bool) -> float:
    """Give the largest memory in GiB of a process that does one round."""
    code = (
        f"import sys; sys.path.insert(0, {str(Path(__file__).parent)!r}); "
        f"import bench_legacy_import as b; b.print_peak({str(path)!r}, ours={ours})"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    return float(done.stdout.split()[-1])


def print_peak(path: str, *, ours: bool) -> None:
    """Do one round and print the process's largest memory in GiB."""
    if ours:
        import_workbook(Path(path), Path(path).parent)
    else:
        pd.read_excel(path, engine="calamine")
    status = Path("/proc/self/status")
    if status.exists():
        # What the system counts for a process begins with its parent's peak; this does not.
        line = next(line for line in status.read_text().splitlines() if line.startswith("VmHWM"))
        print(int(line.split()[1]) / 2**20)
        return
    # Where there is no such file, macOS counts in bytes.
    import resource

    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**30)


def compare(title: str, path: Path, *, allowed: float) -> None:
    """Time both and print the ratio with the other call in full."""
    steps: list[dict[str, float]] = []
    ours: list[float] = []
    theirs: list[float] = []
    # Turn by turn, so that a machine that is busy for a while slows both.
    for _ in range(REPEATS + 1):
        ours.append(time_call(lambda: steps.append(import_workbook(path, path.parent))))
        theirs.append(time_call(lambda: pd.read_excel(path, engine="calamine")))
    our_first, their_first = ours.pop(0), theirs.pop(0)
    ratios = [our / their for our, their in zip(ours, theirs, strict=True)]
    parts = ", ".join(
        f"{name} {median(step[name] for step in steps[1:]):.2f} s" for name in steps[0]
    )
    print(f"\n{title}")
    print(f"  bodycond: {median(ours):.2f} s warm (best {min(ours):.2f}), {our_first:.2f} s first")
    print(f"            {parts}")
    print(f"  other:    {median(theirs):.2f} s warm (best {min(theirs):.2f}), "
          f"{their_first:.2f} s first")  # fmt: skip
    print(f"  ratio:    {median(ratios):.2f} (median of {REPEATS} rounds; of the bests "
          f"{min(ours) / min(theirs):.2f}); wanted: at most {allowed:g}")  # fmt: skip
    print(f"  the other call: {THEIR_CODE}")
    print(f"  peak memory: {measure_peak(path, ours=True):.2f} GiB, the other call "
          f"{measure_peak(path, ours=False):.2f} GiB")  # fmt: skip


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        plain, structured = Path(made) / "plain.xlsx", Path(made) / "structured.xlsx"
        write_workbook(plain, structured=False)
        write_workbook(structured, structured=True)
        compare("100,000 exams, values alone", plain, allowed=4)
        compare("the same with comments, merged cells, hidden rows and a hidden column",
                structured, allowed=10)  # fmt: skip
