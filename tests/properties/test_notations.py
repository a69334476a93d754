"""Every parser of notations: total, keeps the raw text, never leaves its scale, never guesses."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodycond.codes import AGE_CLASSES, CROP_CODES, EXAM_REASONS, SEX_CODES
from bodycond.legacy.notation import (
    DATE_ORDERS,
    MASS_UNITS,
    NumberReading,
    parse_age,
    parse_code,
    parse_coded_range,
    parse_crop,
    parse_date,
    parse_flag,
    parse_identifier,
    parse_length,
    parse_mass,
    parse_number,
    parse_score,
    parse_sex,
    parse_species,
    parse_text,
    parse_time,
)
from bodycond.scales import KEEL_SCALE, ScoreScale

FAT_SCALE = ScoreScale(name="fat 0 to 4", low=0, high=4, step=0.5)
TENTHS = ScoreScale(name="0 to 1", low=0, high=1, step=0.1)
FAT_CODES = {"L": "1", "Lt": "0.5", "M": (2.0, 2.5), "t": None, "vh": "9", "word": "much"}

# Texts made of what old sheets are made of reach far more branches than any text does.
_PIECES = [
    *"0123456789",
    *" .,/-+*?~<>=#%'\"()x:;&|",
    "1/2", "\u00bd", "\u2013", "\u00d7", "\u00b2", "\u0663", "\uff15", "\u136b", "\u2640", "\u00a0",
    "g", "kg", "gr", "lb", "oz", "mm", "cm", "in", "ft", "w", "ml", "pm", "h", "Uhr",
    "Mar", "May", "juin", "de", "Mon", "Fall", "early", "2013", "1904", "46056", "T", "Julian ",
    "to", "of", "was", "BCS", "III", "L", "M", "Lt", "F", "AHY", "HY", "adult", "full", "yes",
    "Buteo", "buteo", "owl", "sp.", "NA", "N/A", "#REF!", "before ", "ca. ", "e+", "9" * 40,
]  # fmt: skip
TEXTS = st.one_of(st.text(), st.lists(st.sampled_from(_PIECES), max_size=8).map("".join))

PARSERS = {
    **{
        f"mass {unit} {decimal}": lambda text, u=unit, d=decimal: parse_mass(
            text, unit=u, decimal=d
        )
        for unit in (None, *MASS_UNITS)
        for decimal in (None, "point", "comma")
    },
    **{
        f"length {unit}": lambda text, u=unit: parse_length(text, unit=u)
        for unit in (None, "mm", "cm", "in")
    },
    "number": parse_number,
    "number within": lambda text: parse_number(text, low=0, high=1, unit="ml", decimal="comma"),
    **{
        f"score {scale and scale.name} {slash}": lambda text, s=scale, m=slash: parse_score(
            text, scale=s, slash=m, prefixes=("BCS",)
        )
        for scale in (KEEL_SCALE, FAT_SCALE, TENTHS, None)
        for slash in (None, "of_scale", "range")
    },
    "coded range": lambda text: parse_coded_range(text, codes=FAT_CODES, scale=FAT_SCALE),
    **{
        f"date {order} {year}": lambda text, o=order, y=year: parse_date(text, order=o, year=y)
        for order in (None, *DATE_ORDERS)
        for year in (None, 2003)
    },
    "time": parse_time,
    "time of 12": lambda text: parse_time(text, clock=12),
    "sex": parse_sex,
    **{
        f"age {system}": lambda text, s=system: parse_age(text, system=s)
        for system in (None, "BBL", "EURING", "SITE")
    },
    "crop": parse_crop,
    "flag": parse_flag,
    "code": lambda text: parse_code(text, codes=EXAM_REASONS),
    "species": parse_species,
    "text": parse_text,
    **{
        f"identifier {digits} {number}": lambda text, d=digits, n=number: parse_identifier(
            text, is_number=n, digits=d
        )
        for digits in (None, 5)
        for number in (True, False)
    },
}
SCALES = {
    **{
        name: scale
        for scale in (KEEL_SCALE, FAT_SCALE, TENTHS)
        for name in PARSERS
        if name.startswith(f"score {scale.name}")
    },
    "coded range": FAT_SCALE,
}
CODES = {
    "sex": SEX_CODES,
    "crop": CROP_CODES,
    "code": EXAM_REASONS,
    **{name: AGE_CLASSES for name in PARSERS if name.startswith("age ")},
}


@pytest.mark.parametrize("name", PARSERS)
@given(text=TEXTS)
def test_a_parser_is_total_and_honest(name, text):
    reading = PARSERS[name](text)
    if reading is None:
        assert name == "coded range"
        return
    assert reading.raw == text
    assert reading.outcome in {"accepted", "converted", "quarantined"}
    assert len(set(reading.flags)) == len(reading.flags)
    if reading.outcome == "quarantined":
        assert reading.value is None
        assert reading.reason
    else:
        assert reading.likely == ""
    # A value that was worked out says how; a cell without a value says why.
    if reading.outcome == "converted" or reading.value is None:
        assert reading.reason
    if reading.outcome == "accepted" and reading.value is not None:
        assert reading.reason == ""
    assert name not in CODES or reading.value in {None, *CODES[name]}
    if isinstance(reading, NumberReading):
        _check_interval(reading, SCALES.get(name))


def _check_interval(reading, scale):
    assert (reading.low is None) == (reading.high is None)
    if reading.low is None:
        assert reading.value is None
        return
    assert math.isfinite(reading.low)
    assert reading.low <= reading.high < math.inf
    if reading.value is not None:
        assert reading.low == reading.value == reading.high
    if scale is not None:
        assert scale.low - 1e-9 <= reading.low <= reading.high <= scale.high + 1e-9
        assert reading.value is None or scale.contains([reading.value]).all()


@given(text=TEXTS)
def test_a_measure_is_positive(text):
    for name in PARSERS:
        if name.startswith(("mass", "length")):
            value = PARSERS[name](text).value
            assert value is None or value > 0


@given(text=TEXTS)
def test_outer_blanks_change_no_value(text):
    for parse in PARSERS.values():
        plain, padded = parse(text), parse(f" \u00a0{text}\t")
        assert (plain is None) == (padded is None)
        assert getattr(plain, "value", None) == getattr(padded, "value", None)


@given(st.floats(min_value=1, max_value=20000).map(lambda grams: round(grams, 1)))
def test_a_mass_reads_the_same_as_number_text_and_with_its_unit(grams):
    bare = parse_mass(repr(grams), unit="g", decimal="point")
    assert parse_mass(f"{grams} g", decimal="point").value == grams
    assert bare.value == (None if grams in {999.0, 9999.0} else grams)
    assert parse_mass(repr(grams).replace(".", ","), unit="g", decimal="comma").value == bare.value


@given(st.times().map(lambda time: time.replace(microsecond=0)))
def test_every_time_comes_back(time):
    assert parse_time(time.isoformat()).value == time
    minutes = time.replace(second=0)
    assert parse_time(f"{time:%I:%M %p}").value == minutes
    if minutes.hour:
        assert parse_time(f"{time.hour}{time.minute:02d}").value == minutes
