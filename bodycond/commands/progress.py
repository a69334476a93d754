"""Progress on standard error: a bar on a terminal, elsewhere a line a stage."""

from __future__ import annotations

import sys
from typing import Any

_WIDEST_STAGE = 30


class Stages:
    """Shows which stage of a job runs.

    Parameters
    ----------
    total : int
        How many stages there will be.
    """

    def __init__(self, total: int) -> None:
        self._total, self._begun, self._stage = total, 0, ""
        self._bar: Any = None

    def __enter__(self) -> Stages:
        if sys.stderr.isatty():
            from tqdm import tqdm

            self._bar = tqdm(
                total=self._total, file=sys.stderr, ncols=78,
                bar_format="{desc:<22}|{bar}| {n_fmt}/{total_fmt} [{elapsed}]",
            )  # fmt: skip
        return self

    def begin(self, stage: str) -> None:
        """Show that a stage begins.

        Parameters
        ----------
        stage : str
            Its name, or the name of the file that is read. What begins with the name of the
            running stage and a colon is a step of it and counts for none.
        """
        from bodycond.study.visible_texts import show_text

        if not stage.startswith(f"{self._stage}: "):
            self._begun, self._stage = self._begun + 1, stage
        self._total = max(self._total, self._begun)
        if self._bar is None:
            line = f"{self._begun}/{self._total} {show_text(stage)}\n"
            sys.stderr.write(line)
            sys.stderr.flush()
            return
        self._bar.total = self._total
        self._bar.update(self._begun - 1 - self._bar.n)
        self._bar.set_description_str(show_text(stage, limit=_WIDEST_STAGE))

    def __exit__(self, failed: object, *_rest: object) -> None:
        if self._bar is None:
            return
        if failed is None:
            self._bar.update(self._total - self._bar.n)
            self._bar.set_description_str("done")
        self._bar.close()
