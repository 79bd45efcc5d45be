"""Finding the repetitions in a bar's height over time: down, rest, up. s and m.

The bar's height is cut at its turning points that stand out by ``STANDS_OUT`` of the whole travel. A lowest
point between two highest ones is a rep. What the bar does on the way out of the rack and back is none: it
goes down by less than half as far as the deepest rep, before the first or after the last rep.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from shortlever.say import Said

LEAST_TRAVEL_M = 0.08  # less than that in the whole clip is no rep (common practice, no source)
STANDS_OUT = 0.15
AT_REST_M = 0.005  # within this of its lowest point the bar is down
STILL_M_S, SPEED_OVER_S = 0.05, 0.1  # slower than this it is motionless (no rulebook gives a number)
BEFORE_S = 0.5  # of a bar on the floor that is looked at before it rises
SHORT_M, SHORT_SHARE = 0.03, 0.08  # ending lower than this under the start: not locked out


@dataclass(frozen=True)
class Phases:
    """One rep: when the bar leaves the top, is down, rises again, and is back at the top (s).

    ``top``, ``lowest`` and ``highest`` are the times of the turning points; ``rest`` runs from when to when
    the bar is still at its lowest. ``missing`` says what the clip does not show or the rep did not reach;
    where it speaks of the lowest place, that is the lift's word ``where``. Empty for a whole rep.
    """

    start: float
    down: float
    lowest: float
    rise: float
    end: float
    top: float
    highest: float
    rest: tuple[float, float]
    missing: tuple[Said, ...] = ()
    shows_down: bool = True
    shows_rise: bool = True

    @property
    def pause_s(self) -> float:
        """How long the bar is still at its lowest, s."""
        return self.rest[1] - self.rest[0]

    @property
    def complete(self) -> bool:
        """Whether it goes from the top down and back."""
        return not self.missing


def turning_points(heights_m: Sequence[float], least_m: float) -> list[int]:
    """Places of highest and lowest points in turn that stand out by ``least_m``, the ends among them.

    >>> turning_points([0, 1, 0.95, 2, 1, 0, 0.5], 0.3)
    [0, 3, 5, 6]
    """
    turns: list[int] = []
    high = low = 0
    way = 0
    for i, z in enumerate(heights_m):
        if z > heights_m[high]:
            high = i
        if z < heights_m[low]:
            low = i
        if way >= 0 and heights_m[high] - z >= least_m:
            turns.append(high)
            way, low = -1, i
        elif way <= 0 and z - heights_m[low] >= least_m:
            turns.append(low)
            way, high = 1, i
        if way > 0 and z >= heights_m[high]:
            high = i
        if way < 0 and z <= heights_m[low]:
            low = i
    if way:
        turns.append(high if way > 0 else low)
    return turns


def find_reps(times: Sequence[float], heights_m: Sequence[float]) -> list[Phases]:
    """The reps of a clip in order; empty where the bar hardly moves.

    >>> times = [i / 10 for i in range(61)]
    >>> [rep.lowest for rep in find_reps(times, [0.4 * abs(t - 3) / 3 for t in times])]
    [3.0]
    """
    travel = max(heights_m) - min(heights_m)
    if travel < LEAST_TRAVEL_M:
        return []
    turns = turning_points(heights_m, STANDS_OUT * travel)
    lows = [k for k, i in enumerate(turns) if _is_low(heights_m, turns, k)]
    found: list[Phases] = []
    depths = []
    for k in lows:
        around = [heights_m[turns[j]] for j in (k - 1, k + 1) if 0 <= j < len(turns)]
        depths.append(max(around) - heights_m[turns[k]] if around else 0.0)
    deepest = max(depths, default=0.0)
    bottom = min((heights_m[turns[k]] for k in lows), default=0.0)
    for k, depth in zip(lows, depths, strict=True):
        at_end = k in (0, len(turns) - 1)
        if at_end and depth < 0.5 * deepest:
            continue  # out of the rack, or back into it
        before = turns[k - 1] if k > 0 else None
        after = turns[k + 1] if k + 1 < len(turns) else None
        rep = _phases(times, heights_m, before, turns[k], after)
        if heights_m[turns[k]] - bottom > max(SHORT_M, STANDS_OUT * deepest):
            turned = Said("rep_turned_high", {"above_m": heights_m[turns[k]] - bottom})
            rep = replace(rep, missing=(*rep.missing, turned))
        found.append(rep)
    return found


def find_pulls(times: Sequence[float], heights_m: Sequence[float]) -> list[Phases]:
    """The reps of a lift that begins where the bar is lowest: of each, from just before it rises to where it
    is highest; of a bar held at the top that is the last instant there, while ``end`` is when it came up.

    >>> times = [i / 10 for i in range(61)]
    >>> found = find_pulls(times, [0.5 * min(max(t - 1, 0), 5 - t, 1) for t in times])
    >>> [(round(rep.end, 1), rep.highest) for rep in found]
    [(2.0, 4.0)]
    """
    travel = max(heights_m) - min(heights_m)
    if travel < LEAST_TRAVEL_M:
        return []
    turns = turning_points(heights_m, STANDS_OUT * travel)
    found: list[Phases] = []
    for low, high in pairwise(turns):
        if heights_m[high] - heights_m[low] < 0.5 * travel:
            continue
        last = low
        while last + 1 < high and heights_m[last + 1] - heights_m[low] <= AT_REST_M:
            last += 1
        first = bisect_left(times, times[last] - BEFORE_S, low, last)
        rep = _phases(times, heights_m, None, first, high)
        missing = tuple(one for one in rep.missing if one.code != "clip_starts_low")
        found.append(replace(rep, missing=missing, rest=(times[first], rep.rise)))
    return found


def _is_low(heights_m: Sequence[float], turns: Sequence[int], k: int) -> bool:
    other = turns[k - 1] if k > 0 else turns[k + 1]
    return heights_m[turns[k]] < heights_m[other]


def _crossing(times: Sequence[float], heights_m: Sequence[float], i: int, j: int, level: float) -> float:
    """The time between neighbouring frames i and j at which the height passes a level."""
    a, b = heights_m[i], heights_m[j]
    share = (level - a) / (b - a) if b != a else 0.0
    return times[i] + min(max(share, 0.0), 1.0) * (times[j] - times[i])


def _phases(
    times: Sequence[float], heights_m: Sequence[float], before: int | None, low: int, after: int | None
) -> Phases:
    z = heights_m[low]
    missing: list[Said] = []
    first, last = before if before is not None else low, after if after is not None else low
    # down: as long as it stays within reach of the lowest point
    i = low
    while i > first and heights_m[i - 1] - z <= AT_REST_M:
        i -= 1
    down = _crossing(times, heights_m, i, i - 1, z + AT_REST_M) if i > first else times[i]
    j = low
    while j < last and heights_m[j + 1] - z <= AT_REST_M:
        j += 1
    rise = _crossing(times, heights_m, j, j + 1, z + AT_REST_M) if j < last else times[j]
    start = times[first]
    if before is None:
        missing.append(Said("clip_starts_low"))
    else:
        top = heights_m[before]
        k = i
        while k > before and top - heights_m[k] > AT_REST_M:
            k -= 1
        start = _crossing(times, heights_m, k, k + 1, top - AT_REST_M) if k < low else times[k]
        if before == 0 and len(times) > 1 and _speed(times, heights_m, 0) < -2 * STILL_M_S:
            missing.append(Said("clip_starts_going_down"))
    end = times[last]
    if after is None:
        missing.append(Said("bar_stays_low"))
    else:
        top = heights_m[after]
        k = j
        while k < after and top - heights_m[k] > AT_REST_M:
            k += 1
        end = _crossing(times, heights_m, k, k - 1, top - AT_REST_M)
        under = (heights_m[before] - top) if before is not None else 0.0
        if after == len(times) - 1 and _speed(times, heights_m, after) > 2 * STILL_M_S:
            missing.append(Said("clip_ends_going_up"))
        elif before is not None and under > max(SHORT_M, SHORT_SHARE * (heights_m[before] - z)):
            missing.append(Said("rep_stopped_low", {"under_m": under}))
    return Phases(
        start,
        down,
        times[low],
        rise,
        end,
        times[first],
        times[last],
        _rest(times, heights_m, down, rise, low),
        tuple(missing),
        before is not None,
        after is not None,
    )


def _speed(times: Sequence[float], heights_m: Sequence[float], i: int) -> float:
    """Speed around a frame, over at least ``SPEED_OVER_S`` so that noise is no speed, m/s."""
    last = len(times) - 1
    a, b = max(i - 1, 0), min(i + 1, last)
    while times[b] - times[a] < SPEED_OVER_S and (a > 0 or b < last):
        a, b = max(a - 1, 0), min(b + 1, last)
    return (heights_m[b] - heights_m[a]) / (times[b] - times[a])


def _rest(
    times: Sequence[float], heights_m: Sequence[float], down: float, rise: float, low: int
) -> tuple[float, float]:
    """From when to when around its lowest point the bar is down and slower than ``STILL_M_S``, s."""
    first, last = bisect_left(times, down), min(bisect_left(times, rise), len(times) - 1)
    i = low
    while i > first and abs(_speed(times, heights_m, i - 1)) < STILL_M_S:
        i -= 1
    j = low
    while j < last and abs(_speed(times, heights_m, j + 1)) < STILL_M_S:
        j += 1
    return max(times[i], down), min(times[j], rise)
