"""Reading what a person typed: the fields of a lift's form, their order and how each was understood; and
where a stepper begins in an empty one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from shortlever.errors import InputError
from shortlever.lifts import LIFTS, UNNAMED, AnyLift
from shortlever.lifts.form import Choice
from shortlever.lifts.lift import Reading
from shortlever.person.measure import Measure, range_of, read
from shortlever.person.tape import MEASURES, Tape
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
    """The fields of a lift's form in order, with labels, hints, steps, an example value and where a stepper
    begins while nothing is known (cm, kg or °)."""
    fields = []
    begin = begins(Reading(LIFTS[lift]))
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
                "begin": begin[m.key],
            }
        )
    return fields


def begins(reading: Reading, shown: Mapping[str, float] | None = None) -> dict[str, dict[str, Any]]:
    """Where a stepper begins in each empty field: "value" (cm, kg or °) and where that is "from".

    "estimate": the body model for the numbers that were read; "middle": the same of nobody's numbers;
    "suggestion": the setup ``shown``, as the present one's fields hold it; "common": what is common.
    """
    lift, given = reading.lift, reading.values
    taped = {key: value for key, value in given.items() if key in MEASURES}
    likely = lift.likely(taped, reading.chosen.get("sex") or None)
    found = {}
    for one in lift.fields:
        m = one.measure
        if m.key in given:
            continue
        if m.key in likely:
            value, source = likely[m.key], "estimate" if taped else "middle"
        elif shown and m.key in shown:
            value, source = shown[m.key], "suggestion"
        else:
            value, source = (
                m.example * {"length": 0.01, "mass": 1.0, "angle": ANGLE_UNITS[DEGREE]}[m.kind],
                "common",
            )
        inside = min(max(value, m.low), m.high)
        found[m.key] = {"value": round(_beside(inside, m, "cm"), 2), "from": source}
    return found


def numbers_of(reading: Reading) -> dict[str, float]:
    """The numbers that were read, by key (cm, kg or °)."""
    measures = {one.key: one.measure for one in reading.lift.fields}
    return {key: round(_beside(value, measures[key], "cm"), 4) for key, value in reading.values.items()}


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
    values = reading.values = _read_fields(typed if isinstance(typed, Mapping) else {}, reading)
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
