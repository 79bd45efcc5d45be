"""The film check's door: marks and a followed plate in, numbers, sentences and the figure out.

What is sent and what comes back is written in ``shortlever.film``.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shortlever.errors import InfeasibleError, InputError
from shortlever.film.clip import number, read_clip, read_points
from shortlever.film.ellipse import fit_ellipse
from shortlever.film.measure import Rep, Result, measure
from shortlever.film.reps import LEAST_TRAVEL_M
from shortlever.film.stance import Known
from shortlever.fitting.fit import fit
from shortlever.fitting.request import UNITS, read_request
from shortlever.lifts.lift import FilmPlan
from shortlever.say import Said
from shortlever.units import LENGTH_UNITS, UnreadableError, read_quantity, show_length
from shortlever.view.film_doubt import camera, warnings
from shortlever.view.film_figure import draw_film
from shortlever.view.film_words import FilmWords

MORE_LENGTHS = {"feet": LENGTH_UNITS["ft"], "metres": 1.0, "meters": 1.0}
FROM_BODY_SD_M = 0.008  # of half the shoulder breadth, where the lifter's tape is there
TYPED_PLATE_SD_M, TYPED_END_SD_M, TYPED_DIAMETER_SD_M = 0.008, 0.005, 0.001
PATH_PLACES = 5  # of metres in what is sent back


@dataclass(frozen=True)
class Field:
    """One thing that can be typed about the camera: label, how to find it, range (SI or mm) and default."""

    key: str
    label: str
    how: str
    low: float
    high: float
    bare: Mapping[str, str]
    default: str


_LENGTH = {"cm": "cm", "in": "in"}
FIELDS = (
    Field(
        "distance",
        "Camera to plate",
        "from the lens to the nearest plate, by tape or in steps",
        0.5,
        30.0,
        {"cm": "m", "in": "ft"},
        "",
    ),
    Field(
        "focal", "Lens", "35 mm equivalent, as in the camera's data", 8.0, 300.0, {"cm": "mm", "in": "mm"}, ""
    ),
    Field("diameter", "Plate", "across its rim", 0.15, 0.60, _LENGTH, "45 cm"),
    Field(
        "plate_middle",
        "Bar's middle to the plate's face",
        "along the bar to the face that you see",
        0.40,
        1.20,
        _LENGTH,
        "69 cm",
    ),
    Field("bar_length", "Bar", "from end to end", 1.20, 2.60, _LENGTH, "220 cm"),
)


def answer(request: Mapping[str, Any]) -> dict[str, Any]:
    """Answer "film/measure", "film/rim" or "film/form"; what goes wrong is in ``errors``."""
    want = str(request.get("want"))
    try:
        if want == "film/form":
            return _done({}) | {"fields": _form(_unit(request))}
        if want == "film/rim":
            return _done({}) | {"ellipse": _rim(request)}
        if want == "film/measure":
            return _measure(request)
    except InputError as wrong:
        return _refused([wrong], unit="in" if request.get("unit") == "in" else "cm")
    unknown = InputError(
        "want", "unknown", want[:24], "The film check does not know this.", "Reload the page and try again."
    )
    return _refused([unknown])


def _done(reading: Mapping[str, str]) -> dict[str, Any]:
    return {"ok": True, "errors": [], "warnings": [], "reading": dict(reading)}


def _refused(
    errors: Sequence[InputError], reading: Mapping[str, str] | None = None, unit: str = "cm"
) -> dict[str, Any]:
    return {
        "ok": False,
        "errors": [wrong.told() for wrong in errors],
        "warnings": [],
        "reading": dict(reading or {}),
    }


def _unit(request: Mapping[str, Any]) -> str:
    unit = request.get("unit", "cm")
    if unit in UNITS:
        return str(unit)
    raise InputError("unit", "not_a_choice", str(unit)[:24], "The unit is not a choice.", "Choose cm or in.")


def _form(unit: str) -> list[dict[str, str]]:
    return [
        {"key": f.key, "label": f.label, "hint": f.how, "unit": f.bare[unit], "default": _default(f, unit)}
        for f in FIELDS
    ]


def _default(field: Field, unit: str) -> str:
    return show_length(read_quantity(field.default, LENGTH_UNITS, "cm"), unit) if field.default else ""


def _rim(request: Mapping[str, Any]) -> dict[str, float]:
    sd = request.get("sd")
    found = fit_ellipse(read_points(request.get("points")), None if sd is None else abs(number(sd, "sd")))
    return {
        "x": found.x,
        "y": found.y,
        "a": found.a,
        "b": found.b,
        "tilt": math.degrees(found.tilt),
        "sd": found.sd,
        "axes_sd": found.axes_sd,
    }


# what was typed


def _typed(
    request: Mapping[str, Any], unit: str
) -> tuple[dict[str, float], dict[str, str], list[InputError]]:
    """Values, how they were understood, and what cannot be used."""
    typed = request.get("fields")
    values: dict[str, float] = {}
    reading: dict[str, str] = {}
    errors: list[InputError] = []
    for field in FIELDS:
        text = typed.get(field.key) if isinstance(typed, Mapping) else None
        if not isinstance(text, str) or not text.strip():
            continue
        bare = field.bare[unit]
        try:
            values[field.key] = _quantity(field, text, bare)
        except InputError as wrong:
            errors.append(wrong)
            continue
        reading[field.key] = _shown(field, values[field.key], bare)
    return values, reading, errors


def _shown(field: Field, value: float, bare: str) -> str:
    return (
        f"{value:.0f} mm"
        if bare == "mm"
        else f"{value / LENGTH_UNITS[bare]:.{2 if bare == 'm' else 1}f} {bare}"
    )


def _quantity(field: Field, text: str, bare: str) -> float:
    units = {"mm": 1.0} if bare == "mm" else LENGTH_UNITS | MORE_LENGTHS
    allowed = f"{_shown(field, field.low, bare)} to {_shown(field, field.high, bare)}"
    try:
        value = read_quantity(text, units, bare)
    except UnreadableError as why:
        raise InputError(
            field.key,
            "not_a_number",
            text[:40],
            f"{field.label}: cannot read “{text[:40]}” ({why.args[0]}). Allowed: {allowed}.",
            f"Type one number: {field.how}. Or leave it empty.",
        ) from None
    if not field.low <= value <= field.high:
        raise InputError(
            field.key,
            "out_of_range",
            text[:40],
            f"{field.label}: “{text[:40]}” is outside {allowed}.",
            f"Measure it again: {field.how}. Or leave it empty.",
        )
    return value


def _known(values: Mapping[str, float], plan: FilmPlan | None) -> Known:
    """Sizes as typed, from the lifter's body, or usual."""
    usual = Known()
    half_bar = values.get("bar_length", 2 * usual.bar_end_m) / 2
    plate = values.get("plate_middle", min(usual.plate_middle_m, half_bar - 0.2))
    if plate > half_bar - 0.02:
        raise InputError(
            "plate_middle",
            "beyond_bar",
            "",
            Said("plate_beyond_bar", {"plate_m": plate, "end_m": half_bar}),
            "Measure both along the bar: the middle to the plate's face, and the whole bar.",
        )
    typed_plate, typed_end = "plate_middle" in values, "bar_length" in values
    return Known(
        diameter_m=values.get("diameter", usual.diameter_m),
        diameter_sd_m=TYPED_DIAMETER_SD_M if "diameter" in values else usual.diameter_sd_m,
        plate_middle_m=plate,
        plate_middle_sd_m=TYPED_PLATE_SD_M if typed_plate else usual.plate_middle_sd_m,
        half_shoulder_m=plan.half_shoulder_m if plan else usual.half_shoulder_m,
        half_shoulder_sd_m=FROM_BODY_SD_M if plan else usual.half_shoulder_sd_m,
        bar_end_m=half_bar,
        bar_end_sd_m=TYPED_END_SD_M if typed_end else usual.bar_end_sd_m,
        distance_m=values.get("distance"),
        focal_mm=values.get("focal"),
    )


def _plan(request: Mapping[str, Any]) -> FilmPlan | None:
    """The lifter's plan as the fit screen shows it; None where there is no usable tape."""
    asked = request.get("fit")
    if not isinstance(asked, Mapping):
        return None
    reading = read_request(asked)
    if reading.errors or reading.tape is None:
        return None
    try:
        return reading.lift.film_plan(fit(reading, asked, with_frontier=False))
    except (InputError, InfeasibleError):
        return None


# what comes out


def _measure(request: Mapping[str, Any]) -> dict[str, Any]:
    unit = _unit(request)
    values, reading, errors = _typed(request, unit)
    try:
        clip = read_clip(request)
    except InputError as wrong:
        errors.append(wrong)
    plan = _plan(request)
    if errors:
        return _refused(errors, reading, unit)
    result = measure(clip, _known(values, plan), plan.sticking_height_m if plan else None)
    if not result.reps:
        low, high = min(result.track.y), max(result.track.y)
        moved = result.stance.radius_m / result.stance.mean_m * (high - low)
        said = f"{show_length(moved, unit)} {unit}"
        none = InputError(
            "frames",
            "no_rep",
            said,
            f"No repetition was found: the bar moves up or down by {said} only; a rep has "
            f"{show_length(LEAST_TRAVEL_M, unit)} {unit} or more.",
            "Follow the plate from lockout to the chest and back. For a bar at rest use a photo.",
        )
        return _refused([none], reading)
    words = FilmWords(result, plan, unit)
    shown = result.shown
    return {
        **_done(reading),
        "warnings": warnings(words, bool(request.get("fit")) and plan is None),
        "kind": "photo" if clip.photo else "clip",
        "headline": words.headline(),
        "sentences": words.sentences(),
        "reps": [_rep(words, rep, i + 1) for i, rep in enumerate(result.reps)],
        "table_head": words.table_head(),
        "table": words.table(),
        "figure": draw_film(result, plan, words),
        "path": _path(shown),
        "track": _track(result),
        "camera": camera(words, values),
    }


def _rep(words: FilmWords, rep: Rep, place: int) -> dict[str, Any]:
    phases = rep.phases
    out: dict[str, Any] = {"number": place, "complete": True, "partial": None, "numbers": words.numbers(rep)}
    if phases is None:
        return out
    times = ("start", "chest", "press", "end")
    return {
        **out,
        **{name: round(getattr(phases, name), 3) for name in times},
        "complete": phases.complete,
        "partial": words.partial(rep),
        "pause_s": round(phases.pause_s, 2),
        "pause_text": words.pause(phases),
    }


def _path(rep: Rep) -> list[dict[str, Any]]:
    return [
        {"t": round(t, 3), "y_m": round(y, PATH_PLACES), "z_m": round(z, PATH_PLACES), "phase": phase}
        for phase, rows in (("down", rep.down), ("press", rep.press))
        for t, y, z in rows
    ]


def _track(result: Result) -> list[dict[str, float]]:
    """The smoothed plate in the picture as it was sent."""
    track, clip = result.track, result.clip
    return [
        {"t": t, "x": round(clip.width - x if clip.mirrored else x, 2), "y": round(y, 2)}
        for t, x, y in zip(track.times, track.x, track.y, strict=True)
    ]
