"""YAML read as plain values with their line numbers; nothing in it can construct anything."""

from __future__ import annotations

import re
import warnings
from dataclasses import dataclass
from typing import Any

_PREFIX = "tag:yaml.org,2002:"


@dataclass(frozen=True, kw_only=True, eq=False, slots=True)
class Node:
    """A value of a YAML text.

    Parameters
    ----------
    value : dict, list, str, int, float, bool or None
        The value; inside dict and list are nodes.
    line : int
        Line, counted from 1; for an entry of a mapping the line of its key.
    text : str
        A scalar exactly as written, so that a code '007' keeps its zeros.
    """

    value: Any
    line: int
    text: str = ""


def read_nodes(text: str) -> tuple[Node | None, list[tuple[int, str]]]:
    """Read a YAML text.

    Parameters
    ----------
    text : str
        The text.

    Returns
    -------
    node : Node or None
        The whole; None where the text is empty or no YAML.
    problems : list of (int, str)
        Line and problem: a syntax fault, a key given twice, a tag or an alias.
    """
    from ruamel.yaml import YAML
    from ruamel.yaml.error import MarkedYAMLError, YAMLError
    from ruamel.yaml.reader import ReaderError

    problems: list[tuple[int, str]] = []
    yaml: Any = YAML(typ="safe", pure=True)
    yaml.allow_duplicate_keys = True  # they are reported here, with their lines
    try:
        # Composed and never constructed: tags stay words.
        with warnings.catch_warnings():
            # An anchor given twice; the alias that would need it is reported.
            warnings.simplefilter("ignore")
            top = yaml.compose(text)
        if top is None:
            return None, []
        return _read_node(top, top.start_mark.line + 1, problems, set()), problems
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line = mark.line + 1 if mark is not None else 1
        return None, [(line, f"not YAML: {error.problem or error.context}")]
    except ReaderError as error:
        line = text.count("\n", 0, error.position) + 1
        return None, [(line, f"not YAML: the character {chr(error.character)!r}")]
    except YAMLError as error:
        return None, [(1, f"not YAML: {error}")]
    except (ValueError, OverflowError):
        # The parser's own: an escape such as \U00110000 that names no character.
        return None, [(_find_escape_line(text), "not YAML: an escape that names no character")]
    except RecursionError:
        return None, [(_find_deepest_line(text), "brackets or indents nested too deep")]


def _find_escape_line(text: str) -> int:
    """Find the line of an escape beyond the last character there is, or else the first line."""
    found = re.search(r"\\U(?!000|0010)[0-9A-Fa-f]{8}", text)
    return text.count("\n", 0, found.start()) + 1 if found else 1


def _find_deepest_line(text: str) -> int:
    """Find the line with most opening brackets, or else the one that is indented most."""
    lines = text.splitlines()
    weights = [(sum(map(line.count, "[{")), len(line) - len(line.lstrip(" -"))) for line in lines]
    return weights.index(max(weights)) + 1


def _read_node(node: Any, line: int, problems: list[tuple[int, str]], seen: set[int]) -> Node:
    if id(node) in seen:
        problems.append((line, "an alias (*); write the value out"))
        return Node(value=None, line=line)
    seen.add(id(node))
    kind = type(node).__name__
    # ruamel holds a tag as an object whose text form is the tag.
    tag = str(node.tag)
    if kind == "MappingNode" and tag == f"{_PREFIX}map":
        return Node(value=_read_mapping(node, problems, seen), line=line)
    if kind == "SequenceNode" and tag == f"{_PREFIX}seq":
        items = [_read_node(item, item.start_mark.line + 1, problems, seen) for item in node.value]
        return Node(value=items, line=line)
    if kind == "ScalarNode":
        return Node(value=_read_scalar(node, tag, line, problems), line=line, text=node.value)
    problems.append((line, f"the tag {tag!r}; a recipe holds plain values alone"))
    return Node(value=None, line=line)


def _read_mapping(node: Any, problems: list[tuple[int, str]], seen: set[int]) -> dict[str, Node]:
    entries: dict[str, Node] = {}
    for key, value in node.value:
        line = key.start_mark.line + 1
        if type(key).__name__ != "ScalarNode":
            problems.append((line, "a key that is not a word"))
            continue
        # An alias as a key has the line of its anchor.
        _read_node(key, line, problems, seen)
        name = str(key.value)
        if name in entries:
            problems.append((line, f"{name!r} is given twice, first in line {entries[name].line}"))
            continue
        entries[name] = _read_node(value, line, problems, seen)
    return entries


def _read_scalar(node: Any, tag: str, line: int, problems: list[tuple[int, str]]) -> Any:
    written = str(node.value)
    short = tag.removeprefix(_PREFIX)
    if short == "null":
        return None
    if short == "bool":
        return written.lower() in {"true", "yes", "on"}
    if short in {"int", "float"}:
        try:
            return int(written) if short == "int" else float(written)
        except ValueError:
            return written
    if short in {"str", "timestamp"}:
        return written
    problems.append((line, f"the tag {tag!r}; a recipe holds plain values alone"))
    return None
