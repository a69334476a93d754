"""Progress: a line a stage, a bar on a terminal, and no orders to the console."""

import sys

import pytest

from bodycond.commands.progress import Stages


def test_a_step_of_a_stage_does_not_count_as_one(capsys):
    with Stages(2) as stages:
        for stage in ("reading", "marking", "marking: a.xlsx", "marking: b.xlsx"):
            stages.begin(stage)
    assert capsys.readouterr().err.splitlines() == [
        "1/2 reading", "2/2 marking", "2/2 marking: a.xlsx", "2/2 marking: b.xlsx",
    ]  # fmt: skip


@pytest.mark.parametrize("terminal", [True, False])
def test_a_hostile_name_gives_no_orders(terminal, capsys, monkeypatch):
    monkeypatch.setattr(type(sys.stderr), "isatty", lambda _self: terminal)
    with Stages(1) as stages:
        stages.begin("\x1b]0;gone\x07.csv")
    said = capsys.readouterr().err
    assert "\x1b]" not in said
    assert "\\x1b]0;gone" in said


def test_more_stages_than_foreseen_are_no_error(capsys):
    with Stages(1) as stages:
        stages.begin("one")
        stages.begin("two")
    assert capsys.readouterr().err.splitlines() == ["1/1 one", "2/2 two"]
