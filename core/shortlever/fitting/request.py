"""Reading what a person typed: the form's fields, their order and how each was understood."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from shortlever.errors import InputError
from shortlever.gear import BARS, BENCHES, RULEBOOKS, Gear
from shortlever.lifts import NAMES, UNNAMED
from shortlever.lifts.bench.limits import COMFORTS, Comfort
from shortlever.person.tape import MEASURES, SEXES, Measure, Tape, read_measure
from shortlever.units import POUND_KG, show_length, to_unit

UNITS = ("cm", "in")

# The present setup and the bench are typed as a lifter can measure them.
EXTRA = {
    m.key: m
    for m in (
        Measure("current_grip", "Present grip", "between the forefingers", 0.25, 1.10),
        Measure("current_touch", "Present touch", "tape from the breastbone notch to the bar", 0.02, 0.40),
        Measure("bench_height", "Bench height", "floor to the top of the pad", 0.20, 0.70),
    )
}
# key, group, required, example in cm or kg
FORM = (
    ("arm_length", "tape", True, 62.0),
    ("shoulder_breadth", "tape", True, 39.0),
    ("chest_flat", "arch", False, 24.0),
    ("chest_arched", "arch", False, 29.0),
    ("current_grip", "present", False, 65.0),
    ("current_touch", "present", False, 19.0),
    ("shoulder_height", "more", False, 7.0),
    ("joint_width", "more", False, 33.0),
    ("upper_arm", "more", False, 32.0),
    ("forearm_to_grip", "more", False, 31.0),
    ("stature", "more", False, 172.0),
    ("span", "more", False, 176.0),
    ("body_mass", "more", False, 75.0),
    ("hand_breadth", "more", False, 8.5),
    ("bench_height", "gear", False, 43.5),
)
REQUIRED = tuple(key for key, _, required, _ in FORM if required)

CHOICES: dict[str, tuple[str, dict[str, str], str]] = {
    "rules": (
        "Rulebook",
        {"ipf": "81 cm, elbow depth", "spacing": "81 cm only", "none": "none (training)"},
        "ipf",
    ),
    "bar": ("Ring marks", {"power": "81 cm apart", "training": "91 cm apart"}, "power"),
    "comfort": (
        "Shoulders",
        {"careful": "careful, past trouble", "usual": "usual", "loose": "loose, knowingly"},
        "usual",
    ),
    "sex": ("Body tables", {"": "both", "male": "men", "female": "women"}, ""),
}


def measure_of(key: str) -> Measure:
    """The measure behind a field of the form."""
    return EXTRA.get(key) or MEASURES[key]


def form() -> list[dict[str, Any]]:
    """The form's fields in order, with labels, hints, steps and an example value (cm or kg)."""
    fields = []
    for key, group, required, example in FORM:
        m = measure_of(key)
        mass = m.kind == "mass"
        fields.append(
            {
                "key": key,
                "label": m.label,
                "hint": m.how,
                "unit_kind": m.kind,
                "required": required,
                "group": group,
                "step_cm": 1.0 if mass else 0.5,
                "step_in": 1.0 if mass else 0.25,
                "low_cm": m.low if mass else to_unit(m.low, "cm"),
                "high_cm": m.high if mass else to_unit(m.high, "cm"),
                "example_cm": example,
            }
        )
    return fields


def choices() -> list[dict[str, Any]]:
    """The form's choices in order: key, label, options (value and label) and the default."""
    return [
        {
            "key": key,
            "label": label,
            "options": [{"value": value, "label": said} for value, said in options.items()],
            "default": default,
        }
        for key, (label, options, default) in CHOICES.items()
    ]


@dataclass
class Reading:
    """What a request says: the tape, the gear, the present setup; or the errors that stop it."""

    unit: str = "cm"
    tape: Tape | None = None
    present: dict[str, float] = field(default_factory=dict)
    gear: Gear = field(default_factory=Gear)
    comfort: Comfort = field(default_factory=Comfort)
    understood: dict[str, str] = field(default_factory=dict)
    errors: list[dict[str, str]] = field(default_factory=list)


def read_request(request: Any) -> Reading:
    """Read a request object; every field that cannot be used is named in ``errors``."""
    reading = Reading()
    if not isinstance(request, Mapping) or request.get("unit") not in UNITS:
        reading.errors.append(
            {
                "field": "unit",
                "code": "not_a_choice",
                "given": "",
                "message": "The unit is not a choice.",
                "remedy": "Choose cm or in.",
            }
        )
        return reading
    lift = str(request.get("lift", UNNAMED))
    if lift not in NAMES:
        reading.errors.append(
            {
                "field": "lift",
                "code": "not_a_choice",
                "given": lift[:24],
                "message": f"This version knows no lift “{lift[:24]}”.",
                "remedy": f"Choose {' or '.join(NAMES)}, or update.",
            }
        )
        return reading
    reading.unit = request["unit"]
    typed = request.get("fields")
    values = _read_fields(typed if isinstance(typed, Mapping) else {}, reading)
    chosen = {key: _choice(request, key, reading) for key in CHOICES}
    reading.present = {key: values.pop(key) for key in ("current_grip", "current_touch") if key in values}
    bench = values.pop("bench_height", None)
    if reading.errors:
        return reading
    reading.gear = Gear(
        BARS[chosen["bar"]],
        replace(BENCHES["contest"], height_m=bench) if bench else BENCHES["contest"],
        RULEBOOKS[chosen["rules"]],
    )
    reading.comfort = COMFORTS[chosen["comfort"]]
    try:
        reading.tape = Tape(**values, sex=chosen["sex"] or None)
    except InputError as wrong:
        reading.errors.append(wrong.plain())
    return reading


def _choice(request: Mapping[str, Any], key: str, reading: Reading) -> str:
    label, options, default = CHOICES[key]
    value = request.get(key, default)
    if isinstance(value, str) and value in options:
        return value
    reading.errors.append(
        {
            "field": key,
            "code": "not_a_choice",
            "given": str(value)[:24],
            "message": f"{label}: “{str(value)[:24]}” is not a choice.",
            "remedy": f"Choose {', '.join(name or 'none' for name in options)}.",
        }
    )
    return default


def _read_fields(typed: Mapping[str, Any], reading: Reading) -> dict[str, Any]:
    values: dict[str, Any] = {}
    unit = reading.unit
    for key, _, required, _ in FORM:
        text = typed.get(key, "")
        m = measure_of(key)
        if not isinstance(text, str) or not text.strip():
            if required:
                low, high = (f"{to_unit(v, unit):.3g}" for v in (m.low, m.high))
                reading.errors.append(
                    {
                        "field": key,
                        "code": "missing",
                        "given": "",
                        "message": f"{m.label} is needed ({low} to {high} {unit}).",
                        "remedy": f"Measure {m.how}.",
                    }
                )
            continue
        try:
            values[key] = read_measure(key, text, unit, m)
        except InputError as wrong:
            reading.errors.append(wrong.plain())
            continue
        reading.understood[key] = _shown(values[key], m, unit)
    return values


def _shown(value: float, m: Measure, unit: str) -> str:
    if m.kind == "mass":
        return f"{value / POUND_KG:.0f} lb" if unit == "in" else f"{value:.1f} kg"
    return f"{show_length(value, unit)} {unit}"


assert set(CHOICES["sex"][1]) == {"", *SEXES}
