"""The journal style: sizes, text, and settings left as they were."""

import subprocess
import sys
from itertools import combinations

import matplotlib as mpl
import pytest
from matplotlib.figure import Figure
from matplotlib.font_manager import findfont
from matplotlib.text import Text

from bodycond.errors import ArgumentError
from bodycond.figures import (
    draw_agreement_table,
    draw_index_by_keel,
    draw_mass_by_keel,
    draw_mass_on_size,
    journal_style,
)
from bodycond.figures.style import make_axes, measure_width_pt

BUZZARD = {"species": "Buteo buteo"}


@pytest.fixture(params=["linear", "factor", "on_size", "index", "comparison"])
def drawn(request, linear, factor, on_size, index, comparison):
    """Every figure at 84 mm, laid out."""
    with journal_style():
        ax = {
            "linear": lambda: draw_mass_by_keel(linear, group=BUZZARD),
            "factor": lambda: draw_mass_by_keel(factor, group=BUZZARD),
            "on_size": lambda: draw_mass_on_size(on_size, group=BUZZARD),
            "index": lambda: draw_index_by_keel(index, group=BUZZARD),
            "comparison": lambda: draw_agreement_table(comparison),
        }[request.param]()
    ax.figure.draw_without_rendering()
    return ax


def written_texts(ax):
    # matplotlib keeps labels of ticks beyond the view, and does not draw them.
    unseen = {
        id(tick.label1)
        for axis in (ax.xaxis, ax.yaxis)
        for tick in [*axis.get_major_ticks(), *axis.get_minor_ticks()]
        if not min(axis.get_view_interval()) <= tick.get_loc() <= max(axis.get_view_interval())
    }
    texts = [text for text in ax.figure.findobj(Text) if id(text) not in unseen]
    return [text for text in texts if text.get_visible() and text.get_text().strip()]


@pytest.mark.parametrize(
    ("width", "expected"), [("single", 84), ("onehalf", 120), ("double", 174), (81.5, 81.5)]
)
def test_widths_in_mm(width, expected):
    with journal_style(width=width):
        figure = make_axes().figure
    assert figure.get_size_inches()[0] * 25.4 == pytest.approx(expected, abs=1e-9)


def test_height_is_given_or_the_width_up_to_110_mm():
    for width, height, expected in (("single", None, 84), ("double", None, 110), (84, 225, 225)):
        with journal_style(width=width, height_mm=height):
            size = make_axes().figure.get_size_inches()
        assert size[1] * 25.4 == pytest.approx(expected)


@pytest.mark.parametrize("width", ["triple", 20, float("nan"), float("inf")])
def test_unknown_widths_are_refused(width):
    with (
        pytest.raises(
            ArgumentError,
            match=r"width= takes 'single' \(84\), 'onehalf' \(120\), 'double' \(174\) or a number",
        ),
        journal_style(width=width),
    ):
        pass


def test_a_height_beyond_the_page_is_refused():
    with (
        pytest.raises(ArgumentError, match=r"height_mm= takes 40 to 225.*Found: height_mm=226"),
        journal_style(height_mm=226),
    ):
        pass


def test_settings_are_restored_even_after_an_error():
    before = mpl.rcParams.copy()
    with pytest.raises(KeyError), journal_style(width="double"):
        mpl.rcParams["no.such.setting"] = mpl.rcParams["pdf.fonttype"]
    assert mpl.rcParams.copy() == before


def test_the_users_settings_file_has_no_say_but_the_call_has():
    with mpl.rc_context({"axes.grid": True, "font.size": 30}):
        with journal_style(settings={"axes.labelsize": 9}):
            assert not mpl.rcParams["axes.grid"]
            assert mpl.rcParams["font.size"] == 8
            assert mpl.rcParams["axes.labelsize"] == 9
        assert mpl.rcParams["font.size"] == 30


def test_drawers_use_the_style_that_is_on_or_the_single_column(linear):
    with journal_style(width="onehalf"):
        wide = draw_mass_by_keel(linear, group=BUZZARD)
    assert wide.figure.get_size_inches()[0] * 25.4 == pytest.approx(120)
    alone = draw_mass_by_keel(linear, group=BUZZARD)
    assert alone.figure.get_size_inches()[0] * 25.4 == pytest.approx(84)
    assert alone.yaxis.label.get_size() == 8


def test_no_text_is_under_6_pt_and_all_is_in_the_font_that_comes_along(drawn):
    texts = written_texts(drawn)
    assert len(texts) > 5
    assert min(text.get_size() for text in texts) >= 6
    assert {drawn.xaxis.label.get_size(), drawn.yaxis.label.get_size()} == {8.0}
    for text in texts:
        assert "DejaVuSans" in findfont(text.get_fontproperties())


def test_no_text_overlaps_another_or_leaves_the_figure_at_84_mm(drawn):
    page = drawn.figure.bbox
    boxes = [(text.get_text(), text.get_window_extent()) for text in written_texts(drawn)]
    for text, box in boxes:
        assert page.x0 <= box.x0 and box.x1 <= page.x1, text  # noqa: PT018
        assert page.y0 <= box.y0 and box.y1 <= page.y1, text  # noqa: PT018
    for (first, box), (second, other) in combinations(boxes, 2):
        # Half a pixel at 100 dpi (0.13 mm) is what the boxes' own padding comes to.
        apart = (
            min(box.x1, other.x1) - max(box.x0, other.x0) <= 0.5
            or min(box.y1, other.y1) - max(box.y0, other.y0) <= 0.5
        )
        assert apart, (first, second)


def test_the_legend_is_outside_the_axes(drawn):
    legend = drawn.get_legend()
    if legend is not None:
        assert legend.get_window_extent().y0 >= drawn.get_window_extent().y1


def test_lines_are_at_least_half_a_point(drawn):
    widths = [line.get_linewidth() for line in drawn.lines if line.get_linestyle() != "None"]
    widths += [spine.get_linewidth() for spine in drawn.spines.values()]
    for collection in drawn.collections:
        widths += [width for width in as_list(collection.get_linewidths()) if width > 0]
    assert min(widths) >= 0.5


def as_list(values):
    return list(values) if hasattr(values, "__iter__") else [values]


def test_importing_the_package_imports_no_drawing_library():
    code = (
        "import sys, bodycond, bodycond.figures; "
        "print([name for name in ('matplotlib', 'seaborn') if name in sys.modules])"
    )
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "[]"


def test_drawing_needs_no_pyplot(tmp_path):
    code = (
        "import sys; from bodycond.agreement import compare_two_scorers; "
        "from bodycond.figures import draw_agreement_table, save_figure; "
        "ax = draw_agreement_table(compare_two_scorers([1, 2, 3], [1, 2, 4], resamples=100)); "
        f"save_figure(ax.figure, {str(tmp_path / 'table')!r}, alt_text='a', caption='b'); "
        "print('matplotlib.pyplot' in sys.modules)"
    )
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "False"


def test_a_part_of_a_figure_has_its_own_width(linear):
    with journal_style(width="double"):
        left, right = Figure(layout="constrained").subfigures(1, 2)
        ax = draw_mass_by_keel(linear, group=BUZZARD, ax=left.subplots())
        draw_mass_by_keel(linear, group=BUZZARD, ax=right.subplots())
    assert measure_width_pt(ax) == pytest.approx(87 / 25.4 * 72)
    ax.figure.figure.draw_without_rendering()
