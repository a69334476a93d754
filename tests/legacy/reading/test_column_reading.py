"""A column read: the quick way for plain numbers of birds gives what each reader gives."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.legacy.reading.cell_readers import make_reader
from bodycond.legacy.reading.column_reading import read_column
from bodycond.legacy.reading.ditto_marks import resolve_dittos
from bodycond.legacy.recipes.recipe_rules import ColumnRule

FIELDS = ("ring_number", "bird_id", "exam_id")


def to_column(texts, kinds=None):
    array = np.empty(len(texts), dtype=object)
    array[:] = texts
    letters = kinds or ["t" if text else " " for text in texts]
    return array, np.array(letters, dtype="<U1")


def read(texts, field, kinds=None, **more):
    rule = ColumnRule(heading="Ring", fields=(field,), **more)
    array, letters = to_column(texts, kinds)
    return read_column(array, letters, rule=rule, scale=None, table="exams")


NUMBERS = st.one_of(
    st.from_regex(r"[A-Za-z]{0,5}[ -]?[0-9]{0,6}[EeXx]?[+]?[0-9]{0,2}", fullmatch=True),
    st.sampled_from(["na", "n.d.", "unknown", "x", "0", "000", "1e5", "1E+07", "nr1234", "na123"]),
)


@pytest.mark.parametrize("field", FIELDS)
@given(text=NUMBERS.filter(bool))
def test_number_of_a_bird_is_read_as_its_reader_reads_it(field, text):
    rule = ColumnRule(heading="Ring", fields=(field,))
    alone = make_reader(field, "text", rule, None)(text, False)
    found = read([text], field)
    assert found.outcomes.tolist() == [alone.outcome]
    assert found.reasons.tolist() == [alone.reason]
    assert found.likely.tolist() == [alone.likely]
    if alone.outcome != "quarantined":
        assert found.outputs[field].tolist() == [alone.value]
        assert found.values.tolist() == [alone.value or ""]


def test_plain_and_other_cells_stand_on_their_rows():
    found = read(["E100001", "", "0", "E100001", "n/a", " B2 "], "ring_number")
    assert found.outcomes.tolist() == [
        "accepted", "", "quarantined", "accepted", "accepted", "converted",
    ]  # fmt: skip
    assert found.outputs["ring_number"].tolist() == ["E100001", None, None, "E100001", None, "B2"]
    assert found.values.tolist() == ["E100001", "", "", "E100001", "", "B2"]


def test_a_recipes_code_is_looked_up_for_a_plain_number_too():
    found = read(["E100001", "E999999"], "ring_number", codes={"E999999": None})
    assert found.outputs["ring_number"].tolist() == ["E100001", None]


def test_number_cell_is_never_plain():
    (outcome,) = read(["1234567"], "ring_number", kinds=["n"]).outcomes.tolist()
    assert outcome != "accepted"


@pytest.mark.parametrize("mark", ['"', "''", "〃", " Ditto ", "do.", '-"-', '"  "', "”"])
def test_ditto_marks_repeat_the_cell_above(mark):
    texts, kinds = to_column(["dune", mark, "E123"])
    rule = ColumnRule(heading="Site", fields=("site",))
    found, _, repeats = resolve_dittos(
        texts, kinds, rule=rule, name_place=lambda place: f"A{place + 2}"
    )
    assert found.tolist() == ["dune", "dune", "E123"]
    assert repeats == {1: "A2 'dune'"}
