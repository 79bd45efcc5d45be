"""How sure a suggestion is: tape error and estimated dimensions carried through to every number.

The covariance of what is uncertain (what the tape left open in the joint distribution of bodies, the error of
the heights, the place of the shoulder joint, the hands' sideways share) is split into independent directions.
The body is moved up and down each and the suggestion made again: half differences give the linear part of a
number's spread, second differences its bend, which adds to the variance and moves the middle. Steps are of
sqrt(3) standard deviations (Gauss-Hermite's three points): mean and variance are exact where a number bends
evenly and near where a limit stops it at one side. The linear part also tells which further tape number would
narrow the suggestion most, by conditioning the covariance on it before it is taken.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from shortlever.errors import InfeasibleError
from shortlever.lifts.bench.form import FIELDS
from shortlever.lifts.bench.pose import SIDEWAYS_SD
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.search import Search
from shortlever.lifts.interval import Interval, NextMeasure, Spread
from shortlever.linear import cholesky, solve_row
from shortlever.numerics import Z90
from shortlever.person.body import (
    ACROMION_OUTSIDE_JOINT_SD_M,
    JOINT_WIDTH_SD_M,
    RETRACTION_NARROWS_SD_M,
    SHOULDER_HEIGHT_OF_CHEST_DEPTH,
    SHOULDER_HEIGHT_SD_M,
    Offsets,
    from_estimate,
    observations,
)
from shortlever.person.measure import SCALE_SD_KG, TAPE_SD_M
from shortlever.person.population import INDEX, Estimate, estimate
from shortlever.person.tape import CHEST_LYING_SD_M, MEASURES, Tape

# Standard deviations of a step. Steps of 1 take a number that a limit stops at one side (grip at the widest
# allowed) for one that bends evenly, with 1.5 times its true spread; these for one with 1.1 times.
STEP = math.sqrt(3)

# Dimensions that move a press; stature, span, weight and hands act only through what they tell about these.
MOVING = ("shoulder_breadth", "upper_arm", "forearm_to_grip", "chest_depth", "chest_drop")
OUTPUTS = (
    "grip_m",
    "touch_m",
    "touch_tape_m",
    "tuck_deg",
    "range_of_motion_m",
    "mean_moment_arm_m",
    "lockout_height_m",
)
WORTH = {
    "grip_m": 0.01,
    "touch_tape_m": 0.01,
    "lockout_height_m": 0.02,
}  # a centimetre of grip counts as one of touch

# How far the model itself was off where studies could check it on lifters, m: the root mean square of model
# minus published over all rows of a kind, misses and the rest (grip C6 and C7, touch B3, stroke B1, arm C8),
# worked out anew by tests/authorities. The intervals do not hold it. No published tuck was found.
MODEL_ERROR_M = {"grip_m": 0.035, "touch_m": 0.019, "range_of_motion_m": 0.045, "mean_moment_arm_m": 0.015}


def outcome(press: Press, preference: float, near: Search | None = None) -> list[float]:
    """The suggested numbers of one body, in the order of OUTPUTS (SI, deg)."""
    return numbers(Search(press, preference, near))


def numbers(search: Search) -> list[float]:
    """What a search suggests, in the order of OUTPUTS (SI, deg)."""
    press = search.press
    grip, touch, _ = search.solve()
    frame_stroke, arm = search.stroke_and_arm(grip, touch)
    pose, other, _ = press.chest_pose(grip, touch)
    tuck = math.degrees(max((pose, other), key=lambda p: p.effort).flare_rad)
    lockout = press.lockout_bar_m(grip) + press.body.shoulder_height_m
    return [grip, touch, press.chest.tape_m(touch), tuck, frame_stroke, arm, lockout]


def doubt_of(
    press: Press,
    tape: Tape,
    preference: float,
    sd_m: float = TAPE_SD_M,
) -> Spread:
    """Intervals and next tape number for the suggestion of ``press``, a press of this tape's body."""
    found = estimate(observations(tape, sd_m), tape.sex)
    own = errors_of_their_own(tape, sd_m)
    names = (*MOVING, *own)
    covariance = [[0.0] * len(names) for _ in names]
    for i, a in enumerate(MOVING):
        for j, b in enumerate(MOVING):
            covariance[i][j] = found.covariance[INDEX[a]][INDEX[b]]
    for i, sd in enumerate(own.values(), start=len(MOVING)):
        covariance[i][i] = sd * sd
    search = Search(press, preference)
    middle = numbers(search)
    lower = cholesky(covariance)
    slopes, bends = _moved(search, tape, found, names, lower, middle)
    intervals = {}
    for name, start, slope, bend in zip(OUTPUTS, middle, slopes, bends, strict=True):
        # of start + slope z + bend z² / 2 with independent standard normal z
        centre = start + sum(bend) / 2
        half = Z90 * math.sqrt(sum(s * s for s in slope) + sum(b * b for b in bend) / 2)
        low, high = centre - half, centre + half
        if name == "grip_m":
            high = min(high, search.widest)
        intervals[name] = Interval(max(low, 0.0), high)
    gradient = [solve_row(lower, slope) for slope in slopes]
    return Spread(intervals, _next(tape, found, names, own, covariance, gradient, sd_m))


def errors_of_their_own(tape: Tape, sd_m: float = TAPE_SD_M) -> dict[str, float]:
    """Standard deviations of what the joint distribution does not hold, by name, m; ``sideways`` a ratio."""
    lying = sd_m if tape.chest_flat is not None else CHEST_LYING_SD_M
    own = {
        "chest_flat": lying,
        "shoulder_height": sd_m if tape.shoulder_height is not None else SHOULDER_HEIGHT_SD_M,
        "half_shoulder": JOINT_WIDTH_SD_M / 2
        if tape.joint_width is not None
        else math.hypot(ACROMION_OUTSIDE_JOINT_SD_M, RETRACTION_NARROWS_SD_M),
        "sideways": SIDEWAYS_SD,
    }
    if tape.chest_arched is not None:
        own["chest_arched"] = sd_m
    return own


def _moved(
    search: Search,
    tape: Tape,
    found: Estimate,
    names: Sequence[str],
    lower: Sequence[Sequence[float]],
    middle: Sequence[float],
) -> tuple[list[list[float]], list[list[float]]]:
    """First and second derivatives of every output along each independent direction, in standard deviations
    (rows as OUTPUTS)."""
    slopes: list[list[float]] = [[] for _ in OUTPUTS]
    bends: list[list[float]] = [[] for _ in OUTPUTS]
    for j in range(len(names)):
        sides = []
        for sign in (1.0, -1.0):
            mean = list(found.mean)
            offsets, sideways = {}, 0.0
            for i in range(j, len(names)):
                step = sign * STEP * lower[i][j]
                if names[i] in INDEX:
                    mean[INDEX[names[i]]] += step
                elif names[i] == "sideways":
                    sideways = step
                else:
                    offsets[f"{names[i]}_m"] = step
            body = from_estimate(Estimate(mean, found.covariance, found.male), tape, Offsets(**offsets))
            try:
                moved = replace(search.press, body=body, sideways_more=sideways)
                sides.append(outcome(moved, search.preference, search))
            except InfeasibleError:
                sides.append(list(middle))
        for slope, bend, up, down, here in zip(slopes, bends, *sides, middle, strict=True):
            slope.append((up - down) / (2 * STEP))
            bend.append((up + down - 2 * here) / STEP**2)
    return slopes, bends


def _variance(row: Sequence[float], covariance: Sequence[Sequence[float]]) -> float:
    return max(sum(a * b * covariance[i][j] for i, a in enumerate(row) for j, b in enumerate(row)), 0.0)


def _next(
    tape: Tape,
    found: Estimate,
    names: Sequence[str],
    own: dict[str, float],
    covariance: list[list[float]],
    gradient: list[list[float]],
    sd_m: float,
) -> NextMeasure | None:
    """The tape number not taken yet that removes most of the weighted variance of the suggestion."""
    rows = [(gradient[OUTPUTS.index(name)], scale) for name, scale in WORTH.items()]
    before = sum(_variance(row, covariance) / scale**2 for row, scale in rows)
    best: NextMeasure | None = None
    for key, weights in _candidates().items():
        if getattr(tape, key) is not None:
            continue
        # covariance of the moving dimensions with the new number, and its own variance
        cross = []
        for i, name in enumerate(names):
            if name in INDEX:
                c = sum(w * found.covariance[INDEX[name]][INDEX[n]] for n, w in weights.items() if n in INDEX)
            else:
                c = weights.get(f"own.{name}", 0.0) * covariance[i][i]
            cross.append(c)
        spread = {"joint_width": JOINT_WIDTH_SD_M, "body_mass": SCALE_SD_KG}.get(key, sd_m) ** 2
        for a, wa in weights.items():
            for b, wb in weights.items():
                if a in INDEX and b in INDEX:
                    spread += wa * wb * found.covariance[INDEX[a]][INDEX[b]]
            if a.startswith("own."):
                spread += wa * wa * own[a[4:]] ** 2
        gained = sum(
            sum(g * c for g, c in zip(row, cross, strict=True)) ** 2 / spread / scale**2
            for row, scale in rows
        )
        share = gained / before if before > 0 else 0.0
        if share > 0.02 and (best is None or share > best.narrows):
            best = NextMeasure(key, MEASURES[key].label, MEASURES[key].how, min(share, 1.0))
    return best


def _candidates() -> dict[str, dict[str, float]]:
    """Tape numbers that could be taken next, as weighted sums of dimensions and of the own errors."""
    own = {
        "chest_flat": {"own.chest_flat": 1.0},
        "shoulder_height": {"chest_depth": SHOULDER_HEIGHT_OF_CHEST_DEPTH, "own.shoulder_height": 1.0},
        "joint_width": {"shoulder_breadth": 1.0, "own.half_shoulder": 2.0},
    }
    asked = [field.measure for field in FIELDS]
    return {m.key: told for m in asked if (told := {**m.tells, **own.get(m.key, {})})}
