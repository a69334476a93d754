"""One column drafted: filled in where heading and cells leave no doubt, asked about elsewhere."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable
from dataclasses import replace

from bodycond.errors import name_first_few
from bodycond.legacy.drafting.column_contents import ColumnContents
from bodycond.legacy.drafting.content_guessing import guess_field
from bodycond.legacy.drafting.date_drafting import draft_date
from bodycond.legacy.drafting.drafted_columns import DraftedColumn, ask, count_ticks, word_ticks
from bodycond.legacy.drafting.flag_words import explain_flags
from bodycond.legacy.drafting.measure_drafting import draft_measure
from bodycond.legacy.drafting.own_drafting import draft_own
from bodycond.legacy.drafting.score_drafting import draft_keel
from bodycond.legacy.drafting.sex_words import are_words, explain_sexes
from bodycond.legacy.headings.headings import CERTAIN
from bodycond.legacy.notation import Reading
from bodycond.legacy.reading.cell_readers import make_reader
from bodycond.legacy.recipes.recipe_rules import CodeValue, ColumnRule
from bodycond.legacy.recipes.targets import FieldKind, find_kind, known_columns
from bodycond.scales import KEEL_SCALE

# A column of which fewer cells than this can be read is asked about.
READABLE_SHARE = 0.9

_ENOUGH_RINGS = 20
_FORMS = str.maketrans(
    dict.fromkeys("0123456789", "9") | dict.fromkeys("abcdefghijklmnopqrstuvwxyz", "a")
)
# Letters for yes or no in one language, and codes of many other things.
_UNCLEAR_FLAGS = frozenset({"s", "j", "o", "t", "f"})
_CODED: frozenset[str] = frozenset({"sex", "age", "crop", "species", "code"})
# Words that say what cannot be read; the first reading's reason stands behind them.
_HOW = {
    "age": "Name the system (BBL, EURING) or explain the codes under 'codes:'.",
    "mass": "Check unit and decimal mark.",
    "length": "Check unit and decimal mark.",
    "score": "Check the scale, or explain the texts under 'codes:'.",
    "date": "Check the heading, or set the column aside.",
}


def draft_column(column: DraftedColumn) -> ColumnRule:
    """Draft the rule of one column.

    Parameters
    ----------
    column : DraftedColumn
        The column.

    Returns
    -------
    ColumnRule
        With a question where anything is open; what is proposed stands beside it.
    """
    match = column.match
    if not match.field:
        return _draft_unknown(column)
    if match.field not in known_columns(column.table):
        return draft_own(column)
    kind = find_kind(match.field, table=column.table, own_kind=None, has_scale=False)
    drafters: dict[FieldKind, Callable[[DraftedColumn], ColumnRule]] = {
        "mass": draft_measure,
        "length": draft_measure,
        "score": draft_keel,
        "date": draft_date,
    }
    rule = drafters.get(kind or "text", _draft_other)(column)
    if not rule.ask and kind is not None:
        rule = _check_cells(column, rule, kind)
    if not rule.ask and column.subject and kind in {"mass", "length", "score"}:
        question = (
            f"Is this {match.field} of the bird itself? The table speaks of {column.subject!r} "
            f"too. {column.contents.show()}"
        )
        rule = ask(column, question, rule=rule, confidence=0.6)
    if not rule.ask and (rule.confidence or 0.0) < CERTAIN:
        question = f"Is this {match.field}? ({match.evidence}.) {column.contents.show()}"
        rule = ask(column, question, rule=rule)
    return rule


def _draft_unknown(column: DraftedColumn) -> ColumnRule:
    match, contents = column.match, column.contents
    show = contents.show()
    if not contents.n_used:
        return ask(column, f"What is it for? {show} Set it aside with a reason, or name its field.")
    guess, said = guess_field(contents, held_beside=match.held_beside)
    if guess == "scorer" and not column.heading.startswith("(column "):
        guess = ""  # initials are codes of many other things
    if guess in known_columns(column.table) and not match.theme:
        question = f"Is this {guess}? The heading is not known, but {said}. {show}"
        guessed = replace(column, match=replace(match, field=guess, confidence=0.5, evidence=said))
        rule = draft_column(guessed) if guess == "exam_date" else None
        rule = rule or ColumnRule(heading=column.heading, fields=(guess,), evidence=said)
        return ask(guessed, question, rule=rule, confidence=0.5)
    if match.theme:
        question = f"May it be set aside? It seems to hold {match.theme}, no part of an exam."
        return ask(column, f"{question} {show}")
    if _counts_rows(contents):
        question = f"May it be set aside? It counts the rows from 1 to {contents.n_used}."
        return ask(column, question)
    why = "" if match.evidence == "heading not known" else f" {match.evidence.capitalize()}."
    return ask(
        column, f"What does it hold?{why} {show} Give it a field, or set it aside with a reason."
    )


def _counts_rows(contents: ColumnContents) -> bool:
    low, high = contents.quantile(0.0), contents.quantile(1.0)
    return (
        contents.n_used > 2 and len(contents.cells) == contents.n_used
        and contents.holds("number", least=1.0) and low in {0.0, 1.0}
        and high == contents.n_used - 1 + (low or 0.0)
    )  # fmt: skip


def _draft_other(column: DraftedColumn) -> ColumnRule:
    match, contents = column.match, column.contents
    named = re.search(r"\b(EURING|BBL)\b", column.heading, re.IGNORECASE)
    rule = ColumnRule(
        heading=column.heading, fields=(match.field,), confidence=match.confidence,
        evidence=f"{match.evidence}; {_count(contents)}",
    )  # fmt: skip
    if match.field == "age_code":
        if named:
            rule = replace(rule, system=named[1].upper())
        elif contents.share("calendar age") > 0.5 and not contents.share("number"):
            evidence = f"{rule.evidence}; codes such as AHY and SY are of the BBL system"
            rule = replace(rule, system="BBL", evidence=evidence)
    doubt = _find_doubt(column)
    if doubt:
        question = f"Is this {match.field}? {doubt} {contents.show()}"
        return ask(column, question, rule=rule, confidence=0.4)
    question = _doubt_codes(column)
    if question:
        return ask(column, f"{question} {contents.show()}", rule=rule)
    # What a scientific name or a word for a sex says goes beyond an ambiguous heading.
    certain = {"species": "binomial", "sex": "sex"}.get(match.field)
    if certain and 0.6 <= match.confidence < CERTAIN and contents.holds(certain, least=0.95):
        rule = replace(rule, confidence=CERTAIN)
    return rule


def _name_odd_forms(contents: ColumnContents) -> str:
    """Name the numbers of rings that are shorter or longer than nearly all others."""
    forms: Counter[str] = Counter()
    examples: dict[str, str] = {}
    for (text, _), count in contents.cells.items():
        form = text.strip().casefold().translate(_FORMS)
        forms[form] += count
        examples.setdefault(form, text.strip())
    (common, count), total = forms.most_common(1)[0], contents.n_used
    odd = [form for form in forms if form != common and "9" in form]
    n_odd = sum(forms[form] for form in odd)
    if total < _ENOUGH_RINGS or not odd or n_odd > 0.05 * total or count < 0.9 * total:
        return ""
    listed = name_first_few((repr(examples[form]) for form in odd), limit=5)
    return f"{count} of {total} are written like {examples[common]!r}, but {n_odd} not: {listed}."


def _doubt_codes(column: DraftedColumn) -> str:
    """Ask about codes that can be read and yet mean something else."""
    match, contents = column.match, column.contents
    kind = known_columns(column.table)[match.field].kind
    texts = {text.strip().casefold() for text, _ in contents.sample}
    if match.field == "crop_fill" and contents.share("number") and match.scale_limits != (0, 4):
        return "Is the crop graded from 0, empty, to 4, full? Explain other grades under 'codes:'."
    letters = sorted(texts & _UNCLEAR_FLAGS)
    if kind == "flag" and letters:
        return f"Does {name_first_few(map(repr, letters))} mean yes or no here?"
    return ""


def _count(contents: ColumnContents) -> str:
    if not contents.n_used:
        return "it is empty"
    return f"{contents.n_used} cells, {len(contents.cells)} different"


def _find_doubt(column: DraftedColumn) -> str:
    """Find what speaks against the heading in a column of names, numbers or codes."""
    field, contents = column.match.field, column.contents
    if contents.n_used < 2:
        return ""
    different, used = len(contents.cells), contents.n_used
    if field == "remarks" and contents.holds("number"):
        return "Its cells are numbers, which can be grades."
    if field != "remarks":
        for what, said in (("date", "dates"), ("time", "times of day")):
            if contents.holds(what, least=0.5):
                return f"Its cells are {said}."
    digits = sum(
        count for (text, _), count in contents.sample.items() if re.search(r"\d", text)
    ) / sum(contents.sample.values())  # fmt: skip
    if field == "ring_number":
        odd = _name_odd_forms(contents)
        if odd:
            return odd
        if digits < 0.6 and used >= 5:
            return "Few of its cells hold a number."
        if different == 1 or 20 * different < used:
            return f"Of {used} cells only {different} are different, too few for rings."
    recurring = contents.holds("binomial", least=0.5) or 5 * different < used
    if field in {"bird_id", "exam_id"} and digits < 0.5 and recurring:
        return "Its cells recur like names of species."
    if field == "exam_id" and different < used:
        return f"It must be unique, but {used - different} cells repeat others."
    if field == "scorer" and used > 5 and (_mean_length(contents) > 25 or contents.holds("number")):
        return "Its cells are no names or initials of people."
    if field == "site" and contents.holds("number") and 2 * different > used > 5:
        return "Its cells are numbers that hardly recur."
    return ""


def _mean_length(contents: ColumnContents) -> float:
    lengths = [len(text) for text, _ in contents.sample]
    return sum(lengths) / len(lengths) if lengths else 0.0


def _check_cells(column: DraftedColumn, rule: ColumnRule, kind: FieldKind) -> ColumnRule:
    """Ask where too few cells can be read: codes to explain, a column under the wrong heading."""
    contents = column.contents
    scale = KEEL_SCALE if rule.scale else None
    reader = make_reader(column.match.field, kind, rule, scale)
    # A date that a workbook keeps as a date needs no look.
    cells = {cell: count for cell, count in contents.sample.items()
             if not (kind == "date" and cell[1] == "d")}  # fmt: skip
    read: dict[tuple[str, str], Reading] = {cell: reader(cell[0], cell[1] == "n") for cell in cells}
    held = {cell: count for cell, count in cells.items() if read[cell].outcome == "quarantined"}
    n_held, total = sum(held.values()), sum(contents.sample.values())
    if n_held <= (1.0 - READABLE_SHARE) * total:
        return _ask_ticks(column, rule, kind, n_held)
    common: Counter[str] = Counter()
    for (text, _), count in held.items():
        common[text.strip()] += count
    codes = name_first_few((repr(text) for text, _ in common.most_common()), limit=10)
    hints = sorted({read[cell].reason for cell in held})
    how = _HOW.get(kind, "Explain them under 'codes:', as in codes: {RT: Buteo jamaicensis}.")
    question = f"{n_held} of {total} cells cannot be read: {codes} ({hints[0]}). {how}"
    if kind == "sex":
        likely: dict[str, CodeValue] = dict(explain_sexes(common))
        rule = replace(rule, codes=likely)
        if likely.keys() == common.keys() and are_words(likely) and not count_ticks(contents):
            said = ", ".join(f"{text!r} is {value}" for text, value in likely.items())
            return replace(rule, evidence=f"{rule.evidence}; {said}")
        said = ", ".join(f"{text!r} is likely {value}" for text, value in likely.items())
        question = f"{question} {said}".strip()
    if kind == "flag" and (words := explain_flags(common)):
        rule = replace(rule, codes=words)
        question = f"{question} {', '.join(f'{text!r} is likely {words[text]}' for text in words)}."
    zeros = [text for text in common if re.fullmatch(r"0+(\.0+)?", text)]
    if kind == "text" and zeros and sum(common[text] for text in zeros) == n_held:
        rule = replace(rule, codes=dict.fromkeys(zeros))
        question = f"{question.split(' Explain')[0]} Does it stand for none (codes: null)?"
    ticks = word_ticks(contents) if kind in _CODED else ""
    return ask(column, f"{question} {ticks}".strip(), rule=rule)


def _ask_ticks(column: DraftedColumn, rule: ColumnRule, kind: FieldKind, n_held: int) -> ColumnRule:
    """Ask what a cross means in a column of codes: there it can be a code itself."""
    contents = column.contents
    ticks = {text: count for text, count in count_ticks(contents).items() if text in {"x", "X"}}
    if kind in {"sex", "age"} and ticks:
        codes: dict[str, CodeValue] = dict.fromkeys(ticks)
        question = f"{word_ticks(contents)} (codes: null), or for 'unknown'? {contents.show()}"
        return ask(column, question, rule=replace(rule, codes=codes))
    if n_held:
        evidence = f"{rule.evidence}; {n_held} cells cannot be read and will be held"
        return replace(rule, evidence=evidence)
    return rule
