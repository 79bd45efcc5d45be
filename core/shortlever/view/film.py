"""The film check's door: marks and a followed plate in, numbers, sentences and the figure out.

What is sent and what comes back is written in ``shortlever.film``.

Over 300 lines: what can be typed about the camera stands with what it does to the answer.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shortlever.errors import InfeasibleError, InputError
from shortlever.film.clip import number, read_clip, read_points
from shortlever.film.ellipse import fit_ellipse
from shortlever.film.measure import WORLDS, Rep, Result, measure, moments
from shortlever.film.reps import LEAST_TRAVEL_M
from shortlever.film.stack import STACKS, face_of
from shortlever.film.stance import Known
from shortlever.fitting.fit import fit
from shortlever.fitting.request import UNITS, lift_of, read_request
from shortlever.lifts.film import FilmCheck, FilmPlan
from shortlever.say import Said, Text
from shortlever.units import LENGTH_UNITS, UnreadableError, read_quantity
from shortlever.view import film_speed
from shortlever.view.film_doubt import camera, warnings
from shortlever.view.film_figure import draw_film
from shortlever.view.film_words import FilmWords

MORE_LENGTHS = {"feet": LENGTH_UNITS["ft"], "metres": 1.0, "meters": 1.0}
TYPED_PLATE_SD_M, TYPED_END_SD_M, TYPED_DIAMETER_SD_M = 0.008, 0.005, 0.001
PATH_PLACES = 5  # of metres in what is sent back


@dataclass(frozen=True)
class Field:
    """One thing that can be typed about the camera: range (SI or mm), unit where none is typed, default (m),
    and by which code a value of it is said."""

    key: str
    low: float
    high: float
    bare: Mapping[str, str]
    default: float | None
    kind: str

    @property
    def label(self) -> Said:
        """What it is called."""
        return Said(f"camera_{self.key}")

    @property
    def how(self) -> Said:
        """How to find it."""
        return Said(f"camera_{self.key}_how")

    def shown(self, value: float) -> Said:
        """A value of it."""
        return Said(self.kind, {"x" if self.kind == "camera_lens" else "x_m": value})


_LENGTH = {"cm": "cm", "in": "in"}
FIELDS = (
    Field("distance", 0.5, 30.0, {"cm": "m", "in": "ft"}, None, "camera_far"),
    Field("focal", 8.0, 300.0, {"cm": "mm", "in": "mm"}, None, "camera_lens"),
    Field("diameter", 0.15, 0.60, _LENGTH, 0.45, "length"),
    Field("plate_middle", 0.40, 1.20, _LENGTH, None, "length"),
    Field("bar_length", 1.20, 2.60, _LENGTH, 2.20, "length"),
)


def answer(request: Mapping[str, Any]) -> dict[str, Any]:
    """Answer "film/measure", "film/moments", "film/rim" or "film/form"; what goes wrong is in ``errors``."""
    want = str(request.get("want"))
    try:
        if want == "film/form":
            return _done({}) | {"fields": _form(_unit(request)), **_marks(_film(request))}
        if want == "film/moments":
            return _moments(request)
        if want == "film/rim":
            return _done({}) | {"ellipse": _rim(request)}
        if want == "film/measure":
            return _measure(request)
    except InputError as wrong:
        return _refused([wrong])
    unknown = InputError("want", "unknown", want[:24], Said("film_unknown"), Said("film_unknown_remedy"))
    return _refused([unknown])


def _done(reading: Mapping[str, Text]) -> dict[str, Any]:
    return {"ok": True, "errors": [], "warnings": [], "reading": dict(reading)}


def _refused(errors: Sequence[InputError], reading: Mapping[str, Text] | None = None) -> dict[str, Any]:
    told = [wrong.told() for wrong in errors]
    return {"ok": False, "errors": told, "warnings": [], "reading": dict(reading or {})}


def _unit(request: Mapping[str, Any]) -> str:
    unit = request.get("unit", "cm")
    if unit in UNITS:
        return str(unit)
    raise InputError(
        "unit", "not_a_choice", str(unit)[:24], Said("unit_not_a_choice"), Said("unit_not_a_choice_remedy")
    )


def _form(unit: str) -> list[dict[str, Text]]:
    return [
        {"key": f.key, "label": f.label, "hint": f.how, "unit": f.bare[unit], "default": _default(f)}
        for f in FIELDS
    ]


def _marks(film: FilmCheck[Any]) -> dict[str, list[dict[str, Any]]]:
    """The joints to be marked, and the moments at which."""
    marks = [
        {
            "key": one.key,
            "label": one.label,
            "hint": one.hint,
            "pictures": one.pictures or "",
            "photo": not one.at or bool(one.missing or {*one.at} & {*film.photo_of}),
            "need": "needed" if one.missing else "wanted" if one.at else "optional",
            "lead": one.missing[1] if one.missing else "",
            "at": list(one.at),
            "from": [round(v / (Known().diameter_m / 2), 1) for v in one.over_bar_m],
        }
        for one in film.marks
    ]
    return {"marks": marks, "moments": [{"key": one.key, "label": one.label} for one in film.moments]}


def _moments(request: Mapping[str, Any]) -> dict[str, Any]:
    """When the joints of the lift are to be marked: what was followed is enough."""
    film = _film(request)
    values, reading, errors = _typed(request, _unit(request))
    if errors:
        return _refused(errors, reading)
    plan = _plan(request)
    clip = read_clip(request, film.marks, marked=False)
    found = moments(clip, _known(request, values, plan), film, plan)
    return _done(reading) | {"moments": {key: round(t, 4) for key, t in found.items()}}


def _default(field: Field) -> Text:
    return "" if field.default is None else Said("camera_default", {"x_m": field.default})


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
) -> tuple[dict[str, float], dict[str, Text], list[InputError]]:
    """Values, how they were understood, and what cannot be used."""
    typed = request.get("fields")
    values: dict[str, float] = {}
    reading: dict[str, Text] = {}
    errors: list[InputError] = []
    for field in FIELDS:
        text = typed.get(field.key) if isinstance(typed, Mapping) else None
        if not isinstance(text, str) or not text.strip():
            continue
        try:
            values[field.key] = _quantity(field, text, field.bare[unit])
        except InputError as wrong:
            errors.append(wrong)
            continue
        reading[field.key] = field.shown(values[field.key])
    return values, reading, errors


def _quantity(field: Field, text: str, bare: str) -> float:
    units = {"mm": 1.0} if bare == "mm" else LENGTH_UNITS | MORE_LENGTHS
    typed = text[:40]
    allowed = Said("camera_allowed", {"low": field.shown(field.low), "high": field.shown(field.high)})
    of = {"label": field.label, "given": typed, "allowed": allowed}
    try:
        value = read_quantity(text, units, bare)
    except UnreadableError as why:
        said = Said("tape_unreadable", of | {"why": Said(why.code, why.values)})
        remedy = Said("camera_type_one", {"allowed": allowed, "how": field.how})
        raise InputError(field.key, "not_a_number", typed, said, remedy) from None
    if not field.low <= value <= field.high:
        remedy = Said("camera_measure_again", {"how": field.how})
        raise InputError(field.key, "out_of_range", typed, Said("tape_out_of_range", of), remedy)
    return value


def _stack(request: Mapping[str, Any]) -> str | None:
    """Which plates hang on the sleeve, as chosen; None where nobody said."""
    camera = request.get("camera")
    stack = camera.get("plates") if isinstance(camera, Mapping) else None
    if stack in (None, "") or stack in STACKS:
        return stack or None
    given = {"label": "plates", "given": str(stack)[:24]}
    allowed = Said("choose_one_of", {"options": STACKS})
    raise InputError("plates", "not_a_choice", str(stack)[:24], Said("not_a_choice", given), allowed)


def _known(request: Mapping[str, Any], values: Mapping[str, float], plan: FilmPlan | None) -> Known:
    """Sizes as typed or chosen, from the lifter's body, or usual."""
    usual = Known()
    half_bar = values.get("bar_length", 2 * usual.bar_end_m) / 2
    face_m, face_sd_m = face_of(_stack(request))
    plate = values.get("plate_middle", min(face_m, half_bar - 0.2))
    if plate > half_bar - 0.02:
        raise InputError(
            "plate_middle",
            "beyond_bar",
            "",
            Said("plate_beyond_bar", {"plate_m": plate, "end_m": half_bar}),
            Said("plate_beyond_bar_remedy"),
        )
    typed_plate, typed_end = "plate_middle" in values, "bar_length" in values
    return Known(
        diameter_m=values.get("diameter", usual.diameter_m),
        diameter_sd_m=TYPED_DIAMETER_SD_M if "diameter" in values else usual.diameter_sd_m,
        plate_middle_m=plate,
        plate_middle_sd_m=TYPED_PLATE_SD_M if typed_plate else face_sd_m,
        out=plan.out if plan else {},
        bar_end_m=half_bar,
        bar_end_sd_m=TYPED_END_SD_M if typed_end else usual.bar_end_sd_m,
        distance_m=values.get("distance"),
        focal_mm=values.get("focal"),
    )


def _film(request: Mapping[str, Any]) -> FilmCheck[Any]:
    """What a film of the lift asked for needs and measures."""
    asked = request.get("fit")
    lift = lift_of(asked if isinstance(asked, Mapping) else request)
    if lift.film is None:
        raise InputError("lift", "no_film", lift.key, Said("film_no_film"), Said("film_no_film_remedy"))
    return lift.film


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


def read(request: Mapping[str, Any], worlds: int = WORLDS) -> Result:
    """What is measured of a request, before it is put into words. Raises InputError."""
    values, _, errors = _typed(request, _unit(request))
    if errors:
        raise errors[0]
    film, plan = _film(request), _plan(request)
    return measure(read_clip(request, film.marks), _known(request, values, plan), film, plan, worlds)


def _measure(request: Mapping[str, Any]) -> dict[str, Any]:
    unit = _unit(request)
    values, reading, errors = _typed(request, unit)
    film = _film(request)
    try:
        clip = read_clip(request, film.marks)
    except InputError as wrong:
        errors.append(wrong)
    plan = _plan(request)
    if errors:
        return _refused(errors, reading)
    result = measure(clip, _known(request, values, plan), film, plan)
    if not result.reps:
        low, high = min(result.track.y), max(result.track.y)
        moved = result.stance.radius_m / result.stance.mean_m * (high - low)
        travel = {"moved_m": moved, "least_m": LEAST_TRAVEL_M}
        given, said = Said("length", {"x_m": moved}), Said("no_rep", travel)
        none = InputError("frames", "no_rep", given, said, Said("no_rep_remedy"))
        return _refused([none], reading)
    words = FilmWords(result, plan)
    return {
        **_done(reading),
        "warnings": warnings(words, request, plan is None),
        "kind": "photo" if clip.photo else "clip",
        "headline": words.headline(unit),
        "sentences": [*words.sentences(), *film_speed.sentences(words)],
        "reps": [_rep(words, rep, i + 1) for i, rep in enumerate(result.reps)],
        "table_head": words.table_head(),
        "table": [*words.table(), *film_speed.table(words)],
        "figure": draw_film(result, plan, words),
        "lost": film_speed.lost(result.lost),
        "speed_figure": film_speed.draw(words, unit),
        "path": [row for i, rep in enumerate(result.reps) for row in _path(rep, i + 1)],
        "track": _track(result),
        "camera": camera(words, values),
    }


def _rep(words: FilmWords, rep: Rep, place: int) -> dict[str, Any]:
    phases = rep.phases
    out: dict[str, Any] = {"number": place, "complete": True, "partial": None, "numbers": words.numbers(rep)}
    if phases is None:
        return out
    times = ("start", "down", "rise", "end")
    return {
        **out,
        **{name: round(getattr(phases, name), 3) for name in times},
        "complete": phases.complete,
        "partial": words.partial(rep),
        "pause_s": None if rep.pause is None else round(rep.pause.value, 3),
        "pause_low_s": None if rep.pause is None else round(rep.pause.low, 3),
        "pause_high_s": None if rep.pause is None else round(rep.pause.high, 3),
        "pause_text": None if rep.pause is None else words.pause(rep.pause),
        "speed": film_speed.of_rep(rep),
        "moments": {key: round(t, 4) for key, t in rep.moments.items()},
    }


def _path(rep: Rep, place: int) -> list[dict[str, Any]]:
    return [
        {
            "rep": place,
            "t": round(t, 3),
            "y_m": round(y, PATH_PLACES),
            "z_m": round(z, PATH_PLACES),
            "phase": phase,
        }
        for phase, rows in (("down", rep.down), ("up", rep.rise))
        for t, y, z in rows
    ]


def _track(result: Result) -> list[dict[str, float]]:
    """The smoothed plate in the picture as it was sent."""
    track, clip = result.track, result.clip
    return [
        {"t": t, "x": round(clip.width - x if clip.mirrored else x, 2), "y": round(y, 2)}
        for t, x, y in zip(track.times, track.x, track.y, strict=True)
    ]
