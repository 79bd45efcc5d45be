"""Reading what a person typed: the fields of a lift's form, their order and how each was understood."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from shortlever.errors import InputError
from shortlever.lifts import LIFTS, UNNAMED, AnyLift
from shortlever.lifts.form import Choice
from shortlever.lifts.lift import Reading
from shortlever.person.measure import Measure, range_of, read
from shortlever.person.tape import Tape
from shortlever.say import Said, Text
from shortlever.units import ANGLE_UNITS, DEGREE, to_unit

UNITS = ("cm", "in")


def lift_of(request: Mapping[str, Any]) -> AnyLift:
    """The lift that a request names. Raises InputError for one that this version does not know."""
    key = str(request.get("lift", UNNAMED))
    if key not in LIFTS:
        raise InputError(
            "lift",
            "not_a_choice",
            key[:24],
            Said("lift_unknown", {"lift": key[:24]}),
            Said("lift_unknown_remedy", {"lifts": tuple(LIFTS)}),
        )
    return LIFTS[key]


def form(lift: str = UNNAMED) -> list[dict[str, Any]]:
    """The fields of a lift's form in order, with labels, hints, steps and an example value (cm, kg or °)."""
    fields = []
    for one in LIFTS[lift].fields:
        m = one.measure
        is_length = m.kind == "length"
        fields.append(
            {
                "key": m.key,
                "label": m.label,
                "hint": m.how,
                "unit_kind": m.kind,
                "required": one.required,
                "group": one.group,
                "step_cm": 0.5 if is_length else 1.0,
                "step_in": 0.25 if is_length else 1.0,
                "low_cm": _beside(m.low, m, "cm"),
                "high_cm": _beside(m.high, m, "cm"),
                "example_cm": m.example,
            }
        )
    return fields


def choices(lift: str = UNNAMED) -> list[dict[str, Any]]:
    """The choices of a lift's form in order: key, label, options (value and label) and the default."""
    return [
        {
            "key": one.key,
            "label": one.label,
            "options": [{"value": value, "label": said} for value, said in one.options.items()],
            "default": one.default,
        }
        for one in LIFTS[lift].choices
    ]


def read_request(request: Any) -> Reading:
    """Read a request object; every field that cannot be used is named in ``errors``."""
    reading = Reading(LIFTS[UNNAMED])
    if not isinstance(request, Mapping) or request.get("unit") not in UNITS:
        wrong = InputError(
            "unit", "not_a_choice", "", Said("unit_not_a_choice"), Said("unit_not_a_choice_remedy")
        )
        reading.errors.append(wrong.told())
        return reading
    try:
        reading.lift = lift_of(request)
    except InputError as wrong:
        reading.errors.append(wrong.told())
        return reading
    reading.unit = request["unit"]
    typed = request.get("fields")
    values = _read_fields(typed if isinstance(typed, Mapping) else {}, reading)
    reading.chosen = {one.key: _choice(request, one, reading) for one in reading.lift.choices}
    if reading.errors:
        return reading
    taped = Tape.__dataclass_fields__
    reading.given = {key: value for key, value in values.items() if key not in taped}
    try:
        tape = {key: value for key, value in values.items() if key in taped}
        reading.tape = Tape(**tape, sex=reading.chosen.get("sex") or None)
    except InputError as wrong:
        reading.errors.append(wrong.told())
    return reading


def _choice(request: Mapping[str, Any], one: Choice, reading: Reading) -> str:
    value = request.get(one.key, one.default)
    if isinstance(value, str) and value in one.options:
        return value
    given = str(value)[:24]
    wrong = InputError(
        one.key,
        "not_a_choice",
        given,
        Said("not_a_choice", {"label": one.label, "given": given}),
        Said("choose_one_of", {"options": [name or Said("no_option") for name in one.options]}),
    )
    reading.errors.append(wrong.told())
    return one.default


def _read_fields(typed: Mapping[str, Any], reading: Reading) -> dict[str, Any]:
    values: dict[str, Any] = {}
    unit = reading.unit
    for one in reading.lift.fields:
        m = one.measure
        text = typed.get(m.key, "")
        if not isinstance(text, str) or not text.strip():
            if one.required:
                said = Said("needed", {"label": m.label, "allowed": range_of(m)})
                missing = InputError(m.key, "missing", "", said, Said("measure_it", {"how": m.how}))
                reading.errors.append(missing.told())
            continue
        try:
            values[m.key] = read(m, text, unit)
        except InputError as wrong:
            reading.errors.append(wrong.told())
            continue
        reading.understood[m.key] = _shown(values[m.key], m)
    return values


def _beside(value: float, m: Measure, unit: str) -> float:
    """A value of the form in the unit beside it; masses in kg."""
    if m.kind == "angle":
        return value / ANGLE_UNITS[DEGREE]
    return to_unit(value, unit) if m.kind == "length" else value


def _shown(value: float, m: Measure) -> Text:
    if m.kind == "mass":
        return Said("read_mass", {"x_kg": value})
    if m.kind == "angle":
        return Said("degrees", {"x_deg": value / ANGLE_UNITS[DEGREE]})
    return Said("read_length", {"x_m": value})
