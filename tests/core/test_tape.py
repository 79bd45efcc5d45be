"""The tape: ranges, contradictions, warnings, JSON, and errors that name field, value, range and remedy."""

from __future__ import annotations

from typing import Any

import pytest

from shortlever import Body, InputError, Tape
from shortlever.person.measure import read
from shortlever.person.reading import TAPE_KEYS, read_tape
from shortlever.person.tape import MEASURES
from shortlever.person.together import SIDE_KEYS

LENGTHS = [key for key, measure in MEASURES.items() if measure.kind == "length"]
STEP = 1e-9


def refusal(action: Any, *args: Any, **named: Any) -> InputError:
    """The InputError of a call, checked to be one that a person can act on."""
    with pytest.raises(InputError) as caught:
        action(*args, **named)
    error = caught.value
    plain = error.plain()
    assert set(plain) == {"field", "code", "given", "message", "remedy"}
    assert all(isinstance(value, str) for value in plain.values())
    assert error.field and error.code and error.message and error.remedy
    assert len(error.message) < 200 and len(error.remedy) < 400
    assert "Traceback" not in str(error)
    return error


@pytest.mark.parametrize("key", MEASURES)
def test_both_ends_of_each_range_are_inside(key: str) -> None:
    m = MEASURES[key]
    assert getattr(Tape(**{key: m.low}), key) == m.low
    assert getattr(Tape(**{key: m.high}), key) == m.high


@pytest.mark.parametrize("key", MEASURES)
@pytest.mark.parametrize("which", ["below", "above", "minus", "zero", "inf", "-inf", "nan"])
def test_outside_the_range_names_field_value_and_range(key: str, which: str) -> None:
    m = MEASURES[key]
    given = {
        "below": m.low - STEP * m.low,
        "above": m.high * (1 + STEP),
        "minus": -m.low,
        "zero": 0.0,
        "inf": float("inf"),
        "-inf": float("-inf"),
        "nan": float("nan"),
    }[which]
    error = refusal(Tape, **{key: given})
    assert error.field == key
    assert error.code == "out_of_range"
    assert error.given[:6] in repr(given)
    assert str(m.label) in error.message
    shown = (m.low, m.high) if m.kind == "mass" else (100 * m.low, 100 * m.high)
    assert all(f"{v:.3g}" in error.message for v in shown)


@pytest.mark.parametrize("key", ["arm_length", "body_mass"])
@pytest.mark.parametrize("given", [True, False, [], {}, b"61", 1 + 2j, object()])
def test_what_is_not_a_number_is_refused(key: str, given: Any) -> None:
    assert refusal(Tape, **{key: given}).code == "not_a_number"


@pytest.mark.parametrize("given", [10**400, -(10**400)], ids=["plus", "minus"])
def test_integers_too_large_for_a_float_are_out_of_range(given: int) -> None:
    assert refusal(Tape, arm_length=given).code == "out_of_range"


def test_text_in_a_tape_is_read_or_refused_but_never_kept_as_text() -> None:
    """Whatever a Tape accepts must be usable: a text that it lets through must not break the body later."""
    try:
        tape = Tape(arm_length="61 cm", shoulder_breadth="40 cm")  # type: ignore[arg-type]
    except InputError:
        return
    assert tape.arm_length == pytest.approx(0.61)
    assert Body.from_tape(tape).reach_m > 0.5


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("given", ["0.6", 5, [0.6], True])
def test_a_side_that_is_not_an_object_is_refused(side: str, given: Any) -> None:
    assert refusal(Tape, **{side: given}).field == side
    assert refusal(read_tape, {side: given}).field == side


@pytest.mark.parametrize("sex", ["Male", "m", "", 1, [], 0.5])
def test_sex_is_male_female_or_left_out(sex: Any) -> None:
    error = refusal(Tape, sex=sex)
    assert (error.field, error.code) == ("sex", "not_a_choice")


@pytest.mark.parametrize(
    ("typed", "unit", "remedy"),
    [
        ("61", "in", "61 cm"),
        ("24.5", "cm", "24.5 in"),
        ("24 1/2", "cm", "24.5 in"),
        ("610", "cm", "610 mm"),
        ("6.1", "cm", "61 cm"),
        ("0.61", "cm", "0.61 m"),
        ("1,5", "cm", "easure again"),
        ("-61", "cm", "easure again"),
    ],
)
def test_the_remedy_names_the_likeliest_slip(typed: str, unit: str, remedy: str) -> None:
    error = refusal(read, MEASURES["arm_length"], typed, unit)
    assert error.code == "out_of_range"
    assert error.given == typed
    assert remedy in error.remedy


@pytest.mark.parametrize(
    ("typed", "unit"), [("5 ft 10 in", "in"), ("70 in", "in"), ("50 mm", "cm"), ("6 m", "cm")]
)
def test_no_unit_is_proposed_to_who_typed_one(typed: str, unit: str) -> None:
    assert "add the unit" not in refusal(read, MEASURES["arm_length"], typed, unit).remedy


@pytest.mark.parametrize("typed", ["", "words", "inf", "nan", "61 62", "9" * 100_000, "\x00", "61 kg"])
@pytest.mark.parametrize("unit", ["cm", "in"])
def test_what_cannot_be_read_says_so_briefly(typed: str, unit: str) -> None:
    error = refusal(read, MEASURES["arm_length"], typed, unit)
    assert error.code == "not_a_number"
    assert len(error.given) <= 24
    assert ("45 to 90 cm" if unit == "cm" else "17 3/4 to 35 3/8 in") in error.remedy


@pytest.mark.parametrize("unit", ["cm", "in"])
@pytest.mark.parametrize("key", LENGTHS)
def test_the_example_of_a_remedy_is_itself_accepted(key: str, unit: str) -> None:
    remedy = refusal(read, MEASURES[key], "words", unit).remedy
    example = remedy.split("such as ")[1].rstrip(".")
    assert MEASURES[key].low <= read(MEASURES[key], example, unit) <= MEASURES[key].high


def test_pounds_are_proposed_for_a_weight_in_pounds() -> None:
    assert "400 lb" in refusal(Tape, body_mass=400).remedy


def test_json_numbers_are_si_and_texts_carry_units() -> None:
    tape = read_tape(
        {
            "arm_length": "24.5 in",
            "shoulder_breadth": 0.4,
            "body_mass": "180 lb",
            "stature": "5'10\"",
            "sex": "female",
            "span": None,
            "left": {"arm_length": "61 cm"},
            "right": {"upper_arm": 0.32},
        }
    )
    assert tape.arm_length == pytest.approx(0.6223)
    assert tape.shoulder_breadth == 0.4
    assert tape.body_mass == pytest.approx(81.6466266)
    assert tape.stature == pytest.approx(1.778)
    assert (tape.sex, tape.span) == ("female", None)
    assert tape.left == {"arm_length": pytest.approx(0.61)}
    assert tape.right == {"upper_arm": 0.32}
    assert list(tape.given()) == ["arm_length", "shoulder_breadth", "stature", "body_mass"]


@pytest.mark.parametrize("key", [key for key in TAPE_KEYS if key not in ("left", "right", "sex")])
def test_every_key_of_the_tape_is_read(key: str) -> None:
    middle = (MEASURES[key].low + MEASURES[key].high) / 2
    assert getattr(read_tape({key: middle}), key) == middle


@pytest.mark.parametrize("key", ["arm", "Arm_length", "arm_length ", "x" * 10_000, "__class__"])
def test_unknown_keys_are_named(key: str) -> None:
    error = refusal(read_tape, {"arm_length": 0.6, key: 0.6})
    assert error.code == "unknown"
    assert "arm_length" in error.remedy


@pytest.mark.parametrize("reader", [read_tape, lambda data: Tape(**data)])
def test_unknown_keys_of_a_side_are_named(reader: Any) -> None:
    error = refusal(reader, {"left": {"stature": 1.8}})
    assert (error.field, error.code) == ("left.stature", "unknown")
    assert all(key in error.remedy for key in SIDE_KEYS)


@pytest.mark.parametrize("reader", [read_tape, lambda data: Tape(**data)])
def test_a_side_out_of_range_is_refused(reader: Any) -> None:
    error = refusal(reader, {"right": {"arm_length": 6.1}})
    assert error.code == "out_of_range"


@pytest.mark.parametrize("data", [None, [], 5, "arm_length", [["arm_length", 0.6]]])
def test_a_tape_that_is_not_an_object_is_refused(data: Any) -> None:
    refusal(read_tape, data)


def test_parts_of_an_arm_may_differ_from_the_whole_by_6_cm() -> None:
    """0.33 + 0.33 = 0.66: 0.715 differs by 5.5 cm, 0.725 by 6.5 cm."""
    assert Tape(arm_length=0.715, upper_arm=0.33, forearm_to_grip=0.33).arm_length == 0.715
    for arm_length, shown in ((0.725, "72.5 cm"), (0.595, "59.5 cm")):
        error = refusal(Tape, arm_length=arm_length, upper_arm=0.33, forearm_to_grip=0.33)
        assert (error.field, error.code) == ("arm_length", "contradiction")
        assert "66.0 cm" in error.message and shown in error.message
        assert "6 cm" in error.remedy


@pytest.mark.parametrize(
    "side",
    [
        {"arm_length": 0.45, "forearm_to_grip": 0.48},
        {"arm_length": 0.45, "upper_arm": 0.46},
        {"arm_length": 0.90, "upper_arm": 0.22, "forearm_to_grip": 0.22},
    ],
)
def test_parts_of_one_side_must_fit_its_whole(side: dict[str, float]) -> None:
    """An upper arm of -3 cm, a forearm of -1 cm, 44 cm of parts in a 90 cm arm."""
    assert refusal(Tape, left=side).code == "contradiction"


def codes(**values: float) -> list[str]:
    return [code for _, code, _ in Tape(**values).warnings()]


def test_an_arm_longer_than_the_span_allows_is_a_warning() -> None:
    """Two arms of 0.70 m need a span of 1.40 m and 0.10 m between them."""
    assert codes(arm_length=0.70, span=1.49) == ["arm_longer_than_span_allows"]
    assert codes(arm_length=0.70, span=1.51) == ["odd_beside_others"]
    assert codes(arm_length=0.70, span=1.88) == []


def test_a_forearm_unlike_its_upper_arm_is_a_warning() -> None:
    assert codes(upper_arm=0.30, forearm_to_grip=0.39) == ["forearm_unlike_upper_arm"]
    assert codes(upper_arm=0.40, forearm_to_grip=0.29) == ["forearm_unlike_upper_arm"]
    assert codes(upper_arm=0.33, forearm_to_grip=0.33) == []


def test_an_arch_below_the_flat_chest_is_a_warning() -> None:
    assert codes(chest_flat=0.26, chest_arched=0.25) == ["arch_below_flat"]
    assert codes(chest_flat=0.26, chest_arched=0.26) == []


@pytest.mark.parametrize(
    ("numbers", "odd"),
    [
        ({"arm_length": 0.90, "shoulder_breadth": 0.26}, "arm_length"),
        ({"arm_length": 0.62, "shoulder_breadth": 0.30}, "shoulder_breadth"),
        ({"arm_length": 0.62, "shoulder_breadth": 0.39, "stature": 2.10}, "stature"),
        ({"arm_length": 0.64, "shoulder_breadth": 0.41, "upper_arm": 0.40}, "upper_arm"),
    ],
)
def test_the_number_that_is_odd_beside_the_others_is_named(numbers: dict[str, float], odd: str) -> None:
    ((field, code, said),) = Tape(**numbers).warnings()
    assert (field, code) == (odd, "odd_beside_others")
    assert str(MEASURES[odd].label) in str(said) and str(MEASURES[odd].how) in str(said)
    low, high = said.values["low_m"], said.values["high_m"]
    assert isinstance(low, float) and isinstance(high, float)
    assert low < high and not low <= numbers[odd] <= high


def test_a_large_or_heavy_lifter_is_not_odd() -> None:
    assert codes(arm_length=0.80, shoulder_breadth=0.47, stature=2.15, span=2.25, body_mass=150) == []
    assert codes(arm_length=0.66, shoulder_breadth=0.42, stature=1.75, body_mass=160) == []
    assert codes(arm_length=0.90) == codes(shoulder_height=0.18, joint_width=0.20) == []


def test_warnings_name_their_field_and_both_numbers() -> None:
    tape = Tape(
        arm_length=0.70, span=1.45, upper_arm=0.30, forearm_to_grip=0.39, chest_flat=0.3, chest_arched=0.2
    )
    found = tape.warnings()
    assert [field for field, _, _ in found] == ["arm_length", "forearm_to_grip", "chest_arched"]
    for (_, _, said), numbers in zip(
        found, (("70.0", "145.0"), ("39.0", "30.0"), ("20.0", "30.0")), strict=True
    ):
        assert all(number in str(said) for number in numbers)
