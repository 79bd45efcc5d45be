"""How sure a suggestion from a tape is: what is uncertain carried through to every suggested number.

What the tape leaves open in the joint distribution of bodies, and errors that this distribution does not
hold, are split into independent directions. The body is moved one standard deviation up and down each, and
the suggestion made again: half differences give the linear part of a number's spread, second differences its
bend, which adds to the variance and moves the middle; a direction that adds next to nothing to any number's
variance is taken as straight, and moved up only. The linear part also tells which further tape number
would narrow the suggestion most, by conditioning the covariance on it before it is taken.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from shortlever.errors import InfeasibleError
from shortlever.lifts.form import Field
from shortlever.lifts.interval import Interval, NextMeasure, Spread
from shortlever.lifts.legs.body import (
    DORSIFLEXION_SD_RAD,
    LUNGE_SD_RAD,
    MIDDLE_OF_FOOT,
    MIDDLE_OF_FOOT_SD,
    Standing,
    standing,
)
from shortlever.lifts.legs.strength import FLOOR, FLOOR_SD
from shortlever.linear import cholesky, solve_row
from shortlever.numerics import Z90
from shortlever.person.body import observations
from shortlever.person.measure import TAPE_SD_M, Measure
from shortlever.person.population import INDEX, Estimate, estimate
from shortlever.person.tape import MEASURES, Tape

LEAST_WORTH = 0.02  # of the spread, under which a tape number is not worth taking

SLIGHT = 0.01  # of every number's variance, up to which a direction is taken as straight

# Dimensions that move a lift from the legs; what else is taped acts through what it tells about these.
MOVING = (
    "stature",
    "body_mass",
    "upper_arm",
    "acromion_height",
    "neck_height",
    "hip_height",
    "knee_height",
    "ankle_height",
    "foot_length",
    "hip_breadth",
    "knee_height_sitting",
    "thigh_clearance",
)


OWN_TOLD_BY = {"knee_to_wall": {"ankle": LUNGE_SD_RAD}}


def errors_of_their_own(tape: Tape, model: bool = True) -> dict[str, float]:
    """Standard deviations of what the joint distribution does not hold, by name (rad, shares); without those
    of the model where ``model`` is False."""
    own = {"ankle": DORSIFLEXION_SD_RAD if tape.knee_to_wall is None else LUNGE_SD_RAD}
    return own | ({"middle": MIDDLE_OF_FOOT_SD, "floor": FLOOR_SD} if model else {})


def spread_of(
    tape: Tape,
    outcome: Callable[[Standing], Sequence[float]],
    names: Sequence[str],
    worth: Mapping[str, float],
    fields: Sequence[Field],
    moving: Sequence[str] = MOVING,
    *,
    model: bool = True,
) -> Spread:
    """Intervals of the numbers ``names``, which ``outcome`` gives for a body (InfeasibleError where there are
    none), and the next tape number of the form's ``fields``. See ``doubt_from`` for ``worth``."""
    found = estimate(observations(tape), tape.sex)

    def moved(mean: Sequence[float], steps: Mapping[str, float]) -> Sequence[float] | None:
        body = standing(
            Estimate(list(mean), found.covariance, found.male),
            tape,
            more_rad=steps["ankle"],
            middle=MIDDLE_OF_FOOT + steps.get("middle", 0.0),
            floor=FLOOR + steps.get("floor", 0.0),
        )
        try:
            return outcome(body)
        except InfeasibleError:
            return None

    asked = [field.measure for field in fields]
    own = errors_of_their_own(tape, model)
    return doubt_from(found, tape, own, names, moved, worth, asked, moving=moving, told_by=OWN_TOLD_BY)


def doubt_from(
    found: Estimate,
    tape: Tape,
    own: Mapping[str, float],
    names: Sequence[str],
    outcome: Callable[[Sequence[float], Mapping[str, float]], Sequence[float] | None],
    worth: Mapping[str, float],
    asked: Sequence[Measure],
    moving: Sequence[str] = MOVING,
    told_by: Mapping[str, Mapping[str, float]] | None = None,
) -> Spread:
    """Intervals of the numbers ``names`` and the next tape number.

    ``own``: standard deviations of errors that the distribution does not hold, by name. ``outcome``: the
    numbers for a mean of all dimensions (``population.ORDER``) and a step of each own error; None where there
    are none. ``worth``: by how much of a number (its unit) spreads are compared. ``asked``: what
    the form asks, of which one may be worth taking next. ``told_by``: tape numbers
    that tell an own error: that error's weight, and the standard deviation left as "sd".
    """
    both = (*moving, *own)
    covariance = [[0.0] * len(both) for _ in both]
    for i, a in enumerate(moving):
        for j, b in enumerate(moving):
            covariance[i][j] = found.covariance[INDEX[a]][INDEX[b]]
    for i, sd in enumerate(own.values(), start=len(moving)):
        covariance[i][i] = sd * sd
    still = dict.fromkeys(own, 0.0)
    middle = outcome(found.mean, still)
    assert middle is not None
    lower = cholesky(covariance)

    def side(j: int, sign: float) -> Sequence[float]:
        mean, steps = list(found.mean), dict(still)
        for i in range(j, len(both)):
            step = sign * lower[i][j]
            if both[i] in steps:
                steps[both[i]] = step
            else:
                mean[INDEX[both[i]]] += step
        return outcome(mean, steps) or middle

    ups = [side(j, 1.0) for j in range(len(both))]
    columns = zip(middle, zip(*ups, strict=True), strict=True)
    least = [SLIGHT * sum((a - here) ** 2 for a in column) for here, column in columns]
    slopes: list[list[float]] = [[] for _ in names]
    bends: list[list[float]] = [[] for _ in names]
    for j, up in enumerate(ups):
        slight = all((a - here) ** 2 <= few for a, here, few in zip(up, middle, least, strict=True))
        down = [2 * here - a for a, here in zip(up, middle, strict=True)] if slight else side(j, -1.0)
        for slope, bend, above, below, here in zip(slopes, bends, up, down, middle, strict=True):
            slope.append((above - below) / 2)
            bend.append(above + below - 2 * here)
    intervals = {}
    for name, start, slope, bend in zip(names, middle, slopes, bends, strict=True):
        # of start + slope z + bend z² / 2 with independent standard normal z
        centre = start + sum(bend) / 2
        half = Z90 * math.sqrt(sum(s * s for s in slope) + sum(b * b for b in bend) / 2)
        intervals[name] = Interval(centre - half, centre + half)
    rows = [(solve_row(lower, slopes[names.index(name)]), scale) for name, scale in worth.items()]
    return Spread(intervals, _next(found, tape, own, asked, moving, covariance, rows, told_by or {}))


def _next(
    found: Estimate,
    tape: Tape,
    own: Mapping[str, float],
    asked: Sequence[Measure],
    moving: Sequence[str],
    covariance: Sequence[Sequence[float]],
    rows: Sequence[tuple[Sequence[float], float]],
    told_by: Mapping[str, Mapping[str, float]],
) -> NextMeasure | None:
    """The tape number not taken yet that removes most of the weighted variance of the suggestion."""

    def variance(row: Sequence[float]) -> float:
        return sum(a * b * covariance[i][j] for i, a in enumerate(row) for j, b in enumerate(row))

    before = sum(max(variance(row), 0.0) / scale**2 for row, scale in rows)
    shares: dict[str, float] = {}
    for m in (m for m in asked if m.tells):
        weights = m.tells
        cross = [sum(w * found.covariance[INDEX[a]][INDEX[n]] for n, w in weights.items()) for a in moving]
        cross += [0.0] * len(own)
        spread = m.seen(0.0, TAPE_SD_M).sd ** 2
        for a, wa in weights.items():
            for b, wb in weights.items():
                spread += wa * wb * found.covariance[INDEX[a]][INDEX[b]]
        shares[m.key] = sum(_dot(row, cross) ** 2 / spread / scale**2 for row, scale in rows)
    for key, told in told_by.items():
        for name, left in told.items():
            i = len(moving) + list(own).index(name)
            gone = max(covariance[i][i] - left * left, 0.0)
            shares[key] = sum(row[i] ** 2 * gone / scale**2 for row, scale in rows)
    open_ones = [key for key in shares if getattr(tape, key) is None]
    if not open_ones or before <= 0:
        return None
    best = max(open_ones, key=shares.__getitem__)
    share = min(shares[best] / before, 1.0)
    return NextMeasure(best, MEASURES[best].label, MEASURES[best].how, share) if share > LEAST_WORTH else None


def _dot(a: Sequence[float], b: Sequence[float]) -> float:
    return sum(x * y for x, y in zip(a, b, strict=True))
