"""The numbers of a filmed set, each as the middle and the 90 % interval of many possible worlds.

For each possible world (``stance``) the followed plate is put back into metres and measured from the
shoulder, so every source of error goes through the whole computation. y toward the feet, z up, from the near
shoulder joint, in planes square to the bar; m and s.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from shortlever.film.clip import Clip, Mark
from shortlever.film.reps import Phases, find_reps
from shortlever.film.stance import SOURCES, Draw, Known, Stance, nearest_marks
from shortlever.film.track import Track, smooth

WORLDS, BUDGET_WORLDS, GUESS_WORLDS = 300, 40, 20
ROWS = 16  # of a path: ROWS + 1 heights from chest to lockout, as the plan has
JOINT_SD_M = 0.007  # how well a joint is found from outside, y and z each (memory: 5 to 10 mm)
DRIFT_SD_M, DRIFT_AFTER_S = 0.005, 0.5  # the shoulder moves a little between mark and measurement
# Larsen, Gomo and van den Tillaar 2021, Front Sports Act Living 2:637066, Table 1: sticking point at 0.219,
# 0.186, 0.154 m of strokes of 0.399, 0.373, 0.338 m; horizontal travel 0.128 m (its SD is smaller)
STICKING_SHARE = 0.50  # of the stroke, where the plan has none
LEAST_STICKING_M = 0.03  # a hardest point lower than that is the chest itself
USUAL_TOUCH_M, USUAL_TOUCH_SD_M = 0.13, 0.06
UNCLEAR = 2.0  # log weight by which one side must be likelier to be taken without asking
# hand and elbow from the body's middle, where the grip is not known (common practice, no source)
HAND_MIDDLE_M, HAND_MIDDLE_SD_M = 0.40, 0.06
# 90 % intervals, a little wider for what is not drawn; measured in tests/reference/test_film_cover.py
LOW, HIGH = 0.04, 0.96
LOWEST, HIGHEST, CHEST = ROWS + 1, ROWS + 2, ROWS + 3  # which tracking errors belong to these, after the rows
TRACKED = ROWS + 4
# within this of its turning point the bar's height is averaged, so that noise does not stretch the stroke
LEVEL_M = 0.002
Path = list[tuple[float, float, float]]  # time, y, z


@dataclass(frozen=True)
class Number:
    """A measured value with its 90 % interval, SI (deg for angles)."""

    value: float
    low: float
    high: float

    @property
    def margin(self) -> float:
        """The larger distance from the value to an end of the interval."""
        return max(self.high - self.value, self.value - self.low)


@dataclass(frozen=True)
class Rep:
    """One rep: its phases (None for a photo), its numbers by key, and its path on the way down and up."""

    phases: Phases | None
    numbers: dict[str, Number]
    down: Path = field(default_factory=list)
    press: Path = field(default_factory=list)
    press_low: list[float] = field(default_factory=list)  # 90 % of y at each row of the press
    press_high: list[float] = field(default_factory=list)
    sticking_m: float = 0.0  # the height above the chest that "arm_sticking" is taken at
    unseen: tuple[str, ...] = ()  # phases during which the plate was lost: "down", "chest", "up"


@dataclass(frozen=True)
class Result:
    """What a clip or photo gives: reps, the stance behind them, the track, each source's share (SD, m)."""

    clip: Clip
    stance: Stance
    track: Track
    reps: list[Rep]
    budget: dict[str, float]
    feet_guessed: bool = False
    feet_unclear: bool = False

    @property
    def shown(self) -> Rep:
        """The rep to show first: the first whole one, else the first."""
        return next((r for r in self.reps if r.phases is None or r.phases.complete), self.reps[0])


def measure(clip: Clip, known: Known, sticking_m: float | None = None, worlds: int = WORLDS) -> Result:
    """Everything that the film check says of a clip.

    ``sticking_m``: the plan's sticking height above the chest; without one, or where it is the chest itself,
    the middle of the stroke is taken.
    """
    if clip.feet_right is None:
        sides = [_measure(side, known, sticking_m, GUESS_WORLDS) for side in (clip, clip.mirror())]
        scores = [_plausible(result) for result in sides]
        better = scores.index(max(scores))
        found = _measure(sides[better].clip, known, sticking_m, worlds)
        return replace(found, feet_guessed=True, feet_unclear=abs(scores[0] - scores[1]) < UNCLEAR)
    return _measure(clip, known, sticking_m, worlds)


def _plausible(result: Result) -> float:
    """Log weight of a clip read with the feet on the right: by its marks, and by where bars touch chests."""
    touches = [r.numbers["touch"].value for r in result.reps]
    mean = sum(touches) / len(touches) if touches else USUAL_TOUCH_M
    return result.stance.leans.evidence - ((mean - USUAL_TOUCH_M) / USUAL_TOUCH_SD_M) ** 2 / 2


def follow(clip: Clip) -> Track:
    """The smoothed track of a clip's plate, px."""
    places = [(s.x, s.y) if s is not None else None for s in clip.seen]
    return smooth(clip.times, places, [s.sd if s is not None else 1.0 for s in clip.seen])


def _measure(clip: Clip, known: Known, sticking_m: float | None, worlds: int) -> Result:
    track = follow(clip)
    stance = Stance(clip, track, known)
    setting = _Setting(clip, stance, track)
    likely = _World(setting, stance.likely)
    plans: list[tuple[Phases | None, _Plan]]
    if clip.photo:
        plans = [(None, _Plan((clip.times[0],), (), (), (), 0.0, 0.0, ()))]
    else:
        found = find_reps(track.times, [likely.bar(t)[1] for t in track.times])
        plans = [(phases, _plan(likely, phases, sticking_m)) for phases in found]
    if not plans:
        return Result(clip, stance, track, [], {})
    many = [_World(setting, draw) for draw in setting.draws(worlds, SOURCES)]
    reps = [_rep(likely, phases, plan, [world.numbers(plan) for world in many]) for phases, plan in plans]
    whole = next((plan for phases, plan in plans if phases and phases.complete), plans[0][1])
    return Result(clip, stance, track, reps, _budget(setting, whole))


@dataclass(frozen=True)
class _Plan:
    """The times at which one rep is measured: on the chest, around its lowest and its highest point, at the
    rows of the press from the chest up (``sticking`` rows up to the sticking height ``sticking_m``), and at
    those of the way down."""

    chest: tuple[float, ...]
    lowest: tuple[float, ...]
    highest: tuple[float, ...]
    press: tuple[float, ...]
    sticking: float
    sticking_m: float
    down: tuple[float, ...]


@dataclass(frozen=True)
class _Setting:
    """One clip with its stance and track."""

    clip: Clip
    stance: Stance
    track: Track

    def draws(self, count: int, sources: Sequence[str]) -> list[Draw]:
        """Possible worlds."""
        return self.stance.draws(count, sources, TRACKED)


class _World:
    """One possible world: the view it gives, and everything measured in it."""

    def __init__(self, setting: _Setting, draw: Draw) -> None:
        self.clip, self.stance, self.track = setting.clip, setting.stance, setting.track
        self.draw = draw
        self.view = self.stance.view(draw)
        self.radius_m = self.stance.radius(draw)
        self.shoulders = self.places("shoulder", self.stance.beyond(draw))
        self.from_mark = [m.t for m in self.clip.marks["shoulder"]]

    def places(self, key: str, beyond_m: float) -> list[tuple[float, float]]:
        """(y, z) of the marks of a joint on the plane ``beyond_m`` behind the plate, m."""
        marks = self.clip.marks[key]
        errors = self.draw.marks.get(key) or [(0.0, 0.0)] * len(marks)
        return [
            self.view.on_plane((m.x + m.sd * e[0], m.y + m.sd * e[1]), beyond_m)
            for m, e in zip(marks, errors, strict=True)
        ]

    def bar(self, t: float, noise: tuple[float, float] = (0.0, 0.0)) -> tuple[float, float]:
        """(y, z) of the bar on the camera's own axes, m."""
        x, y, sd = self.track.at(t)
        return self.view.disc_middle((x + sd * noise[0], y + sd * noise[1]), self.radius_m)

    def shoulder(self, t: float) -> tuple[float, float]:
        """(y, z) of the shoulder joint at a time, between its marks in proportion, m."""
        y = z = 0.0
        for i, share in nearest_marks(self.clip.marks["shoulder"], t):
            y, z = y + share * self.shoulders[i][0], z + share * self.shoulders[i][1]
        gap = min(abs(mark - t) for mark in self.from_mark)
        drift = DRIFT_SD_M * min(gap / DRIFT_AFTER_S, 1.0)
        joint, moved = self.draw.joint, self.draw.drift
        return (
            y + JOINT_SD_M * joint[0] + drift * moved[0],
            z + JOINT_SD_M * joint[1] + drift * moved[1],
        )

    def from_shoulder(self, t: float, point: int | None = None) -> tuple[float, float]:
        """(y, z) of the bar from the shoulder, m; ``point`` numbers the tracking error to use."""
        y, z = self.bar(t, self.draw.track[point] if point is not None and self.draw.track else (0.0, 0.0))
        sy, sz = self.shoulder(t)
        return y - sy, z - sz

    def level(self, times: Sequence[float], point: int) -> float:
        """Mean height of the bar at some times, on the camera's own axes, m; the shoulder has no part."""
        noise = self.draw.track[point] if self.draw.track else (0.0, 0.0)
        return sum(self.bar(t, noise)[1] for t in times) / len(times)

    def path(self, times: Sequence[float]) -> Path:
        """The bar from the shoulder at some times."""
        return [(t, *self.from_shoulder(t, i)) for i, t in enumerate(times)]

    def numbers(self, plan: _Plan) -> dict[str, float]:
        """All numbers of a rep."""
        rest = [self.from_shoulder(t, CHEST) for t in plan.chest]
        found = {
            "touch": sum(p[0] for p in rest) / len(rest),
            "chest_height": sum(p[1] for p in rest) / len(rest),
        }
        found |= self.limbs(plan)
        if not plan.press:
            return found
        press = self.path(plan.press)
        found["range_of_motion"] = self.level(plan.highest, HIGHEST) - self.level(plan.lowest, LOWEST)
        found["mean_arm"] = _mean_arm(press)
        found["mean_offset"] = abs(_mean_arm(press, signed=True))
        i = min(int(plan.sticking), len(press) - 2)
        share = plan.sticking - i
        found["arm_sticking"] = (1 - share) * press[i][1] + share * press[i + 1][1]
        found["lockout"] = press[-1][1]
        for i, (_, y, z) in enumerate(press):
            found[f"y{i}"], found[f"z{i}"] = y, z
        return found

    def limbs(self, plan: _Plan) -> dict[str, float]:
        """Forearm tilt from upright (deg, + hand toward the feet) and elbow height, where marked."""
        t = plan.chest[len(plan.chest) // 2]
        elbow, wrist = (_closest(self.clip.marks[key], t) for key in ("elbow", "wrist"))
        if elbow is None:
            return {}
        # the forearm hangs about where the hand is; how far out, is known no better than the shoulder's place
        beyond = self.stance.known.plate_middle_m - HAND_MIDDLE_M - HAND_MIDDLE_SD_M * self.draw.half_shoulder
        ey, ez = self.limb("elbow", elbow, beyond)
        found = {"elbow_height": ez - self.shoulder(t)[1]}
        if wrist is not None:
            wy, wz = self.limb("wrist", wrist, beyond)
            found["forearm_tilt"] = math.degrees(math.atan2(wy - ey, wz - ez))
        return found

    def limb(self, key: str, mark: int, beyond_m: float) -> tuple[float, float]:
        """(y, z) of the elbow or the wrist as marked, m."""
        (y, z), off = self.places(key, beyond_m)[mark], self.draw.limbs.get(key, (0.0, 0.0))
        return y + JOINT_SD_M * off[0], z + JOINT_SD_M * off[1]


def _closest(marks: Sequence[Mark], t: float) -> int | None:
    """Which mark is nearest to a time, None where none is near."""
    near = [i for i, m in enumerate(marks) if abs(m.t - t) <= DRIFT_AFTER_S]
    return min(near, key=lambda i: abs(marks[i].t - t)) if near else None


def _mean_arm(press: Path, signed: bool = False) -> float:
    """Integral of |y| (or of y) over height by the range of motion (trapezoid rule), m."""
    arm = float if signed else abs
    area = sum((arm(a[1]) + arm(b[1])) / 2 * (b[2] - a[2]) for a, b in pairwise(press))
    return area / (press[-1][2] - press[0][2])


def _times_at(
    height: Callable[[float], float], start: float, end: float, levels: Sequence[float]
) -> tuple[float, ...]:
    """When a rising height first passes each of rising levels between two times, s."""
    steps = 200
    times = [start + (end - start) * i / steps for i in range(steps + 1)]
    heights = [height(t) for t in times]
    out, i = [], 0
    for level in levels:
        while i < steps and heights[i + 1] < level:
            i += 1
        a, b = heights[i], heights[min(i + 1, steps)]
        share = (level - a) / (b - a) if b > a else 0.0
        out.append(times[i] + min(max(share, 0.0), 1.0) * (end - start) / steps)
    return tuple(out)


def _plan(likely: _World, phases: Phases, sticking_m: float | None) -> _Plan:
    pause, rest = phases.pause_s, phases.rest
    chest = tuple(rest[0] + pause * i / 4 for i in range(5)) if pause > 0 else (phases.lowest,)

    def height(t: float) -> float:
        return likely.bar(t)[1]

    def levels(high: float) -> list[float]:
        return [low + (high - low) * i / ROWS for i in range(ROWS + 1)]

    low = height(phases.lowest)
    press: tuple[float, ...] = ()
    down: tuple[float, ...] = ()
    sticking = at = 0.0
    if phases.shows_press:
        stroke = height(phases.highest) - low
        press = _times_at(height, phases.lowest, phases.highest, levels(low + stroke))
        planned = sticking_m or 0.0
        at = planned if LEAST_STICKING_M < planned < stroke else STICKING_SHARE * stroke
        sticking = ROWS * at / stroke
    if phases.shows_down:
        rising = levels(height(phases.top))
        back = _times_at(lambda t: height(-t), -phases.lowest, -phases.top, rising)
        down = tuple(-t for t in reversed(back))
    lowest, highest = _around(likely, phases.lowest), _around(likely, phases.highest)
    return _Plan(chest, lowest, highest, press, sticking, at, down)


def _around(likely: _World, turn: float) -> tuple[float, ...]:
    """The frames around a turning point in which the bar stays within ``LEVEL_M`` of it; of many, nine."""
    times = likely.track.times
    level = likely.bar(turn)[1]
    i = j = bisect_left(times, turn)
    while i > 0 and abs(likely.bar(times[i - 1])[1] - level) <= LEVEL_M:
        i -= 1
    while j < len(times) - 1 and abs(likely.bar(times[j + 1])[1] - level) <= LEVEL_M:
        j += 1
    some = times[i : j + 1]
    return tuple(some[:: max(len(some) // 9, 1)])


def _rep(likely: _World, phases: Phases | None, plan: _Plan, worlds: Sequence[dict[str, float]]) -> Rep:
    numbers = _summarise(worlds)
    rows = [(numbers.pop(f"y{i}"), numbers.pop(f"z{i}")) for i in range(len(plan.press))]
    press = [(t, y.value, z.value) for t, (y, z) in zip(plan.press, rows, strict=True)]
    if press:  # errors make |y| larger, never smaller: the value is that of the middle path, and the low end
        # reaches down to the mean of y with its sign, which never is above the mean of |y|
        found, least = numbers["mean_arm"], numbers.pop("mean_offset").low
        numbers["mean_arm"] = Number(_mean_arm(press), min(found.low, least), found.high)
    return Rep(
        phases,
        numbers,
        down=likely.path(plan.down),
        press=press,
        press_low=[y.low for y, _ in rows],
        press_high=[y.high for y, _ in rows],
        sticking_m=plan.sticking_m,
        unseen=_unseen(likely.clip, phases) if phases else (),
    )


def _unseen(clip: Clip, phases: Phases) -> tuple[str, ...]:
    """Phases in which the plate was lost for longer than a blink."""
    found = []
    for name, a, b in (
        ("down", phases.start, phases.chest),
        ("chest", phases.chest - 0.1, phases.press + 0.1),
        ("up", phases.press, phases.end),
    ):
        seen = [t for t, s in zip(clip.times, clip.seen, strict=True) if s is not None]
        inside = [a, *(t for t in seen if a < t < b), b]
        if max(q - p for p, q in pairwise(inside)) > 0.25:
            found.append(name)
    return tuple(found)


def _summarise(worlds: Sequence[dict[str, float]]) -> dict[str, Number]:
    """Median and 90 % interval of every number."""
    out = {}
    for key in worlds[0]:
        values = sorted(w[key] for w in worlds)
        out[key] = Number(_share(values, 0.5), _share(values, LOW), _share(values, HIGH))
    return out


def _share(values: Sequence[float], share: float) -> float:
    """The value below which a share of sorted values lies."""
    at = share * (len(values) - 1)
    i = min(int(at), len(values) - 2) if len(values) > 1 else 0
    if len(values) == 1:
        return values[0]
    return values[i] + (at - i) * (values[i + 1] - values[i])


def _budget(setting: _Setting, plan: _Plan) -> dict[str, float]:
    """What each source alone makes the moment arm at the chest vary by, 1 SD, m."""
    out = {}
    chest = replace(plan, press=(), down=())
    for source in SOURCES:
        draws = setting.draws(BUDGET_WORLDS, (source,))
        values = [_World(setting, d).numbers(chest)["touch"] for d in draws]
        mean = sum(values) / len(values)
        out[source] = math.sqrt(sum((v - mean) ** 2 for v in values) / len(values))
    return out
