"""Messages in three parts, lists that stay short, and errors that survive pickling."""

import pickle
import re

import pytest

from bodycond.errors import (
    ArgumentError,
    BodycondError,
    DegenerateDataError,
    GateWarning,
    MissingColumnError,
    MixedGroupsError,
    RecipeError,
    ScaleError,
    UnreadableFileError,
    name_first_few,
    require_choice,
    require_columns,
    require_level,
)

KINDS = [
    ArgumentError,
    DegenerateDataError,
    MissingColumnError,
    MixedGroupsError,
    RecipeError,
    ScaleError,
    UnreadableFileError,
]


def pin(message):
    """The whole text of a raise, so that a change of wording is a decision."""
    return f"^{re.escape(message)}$"


@pytest.mark.parametrize("kind", [BodycondError, *KINDS])
def test_message_has_three_parts(kind):
    error = kind(needed="A needs B", found="C in row 4", then="Mend C")
    assert str(error) == "A needs B. Found: C in row 4. Mend C."
    assert (error.needed, error.found, error.then) == ("A needs B", "C in row 4", "Mend C")
    assert isinstance(error, ValueError)
    assert isinstance(error, BodycondError)


@pytest.mark.parametrize("kind", KINDS)
def test_errors_cross_process_borders(kind):
    error = kind(needed="a", found="b", then="c")
    again = pickle.loads(pickle.dumps(error))  # noqa: S301
    assert type(again) is kind
    assert str(again) == str(error)
    assert (again.needed, again.found, again.then) == ("a", "b", "c")


def test_a_part_left_out_is_a_mistake_of_the_code():
    with pytest.raises(TypeError, match="'then'"):
        BodycondError(needed="a", found="b")


def test_gate_warning_is_a_user_warning():
    assert issubclass(GateWarning, UserWarning)


@pytest.mark.parametrize(
    ("values", "limit", "text"),
    [
        ([], 5, ""),
        ([1], 5, "1"),
        ([1, 2, 3, 4, 5], 5, "1, 2, 3, 4, 5"),
        ([1, 2, 3, 4, 5, 6], 5, "1, 2, 3, 4, 5 and 1 more"),
        (iter("abcd"), 2, "a, b and 2 more"),
    ],
)
def test_name_first_few(values, limit, text):
    assert name_first_few(values, limit=limit) == text


def test_require_columns_names_every_missing_column_at_once():
    with pytest.raises(
        MissingColumnError,
        match=pin(
            "The index needs the columns 'tarsus_mm', 'sex'. Found: columns 'mass_g', 'species'. "
            "Rename a column, or name the one to use in the call."
        ),
    ):
        require_columns(["mass_g", "species"], ("mass_g", "tarsus_mm", "sex"), purpose="The index")


def test_require_columns_of_an_empty_table():
    with pytest.raises(MissingColumnError, match=r"needs the column 'sex'\. Found: columns none"):
        require_columns([], ["sex"], purpose="The index")


def test_require_columns_passes():
    require_columns(["a", "b"], ["b"], purpose="Nothing")


def test_require_choice():
    require_choice("sma", ("sma", "ols"), argument="method")
    with pytest.raises(
        ArgumentError,
        match=pin("method= takes 'sma' or 'ols'. Found: method='rma'. Choose one of them."),
    ):
        require_choice("rma", ("sma", "ols"), argument="method")


@pytest.mark.parametrize("level", [0.0, 1.0, 95, -0.1, float("nan")])
def test_require_level(level):
    with pytest.raises(
        ArgumentError,
        match=pin(
            f"level= is a confidence level strictly between 0 and 1. Found: level={level!r}. "
            "Use 0.95 for a 95 % interval."
        ),
    ):
        require_level(level)


def test_require_level_passes():
    require_level(0.5)
