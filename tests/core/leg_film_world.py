"""Made-up squats and deadlifts before the camera of ``film_world``: bodies of known joints under a known bar.

Frame: x right, y toward the toes, z up, m; the origin midway between the ankle joints. Bodies are drawn here
joint by joint, not by the core's model, so that what a film should find is known apart from it.
"""

from __future__ import annotations

import math
import random
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from shortlever.film.clip import read_clip
from shortlever.film.lean import OUTLINE_SD_PX
from shortlever.film.measure import Result, measure
from shortlever.film.stance import BEND_SD, USUAL_FOCAL_MM, USUAL_FOCAL_SD, Known
from shortlever.film.world import DRIFT_SD_M
from shortlever.lifts.deadlift import film as pull_film
from shortlever.lifts.film import FilmCheck, FilmPlan
from shortlever.lifts.legs import film as leg_film
from shortlever.lifts.squat import film as squat_film
from tests.core.film_world import (
    Motion,
    Noise,
    Point2,
    World,
    _ease,
    camera_at,
    request_of,
    times_of,
)

SIZE = (1920, 1080)


@dataclass(frozen=True)
class PullMotion(Motion):
    """A pull: the bar lies on the floor, goes up, is held, comes down again, ``reps`` times. ``press_s`` up,
    ``pause_s`` held, ``down_s`` down, ``wait_s`` on the floor."""

    def share(self, t: float) -> tuple[float, bool]:
        cycle = self.down_s + self.pause_s + self.press_s + self.wait_s
        t -= self.wait_s
        number = min(max(int(t // cycle), 0), self.reps - 1) if t > 0 else 0
        t -= number * cycle
        if t <= 0:
            return 0.0, False
        if t < self.press_s:
            s = t / self.press_s
            return _ease(s + self.stall * math.sin(2 * math.pi * s) / (2 * math.pi)), False
        t -= self.press_s
        if t < self.pause_s:
            return 1.0, False
        return 1 - _ease((t - self.pause_s) / self.down_s), True

    def up_at(self, share: float) -> float:
        """When the first rep first is that far up, s."""
        low, high = self.wait_s, self.wait_s + self.press_s
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if self.share(middle)[0] < share else (low, middle)
        return (low + high) / 2

    def passes(self, up_m: float) -> float:
        """When it first is so far above the floor, s."""
        return self.up_at(up_m / (self.path[-1][1] - self.path[0][1]))


@dataclass(frozen=True)
class Body:
    """A lifter as filmed: of each mark where it is (y, z) at a moment, (key, moment) → place; how far out
    (x) it is; when each moment is; what a film should find; what it is told of the body."""

    places: Mapping[tuple[str, str], Point2]
    out: Mapping[str, float]
    times: Mapping[str, float]
    true: Mapping[str, float]
    plan: FilmPlan


def squat_of(rng: random.Random, planned: bool) -> tuple[Motion, Body]:
    """A squat near the rule's depth, and the body under it."""
    off = rng.gauss
    middle = off(squat_film.SquatPlan({}, ()).middle_m, leg_film.MIDDLE_SD_M)
    shin, shank, thigh, trunk = math.radians(off(30, 6)), off(0.42, 0.02), off(0.41, 0.02), off(0.53, 0.03)
    knee = shank * math.sin(shin), shank * math.cos(shin)
    rise = off(-0.02, 0.03)
    hip = knee[0] - math.sqrt(thigh**2 - rise**2) * 0.92, knee[1] + rise
    behind = off(squat_film.BEHIND_RAD, squat_film.BEHIND_SD_RAD)
    bar_y = middle + off(0.0, 0.02)
    line = math.asin((bar_y - hip[0]) / trunk)
    low = bar_y, hip[1] + trunk * math.cos(line)
    stroke = off(0.62, 0.05)
    path = [low, (middle + off(0, 0.02), low[1] + stroke / 2), (middle + off(0, 0.01), low[1] + stroke)]
    top_m, crease_m = (off(mean, 0.012) if planned else mean for mean in (0.055, 0.075))
    motion = Motion(
        path, wait_s=0.5, down_s=rng.uniform(0.9, 1.6), pause_s=rng.choice((0.0, 0.4)),
        press_s=rng.uniform(0.9, 1.8), stall=rng.uniform(0.0, 0.7), down_bulge_m=rng.uniform(-0.02, 0.02),
    )  # fmt: skip
    top = (
        knee[0] + off(0, squat_film.KNEE_AHEAD_SD_M),
        knee[1] + top_m + off(0, squat_film.KNEE_TOP_SD_M),
    )
    crease = (
        hip[0] + off(squat_film.CREASE_AHEAD_M, squat_film.CREASE_AHEAD_SD_M),
        hip[1] + crease_m + off(0, squat_film.CREASE_UP_SD_M),
    )
    bottom = motion.chest_times()[0] + motion.pause_s / 2
    outs, said = outs_of(rng, squat_film.SQUAT_FILM, planned)
    true = {
        "depth": top[1] - crease[1],
        "lean": math.degrees(line + behind),
        "shin": math.degrees(shin),
        "drift": low[0] - middle,
        "drift_half": motion.way(0.5)[0] - middle,
        "drift_top": path[-1][0] - middle,
        "range_of_motion": stroke,
    }
    plan = squat_film.SquatPlan({}, path, said, crease_m=crease_m, knee_top_m=top_m)
    if planned:
        plan = replace(plan, middle_m=middle + off(0, leg_film.PLANNED_MIDDLE_SD_M))
    places = {("knee", "bottom"): top, ("hip", "bottom"): crease, ("ankle", "bottom"): (0.0, 0.0)}
    return motion, Body(places, outs, {"bottom": bottom}, true, plan)


def pull_of(rng: random.Random, planned: bool) -> tuple[PullMotion, Body]:
    """A deadlift and the body over it."""
    off = rng.gauss
    middle = off(leg_film.MIDDLE_M, leg_film.MIDDLE_SD_M)
    bar_z = 0.225 - 0.085
    start = middle + off(0.0, 0.015), bar_z
    stroke = off(0.55, 0.04)
    path = [start, (start[0] + off(0, 0.02), bar_z + stroke / 2), (start[0] + off(0, 0.02), bar_z + stroke)]
    motion = PullMotion(
        path, wait_s=rng.uniform(0.7, 1.2), down_s=1.0, pause_s=rng.uniform(0.4, 0.9),
        press_s=rng.uniform(1.1, 2.4), stall=rng.uniform(0.0, 0.6), down_bulge_m=0.0,
    )  # fmt: skip
    lean, shank = math.radians(off(18, 5)), off(0.42, 0.02)
    knee = shank * math.sin(lean), shank * math.cos(lean)
    hip = knee[0] - off(0.36, 0.02), knee[1] + off(0.12, 0.03)
    pass_m = knee[1] - bar_z
    plan_pass = pass_m + off(0, pull_film.PASS_SD_M) if planned else pull_film.PASS_M
    ratio = off(1.1, 0.25)
    times = {
        "off": motion.wait_s, "knee": motion.passes(plan_pass), "lockout": motion.wait_s + motion.press_s,
    }  # fmt: skip
    hip_then = hip[0] + 0.05, hip[1] + ratio * (motion.bar(times["knee"])[1] - bar_z)
    end_lean = math.radians(off(2, 4))
    end_knee = shank * math.sin(end_lean), shank * math.cos(end_lean)
    shoulder = path[-1][0] + off(-0.03, 0.03), path[-1][1] + 0.62
    outs, said = outs_of(rng, pull_film.PULL_FILM, planned)
    share = (plan_pass if planned else pass_m) / stroke  # where the film looks for it
    true = {
        "over_foot": start[0] - middle,
        "leg_gap": start[0] - knee[0] * bar_z / knee[1],
        "hips_first": ratio,
        "to_knee": motion.way(share)[0] - start[0],
        "to_top": path[-1][0] - start[0],
        "range_of_motion": stroke,
        "shin_end": math.degrees(end_lean),
        "shoulders_end": shoulder[0] - path[-1][0],
        "off_s": motion.wait_s,
        "knee_s": motion.passes(pass_m),
        "lockout_s": motion.passes(stroke - pull_film.ENDS_M),
    }
    plan = pull_film.PullPlan({"hips_first": 1.1}, path, said, pass_m=plan_pass)
    if planned:
        plan = replace(plan, middle_m=middle + off(0, leg_film.PLANNED_MIDDLE_SD_M))
    places = {
        ("ankle", "lockout"): (0.0, 0.0), ("knee", "off"): knee, ("knee", "lockout"): end_knee,
        ("hip", "off"): hip, ("hip", "knee"): hip_then, ("shoulder", "lockout"): shoulder,
    }  # fmt: skip
    return motion, Body(places, outs, times, true, plan)


def outs_of(
    rng: random.Random, film: FilmCheck[Any], planned: bool
) -> tuple[dict[str, float], dict[str, tuple[float, float]]]:
    """How far out each mark is, and what is said of it where the body is known."""
    outs = {mark.key: max(rng.gauss(mark.out_m, mark.out_sd_m), 0.08) for mark in film.marks}
    sd = leg_film.PLANNED_OUT_SD_M
    return outs, {key: (out + rng.gauss(0, sd), sd) for key, out in outs.items()} if planned else {}


FILMS: Mapping[str, tuple[Any, FilmCheck[Any]]] = {
    "squat": (squat_of, squat_film.SQUAT_FILM),
    "deadlift": (pull_of, pull_film.PULL_FILM),
}


def filmed(
    lift: str, rng: random.Random, planned: bool, noise: Noise | None = None
) -> tuple[World, Body, dict[str, Any], Known]:
    """A world of a lift with its body, the request of its clip, and what is known of sizes."""
    make, film = FILMS[lift]
    motion, body = make(rng, planned)
    usual = Known(out=body.plan.out if planned else {})
    side = rng.choice((1, -1))
    plate = rng.gauss(usual.plate_middle_m, usual.plate_middle_sd_m)
    focal_mm = USUAL_FOCAL_MM * math.exp(rng.gauss(0.0, USUAL_FOCAL_SD))
    camera = camera_at(
        (side * plate, *motion.way(0.4)),
        rng.uniform(3.0, 6.0),
        off_deg=rng.gauss(0.0, 5.0),
        tilt_deg=rng.uniform(-2.0, 6.0),
        roll_deg=rng.gauss(0.0, 1.5),
        aim_px=(rng.uniform(-200, 200), rng.uniform(-60, 60)),
        focal_px=focal_mm / math.hypot(36, 24) * math.hypot(*SIZE),
        width=SIZE[0],
        height=SIZE[1],
        side=side,
        distortion=rng.gauss(0.0, BEND_SD),
    )
    seen_px = (
        camera.focal_px * usual.diameter_m / 2 / math.dist(camera.place, (side * plate, *motion.way(0.4)))
    )
    world = World(
        camera,
        motion,
        side=side,
        radius_m=rng.gauss(usual.diameter_m, usual.diameter_sd_m)
        / 2
        * (1 + rng.gauss(0, OUTLINE_SD_PX / seen_px)),
        plate_middle_m=plate,
        bar_end_m=rng.gauss(usual.bar_end_m, usual.bar_end_sd_m),
    )
    noise = noise or Noise(
        middle_px=rng.uniform(0.1, 0.8), axes_px=rng.uniform(0.4, 1.2), mark_px=rng.uniform(2.0, 6.0),
        end_px=rng.uniform(2.0, 6.0),
    )  # fmt: skip
    request = request_of(world, times_of(motion, rng.choice((30, 60))), noise, rng)
    request["marks"].pop("shoulder")
    request["marks"] |= marks_of(world, body, film, noise, rng)
    return world, body, request | {"lift": lift}, usual


def marks_of(
    world: World, body: Body, film: FilmCheck[Any], noise: Noise, rng: random.Random
) -> dict[str, list[dict[str, float]]]:
    """The joints as a person marks them: found on the skin by so much, under a thumb by so many px."""
    found: dict[str, list[dict[str, float]]] = {}
    for mark in film.marks:
        sd = math.hypot(mark.sd_m, DRIFT_SD_M) if mark.key == "ankle" else mark.sd_m
        sd *= 1.0 if mark.key == "ankle" else math.sqrt(0.5)
        skin = rng.gauss(0, sd), rng.gauss(0, sd)  # taken for the joint in every picture, and as much in each
        for at in mark.at:
            y, z = body.places[mark.key, at]
            if mark.key != "ankle":
                y, z = y + rng.gauss(0, sd), z + rng.gauss(0, sd)
            px, py = world.camera.to_pixel((world.side * body.out[mark.key], y + skin[0], z + skin[1]))
            t, off = body.times[at], rng.gauss
            row = {"t": t, "x": px + off(0, noise.mark_px), "y": py + off(0, noise.mark_px)}
            found.setdefault(mark.key, []).append(row | {"sd": noise.mark_px})
    return found


def of_lift(
    lift: str, request: dict[str, Any], body: Body, known: Known, planned: bool, worlds: int
) -> Result:
    """What the core makes of it, without the door."""
    film = FILMS[lift][1]
    clip = read_clip(request, film.marks)
    return measure(clip, known, film, body.plan if planned else None, worlds)
