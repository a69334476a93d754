"""Saved figures: exact width, embedded fonts, equal bytes, captions beside them."""

import io
import re
import zlib

import numpy as np
import pytest
from PIL import Image

from bodycond.errors import ArgumentError
from bodycond.figures import (
    draw_agreement_table,
    draw_mass_by_keel,
    draw_mass_on_size,
    journal_style,
    save_figure,
)

BUZZARD = {"species": "Buteo buteo"}
WORDS = {"alt_text": "Scatter plot of mass.", "caption": "Body mass – n = 30 birds."}


@pytest.fixture
def figure(linear):
    return draw_mass_by_keel(linear, group=BUZZARD).figure


def read(saved, ending):
    (path,) = [path for path in saved.files if path.name.endswith(ending)]
    return path.read_bytes()


def open_png(saved):
    return Image.open(io.BytesIO(read(saved, ".png")))


def inflate_streams(pdf):
    for found in re.finditer(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.S):
        try:
            yield zlib.decompress(found.group(1))
        except zlib.error:
            continue


@pytest.mark.parametrize(("width", "mm"), [("single", 84.0), ("onehalf", 120.0), ("double", 174.0)])
def test_width_is_exact_in_every_file(linear, tmp_path, width, mm):
    with journal_style(width=width):
        saved = save_figure(
            draw_mass_by_keel(linear, group=BUZZARD).figure, tmp_path / "mass", **WORDS
        )
    assert saved.width_mm == pytest.approx(mm)
    box = re.search(rb"/MediaBox \[ ?([\d. ]+) ?\]", read(saved, ".pdf"))
    assert float(box.group(1).split()[2]) * 25.4 / 72 == pytest.approx(mm, abs=0.01)
    svg = re.search(rb'<svg[^>]* width="([\d.]+)pt"', read(saved, ".svg"))
    assert float(svg.group(1)) * 25.4 / 72 == pytest.approx(mm, abs=0.01)
    image = open_png(saved)
    dots_per_inch = image.info["dpi"][0]
    assert dots_per_inch == pytest.approx(300, abs=0.1)
    # A PNG has whole pixels: one is 0.085 mm.
    assert image.width * 25.4 / dots_per_inch == pytest.approx(mm, abs=25.4 / 300)


def test_600_dpi_doubles_the_pixels(figure, tmp_path):
    saved = save_figure(figure, tmp_path / "mass", formats=("png",), dpi=600, **WORDS)
    image = open_png(saved)
    assert image.width == pytest.approx(84 / 25.4 * 600, abs=1)


def test_the_users_tight_box_does_not_crop(figure, tmp_path):
    import matplotlib as mpl

    plain = save_figure(figure, tmp_path / "plain", **WORDS)
    with mpl.rc_context({"savefig.bbox": "tight", "pdf.fonttype": 3, "svg.hashsalt": None}):
        tight = save_figure(figure, tmp_path / "plain2", **WORDS)
    assert read(plain, ".png")[-5000:] == read(tight, ".png")[-5000:]
    assert b"/FontFile2" in read(tight, ".pdf")


def test_fonts_are_embedded_as_truetype(figure, tmp_path):
    pdf = read(save_figure(figure, tmp_path / "mass", **WORDS), ".pdf")
    objects = pdf + b"".join(inflate_streams(pdf))
    fonts = set(re.findall(rb"/FontName /(?:[A-Z]{6}\+)?([\w-]+)", objects))
    assert fonts == {b"DejaVuSans", b"DejaVuSans-Oblique"}
    assert objects.count(b"/FontFile2") >= len(fonts)
    assert b"/Type3" not in objects


def test_svg_text_needs_no_font(figure, tmp_path):
    svg = read(save_figure(figure, tmp_path / "mass", **WORDS), ".svg")
    assert b"<text" not in svg
    assert b"font-family" not in svg


def test_saving_twice_gives_equal_bytes_and_leaves_the_figure(figure, tmp_path):
    engine, place = figure.get_layout_engine(), figure.axes[0].get_position().bounds
    first = save_figure(figure, tmp_path / "a" / "mass", **WORDS)
    assert figure.get_layout_engine() is engine
    assert figure.axes[0].get_position().bounds == place
    assert figure.axes[0].get_in_layout()
    second = save_figure(figure, tmp_path / "b" / "mass", **WORDS)
    for one, other in zip(first.files, second.files, strict=True):
        assert one.name == other.name
        assert one.read_bytes() == other.read_bytes()


@pytest.mark.parametrize("kind", ["linear", "on_size", "comparison"])
def test_drawing_anew_gives_equal_bytes_too(request, kind, tmp_path):
    result = request.getfixturevalue(kind)
    draw = {
        "linear": lambda: draw_mass_by_keel(result, group=BUZZARD),
        "on_size": lambda: draw_mass_on_size(result, group=BUZZARD),
        "comparison": lambda: draw_agreement_table(result),
    }[kind]
    first, second = (
        save_figure(draw().figure, tmp_path / folder / kind, **WORDS) for folder in ("a", "b")
    )
    for one, other in zip(first.files, second.files, strict=True):
        assert one.read_bytes() == other.read_bytes()


def test_no_date_is_written(figure, tmp_path):
    saved = save_figure(figure, tmp_path / "mass", **WORDS)
    assert b"CreationDate" not in read(saved, ".pdf")
    assert b"<dc:date>" not in read(saved, ".svg")
    assert not {"Creation Time", "date"} & set(open_png(saved).info)


def test_caption_and_alternative_text_are_kept(figure, tmp_path):
    saved = save_figure(figure, tmp_path / "mass", **WORDS)
    assert [path.name for path in saved.files] == [
        "mass.pdf", "mass.svg", "mass.png", "mass.caption.txt",
    ]  # fmt: skip
    assert read(saved, ".caption.txt").decode("utf-8") == (
        "Body mass – n = 30 birds.\n\nAlternative text: Scatter plot of mass.\n"
    )
    assert b"Scatter plot of mass." in read(saved, ".svg")
    assert open_png(saved).info["Description"] == "Scatter plot of mass."


def test_a_dot_in_the_stem_is_kept_and_the_folder_is_made(figure, tmp_path):
    saved = save_figure(figure, tmp_path / "new" / "mass.v2", formats=("svg",), **WORDS)
    assert [path.name for path in saved.files] == ["mass.v2.svg", "mass.v2.caption.txt"]


def test_the_panel_and_its_ink_are_in_the_png(figure, tmp_path):
    saved = save_figure(figure, tmp_path / "mass", formats=("png",), **WORDS)
    pixels = np.asarray(open_png(saved).convert("L"))
    assert pixels[:, 0].min() == 255  # the margin
    assert 0.02 < (pixels < 128).mean() < 0.3


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"formats": ("pdf", "gif")}, r"formats= takes a sequence of 'pdf', 'svg', 'png'.*'gif'"),
        ({"formats": ()}, r"formats= takes a sequence.*Found: formats=\(\)"),
        ({"formats": "pdf"}, r"formats= takes a sequence.*Found: formats='pdf'"),
        ({"formats": ("pdf", "pdf")}, "names each format once"),
        ({"caption": " "}, "needs a caption and an alternative text. Found: caption empty"),
        ({"caption": "", "alt_text": ""}, "Found: caption and alt_text empty"),
        ({"dpi": 72}, r"dpi= takes 150 or more.*Found: dpi=72"),
    ],
)
def test_options_that_make_no_figure_are_refused(figure, tmp_path, options, message):
    with pytest.raises(ArgumentError, match=message):
        save_figure(figure, tmp_path / "mass", **(WORDS | options))
    assert not list(tmp_path.iterdir())
