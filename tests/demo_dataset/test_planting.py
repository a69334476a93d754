"""Planting leaves its input alone and says when there is no place for an error."""

from __future__ import annotations

import copy

import numpy as np
import pytest


@pytest.fixture(scope="module")
def pages(script):
    exams = script("exams").draw_exams(np.random.default_rng(3)).assign(stage="first")
    written = script("notation").write_notations(exams, rng=np.random.default_rng(4))
    return script("pages").write_pages(written)


def test_planting_changes_a_copy(pages, script):
    before = copy.deepcopy([page.rows for page in pages])
    damaged, planted = script("planting").plant_errors(pages, rng=np.random.default_rng(5))
    assert [page.rows for page in pages] == before
    changed = sum(
        cell != row[name]
        for page, sound in zip(damaged, pages, strict=True)
        if page.book == "early"
        for broken, row in zip(page.rows, sound.rows, strict=True)
        for name, cell in broken.items()
    )
    assert changed == sum(error.page.book == "early" for error in planted)


def test_no_place_for_an_error_is_said(pages, script):
    empty = [page for page in copy.deepcopy(pages) if page.book != "station"]
    with pytest.raises(ValueError, match=r"^only 0 of 1 places for tenfold$"):
        script("planting").plant_errors(empty, rng=np.random.default_rng(5))


def test_year_of_text_is_refused(script):
    with pytest.raises(TypeError, match=r"^'2020' is no date cell$"):
        script("pages").year_of("2020")
