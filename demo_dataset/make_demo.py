"""Make the demo data set anew: `python demo_dataset/make_demo.py [--truths] [--out FOLDER]`.

Without options the workbooks, the true tables and the answer key are written, byte for byte the
same every time. `--truths` computes the estimands of `truths.json` too, ten seconds' work.
"""

from __future__ import annotations

import argparse
import json
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
from exams import draw_exams
from notation import write_notations
from pages import Page, place_rows, write_cell, write_pages
from planting import list_answers, plant_errors
from readme_tables import fill_tables, make_tables
from scorers import draw_ratings
from truths import compute_truths
from workbooks import SESSIONS_FILE, write_sessions, write_workbooks

HERE = Path(__file__).resolve().parent
# The first seed from 20240501 on with which every estimand lies in its 95 % interval and every
# notation that the README names occurs. The README says so, since such data are no evidence that
# intervals cover.
SEED = 20240530
# One stream of random numbers a purpose, so that a change in one leaves the others as they are.
STREAMS = {"exams": 1, "ratings": 2, "notations": 3, "planting": 4, "dittos": 5, "session_book": 8}
SCALE_NAME = "keel 1 to 5"
EXAM_COLUMNS = (
    "exam_id", "bird_id", "ring_number", "species", "sex", "age_class", "age_code",
    "age_code_system", "exam_date", "exam_date_precision", "site", "exam_reason", "mass_g",
    "mass_text", "wing_mm", "tarsus_mm", "keel", "keel_low", "keel_high", "keel_text",
    "keel_scale", "keel_blind", "mass_known_when_scored", "scorer", "crop_fill", "gravid",
    "in_moult", "remarks", "source_file", "source_sheet", "source_row", "true_sex",
    "latent_condition",
)  # fmt: skip
RATING_COLUMNS = (
    "bird_id", "scorer", "session", "round", "rated_on", "keel", "keel_low", "keel_high",
    "keel_text", "keel_scale", "mass_known_when_scored", "source_file", "source_sheet",
    "source_row", "latent_condition",
)  # fmt: skip


def make_demo(*, folder: Path) -> None:
    """Write the legacy files, the true tables and the answer key into a folder."""
    exams = write_notations(_name_stages(draw_exams(_start("exams"))), rng=_start("notations"))
    pages, planted = plant_errors(write_pages(exams), rng=_start("planting"))
    write_workbooks(pages, folder=folder / "legacy", rng=_start("dittos"))
    _write_csv(list_answers(planted), folder / "answer_key.csv")
    _write_csv(_list_true_exams(exams, pages=pages), folder / "true_exams.csv")
    ratings = _write_grades(draw_ratings(_start("ratings")), rng=_start("session_book"))
    write_sessions(ratings, folder=folder / "legacy")
    _write_csv(ratings[list(RATING_COLUMNS)], folder / "true_ratings.csv")


def write_truths(*, folder: Path) -> None:
    """Write `truths.json`, and the README's tables if the folder has the README."""
    truths = _round_all(compute_truths(seed=SEED))
    text = json.dumps(truths, ensure_ascii=False, indent=1)
    (folder / "truths.json").write_bytes(f"{text}\n".encode())
    readme = folder / "README.md"
    if readme.exists():
        tables = make_tables(
            truths=truths,
            exams=pd.read_csv(folder / "true_exams.csv"),
            key=pd.read_csv(folder / "answer_key.csv"),
        )
        filled = fill_tables(readme.read_text(encoding="utf-8"), tables=tables)
        readme.write_bytes(filled.encode())


def _round_all(content: Any) -> Any:
    """Round to 6 digits: finer than the estimands' own error, coarser than machines differ."""
    if isinstance(content, float):
        return float(f"{content:.6g}")
    if isinstance(content, Mapping):
        return {key: _round_all(value) for key, value in content.items()}
    if isinstance(content, list | tuple):
        return [_round_all(value) for value in content]
    return content


def _start(purpose: str) -> np.random.Generator:
    return np.random.default_rng([SEED, STREAMS[purpose]])


def _name_stages(exams: pd.DataFrame) -> pd.DataFrame:
    """Name where in a bird's care each exam stands; a bird seen once is at its first exam."""
    first = exams["exam_number"] == 1
    stage = np.select([first, exams["last_exam"]], ["first", "last"], "later")
    return exams.assign(stage=stage)


def _list_true_exams(exams: pd.DataFrame, *, pages: list[Page]) -> pd.DataFrame:
    """List what was measured and recorded, in canonical columns, with its place in the books.

    A field that a book has no column for is missing here too, since no import can recover it.
    """
    true = exams.copy()
    places = {
        row["exam_id"]: (page, place)
        for page in pages
        for row, place in reversed(list(zip(page.rows, place_rows(page), strict=True)))
    }
    where = [places[exam_id] for exam_id in true["exam_id"]]
    true["source_file"] = [page.file for page, _ in where]
    true["source_sheet"] = [page.sheet for page, _ in where]
    true["source_row"] = [place for _, place in where]
    reasons = {"first": "intake", "later": "recheck", "last": "pre_release"}
    true["exam_reason"] = true["stage"].map(reasons)
    true["exam_date_precision"] = "day"
    true["keel_scale"] = SCALE_NAME
    for text, cell in (("mass_text", "mass_cell"), ("keel_text", "keel_cell")):
        true[text] = [None if pd.isna(value) else write_cell(value) for value in true[cell]]
    recorded = {id(page): page.headings for page, _ in where}
    for name in ("exam_reason", "crop_fill", "gravid", "keel_blind", "mass_known_when_scored"):
        kept = np.array([name in recorded[id(page)] for page, _ in where])
        true[name] = true[name].astype(object).where(kept, None)
    return true[list(EXAM_COLUMNS)]


def _write_grades(ratings: pd.DataFrame, *, rng: np.random.Generator) -> pd.DataFrame:
    """Add the cells of the session book: half grades as 2.5 or 2½, turn about by chance."""
    written = ratings.copy()
    halves = [grade != int(grade) for grade in written["keel"]]
    written["keel_cell"] = pd.Series(
        [
            (f"{int(grade)}½" if luck < 0.5 else grade) if half else int(grade)
            for grade, half, luck in zip(
                written["keel"], halves, rng.random(len(written)), strict=True
            )
        ],
        dtype=object,
    )
    written["keel_low"] = written["keel_high"] = written["keel"]
    written["keel_text"] = [write_cell(cell) for cell in written["keel_cell"]]
    written["keel_scale"] = SCALE_NAME
    written["mass_known_when_scored"] = False
    written["source_file"], written["source_sheet"] = SESSIONS_FILE, "Ratings"
    written["source_row"] = np.arange(2, 2 + len(written))
    return written


def _write_csv(table: pd.DataFrame, path: Path) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    text = table.to_csv(index=False, lineterminator="\n", date_format="%Y-%m-%d")
    path.write_bytes(text.encode("utf-8"))


def main() -> None:
    """Read the command line and make the data set."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, default=HERE, help="folder to write into")
    parser.add_argument("--truths", action="store_true", help="compute truths.json too")
    options = parser.parse_args()
    started = time.perf_counter()
    make_demo(folder=options.out)
    print(f"Legacy files, true tables and answer key: {options.out}")
    if options.truths:
        write_truths(folder=options.out)
        print(f"Estimands: {options.out / 'truths.json'}")
    print(f"{time.perf_counter() - started:.1f} s")


if __name__ == "__main__":
    main()
