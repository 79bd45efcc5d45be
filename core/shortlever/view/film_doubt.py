"""What the camera leaves open, in words: where it stood, what makes up the error, what to do about it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from shortlever.film.clip import BAR_END, seconds
from shortlever.film.measure import Result
from shortlever.film.stack import UNSAID
from shortlever.film.stance import Stance
from shortlever.film.world import NEAR_S
from shortlever.say import Said, Text
from shortlever.view.film_words import FilmWords

# closer than this, and further out than this share of the corner, lenses bend more
NEAR_M, WIDE_SHARE = 1.8, 0.8
BETTER_M, NEARER_M = 3.0, 2.0  # how far to film from, and from where not nearer
ODD_TIMES = 1.5  # a stroke by this against the plan, or outside what is usual for the lift, is odd
SLOW_RATE = 20.0  # pictures a second
NO_TRIPOD_RAD = math.radians(1.0)  # a level tripod holds a picture more upright than this, and still
MOST_LEFT_M = 0.0025  # of shake that stays in the numbers, 1 SD: from there on it is said
ODD_SD, LARGEST_PLATE_M = 2.5, 0.50
TO_90 = 1.645


def camera(words: FilmWords, typed: Mapping[str, float]) -> dict[str, Any]:
    """Where the camera stood, what each source adds to the error, and what would help most."""
    result, stance = words.result, words.result.stance
    away, how = result.distance, "typed" if "distance" in typed else "reckoned"
    joint = words.told(result.film.marks[0].label)
    budget = [
        {
            "source": joint if key == "joint" else Said(f"error_{key}"),
            "text": Said(f"error_{key}_is"),
            "mm": round(1000 * TO_90 * sd),
        }
        for key, sd in sorted(result.budget.items(), key=lambda item: -item[1])
    ]
    return {
        "distance_text": Said(f"camera_stood_{how}", {"low_m": away.low, "high_m": away.high}),
        "angle_text": _angle(words, stance),
        "budget": budget,
        "advice": _advice(words, typed),
    }


def off_square(stance: Stance) -> tuple[float, float]:
    """By how much the camera looked off square, nearer the side ahead (+), and its 90 % error, deg; the mean
    is 0 where the side stays open."""
    mean = 0.0 if stance.undecided else sum(c.weight * math.atan(c.right) for c in stance.cells)
    square = sum(c.weight * (math.atan(c.right) - mean) ** 2 for c in stance.cells)
    return math.degrees(mean), max(TO_90 * math.degrees(math.sqrt(square)), 0.5)


def _angle(words: FilmWords, stance: Stance) -> Said:
    mean, margin = off_square(stance)
    if stance.undecided:
        return words.told(Said("camera_angle_open", {"angle": margin}))
    if abs(mean) <= margin:
        return Said("camera_square", {"margin": margin})
    film = words.result.film
    side = film.ahead if mean > 0 else film.behind
    return words.told(Said("camera_off_square", {"angle": abs(mean), "margin": margin, "side": side}))


def _advice(words: FilmWords, typed: Mapping[str, float]) -> Text:
    result, budget = words.result, words.result.budget
    if not budget:
        return ""
    worst = max(budget, key=lambda key: budget[key])
    if worst == "angle":
        if not result.clip.marks[BAR_END]:
            return Said("mark_bar_end")
        return Said("film_squarer" if "plate_middle" in typed else "type_plate")
    if worst in ("distance", "joint", "horizon", "shake"):
        return words.told(Said(f"less_error_of_{worst}"))
    return Said("film_nearer", {"least_m": NEARER_M})


def warnings(words: FilmWords, request: Mapping[str, Any], no_plan: bool) -> list[dict[str, Any]]:
    """What to know before the numbers are believed; ``no_plan``: there is none to compare with."""
    result = words.result
    clip, stance, track = result.clip, result.stance, result.track
    found: list[dict[str, Any]] = []

    def warn(code: str, field: str | None, message: Said, **more: Any) -> None:
        found.append({"code": code, "field": field, "message": message, **more})

    if clip.gone:
        said = seconds(clip.times, clip.gone)
        warn(
            "plate_leaves_picture",
            "frames",
            Said("plate_left_out", {"times": said}),
            frames=clip.gone,
        )
    for i, rep in enumerate(result.reps):
        if rep.unseen:
            several = len(result.reps) > 1
            phases = [words.told(one) for one in rep.unseen]
            warn(
                "plate_hidden",
                "frames",
                Said("plate_lost_in_rep" if several else "plate_lost", {"number": i + 1, "phases": phases}),
            )
    for code, field, said in _marks_and_moments(words):
        warn(code, field, said)
    if stance.undecided:
        warn("camera_side_open", "stands", words.told(Said("camera_side_open")))
    elif not clip.marks[BAR_END]:
        warn("bar_end_missing", None, Said("bar_end_missing"))
    odd = _other_plate(stance)
    if odd is not None:
        sizes = {"seen_m": odd, "plate_m": stance.known.diameter_m}
        warn("plate_size", "diameter", Said("plate_size", sizes))
    if stance.known.plate_middle_sd_m >= UNSAID[1]:
        warn("plates_unsaid", "plates", Said("plates_unsaid"))
    if result.side_unclear:
        warn("feet_unclear", "feet", words.told(result.film.ask_side))
    elif not result.side_guessed:
        for code, field, doubt in result.film.doubtful([rep.numbers for rep in result.reps]):
            warn(code, field, words.told(doubt))
    if stance.distance_m < NEAR_M:
        warn(
            "too_close",
            "distance",
            Said("filmed_close", {"far_m": stance.distance_m, "better_m": BETTER_M}),
        )
    if stance.left_px * stance.radius_m / stance.mean_m > MOST_LEFT_M:
        moved_m = clip.shake_px * stance.radius_m / stance.mean_m
        warn("shaken", None, Said("film_shaken", {"moved_m": moved_m}))
    if not (clip.photo or clip.background or clip.upright_sd_rad < NO_TRIPOD_RAD):
        warn("stillness_unseen", None, Said("stillness_unseen"))
    if stance.wide:
        warn("wide_lens", "focal", Said("wide_lens"))
    elif _far_out(result) > WIDE_SHARE:
        warn("near_edge", None, Said("near_edge"))
    if not clip.photo:
        rate = (len(track.times) - 1) / (track.times[-1] - track.times[0])
        if rate < SLOW_RATE:
            warn(
                "slow_rate",
                None,
                Said("slow_rate", {"rate": rate, "margin": 1 / rate}),
            )
    whole = [r for r in result.reps if r.phases and r.phases.complete]
    strokes = [rep.stroke_m for rep in whole]
    usual = words.plan.stroke_m if words.plan else None
    low, high = (usual / ODD_TIMES, usual * ODD_TIMES) if usual else result.film.strokes_m
    if any(not low <= stroke <= high for stroke in strokes):
        warn(
            "odd_stroke",
            "diameter",
            Said("odd_stroke", {"stroke_m": strokes[0], "plate_m": stance.known.diameter_m}),
        )
    if request.get("fit") and no_plan:
        warn("no_plan", None, Said("no_plan"))
    return found


def _marks_and_moments(words: FilmWords) -> list[tuple[str, str, Said]]:
    """Marks at no moment for which they are asked for, and moments of the shown rep without theirs."""
    result, found = words.result, list[tuple[str, str, Said]]()
    labels = {one.key: one.label for one in result.film.moments}
    if result.clip.photo:
        return []
    for mark in result.film.marks:
        asked = [rep.moments[at] for rep in result.reps for at in mark.at if at in rep.moments]
        marked = [m.t for m in result.clip.marks[mark.key]]
        for t in marked if asked and not mark.missing else ():
            near = min(asked, key=lambda moment: abs(moment - t))
            if abs(near - t) > NEAR_S:
                at = next(at for at in mark.at for rep in result.reps if rep.moments.get(at) == near)
                said = {"label": mark.label, "time": t, "moment": labels[at], "there": near}
                found.append(("mark_elsewhere", mark.key, Said("mark_elsewhere", said)))
        for at in mark.at:
            there = result.shown.moments.get(at)
            if there is None or mark.missing or any(abs(t - there) <= NEAR_S for t in marked):
                continue
            said = {"label": mark.label, "moment": labels[at], "there": there}
            found.append(("mark_wanted", mark.key, Said("mark_wanted", said)))
    return found


def _other_plate(stance: Stance) -> float | None:
    """How large the plate is by the sleeve's end, m, where that does not go with what is said of it by any
    lens; larger ones than there are come from a ring on the end itself."""
    found = stance.diameters()
    said, sd = stance.known.diameter_m, stance.known.diameter_sd_m
    fits = any(abs(seen - said) <= ODD_SD * math.hypot(error, sd) for seen, error in found)
    return None if fits or not found or found[0][0] > LARGEST_PLATE_M else found[0][0]


def _far_out(result: Result) -> float:
    """How far out toward a corner the plate's rim comes at most, as a share."""
    stance, track = result.stance, result.track
    cx, cy = stance.middle
    far = max(math.hypot(x - cx, y - cy) for x, y in zip(track.x, track.y, strict=True))
    return (far + stance.mean_m) / stance.corner_px
