"""What the camera leaves open, in words: where it stood, what makes up the error, what to do about it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from shortlever.film.clip import BAR_END, seconds
from shortlever.film.measure import Result
from shortlever.film.stance import Stance
from shortlever.say import Said
from shortlever.view.film_words import FilmWords

SOURCES = {
    "angle": ("Camera angle", "how squarely the camera looked at the bar"),
    "joint": ("", "where the joint is under the mark"),
    "distance": ("Distances", "from camera to plate, and from plate to joint along the bar"),
    "scale": ("Scale", "the size of the rim in the picture"),
    "horizon": ("Horizon", "how level the picture is"),
    "lens": ("Lens", "what it bends toward the corners"),
    "tracking": ("Following", "where the plate is in each picture"),
}
# closer than this, and further out than this share of the corner, lenses bend more
NEAR_M, WIDE_SHARE = 1.8, 0.8
ODD_TIMES = 1.5  # a stroke by this against the plan, or outside what is usual for the lift, is odd
SLOW_RATE = 20.0  # pictures a second
TO_90 = 1.645


def camera(words: FilmWords, typed: Mapping[str, float]) -> dict[str, Any]:
    """Where the camera stood, what each source adds to the error, and what would help most."""
    result, stance = words.result, words.result.stance
    far = stance.distance_m
    far_text = f"{far:.1f} m" if words.unit == "cm" else f"{far / 0.3048:.0f} ft"
    how = "as typed" if "distance" in typed else "reckoned from the lens"
    budget = [
        {
            "source": SOURCES[key][0] or words.say(result.film.marks[0].label),
            "text": SOURCES[key][1],
            "mm": round(1000 * TO_90 * sd),
        }
        for key, sd in sorted(result.budget.items(), key=lambda item: -item[1])
    ]
    return {
        "distance_text": f"Camera about {far_text} from the plate, {how}.",
        "angle_text": _angle(words, stance),
        "budget": budget,
        "advice": _advice(words, typed),
    }


def _angle(words: FilmWords, stance: Stance) -> str:
    if stance.undecided:
        size = math.degrees(math.sqrt(sum(c.weight * c.right**2 for c in stance.cells)))
        return words.say(Said("film_off_square", {"most_deg": TO_90 * size}))
    mean = math.degrees(sum(c.weight * math.atan(c.right) for c in stance.cells))
    sd = math.degrees(
        math.sqrt(sum(c.weight * (math.atan(c.right) - math.radians(mean)) ** 2 for c in stance.cells))
    )
    margin = max(TO_90 * sd, 0.5)
    result = words.result
    if abs(mean) <= margin:
        return f"It looked square at the bar, give or take {margin:.0f}°."
    side = result.film.ahead if mean > 0 else result.film.behind
    values: dict[str, float | str | Said] = {"off_deg": abs(mean), "margin_deg": margin, "side": side}
    return words.say(Said("film_stood_off", values))


def _advice(words: FilmWords, typed: Mapping[str, float]) -> str:
    result, budget = words.result, words.result.budget
    if not budget:
        return ""
    clip = result.clip
    worst = max(budget, key=lambda key: budget[key])
    if worst == "angle":
        if not clip.marks[BAR_END]:
            return "Mark the end of the bar: that would narrow the error most."
        if "plate_middle" not in typed:
            return "Type how far the plate's face is from the bar's middle, or film squarer to the bar."
        return "Film squarer to the bar and from further away: that would narrow the error most."
    if worst == "distance":
        return words.say(Said("film_advise_distance"))
    if worst == "joint":
        return words.say(Said("film_advise_joint"))
    if worst == "horizon":
        return words.say(Said("film_advise_edge"))
    return "Film from nearer, so that the plate is larger in the picture, but not under 2 m."


def warnings(words: FilmWords, plan_missing: bool) -> list[dict[str, Any]]:
    """What to know before the numbers are believed."""
    result = words.result
    clip, stance, track = result.clip, result.stance, result.track
    found: list[dict[str, Any]] = []

    def warn(code: str, field: str | None, message: str, **more: Any) -> None:
        found.append({"code": code, "field": field, "message": message, **more})

    if clip.gone:
        said = seconds(clip.times, clip.gone)
        warn(
            "plate_leaves_picture",
            "frames",
            f"The plate is not wholly in the picture at {said}; that is left out.",
            frames=clip.gone,
        )
    for i, rep in enumerate(result.reps):
        if rep.unseen:
            name = f"Rep {i + 1}: the" if len(result.reps) > 1 else "The"
            where = " and ".join(words.say(one) for one in rep.unseen)
            warn(
                "plate_hidden",
                "frames",
                f"{name} plate was lost {where}; what lies between is a guess from before and after.",
            )
    if stance.undecided:
        warn("camera_side_open", "stands", words.say(Said("film_side_open")))
    elif not clip.marks[BAR_END]:
        warn("bar_end_missing", None, words.say(Said("film_bar_end_missing")))
    if result.side_unclear:
        warn("feet_unclear", "feet", words.say(result.film.ask_side))
    elif not result.side_guessed:
        for code, field, doubt in result.film.doubtful([rep.numbers for rep in result.reps]):
            warn(code, field, words.say(doubt))
    if stance.distance_m < NEAR_M:
        warn(
            "too_close",
            "distance",
            f"Filmed from about {stance.distance_m:.1f} m: so close, every error counts more. "
            "3 m or more is better.",
        )
    if stance.wide:
        warn("wide_lens", "focal", "A wide-angle lens bends the picture; use the main lens, further away.")
    elif _far_out(result) > WIDE_SHARE:
        warn("near_edge", None, "The plate comes close to the picture's edge, where lenses bend most.")
    if not clip.photo:
        rate = (len(track.times) - 1) / (track.times[-1] - track.times[0])
        if rate < SLOW_RATE:
            warn(
                "slow_rate",
                None,
                f"Only {rate:.0f} pictures a second: pauses are known to ± {1 / rate:.2f} s.",
            )
    whole = [r for r in result.reps if r.phases and r.phases.complete]
    strokes = [rep.stroke_m for rep in whole]
    usual = words.plan.stroke_m if words.plan else None
    low, high = (usual / ODD_TIMES, usual * ODD_TIMES) if usual else result.film.strokes_m
    if any(not low <= stroke <= high for stroke in strokes):
        warn(
            "odd_stroke",
            "diameter",
            f"A range of motion of {words.length(strokes[0])} is unusual. Is the marked plate "
            f"{words.length(stance.known.diameter_m)} across?",
        )
    if plan_missing:
        warn("no_plan", None, "The lifter's tape numbers give no plan, so nothing is compared.")
    return found


def _far_out(result: Result) -> float:
    """How far out toward a corner the plate's rim comes at most, as a share."""
    stance, track = result.stance, result.track
    cx, cy = stance.middle
    far = max(math.hypot(x - cx, y - cy) for x, y in zip(track.x, track.y, strict=True))
    return (far + stance.mean_m) / stance.corner_px
