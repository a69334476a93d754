"""The page: whatever a workbook holds is text in it, and its skeleton serves every reader."""

import re
from html.parser import HTMLParser

import pytest

from bodycond.study.cautions import CAUTIONS
from bodycond.study.report import ReportFigure, ReportSection, embed_figure, render_report
from bodycond.study.report_tables import ReportTable

NASTY = "<script>alert('1')</script>\"&"


class Skeleton(HTMLParser):
    """Collects the tags of a page, with their attributes."""

    def __init__(self, page):
        super().__init__()
        self.tags = []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def of(self, name):
        return [attributes for tag, attributes in self.tags if tag == name]


@pytest.fixture
def page():
    table = ReportTable(
        caption=NASTY, headings=(NASTY, "n"), rows=((NASTY, "1"), (NASTY, "2")), grouped=True
    )
    figure = ReportFigure(svg="PHN2Zy8+", alt_text=NASTY, title=NASTY, caption=NASTY)
    section = ReportSection(
        anchor="short", heading=NASTY, paragraphs=(NASTY,), points=(NASTY,), cautions=CAUTIONS,
        tables=(table,), figures=(figure,),
    )  # fmt: skip
    return render_report(title=NASTY, question=NASTY, sections=[section], closing=NASTY)


def test_no_text_becomes_markup(page):
    assert "script" not in {tag for tag, _ in Skeleton(page).tags}
    assert "<script" not in page
    assert page.count("&lt;script&gt;") == 15
    (image,) = Skeleton(page).of("img")
    assert image["alt"] == NASTY


def test_headings_descend_one_at_a_time(page):
    levels = [int(tag[1]) for tag, _ in Skeleton(page).tags if re.fullmatch("h[1-6]", tag)]
    assert levels == [1, 2]


def test_table_headings_have_their_scope(page):
    scopes = [attributes.get("scope") for attributes in Skeleton(page).of("th")]
    assert scopes == ["col", "col", "rowgroup"]
    assert Skeleton(page).of("th")[-1]["rowspan"] == "2"


def test_wide_tables_can_be_scrolled_from_the_keyboard(page):
    regions = [each for each in Skeleton(page).of("div") if each.get("role") == "region"]
    assert [(each["tabindex"], each["aria-label"]) for each in regions] == [("0", NASTY)]


def test_a_language_and_a_title_are_set(page):
    assert Skeleton(page).of("html") == [{"lang": "en"}]
    assert page.startswith("<!DOCTYPE html>")


def test_nothing_is_fetched(page):
    addresses = [
        value
        for _, attributes in Skeleton(page).tags
        for name, value in attributes.items()
        if name in ("src", "href")
    ]
    assert all(value.startswith(("#", "data:")) for value in addresses)
    assert not re.findall(r"url\(|@import", page)


@pytest.mark.parametrize("colour", ["ink", "quiet", "link"])
def test_text_stands_out_from_paper_and_band(page, colour):
    from bodycond.figures.palette import contrast_ratio

    named = dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", page))
    for ground in ("paper", "band"):
        assert contrast_ratio(named[colour].upper(), named[ground].upper()) >= 4.5


def test_a_caption_is_parted_after_its_first_sentence(tmp_path):
    file = tmp_path / "a.svg"
    file.write_bytes(b"<svg/>")
    figure = embed_figure(file, alt_text="seen", caption="Mass by score. Points: exams. n = 3.")
    assert (figure.title, figure.caption) == ("Mass by score.", "Points: exams. n = 3.")
    assert figure.svg == "PHN2Zy8+"


def test_cautions_cover_what_they_must():
    text = " ".join(f"{heading} {words}" for heading, words in CAUTIONS).lower()
    for word in ("talons", "avian influenza", "salmonell", "chlamydi", "mycobacteri", "needle",
                 "open-mouthed", "not a research subject", "flame", "oxygen", "electrocautery",
                 "saline", "1 ml per 100 g", "licences", "licensed veterinarian", "no diagnosis",
                 "provisional", "ventilate"):  # fmt: skip
        assert word in text, word
    for word in ("healthy or", "release ready", "euthan", "unhealthy"):
        assert word not in text, word
