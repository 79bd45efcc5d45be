"""Possible ways of a bar through the places where it was seen: what the frames leave open of place and speed.

The movement is the smoother's (``track``: a randomly changing jerk, seen with noise), but how stiff it is, is
taken anew from the piece that is asked for, and the answer is not one path but many: each is drawn with the
chance that the frames give it (the simulation smoother of Durbin and Koopman 2002, Biometrika 89:603: a path
drawn without frames, less what the smoother makes of it, plus what it makes of the frames). So whatever is
read from a path, its peak or where that was, is read from each, and their spread is its error. s and m.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from shortlever.film.track import START_VARIANCE, Square, moved

CUTOFFS_RAD_S = (5.0, 7.0, 10.0, 14.0, 20.0, 28.0, 40.0, 56.0)
UNTOLD = 3  # the first frames say nothing about how well the others are foreseen


@dataclass(frozen=True)
class _Step:
    """What does not depend on where the bar was: the spread before a frame, what the frame takes of it."""

    dt: float
    p: Square
    s: float  # spread of what is foreseen for the frame, 0 where the bar was not seen
    gain: tuple[float, float, float]


@dataclass(frozen=True)
class Way:
    """Places (m) and speeds (m/s) at the frames' times."""

    places: list[float]
    speeds: list[float]


class Ways:
    """The ways through places seen at rising times (None where the bar was lost) with their errors (1 SD);
    ``least``: by how much of these they scatter at least, however smooth they look."""

    def __init__(
        self, times: Sequence[float], seen: Sequence[float | None], sds: Sequence[float], least: float = 0.0
    ) -> None:
        self.times, self.seen, self.sds = times, seen, sds
        steps = sorted(b - a for a, b in pairwise(times))
        self.step = steps[len(steps) // 2]
        self.noise = sorted(sds)[len(sds) // 2]
        first = next(z for z in seen if z is not None)
        self.start = first
        found = []
        for cutoff in CUTOFFS_RAD_S:
            softness = self.noise**2 * self.step * cutoff**6
            kept = self._steps(softness)
            found.append((*self._told(kept), softness, kept))
        _, scale, self.softness, self.kept = max(found, key=lambda one: one[0])
        self.scale = max(scale, least)
        self.own = min(scale / self.scale, 1.0)  # share of their spread that the frames show themselves
        self.likely = self._smoothed(seen)

    def drawn(self, count: int, chance: random.Random) -> list[Way]:
        """``count`` possible ways, in pairs on either side of the likeliest."""
        out: list[Way] = []
        while len(out) < count:
            places, speeds, frames = self._made(chance)
            off = self._smoothed(frames)
            for sign in (self.scale, -self.scale):
                out.append(
                    Way(
                        [
                            z + sign * (a - b)
                            for z, a, b in zip(self.likely.places, places, off.places, strict=True)
                        ],
                        [
                            v + sign * (a - b)
                            for v, a, b in zip(self.likely.speeds, speeds, off.speeds, strict=True)
                        ],
                    )
                )
        return out[:count]

    def _steps(self, softness: float) -> list[_Step]:
        p: Square = (START_VARIANCE, 0.0, 0.0, 0.0, START_VARIANCE, 0.0, 0.0, 0.0, START_VARIANCE)
        out, last = [], self.times[0]
        for t, z, sd in zip(self.times, self.seen, self.sds, strict=True):
            dt, last = t - last, t
            if dt > 0:
                p = moved(p, dt, softness)
            if z is None:
                out.append(_Step(dt, p, 0.0, (0.0, 0.0, 0.0)))
                continue
            r = sd * sd
            s = max(p[0], 0.0) + r
            gain = (p[0] / s, p[3] / s, p[6] / s)
            out.append(_Step(dt, p, s, gain))
            left = r / s
            p = (
                p[0] * left, p[1] * left, p[2] * left,
                p[3] * left, p[4] - gain[1] * p[1], p[5] - gain[1] * p[2],
                p[6] * left, p[7] - gain[2] * p[1], p[8] - gain[2] * p[2],
            )  # fmt: skip
        return out

    def _forward(
        self, kept: Sequence[_Step], seen: Sequence[float | None]
    ) -> tuple[list[tuple[float, float, float]], list[float]]:
        """States foreseen for each frame, and by how much each frame is off."""
        x = (next(z for z in seen if z is not None), 0.0, 0.0)
        states, offs = [], []
        for k, z in zip(kept, seen, strict=True):
            dt = k.dt
            x = (x[0] + dt * x[1] + dt * dt / 2 * x[2], x[1] + dt * x[2], x[2])
            states.append(x)
            off = 0.0
            if z is not None:
                off, g = z - x[0], k.gain
                x = (x[0] + g[0] * off, x[1] + g[1] * off, x[2] + g[2] * off)
            offs.append(off)
        return states, offs

    def _told(self, kept: Sequence[_Step]) -> tuple[float, float]:
        """Log likelihood of the frames with all noises scaled at their best, and that scale."""
        _, offs = self._forward(kept, self.seen)
        told = [(k.s, off) for k, off in zip(kept, offs, strict=True) if k.s > 0][UNTOLD:]
        if not told:
            return 0.0, 1.0
        mean = max(sum(off * off / s for s, off in told) / len(told), 1e-12)
        return -sum(math.log(s) for s, _ in told) / 2 - len(told) / 2 * math.log(mean), math.sqrt(mean)

    def _smoothed(self, seen: Sequence[float | None]) -> Way:
        """The likeliest way (Bierman's form: λ of the frames to come, taken back step by step)."""
        kept = self.kept
        states, offs = self._forward(kept, seen)
        a = b = c = 0.0
        places, speeds = [0.0] * len(kept), [0.0] * len(kept)
        for i in reversed(range(len(kept))):
            k, x, p = kept[i], states[i], kept[i].p
            if k.s > 0:
                g = k.gain
                a -= g[0] * a + g[1] * b + g[2] * c + offs[i] / k.s
            places[i] = x[0] - (p[0] * a + p[1] * b + p[2] * c)
            speeds[i] = x[1] - (p[3] * a + p[4] * b + p[5] * c)
            dt = k.dt
            a, b, c = a, dt * a + b, dt * dt / 2 * a + dt * b + c
        return Way(places, speeds)

    def _made(self, chance: random.Random) -> tuple[list[float], list[float], list[float | None]]:
        """A movement drawn without frames, from rest at 0, and frames of it."""
        x = v = acc = 0.0
        places, speeds, frames = [], [], list[float | None]()
        root = math.sqrt(self.softness)
        for k, z, sd in zip(self.kept, self.seen, self.sds, strict=True):
            dt = k.dt
            if dt > 0:
                one, two, three = (chance.gauss(0.0, root) for _ in range(3))
                h = math.sqrt(dt)  # what a step adds to the spread, by its Cholesky factor
                x += dt * v + dt * dt / 2 * acc + h * dt * dt * one / math.sqrt(20)
                v += dt * acc + h * dt * (one * math.sqrt(20) / 8 + two / math.sqrt(48))
                acc += h * (one * math.sqrt(20) / 6 + two / math.sqrt(3) + three / 3)
            places.append(x)
            speeds.append(v)
            frames.append(None if z is None else x + chance.gauss(0.0, sd))
        return places, speeds, frames
