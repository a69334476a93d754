"""The two-scorer table: each cell shows its count."""

import numpy as np
import pytest
from matplotlib.colors import to_hex

from bodycond.agreement import compare_two_scorers
from bodycond.figures import draw_agreement_table
from bodycond.figures.agreement_table import shade_count
from bodycond.figures.palette import contrast_ratio, relative_luminance


def texts_by_gid(ax, start):
    return {
        text.get_gid().removeprefix(start): text.get_text()
        for text in ax.texts
        if str(text.get_gid()).startswith(start)
    }


def test_cells_hold_the_counts(comparison):
    ax = draw_agreement_table(comparison)
    table = comparison.table.stack()
    expected = {
        f"{first:g} {second:g}": f"{count}" for (first, second), count in table.items() if count
    }
    assert texts_by_gid(ax, "count ") == expected
    for text in ax.texts:
        if str(text.get_gid()).startswith("count"):
            second, first = text.get_position()
            assert text.get_gid() == f"count {first:g} {second:g}"


def test_totals_are_the_marginals(comparison):
    ax = draw_agreement_table(comparison)
    table = comparison.table
    assert texts_by_gid(ax, "first total ") == {
        f"{grade:g}": f"{total}" for grade, total in table.sum(axis=1).items()
    }
    assert texts_by_gid(ax, "second total ") == {
        f"{grade:g}": f"{total}" for grade, total in table.sum(axis=0).items()
    }
    assert texts_by_gid(ax, "grand total") == {"": "11"}


def test_cells_are_shaded_by_count_and_the_diagonal_is_framed(comparison):
    ax = draw_agreement_table(comparison)
    most = int(comparison.table.to_numpy().max())
    cells = {patch.get_gid().removeprefix("cell "): patch for patch in ax.patches}
    assert len(cells) == 81
    for (first, second), count in comparison.table.stack().items():
        cell = cells[f"{first:g} {second:g}"]
        assert to_hex(cell.get_facecolor()) == shade_count(count, most=most)
        assert cell.get_xy() == pytest.approx((second - 0.25, first - 0.25))
        assert (to_hex(cell.get_edgecolor()) == "#000000") == (first == second)


def test_shades_darken_in_grey_and_their_numbers_stay_legible():
    shades = [shade_count(count, most=20) for count in range(21)]
    assert np.all(np.diff([relative_luminance(shade) for shade in shades]) < 0)
    for shade in shades:
        assert max(contrast_ratio(shade, ink) for ink in ("#FFFFFF", "#000000")) > 4.5


def test_labels_and_limits_are_the_whole_scale(comparison):
    ax = draw_agreement_table(comparison)
    assert ax.get_xlabel() == "Grade by S02 (keel 1 to 5)"
    assert ax.get_ylabel() == "Grade by S01 (keel 1 to 5)"
    assert ax.get_xlim() == ax.get_ylim() == (0.75, 5.25)


def test_no_common_bird_is_said(artist):
    result = compare_two_scorers([np.nan, 2.0], [1.0, np.nan], names=("S01", "S02"))
    ax = draw_agreement_table(result)
    said = artist(ax, "reason").get_text().replace("\n", " ")
    assert said == "No bird was graded by both S01 and S02"


def test_the_result_stays_as_it_was(comparison, unchanged):
    with unchanged(comparison):
        draw_agreement_table(comparison)
