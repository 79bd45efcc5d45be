"""Smoothing the followed plate: where it was, how fast it moved, and how sure that is.

Each coordinate is a point that moves with a randomly changing jerk (a Wiener-process acceleration model,
Bar-Shalom, Li and Kirubarajan 2001, Estimation with Applications to Tracking and Navigation, 6.2.3), seen
with noise at the frames' own times, evenly spaced or not. A Kalman filter runs forward, the fixed-interval
smoother of Bierman 1973 (Int J Control 18:65) back. How stiff the movement is and how large the noise is are
both taken from the clip, by the likelihood of the one-step predictions; the movement is never taken as
stiffer than ``SOFTEST_RAD_S`` allows, so that the lowest turn is not cut short. Times s, places px.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

Square = tuple[float, float, float, float, float, float, float, float, float]  # 3x3, row by row
Triple = tuple[float, float, float]

# Cut-off frequencies that are tried; the lowest cuts a bounce off the chest within 0.3 s by under 2 mm.
CUTOFFS_RAD_S = (21.0, 32.0, 48.0, 72.0)
TRIED_FRAMES = 400  # how many frames the choice looks at
SLIP = 6.0  # a frame this many times further than usual from the cubic through its neighbours is a slip
START_VARIANCE = 1e8  # px², (px/s)², (px/s²)²: nothing is known before the first frames
LEAST_SD_PX = 0.02


@dataclass(frozen=True)
class Track:
    """Smoothed places, speeds and the error of a place (1 SD, of x and of y each) at every frame's time."""

    times: list[float]
    x: list[float]
    y: list[float]
    vx: list[float]
    vy: list[float]
    sd: list[float]
    noise: float  # by how much the frames scatter more (> 1) or less than they were said to
    slips: list[int]  # frames that lay off the path

    def at(self, t: float) -> tuple[float, float, float]:
        """x, y and the error at any time within the clip: cubic between frames by place and speed."""
        i = min(max(bisect_right(self.times, t) - 1, 0), len(self.times) - 2)
        if len(self.times) == 1:
            return self.x[0], self.y[0], self.sd[0]
        step = self.times[i + 1] - self.times[i]
        s = min(max((t - self.times[i]) / step, 0.0), 1.0)
        a, b = (1 + 2 * s) * (1 - s) ** 2, s * (1 - s) ** 2 * step
        c, d = s * s * (3 - 2 * s), s * s * (s - 1) * step
        j = i + 1
        return (
            a * self.x[i] + b * self.vx[i] + c * self.x[j] + d * self.vx[j],
            a * self.y[i] + b * self.vy[i] + c * self.y[j] + d * self.vy[j],
            (1 - s) * self.sd[i] + s * self.sd[j],
        )


@dataclass
class _Step:
    """What the filter keeps of one frame for the way back."""

    x: Triple
    y: Triple
    p: Square
    seen: bool
    off: tuple[float, float]
    s: float
    gain: Triple


def smooth(
    times: Sequence[float], places: Sequence[tuple[float, float] | None], sds: Sequence[float]
) -> Track:
    """The track through places seen at rising times; None where the plate was lost.

    ``sds``: error of each place, 1 SD. At least one place must be there.
    """
    sds = [max(s, LEAST_SD_PX) for s in sds]
    seen = [s for s, place in zip(sds, places, strict=True) if place is not None]
    if len(times) == 1:
        assert places[0] is not None
        return Track([times[0]], [places[0][0]], [places[0][1]], [0.0], [0.0], [sds[0]], 1.0, [])
    steps = sorted(b - a for a, b in pairwise(times))
    step, noise = steps[len(steps) // 2], sorted(seen)[len(seen) // 2]

    def softness(cutoff: float) -> float:
        return noise * noise * step * cutoff**6

    slips = _slips(times, places, noise)
    places = [None if i in slips else place for i, place in enumerate(places)]
    some = slice(0, TRIED_FRAMES)
    best = max(
        CUTOFFS_RAD_S,
        key=lambda c: _likelihood(_forward(times[some], places[some], sds[some], softness(c))),
    )
    done = _forward(times, places, sds, softness(best))
    scale = _scale(done)
    found = _backward(times, done)
    return Track(
        list(times),
        [f[0][0] for f in found],
        [f[1][0] for f in found],
        [f[0][1] for f in found],
        [f[1][1] for f in found],
        [scale * math.sqrt(max(f[2], 0.0)) for f in found],
        scale,
        sorted(slips),
    )


def _slips(times: Sequence[float], places: Sequence[tuple[float, float] | None], noise: float) -> set[int]:
    """Single frames far off the cubic through the two seen before and the two seen after them."""
    seen = [(i, t, place) for i, (t, place) in enumerate(zip(times, places, strict=True)) if place]
    far: dict[int, float] = {}
    for k in range(2, len(seen) - 2):
        near = [seen[k + j] for j in (-2, -1, 1, 2)]
        i, t, place = seen[k]
        x = y = 0.0
        for _, ta, pa in near:
            share = math.prod((t - tb) / (ta - tb) for _, tb, _ in near if tb != ta)
            x, y = x + share * pa[0], y + share * pa[1]
        far[i] = math.hypot(place[0] - x, place[1] - y)
    if not far:
        return set()
    usual = max(sorted(far.values())[len(far) // 2], noise)
    order = [i for i, _, _ in seen]
    place_of = {i: k for k, i in enumerate(order)}
    slips: set[int] = set()
    for i, d in far.items():
        around = order[place_of[i] - 2 : place_of[i] + 3]
        if d > SLIP * usual and d >= max(far.get(j, 0.0) for j in around):
            slips.add(i)
    return slips


def moved(p: Square, dt: float, softness: float) -> Square:
    """F P Fᵀ + Q over a step, for place, speed and acceleration."""
    half = dt * dt / 2
    p0, p1, p2, _, p4, p5, _, _, p8 = p
    a0, a1, a2 = p0 + dt * p1 + half * p2, p1 + dt * p4 + half * p5, p2 + dt * p5 + half * p8
    b1, b2 = p4 + dt * p5, p5 + dt * p8
    q = softness * dt
    xx = a0 + dt * a1 + half * a2 + q * dt**4 / 20
    xv, xa = a1 + dt * a2 + q * dt**3 / 8, a2 + q * dt * dt / 6
    vv, va, aa = b1 + dt * b2 + q * dt * dt / 3, b2 + q * dt / 2, p8 + q
    return (xx, xv, xa, xv, vv, va, xa, va, aa)


def _forward(
    times: Sequence[float],
    places: Sequence[tuple[float, float] | None],
    sds: Sequence[float],
    softness: float,
) -> list[_Step]:
    """The filter. A common scale of all noises falls out of its gains."""
    first = next(p for p in places if p is not None)
    x: Triple = (first[0], 0.0, 0.0)
    y: Triple = (first[1], 0.0, 0.0)
    p: Square = (START_VARIANCE, 0.0, 0.0, 0.0, START_VARIANCE, 0.0, 0.0, 0.0, START_VARIANCE)
    out: list[_Step] = []
    last = times[0]
    for t, place, sd in zip(times, places, sds, strict=True):
        dt = t - last
        last = t
        if dt > 0:
            half = dt * dt / 2
            x = (x[0] + dt * x[1] + half * x[2], x[1] + dt * x[2], x[2])
            y = (y[0] + dt * y[1] + half * y[2], y[1] + dt * y[2], y[2])
            p = moved(p, dt, softness)
        if place is None:
            out.append(_Step(x, y, p, False, (0.0, 0.0), 1.0, (0.0, 0.0, 0.0)))
            continue
        off = (place[0] - x[0], place[1] - y[0])
        r = sd * sd
        s = max(p[0], 0.0) + r
        gain = (p[0] / s, p[3] / s, p[6] / s)
        x = (x[0] + gain[0] * off[0], x[1] + gain[1] * off[0], x[2] + gain[2] * off[0])
        y = (y[0] + gain[0] * off[1], y[1] + gain[1] * off[1], y[2] + gain[2] * off[1])
        row = (p[0], p[1], p[2])
        p = (
            p[0] * r / s,
            p[1] * r / s,
            p[2] * r / s,
            p[3] * r / s,
            p[4] - gain[1] * row[1],
            p[5] - gain[1] * row[2],
            p[6] * r / s,
            p[7] - gain[2] * row[1],
            p[8] - gain[2] * row[2],
        )
        out.append(_Step(x, y, p, True, off, s, gain))
    return out


def _told(steps: Sequence[_Step]) -> list[_Step]:
    """The frames whose prediction says something: not the first three seen."""
    return [k for k in steps if k.seen][3:]


def _scale(steps: Sequence[_Step]) -> float:
    """By how much the predictions are off against what they should be: a robust SD (median, normal law)."""
    off = sorted(abs(v) / math.sqrt(k.s) for k in _told(steps) for v in k.off)
    return max(off[len(off) // 2] / 0.6745, 0.2) if off else 1.0


def _likelihood(steps: Sequence[_Step]) -> float:
    """Log likelihood of the predictions with the scale at its best."""
    told = _told(steps)
    if not told:
        return 0.0
    mean = sum((k.off[0] ** 2 + k.off[1] ** 2) / k.s for k in told) / (2 * len(told))
    return -sum(math.log(k.s) for k in told) - len(told) * math.log(max(mean, 1e-12))


def _backward(times: Sequence[float], steps: Sequence[_Step]) -> list[tuple[Triple, Triple, float]]:
    """Smoothed states of x and y, and the variance of the place, in frame order."""
    lx: Triple = (0.0, 0.0, 0.0)
    ly: Triple = (0.0, 0.0, 0.0)
    m: Square = (0.0,) * 9
    out: list[tuple[Triple, Triple, float]] = []
    for i in reversed(range(len(steps))):
        k = steps[i]
        p = k.p
        row = (p[0], p[1], p[2])
        bent = _times(m, row)
        out.append(
            (
                _minus(k.x, p, lx),
                _minus(k.y, p, ly),
                p[0] - sum(a * b for a, b in zip(row, bent, strict=True)),
            )
        )
        if k.seen:  # back over the correction: λ' = Cᵀ λ - Hᵀ off / s, Λ' = Cᵀ Λ C + Hᵀ H / s, C = 1 - gain H
            lx = (lx[0] - _dot(k.gain, lx) - k.off[0] / k.s, lx[1], lx[2])
            ly = (ly[0] - _dot(k.gain, ly) - k.off[1] / k.s, ly[1], ly[2])
            g = _times(m, k.gain)
            corner = m[0] - 2 * g[0] + _dot(k.gain, g) + 1 / k.s
            e1, e2 = m[1] - g[1], m[2] - g[2]
            m = (corner, e1, e2, e1, m[4], m[5], e2, m[5], m[8])
        if i and (dt := times[i] - times[i - 1]) > 0:  # back over the step: Fᵀ λ, Fᵀ Λ F
            half = dt * dt / 2
            lx = (lx[0], dt * lx[0] + lx[1], half * lx[0] + dt * lx[1] + lx[2])
            ly = (ly[0], dt * ly[0] + ly[1], half * ly[0] + dt * ly[1] + ly[2])
            m0, m1, m2, _, m4, m5, _, _, m8 = m
            a1, a2 = dt * m0 + m1, half * m0 + dt * m1 + m2
            b1 = dt * (dt * m0 + m1) + dt * m1 + m4
            b2 = dt * (half * m0 + dt * m1 + m2) + half * m1 + dt * m4 + m5
            c2 = (
                half * (half * m0 + dt * m1 + m2) + dt * (half * m1 + dt * m4 + m5) + half * m2 + dt * m5 + m8
            )
            m = (m0, a1, a2, a1, b1, b2, a2, b2, c2)
    out.reverse()
    return out


def _dot(a: Triple, b: Triple) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _times(m: Square, v: Triple) -> Triple:
    return (
        m[0] * v[0] + m[1] * v[1] + m[2] * v[2],
        m[3] * v[0] + m[4] * v[1] + m[5] * v[2],
        m[6] * v[0] + m[7] * v[1] + m[8] * v[2],
    )


def _minus(state: Triple, p: Square, v: Triple) -> Triple:
    moved = _times(p, v)
    return (state[0] - moved[0], state[1] - moved[1], state[2] - moved[2])
