"""The import recipe: which cell of which sheet means what, as a file that a person can review."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import pandas as pd

from bodycond.errors import RecipeError
from bodycond.legacy.recipes.question_listing import list_questions
from bodycond.legacy.recipes.recipe_checking import check_recipe_text
from bodycond.legacy.recipes.recipe_rules import ColumnRule, SheetRule
from bodycond.legacy.recipes.recipe_writing import write_recipe_text
from bodycond.scales import KEEL_SCALE, ScoreScale
from bodycond.tables_on_disk import write_text

FIELD_COLUMNS = ("file", "sheet", "heading", "field", "unit", "scale", "confidence")


@dataclass(frozen=True, kw_only=True, eq=False)
class ImportRecipe:
    """A whole recipe: score scales and one rule a kind of sheet.

    Parameters
    ----------
    sheets : tuple of SheetRule
        The rules, the first that matches a sheet counts.
    scales : mapping of str to ScoreScale
        Scales by name; the keel scale of bodycond is always known.
    source : str, default ""
        File that the recipe was read from.
    drafted_from : tuple of (str, str)
        File and sheet of each sheet that a draft was made from, which its patterns stand for.

    Examples
    --------
    >>> recipe = ImportRecipe(sheets=(SheetRule(file="a.csv", table="set_aside", why="empty"),))
    >>> recipe.find_rule(file="a.csv", sheet="a").table
    'set_aside'
    """

    sheets: tuple[SheetRule, ...]
    scales: Mapping[str, ScoreScale] = field(default_factory=dict)
    source: str = ""
    drafted_from: tuple[tuple[str, str], ...] = ()

    def find_rule(self, *, file: str, sheet: str) -> SheetRule | None:
        """Find the rule for a sheet.

        Parameters
        ----------
        file : str
            The file's label.
        sheet : str
            The sheet's name.

        Returns
        -------
        SheetRule or None
            The first rule that matches.
        """
        return next(iter(self.find_rules(file=file, sheet=sheet)), None)

    def find_rules(self, *, file: str, sheet: str) -> tuple[SheetRule, ...]:
        """Find the rules for a sheet.

        Parameters
        ----------
        file : str
            The file's label.
        sheet : str
            The sheet's name.

        Returns
        -------
        tuple of SheetRule
            Every entry for a part of the sheet up to the first that describes it whole, that one
            included; it takes what the parts leave.
        """
        found: list[SheetRule] = []
        for rule in self.sheets:
            if rule.matches(file=file, sheet=sheet):
                found.append(rule)
                if not rule.is_part:
                    break
        return tuple(found)

    def find_scale(self, name: str | None) -> ScoreScale | None:
        """Find a scale by name.

        Parameters
        ----------
        name : str or None
            The scale's name.

        Returns
        -------
        ScoreScale or None
            None where no name is given or the name is unknown.
        """
        if name is None:
            return None
        return {KEEL_SCALE.name: KEEL_SCALE, **self.scales}.get(name)

    @property
    def questions(self) -> tuple[str, ...]:
        """What the recipe leaves open, in plain words.

        Returns
        -------
        tuple of str
            One question an undecided sheet or column, with its place.
        """
        return list_questions(self.sheets)

    @property
    def fields(self) -> pd.DataFrame:
        """The columns and what they are taken for.

        Returns
        -------
        DataFrame
            One row a column and field: ``file sheet heading field unit scale confidence``. The
            field is empty for a column set aside or not recognised; confidence is 1 where a
            person decided. In a draft file and sheet are those that were read, else the names or
            patterns of the entry.
        """
        places = self._list_places()
        rows = [
            (file, sheet, column.heading, name, column.unit or "", column.scale or "",
             _find_confidence(column))
            for number, rule in enumerate(self.sheets)
            for file, sheet in places.get(number, [(rule.file, rule.sheet)])
            for column in (*rule.columns, *rule.labels)
            for name in (column.fields or ("",))
        ]  # fmt: skip
        frame = pd.DataFrame(rows, columns=list(FIELD_COLUMNS))
        texts = dict.fromkeys(FIELD_COLUMNS[:-1], "str")
        return frame.astype({**texts, "confidence": "float64"})

    def _list_places(self) -> dict[int, list[tuple[str, str]]]:
        """List by entry the sheets of the draft that it describes."""
        numbers = {id(rule): number for number, rule in enumerate(self.sheets)}
        places: dict[int, list[tuple[str, str]]] = {}
        for file, sheet in self.drafted_from:
            for rule in self.find_rules(file=file, sheet=sheet):
                places.setdefault(numbers[id(rule)], []).append((file, sheet))
        return places

    def save(self, path: str | Path) -> None:
        """Write the recipe as YAML, open questions as comments too.

        Parameters
        ----------
        path : str or Path
            Where to write.
        """
        write_text(Path(path), write_recipe_text(self.sheets, self.scales))

    @classmethod
    def load(cls, path: str | Path) -> ImportRecipe:
        """Read and check a recipe file.

        Parameters
        ----------
        path : str or Path
            The YAML file, UTF-8.

        Returns
        -------
        ImportRecipe
            The recipe.

        Raises
        ------
        RecipeError
            If the file cannot be read, or with every fault and its line number.
        """
        path = Path(path)
        try:
            text = path.read_bytes().decode("utf-8-sig")
        except (OSError, UnicodeDecodeError) as error:
            raise RecipeError(
                needed=f"The recipe {path} must be a readable UTF-8 file",
                found=getattr(error, "strerror", None) or str(error),
                then="Check the path, or save it anew as UTF-8",
            ) from error
        return cls.from_text(text, source=str(path))

    @classmethod
    def from_text(cls, text: str, *, source: str = "the recipe") -> ImportRecipe:
        """Read and check a recipe's text.

        Parameters
        ----------
        text : str
            YAML.
        source : str, default "the recipe"
            What to call it in messages.

        Returns
        -------
        ImportRecipe
            The recipe.

        Raises
        ------
        RecipeError
            With every fault and its line number.
        """
        sheets, scales, problems = check_recipe_text(text)
        if problems:
            raise RecipeError(
                needed=f"{source} must describe scales, sheets and columns that bodycond knows",
                found=_list_problems(problems),
                then="Correct these lines; the recipe's keys are described in draft recipes",
            )
        return cls(sheets=sheets, scales=scales, source=source)


def _find_confidence(column: ColumnRule) -> float:
    if column.confidence is not None:
        return column.confidence
    return 0.0 if column.ask else 1.0


def _list_problems(problems: Sequence[tuple[int, str]]) -> str:
    ordered = sorted(set(problems))
    count = f"{len(ordered)} fault{'' if len(ordered) == 1 else 's'}"
    return f"{count}: " + "; ".join(f"line {line}: {problem}" for line, problem in ordered)
