"""Mass on size: points and axis lines are those of the result."""

import numpy as np
import pytest
from matplotlib.colors import to_hex

from bodycond.condition import collect_mass_on_size, fit_scaled_mass
from bodycond.errors import ArgumentError
from bodycond.figures import describe_mass_on_size, draw_mass_on_size
from bodycond.figures.group_marks import SEX_MARKS
from bodycond.figures.mass_on_size import name_obstacle

BUZZARD = {"species": "Buteo buteo"}


def rows_of(table, species, sex):
    return table.loc[(table["species"] == species) & (table["sex"] == sex)]


@pytest.mark.parametrize(("sex", "label"), [("F", "female"), ("M", "male")])
def test_points_and_later_exams(on_size, artist, sex, label):
    ax = draw_mass_on_size(on_size, group=BUZZARD)
    rows = rows_of(on_size.points, "Buteo buteo", sex)
    for gid, chosen in (("points", rows["in_line"]), ("later", ~rows["in_line"])):
        expected = rows.loc[chosen, ["size_mm", "mass_g"]].to_numpy().tolist()
        assert np.asarray(artist(ax, f"{gid} {label}").get_offsets()).tolist() == expected
    assert (~rows["in_line"]).any()


@pytest.mark.parametrize(("sex", "label"), [("F", "female"), ("M", "male")])
def test_lines_are_the_axes_of_the_fit(on_size, artist, sex, label):
    ax = draw_mass_on_size(on_size, group=BUZZARD)
    (row,) = rows_of(on_size.lines, "Buteo buteo", sex).to_dict("records")
    line = artist(ax, f"line {label}")
    x, y = np.log(line.get_xdata()), np.log(line.get_ydata())
    assert np.exp(x).tolist() == pytest.approx([row["size_from_mm"], row["size_to_mm"]], rel=1e-12)
    assert (y[1] - y[0]) / (x[1] - x[0]) == pytest.approx(row["slope"], rel=1e-9)
    assert y[0] - row["slope"] * x[0] == pytest.approx(row["intercept"], rel=1e-9)
    assert to_hex(line.get_color()) == SEX_MARKS[sex].colour.lower()
    assert line.get_linestyle() == "-"


def test_axes_are_logarithmic_with_plain_numbers_and_units(on_size):
    ax = draw_mass_on_size(on_size, group=BUZZARD)
    assert (ax.get_xscale(), ax.get_yscale()) == ("log", "log")
    assert (ax.get_xlabel(), ax.get_ylabel()) == ("Wing length (mm)", "Body mass (g)")
    ax.figure.draw_without_rendering()
    for axis in (ax.xaxis, ax.yaxis):
        low, high = axis.get_view_interval()
        shown = [
            label.get_text()
            for tick, label in zip(axis.get_majorticklocs(), axis.get_ticklabels(), strict=True)
            if low <= tick <= high
        ]
        assert len(shown) >= 2
        assert all(float(text) == int(text) for text in shown)


def test_unusable_lines_are_dashed_and_say_why(on_size, artist):
    ax = draw_mass_on_size(on_size, group=BUZZARD)
    (row,) = rows_of(on_size.lines, "Buteo buteo", "U").to_dict("records")
    assert not row["usable"]
    assert artist(ax, "line sex unknown").get_linestyle() == "--"
    (entry,) = [
        text.get_text() for text in ax.get_legend().get_texts() if "unknown" in text.get_text()
    ]
    assert entry.replace("\n", " ").startswith(
        "sex unknown, 4 birds; line not usable: 4 birds, at least 5 are needed"
    )
    assert "small_n" in row["gates"] or "sex_unknown" in row["gates"]
    assert "sex_unknown" not in entry


def test_a_group_too_small_for_an_interval_has_points_and_no_line(on_size, artist):
    ax = draw_mass_on_size(on_size, group={"species": "Accipiter nisus"})
    (row,) = rows_of(on_size.lines, "Accipiter nisus", "M").to_dict("records")
    assert np.isfinite(row["slope"])
    assert len(artist(ax, "points male").get_offsets()) == 3
    assert [line.get_gid() for line in ax.lines if "male" in str(line.get_gid())] == ["line female"]
    words = describe_mass_on_size(on_size, group={"species": "Accipiter nisus"})
    assert "For male (3 birds) there is no line." in words.alt_text
    assert "Male: 3 birds; no line: an interval of r needs 4 pairs, found 3." in words.caption


def test_only_what_stops_a_line_is_named():
    gates = "r_includes_zero: r = 0.21, interval -0.40 to 0.70; small_n: 12 birds, fewer than 20"
    assert name_obstacle({"reason": "", "gates": gates}) == "r = 0.21, interval -0.40 to 0.70"
    assert name_obstacle({"reason": "no pairs", "gates": gates}) == "no pairs"


def test_several_species_differ_by_shape_and_colour(on_size):
    ax = draw_mass_on_size(on_size)
    points = [child for child in ax.collections if str(child.get_gid()).startswith("points")]
    assert len(points) == 5
    colours = {to_hex(each.get_facecolors()[0]) for each in points}
    shapes = {each.get_paths()[0].vertices.tobytes() for each in points}
    assert len(colours) == len(shapes) == 5


def test_too_many_groups_are_refused(exams):
    many = exams.assign(site=[f"station {row % 4}" for row in range(len(exams))])
    fit = fit_scaled_mass(many, size="wing_mm", by=("species", "sex", "site"))
    with pytest.raises(ArgumentError, match=r"up to 7 groups apart\. Found: 12 groups"):
        draw_mass_on_size(collect_mass_on_size(fit, many), group=BUZZARD)


def test_nothing_to_draw_is_said(unmeasured, exams, artist):
    result = collect_mass_on_size(fit_scaled_mass(unmeasured, size="wing_mm"), unmeasured)
    said = artist(draw_mass_on_size(result, group=BUZZARD), "reason").get_text()
    assert said.replace("\n", " ") == (
        "No exam of Buteo buteo, F holds both body mass (g) and wing length (mm)"
    )
    nobody = exams.iloc[:0]
    result = collect_mass_on_size(fit_scaled_mass(nobody, size="wing_mm"), nobody)
    assert "No exam of the groups asked for" in artist(
        draw_mass_on_size(result), "reason"
    ).get_text().replace("\n", " ")


def test_equal_sizes_give_points_and_no_line(exams, artist):
    equal = exams.loc[exams["species"] == "Buteo buteo"].assign(wing_mm=390.0)
    result = collect_mass_on_size(fit_scaled_mass(equal, size="wing_mm"), equal)
    ax = draw_mass_on_size(result)
    assert len(artist(ax, "points female").get_offsets())
    assert not [line for line in ax.lines if str(line.get_gid()).startswith("line")]
    assert any("no line:" in text.get_text() for text in ax.get_legend().get_texts())


def test_the_result_stays_as_it_was(on_size, unchanged):
    with unchanged(on_size):
        draw_mass_on_size(on_size, group=BUZZARD)
