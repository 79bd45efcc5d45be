"""From what a person typed to what the screen says."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from typing import Any

from shortlever import Assessment, Body, InfeasibleError, InputError, Setup, Tape
from shortlever.bench.advice import suggest_press
from shortlever.bench.measure import assess_press, same_shoulder_load_kg
from shortlever.bench.press import Press
from shortlever.tape import MEASURES, Measure, read_measure
from shortlever.units import LENGTH_UNITS, settable, show_length, to_unit
from shortlever.view.figure import side_view

UNITS = ("cm", "in")

# The present setup is typed as a lifter can measure it.
PRESENT = {
    "current_grip": Measure("current_grip", "Present grip", "between the forefingers", 0.25, 1.10),
    "current_touch": Measure(
        "current_touch", "Present touch", "tape from the breastbone notch down to the bar", 0.02, 0.40
    ),
}
FORM = (
    ("arm_length", "tape", True, 61.0),
    ("shoulder_breadth", "tape", True, 40.0),
    ("chest_flat", "arch", False, 24.0),
    ("chest_arched", "arch", False, 29.0),
    ("current_grip", "present", False, 65.0),
    ("current_touch", "present", False, 19.0),
)
REQUIRED = tuple(key for key, _, required, _ in FORM if required)


def form() -> list[dict[str, Any]]:
    """The form's fields in order, with labels, hints, steps and an example value for each unit."""
    fields = []
    for key, group, required, example_cm in FORM:
        m = PRESENT.get(key) or MEASURES[key]
        fields.append(
            {
                "key": key,
                "label": m.label,
                "hint": m.how,
                "unit_kind": "length",
                "required": required,
                "group": group,
                "step_cm": 0.5,
                "step_in": 0.25,
                "low_cm": to_unit(m.low, "cm"),
                "high_cm": to_unit(m.high, "cm"),
                "example_cm": example_cm,
            }
        )
    return fields


def example_request() -> dict[str, Any]:
    """The invented lifter Mara Feld of the invented gym Kalkwerk: the screen before anything is typed."""
    return {"unit": "cm", "fields": {"arm_length": "62", "shoulder_breadth": "39"}}


def answer(request_json: str) -> str:
    """Answer one request of the page; see ``respond``. Never raises: what goes wrong is in ``errors``."""
    try:
        request = json.loads(request_json)
        response = respond(request)
    except Exception as wrong:  # the last line of defence: a screen never shows a traceback
        response = _refused(
            [
                {
                    "field": "",
                    "code": "internal",
                    "given": "",
                    "message": f"This could not be computed ({type(wrong).__name__}).",
                    "remedy": "Change a number and try again; what you typed is kept.",
                }
            ]
        )
    return json.dumps(response, ensure_ascii=False, allow_nan=False)


def _refused(errors: list[dict[str, str]], reading: dict[str, str] | None = None) -> dict[str, Any]:
    return {"ok": False, "errors": errors, "warnings": [], "reading": reading or {}}


def respond(request: Mapping[str, Any]) -> dict[str, Any]:
    """The response object for a request object ``{"unit": "cm" or "in", "fields": {key: typed text}}``."""
    if not isinstance(request, Mapping) or request.get("unit") not in UNITS:
        return _refused(
            [
                {
                    "field": "unit",
                    "code": "not_a_choice",
                    "given": "",
                    "message": "The unit is not a choice.",
                    "remedy": "Choose cm or in.",
                }
            ]
        )
    unit: str = request["unit"]
    typed = request.get("fields")
    values, errors, reading = _read_fields(typed if isinstance(typed, Mapping) else {}, unit)
    if errors:
        return _refused(errors, reading)
    present = {key: values.pop(key) for key in PRESENT if key in values}
    try:
        tape = Tape(**values)
        body = Body.from_tape(tape)
        return _laid_out(tape, body, present, unit, reading, request)
    except InputError as wrong:
        return _refused([wrong.plain()], reading)
    except InfeasibleError as none:
        return _refused(
            [
                {
                    "field": "arm_length",
                    "code": "infeasible",
                    "given": reading.get("arm_length", ""),
                    "message": none.reason,
                    "remedy": "Measure arm length and shoulder breadth again.",
                }
            ],
            reading,
        )


def _read_fields(
    typed: Mapping[str, Any], unit: str
) -> tuple[dict[str, Any], list[dict[str, str]], dict[str, str]]:
    values: dict[str, Any] = {}
    errors: list[dict[str, str]] = []
    reading: dict[str, str] = {}
    for key, _, required, _ in FORM:
        text = typed.get(key, "")
        m = PRESENT.get(key) or MEASURES[key]
        if not isinstance(text, str) or not text.strip():
            if required:
                low, high = (f"{to_unit(v, unit):.3g}" for v in (m.low, m.high))
                errors.append(
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
            reading[key] = f"{show_length(values[key], unit)} {unit}"
        except InputError as wrong:
            errors.append(wrong.plain())
    return values, errors, reading


def _settable_setup(press: Press, setup: Setup, unit: str) -> Setup:
    """The suggestion rounded to what a lifter can set: grip down, touch away from the shoulders."""
    step = 0.0025 if unit == "in" else 0.005
    step = 0.25 * LENGTH_UNITS["in"] if unit == "in" else step
    grip = math.floor(setup.grip_m / step + 1e-6) * step
    tape = math.ceil(press.chest.tape_m(setup.touch_m) / step - 1e-6) * step
    return Setup(grip, press.chest.y_at_tape_m(tape), setup.load_kg)


def _laid_out(
    tape: Tape,
    body: Body,
    present: Mapping[str, float],
    unit: str,
    reading: dict[str, str],
    request: Mapping[str, Any],
) -> dict[str, Any]:
    press = Press(body, load_kg=body.body_mass_kg)
    advice = suggest_press(press)
    setup = _settable_setup(press, advice.setup, unit)
    got = assess_press(press, setup)
    rep = press.rep(setup.grip_m, setup.touch_m)
    now, ghost, warnings = _present(press, setup, present)

    def length(value_m: float) -> str:
        return show_length(value_m, unit)

    def set_length(value_m: float) -> str:
        return f"{settable(value_m, unit):.{2 if unit == 'in' else 1}f}"

    moment_arm, stroke = f"{length(got.moment_arm_m)} {unit}", f"{length(got.range_of_motion_m)} {unit}"
    headline = [
        {
            "key": "grip",
            "label": "Grip",
            "value": set_length(setup.grip_m),
            "unit": unit,
            "note": "between forefingers",
        },
        {
            "key": "touch",
            "label": "Touch",
            "value": set_length(got.touch_tape_m),
            "unit": unit,
            "note": "down from the notch",
        },
        {
            "key": "tuck",
            "label": "Tuck",
            "value": f"{got.tuck_deg:.0f}",
            "unit": "°",
            "note": "arm to trunk, at chest",
        },
    ]
    measures = [
        {
            "key": "moment_arm",
            "label": "Moment arm at the chest",
            "value": length(got.moment_arm_m),
            "unit": unit,
        },
        {
            "key": "range_of_motion",
            "label": "Range of motion",
            "value": length(got.range_of_motion_m),
            "unit": unit,
        },
    ]
    gain = _gain(got, now, unit) if now else None
    title = "Suggested bench press from the side"
    text = (
        f"Seen from the side, head left. The bar touches the chest {moment_arm} from the shoulder line "
        f"toward the feet, that is {set_length(got.touch_tape_m)} {unit} down from the breastbone notch, and "
        f"travels back and up to lockout over the shoulders, {stroke} higher. Grip {set_length(setup.grip_m)} {unit} "
        f"between the forefingers, upper arms {got.tuck_deg:.0f}° from the trunk at the chest."
    )
    if now:
        text += f" The present setup is drawn behind it: moment arm {length(now.moment_arm_m)} {unit}."
    warnings = [
        *({"code": code, "field": field, "message": message} for field, code, message in tape.warnings()),
        *warnings,
    ]
    if tape.chest_arched is None:
        warnings.append(
            {
                "code": "no_arch",
                "field": None,
                "message": "Computed lying flat: give the arched chest height.",
            }
        )
    return {
        "ok": True,
        "errors": [],
        "warnings": warnings,
        "reading": reading,
        "headline": headline,
        "measures": measures,
        "gain": gain,
        "reasons": [{"code": r.code, "message": r.message} for r in advice.binding],
        "figure": {
            "svg": side_view(press, rep, f"Moment arm {moment_arm}", f"Stroke {stroke}", title, text, ghost),
            "title": title,
            "text": text,
            "table": _table(got, set_length, length, unit),
        },
        "example": dict(request) == example_request(),
    }


def _table(got: Assessment, set_length: Any, length: Any, unit: str) -> list[list[str]]:
    return [
        ["Grip between the forefingers", f"{set_length(got.grip_m)} {unit}"],
        ["Touch, tape down from the breastbone notch", f"{set_length(got.touch_tape_m)} {unit}"],
        ["Tuck at the chest", f"{got.tuck_deg:.0f}°"],
        ["Moment arm at the chest", f"{length(got.moment_arm_m)} {unit}"],
        ["Mean moment arm over the press", f"{length(got.mean_moment_arm_m)} {unit}"],
        ["Range of motion", f"{length(got.range_of_motion_m)} {unit}"],
        ["Hardest point above the chest", f"{length(got.sticking_height_m)} {unit}"],
        ["Bar above the pad at lockout", f"{length(got.lockout_height_m)} {unit}"],
    ]


def _present(
    press: Press, setup: Setup, present: Mapping[str, float]
) -> tuple[Assessment | None, Any, list[dict[str, Any]]]:
    """The present setup measured, where enough of it is given; the half not given is taken as suggested."""
    if not present:
        return None, None, []
    grip = present.get("current_grip", setup.grip_m)
    tape = present.get("current_touch")
    touch = press.chest.y_at_tape_m(tape) if tape is not None else setup.touch_m
    try:
        now = Setup(grip, max(touch, 0.0), setup.load_kg)
        return assess_press(press, now), press.rep(now.grip_m, now.touch_m), []
    except InfeasibleError as none:
        return None, None, [{"code": "present_out_of_reach", "field": "current_grip", "message": none.reason}]


def _gain(got: Assessment, now: Assessment, unit: str) -> dict[str, str] | None:
    def change(new: float, old: float, less: str, more: str) -> str:
        share = round(100 * abs(new / old - 1))
        return f"{share} % {less if new < old else more}" if share else "the same"

    arm = change(got.moment_arm_m, now.moment_arm_m, "shorter", "longer")
    stroke = change(got.range_of_motion_m, now.range_of_motion_m, "shorter", "longer")
    text = f"Against your present setup: moment arm {arm}, range of motion {stroke}."
    if got.moment_arm_m < 0.995 * now.moment_arm_m:
        there = same_shoulder_load_kg(got, now) * 100 / got.load_kg
        text += f" At the chest, 100 kg here loads the shoulders like {there:.0f} kg there."
    return {"text": text}
