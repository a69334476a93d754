"""Any grid of any text can be drafted, and the draft is a recipe."""

from hypothesis import given
from hypothesis import strategies as st

from bodycond.legacy.drafting.drafting import draft_file
from bodycond.legacy.drafting.entry_grouping import group_entries
from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.recipes.recipe import ImportRecipe
from bodycond.legacy.recipes.recipe_writing import write_recipe_text

HEADINGS = st.sampled_from(
    ["Ring", "Wt", "Wing (mm)", "Weight (cm)", "Date", "Day", "Month", "Year", "lb", "oz", "Bag",
     "Gross wt", "Age/Sex", "Keel AB", "Keel CD", "Fat", "Sex", "Prefix", "Suffix", "Unit",
     "2019-03-04", "Male Age/Sex", "Egg no.", "Mass:", "Tarsus L W", "", "\u00c2ge", "Net"]
)  # fmt: skip
CELLS = st.one_of(
    st.sampled_from(
        ["", "3", "2.5", "186 g", "x", "?", "12/03/2019", "ASY/M", "AHY", "F", "0", "g", "5x8",
         "Buteo buteo", "Mean", "Wing", "Weight: 950 g", "\u2154", "1e400", "9" * 30]),
    st.integers(-10, 40000), st.floats(allow_nan=False, allow_infinity=False),
    st.text(max_size=6).filter(lambda text: "\x00" not in text),
)  # fmt: skip
GRIDS = st.lists(
    st.lists(st.one_of(HEADINGS, CELLS), min_size=0, max_size=7), min_size=1, max_size=9
)


@given(grids=st.lists(GRIDS, min_size=1, max_size=4))
def test_a_draft_of_any_sheets_can_be_loaded(grids):
    sheets = []
    for number, rows in enumerate(grids):
        texts, kinds = build_grid(rows)
        sheets.append(Sheet(file="a.xlsx", name=f"s{number}", texts=texts, kinds=kinds))
    rules = group_entries(draft_file(sheets), [(sheet.file, sheet.name) for sheet in sheets])
    again = ImportRecipe.from_text(write_recipe_text(rules, {}))
    assert [len(rule.columns) for rule in again.sheets] == [len(rule.columns) for rule in rules]


@given(rows=GRIDS)
def test_drafting_twice_gives_the_same(rows):
    texts, kinds = build_grid(rows)
    sheet = Sheet(file="a.csv", name="a", texts=texts, kinds=kinds)
    first, second = ([entry.rule for entry in draft_file([sheet])] for _ in range(2))
    assert write_recipe_text(first, {}) == write_recipe_text(second, {})
