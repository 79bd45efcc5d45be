"""How long a bar is motionless at its lowest: from when it came to rest to when it is set in motion again.

A speed under which the bar counts as motionless would add what it takes to slow down and to start, a fifth of
a second and more. So the moment itself is looked for: near it the height grows with a power of the time from
it, 2 if the push came at once, 3 if it came up evenly as muscles' pushes do, and more slowly further on.
Every moment and both powers are weighed by how well the frames fit, with the height at rest, how the bar
settles there and how it goes on taken at their best. s and m.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

POWERS = (2.5, 3.0)
NEAR_M = 0.03  # how far above its lowest place the bar is looked at
SETTLES_M_S = 0.02  # how fast it may still settle or rise while it rests, 1 SD
GROWS_M, BENDS_M = 1.0, 0.015  # 1 SD of the growth up to the last frame (hardly anything), of how it goes on
START_SD_S = 0.018  # of what these powers leave out (made-up movements, tests/core/test_film_speed.py)
STEP_S = 0.01
LEAST_FRAMES = 5
BEFORE_S = 0.06  # it may have left before the first frame: then there was no rest
SPREADS = (0.0, SETTLES_M_S**-2, GROWS_M**-2, BENDS_M**-2)
SIZE = len(SPREADS)

Frame = tuple[float, float, float]  # time, height, error (1 SD)


@dataclass(frozen=True)
class Moment:
    """A time and its error, 1 SD."""

    t: float
    sd: float


def leaves(frames: Sequence[Frame], low: float) -> Moment | None:
    """When a bar that rests from the first of these frames on starts to rise; None where too few frames say.

    ``low``: its lowest height, m.
    """
    end = next((i for i, (_, z, _) in enumerate(frames) if z > low + NEAR_M), len(frames))
    if end < LEAST_FRAMES:
        return None
    rows = frames[: end + 1]
    first, last = rows[0][0] - BEFORE_S, rows[-1][0]
    steps = max(int((last - first) / STEP_S), 1)
    moments = [first + (last - first) * i / steps for i in range(steps)]
    logs = [(moment, _log_weight(rows, moment, power)) for moment in moments for power in POWERS]
    top = max(log for _, log in logs)
    weights = [(moment, math.exp(max(log - top, -700.0))) for moment, log in logs]
    whole = sum(w for _, w in weights)
    mean = sum(w * m for m, w in weights) / whole
    square = sum(w * (m - mean) ** 2 for m, w in weights) / whole
    return Moment(mean, math.sqrt(square + STEP_S**2 / 12 + START_SD_S**2))


def _log_weight(rows: Sequence[Frame], moment: float, power: float) -> float:
    """Log likelihood of the frames with all but moment and power at their best."""
    a = [[SPREADS[i] if i == j else 0.0 for j in range(SIZE)] for i in range(SIZE)]
    b = [0.0] * SIZE
    span, rest = max(rows[-1][0] - moment, 1e-3), rows[0][1]
    for t, z, sd in rows:
        up, w = max(t - moment, 0.0) / span, sd**-2
        row = (1.0, min(t - moment, 0.0), up**power, up ** (power + 1))
        for i in range(SIZE):
            b[i] += w * row[i] * (z - rest)
            for j in range(i + 1):
                a[i][j] += w * row[i] * row[j]
    root, part = [[0.0] * SIZE for _ in range(SIZE)], list[float]()  # Cholesky, and what it makes of b
    for i in range(SIZE):
        for j in range(i + 1):
            left = a[i][j] - sum(root[i][k] * root[j][k] for k in range(j))
            root[i][j] = math.sqrt(max(left, 1e-12)) if i == j else left / root[j][j]
        part.append((b[i] - sum(root[i][k] * part[k] for k in range(i))) / root[i][i])
    return sum(p * p for p in part) / 2 - sum(math.log(root[i][i]) for i in range(SIZE))
