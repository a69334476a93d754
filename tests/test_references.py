"""Each publication once, each key in use."""

import re
from pathlib import Path

import pytest

import bodycond
from bodycond.references import REFERENCES, cite, shorten_reference, split_references

PACKAGE = Path(bodycond.__file__).parent


@pytest.mark.parametrize("key", REFERENCES)
def test_entry_reads_author_year_title_place(key):
    assert re.fullmatch(r"[A-Z].+ \(\d{4}\) .+\. .+\d.*\.", REFERENCES[key])
    assert key.split("_")[1] in REFERENCES[key]
    assert REFERENCES[key].lower().startswith(key.split("_")[0])


def test_entries_differ():
    assert len(set(REFERENCES.values())) == len(REFERENCES)


def test_cite_keeps_the_order_asked_for():
    text = cite(["warton_2006", "cohen_1968"])
    assert text == f"{REFERENCES['warton_2006']} {REFERENCES['cohen_1968']}"
    assert cite([]) == ""


def test_unknown_key():
    with pytest.raises(KeyError, match="nobody_1900"):
        cite(["nobody_1900"])


def test_every_key_used_in_the_package_exists():
    used = set()
    for path in PACKAGE.rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        used |= set(re.findall(r'"([a-z]+_(?:19|20)\d\d)"', text))
    # Names of files and of a way to count days have the same form.
    assert used - {"exams_2019", "exams_2021", "serial_1904"} <= set(REFERENCES)


def test_short_forms():
    assert shorten_reference(REFERENCES["cohen_1968"]) == "Cohen 1968"
    sentences, full = split_references(f"One sentence. {cite(['peig_2009', 'cohen_1968'])}")
    assert sentences == "One sentence (Cohen 1968; Peig and Green 2009)."
    assert full == (REFERENCES["cohen_1968"], REFERENCES["peig_2009"])
    assert split_references("Nothing cited.") == ("Nothing cited.", ())
