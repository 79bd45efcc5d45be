"""What a person may type for a length, and what it means."""

from __future__ import annotations

import math

import pytest

from shortlever.units import (
    INCH_M,
    LENGTH_UNITS,
    MASS_UNITS,
    POUND_KG,
    UnreadableError,
    on_tape,
    read_quantity,
    settable,
    show_length,
    to_unit,
)

NANOMETRE = 1e-9

# typed, unit of the form, metres worked out by hand (1 in = 0.0254 m exactly)
READABLE = [
    ("61", "cm", 0.61),
    ("61", "in", 1.5494),
    ("61", "m", 61.0),
    ("61,5", "cm", 0.615),
    ("61.5", "cm", 0.615),
    ("1,5", "cm", 0.015),
    ("6.1", "cm", 0.061),
    ("610", "cm", 6.10),
    ("610 mm", "cm", 0.61),
    ("0.61 m", "in", 0.61),
    (".61 m", "in", 0.61),
    (",61 m", "in", 0.61),
    ("61 cm", "in", 0.61),
    ("61cm", "in", 0.61),
    ("61 CM", "in", 0.61),
    ("61 cm.", "in", 0.61),
    ("  61  ", "cm", 0.61),
    ("61\n", "cm", 0.61),
    ("61\u00a0cm", "in", 0.61),
    ("+61", "cm", 0.61),
    ("-61", "cm", -0.61),
    ("−61", "cm", -0.61),
    ("–61 cm", "cm", -0.61),
    ("24 1/2 in", "cm", 0.6223),
    ("24 1/2", "in", 0.6223),
    ("24½", "in", 0.6223),
    ("24½ in", "cm", 0.6223),
    ("24 ½ in", "cm", 0.6223),
    ('24¼"', "cm", 0.61595),
    ("24⅜ in", "cm", 0.619125),
    ('24 3/8"', "cm", 0.619125),
    ("24.5 inches", "cm", 0.6223),
    ("5'10\"", "cm", 1.778),
    ("5'10''", "cm", 1.778),
    ("5′10″", "cm", 1.778),
    ("5’10”", "cm", 1.778),
    ("5 ft 10 in", "cm", 1.778),
    ("5 ft 10 1/2 in", "cm", 1.7907),
    ("2 ft", "cm", 0.6096),
    ("1 m 78 cm", "in", 1.78),
    ("６１", "cm", 0.61),
    ("６１，５", "cm", 0.615),
    ("٦١", "cm", 0.61),
    ("0", "cm", 0.0),
    ("9" * 40, "m", 1e40),
]

UNREADABLE = [
    "",
    "   ",
    "\t\n",
    "words",
    "cm",
    "-",
    ".",
    "--61",
    "61-",
    "61..",
    "61,5,",
    "1.234,5",
    "61 62",
    "61 and 62",
    "6 1",
    "61 cm 5",
    "61 cm 61 cm",
    "5 in 2 ft",
    "5 ft -2 in",
    "61 parsecs",
    "61 kg",
    "61°",
    "61%",
    "inf",
    "-inf",
    "infinity",
    "nan",
    "NaN",
    "1e3",
    "1e999",
    "0x3d",
    "24 2/1 in",
    "24 1/0 in",
    "24 2/2 in",
    "24 0/0 in",
    "61\x00",
    "61 сm",  # a Cyrillic es
    "💪",
    "9" * 41,
    "61" + " " * 60,
    "9" * 100_000,
    "(" * 100_000,
]


@pytest.mark.parametrize(("typed", "unit", "metres"), READABLE, ids=lambda v: repr(v)[:24])
def test_reads_what_is_unambiguous(typed: str, unit: str, metres: float) -> None:
    assert read_quantity(typed, LENGTH_UNITS, unit) == pytest.approx(metres, rel=1e-8, abs=NANOMETRE)


@pytest.mark.parametrize("typed", UNREADABLE, ids=lambda v: repr(v)[:24])
@pytest.mark.parametrize("unit", ["cm", "in"])
def test_refuses_what_is_not_one_quantity(typed: str, unit: str) -> None:
    with pytest.raises(UnreadableError) as caught:
        read_quantity(typed, LENGTH_UNITS, unit)
    assert 0 < len(str(caught.value)) < 60


@pytest.mark.parametrize("typed", ["6²", "²", "6₁", "６²", "m²"])
def test_raised_and_lowered_digits_are_no_digits(typed: str) -> None:
    """ "6²" is six with something after it, never 62."""
    with pytest.raises(UnreadableError):
        read_quantity(typed, LENGTH_UNITS, "cm")


@pytest.mark.parametrize(
    ("typed", "bare", "kilograms"),
    [
        ("82.5", "kg", 82.5),
        ("180 lb", "kg", 81.6466266),
        ("180", "lb", 81.6466266),
        ("12 st 6 lb", "kg", 78.9250724),
    ],
)
def test_reads_masses(typed: str, bare: str, kilograms: float) -> None:
    """12 st 6 lb = 174 lb; 174 x 0.45359237 = 78.92507... kg."""
    assert read_quantity(typed, MASS_UNITS, bare) == pytest.approx(kilograms, abs=1e-6)


def test_yard_and_pound_agreement() -> None:
    """International Yard and Pound Agreement 1959: a yard (36 in) is 0.9144 m, a pound 0.45359237 kg."""
    assert pytest.approx(0.9144, abs=1e-15) == 36 * INCH_M
    assert POUND_KG == 0.45359237


@pytest.mark.parametrize("unit", sorted(LENGTH_UNITS))
@pytest.mark.parametrize("metres", [0.003, 0.61, 1.778])
def test_to_unit_undoes_reading(unit: str, metres: float) -> None:
    typed = f"{to_unit(metres, unit):.12f} {unit}"
    assert read_quantity(typed, LENGTH_UNITS, "cm") == pytest.approx(metres, rel=1e-8)


def test_settable_steps() -> None:
    """0.7437 m is 74.37 cm, nearest half 74.5; and 29.28 in, nearest quarter 29.25."""
    assert settable(0.7437, "cm") == 74.5
    assert settable(0.7437, "in") == 29.25


@pytest.mark.parametrize("unit", ["cm", "in"])
def test_settable_is_never_further_than_half_a_step(unit: str) -> None:
    half = {"cm": 0.25, "in": 0.125}[unit]
    for millimetre in range(0, 900, 7):
        found = settable(millimetre / 1000, unit)
        assert abs(found - to_unit(millimetre / 1000, unit)) <= half + 1e-9
        assert math.isclose(found / (2 * half), round(found / (2 * half)))


def test_shown_length() -> None:
    assert show_length(0.6154, "cm") == "61.5"
    assert show_length(0.6223, "in") == "24.50"
    assert show_length(0.6223, "in", 1) == "24.5"


def test_what_a_tape_shows_is_read_back() -> None:
    """Every eighth of an inch, and its unit by itself or typed."""
    for eighths in range(1, 400):
        shown = on_tape(eighths / 8)
        assert read_quantity(shown, LENGTH_UNITS, "in") == pytest.approx(eighths / 8 * 0.0254, rel=1e-8)
        assert read_quantity(f"{shown} in", LENGTH_UNITS, "cm") == pytest.approx(
            eighths / 8 * 0.0254, rel=1e-8
        )
    assert (on_tape(0.0), on_tape(-0.375), on_tape(12.4999)) == ("0", "-3/8", "12 1/2")
