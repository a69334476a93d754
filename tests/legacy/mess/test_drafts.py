"""The draft of every messy sheet: each column right or asked about, and no cell silently wrong.

What is right stands in the recipe beside each sheet; ``also_right`` names other fields that are as
good, ``draft_may_differ_in`` columns of which the recipe is one choice among several.
"""

from collections import Counter
from fnmatch import fnmatchcase
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path

import pytest

from bodycond.columns import EXAM_COLUMNS, RATING_COLUMNS
from bodycond.legacy import ImportRecipe, draft_recipe, import_legacy

KNOWN = {column.name for column in (*EXAM_COLUMNS, *RATING_COLUMNS)}
HERE = Path(__file__)


def load_sheets():
    sheets = {}
    for path in sorted(HERE.parent.glob("test_*.py")):
        if path == HERE:
            continue
        spec = spec_from_file_location(f"{path.stem}_sheets", path)
        module = module_from_spec(spec)
        spec.loader.exec_module(module)
        for name, sheet in getattr(module, "SHEETS", {}).items():
            sheets[f"{path.stem.removeprefix('test_')}: {name}"] = sheet
    return sheets


SHEETS = load_sheets()


def list_rules(recipe):
    """List the rules of columns and labels, each with whether its whole entry is undecided."""
    return [
        (rule, bool(entry.ask))
        for entry in recipe.sheets
        for rule in (*entry.columns, *entry.labels)
    ]


def list_labels(recipe):
    return {id(rule) for entry in recipe.sheets for rule in entry.labels}


def names_of(rule):
    return [" ".join(name.casefold().split()).rstrip(":") for name in (rule.heading, *rule.also)]


def is_named_alike(wanted, drafted):
    return any(
        fnmatchcase(name, pattern) for pattern in names_of(wanted) for name in names_of(drafted)
    )


def proposes(wanted, drafted, also):
    """Tell whether a drafted rule names the field and unit of the recipe's."""
    if drafted.fields != wanted.fields and drafted.fields not in also:
        return False
    if drafted.part != wanted.part or drafted.unit_from != wanted.unit_from:
        return False
    return wanted.unit is None or drafted.unit in {wanted.unit, None}


def agrees(wanted, drafted, also):
    """Tell whether a drafted rule fills what the recipe's fills, in the same record."""
    same_record = (drafted.into, dict(drafted.values)) == (wanted.into, dict(wanted.values))
    return proposes(wanted, drafted, also) and same_record and drafted.scale == wanted.scale


def judge(wanted, drafted, also):
    """Judge what the draft says of one column: right, proposed, asked or wrong."""
    if not drafted:
        return "asked"
    verdicts = set()
    for rule, entry_asked in drafted:
        asked = bool(rule.ask) or entry_asked
        own = not set(wanted.fields) <= KNOWN
        if not asked and agrees(wanted, rule, also):
            verdicts.add("right")
        elif asked and proposes(wanted, rule, also):
            verdicts.add("proposed")
        elif asked:
            # What is set aside or a field of one's own, only the analyst can say.
            verdicts.add("proposed" if own or not wanted.fields else "asked")
        elif not wanted.fields and rule.set_aside:
            verdicts.add("right")
        else:
            verdicts.add("wrong")
    return next(word for word in ("wrong", "right", "proposed", "asked") if word in verdicts)


def judge_draft(sheet, recipe, draft):
    """Judge the draft of one sheet; gives the verdict by column of the recipe."""
    drafted = list_rules(draft)
    labels = list_labels(draft) | list_labels(recipe)
    verdicts = {}
    for wanted, _ in list_rules(recipe):
        also = sheet.get("also_right", {}).get(wanted.heading, [])
        # A heading drafted as the label of a form is not found; its cells are judged one by one.
        matching = [
            pair
            for pair in drafted
            if is_named_alike(wanted, pair[0]) and (id(pair[0]) in labels) == (id(wanted) in labels)
        ]
        verdict = judge(wanted, matching, also)
        if verdict == "wrong" and wanted.heading in sheet.get("draft_may_differ_in", ()):
            verdict = "proposed"
        verdicts.setdefault(wanted.heading, []).append(verdict)
    return verdicts


def find_wrong_cells(sheet, recipe, truth, drafted):
    """List the cells that the draft reads otherwise than the recipe, or drops where it reads."""
    wanted = truth.set_index(["file", "address"])
    got = drafted.set_index(["file", "address"]).loc[wanted.index]
    differing = set(sheet.get("draft_may_differ_in", ()))
    also = {
        field
        for fields in sheet.get("also_right", {}).values()
        for names in fields
        for field in names
    } | {field for rule,
         _ in list_rules(recipe) if rule.heading in differing for field in rule.fields}  # fmt: skip
    read = {"accepted", "converted"}
    wrong = []
    for place, cell in wanted.iterrows():
        other = got.loc[place]
        if other["outcome"] == "quarantined" or cell["outcome"] == "quarantined":
            continue
        both = cell["outcome"] in read and other["outcome"] in read
        fields = {name.split(".")[-1] for name in other["target"].split("; ")}
        if both and (other["target"], other["value"]) == (cell["target"], cell["value"]):
            continue
        if other["outcome"] == cell["outcome"] == "set_aside" or fields & also:
            continue
        wrong.append((place[1], cell["raw"], cell["target"], cell["value"], other["outcome"],
                      other["target"], other["value"]))  # fmt: skip
    return wrong


@pytest.fixture(scope="session")
def judged(read_mess):
    """Draft a sheet and judge it, once in the session."""
    known = {}

    def _judge(name):
        if name not in known:
            read = read_mess(SHEETS[name])
            draft = draft_recipe(read.paths)
            imported = import_legacy(read.paths, draft)
            verdicts = judge_draft(SHEETS[name], read.recipe, draft)
            wrong = find_wrong_cells(SHEETS[name], read.recipe, read.ledger, imported.ledger)
            known[name] = draft, imported, verdicts, wrong
        return known[name]

    return _judge


@pytest.mark.parametrize("name", list(SHEETS))
def test_no_column_of_a_draft_is_silently_wrong(judged, name):
    _, _, verdicts, _ = judged(name)
    assert verdicts
    assert [heading for heading, words in verdicts.items() if "wrong" in words] == []


@pytest.mark.parametrize("name", list(SHEETS))
def test_no_cell_is_silently_read_wrongly_by_a_draft(judged, name):
    _, _, _, wrong = judged(name)
    assert wrong == []


@pytest.mark.parametrize("name", list(SHEETS))
def test_importing_by_a_draft_accounts_for_everything(judged, checks_accounts, name):
    _, imported, _, _ = judged(name)
    checks_accounts(imported)


@pytest.mark.parametrize("name", list(SHEETS))
def test_importing_by_the_recipe_again_gives_the_same(read_mess, name):
    read = read_mess(SHEETS[name])
    again = import_legacy(read.paths, read.recipe)
    assert again.exams.equals(read.exams)
    assert again.ratings.equals(read.ratings)
    assert again.ledger.equals(read.ledger)
    assert again.notes == read.imported.notes


@pytest.mark.parametrize("name", list(SHEETS))
def test_a_draft_is_the_same_again_and_survives_its_file(judged, read_mess, tmp_path, name):
    first, second, third = (tmp_path / f"{word}.yaml" for word in ("first", "second", "third"))
    judged(name)[0].save(first)
    draft_recipe(read_mess(SHEETS[name]).paths).save(second)
    ImportRecipe.load(first).save(third)
    assert first.read_bytes() == second.read_bytes() == third.read_bytes()


def test_nine_in_ten_columns_are_right_or_rightly_proposed(judged):
    counts, open_columns, seen = Counter(), [], set()
    for name, sheet in SHEETS.items():
        # Files that differ in their bytes alone are one sheet.
        recipe = sheet.get("recipe") or sheet["columns"]
        for heading, words in judged(name)[2].items() if recipe not in seen else ():
            counts.update(words)
            if "asked" in words:
                open_columns.append(f"{name}: {heading}")
        seen.add(recipe)
    print(f"\n{counts.total()} columns: {dict(counts)}")  # noqa: T201
    print("asked without the field:", *open_columns, sep="\n  ")  # noqa: T201
    assert counts["wrong"] == 0
    assert (counts["right"] + counts["proposed"]) / counts.total() >= 0.9


MASSES = {
    "columns": "Case: {field: bird_id}\nWt: {field: mass_g, unit: g}\nSex: {field: sex}",
    "rows": [["Case", "Wt", "Sex"], ["TR-1", "945", "F"]],
}


@pytest.mark.parametrize(
    ("change", "verdict"),
    [
        (("mass_g, unit: g", "mass_g, unit: g"), "right"),
        (("mass_g, unit: g", "mass_g, unit: kg"), "wrong"),
        (("mass_g, unit: g", "wing_mm, unit: mm"), "wrong"),
        (("field: mass_g, unit: g", "set_aside: not known"), "wrong"),
        (("mass_g, unit: g", 'mass_g, unit: g, ask: "In g?"'), "proposed"),
        (("mass_g, unit: g", 'wing_mm, unit: mm, ask: "In mm?"'), "asked"),
        (("field: mass_g, unit: g", 'ask: "What is it?"'), "asked"),
        (("Wt", "Weight"), "asked"),
    ],
)
def test_the_judge_tells_right_from_wrong(recipe_of, change, verdict):
    other = {**MASSES, "columns": MASSES["columns"].replace(*change)}
    verdicts = judge_draft(MASSES, recipe_of(MASSES), recipe_of(other))
    assert verdicts == {"Case": ["right"], "Wt": [verdict], "Sex": ["right"]}


@pytest.mark.parametrize(
    ("change", "found"),
    [
        (("unit: g", "unit: g"), []),
        (("unit: g", "unit: kg"), ["945000"]),
        (("mass_g, unit: g", "wing_mm, unit: mm"), ["945"]),
        (("field: mass_g, unit: g", "set_aside: not known"), [""]),
        (("unit: g", 'unit: kg, ask: "In kg?"'), []),
    ],
)
def test_a_cell_that_is_read_otherwise_is_found(read_mess, change, found):
    read = read_mess(MASSES)
    other = read_mess({**MASSES, "columns": MASSES["columns"].replace(*change)})
    # The same rows lie in two folders under one name.
    wrong = find_wrong_cells(MASSES, read.recipe, read.ledger, other.ledger)
    assert [cell[-1] for cell in wrong] == found
    assert {cell[0] for cell in wrong} <= {"sheet!B2"}
