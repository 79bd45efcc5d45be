"""The numbers of a filmed set, each as the middle and the 90 % interval of many possible worlds.

What is measured is the lift's own affair (``lifts.film``): here every source of error goes through the whole
of it, world by world (``world``, ``stance``). m and s.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Any

from shortlever.film.clip import Clip
from shortlever.film.reps import Phases, find_pulls, find_reps
from shortlever.film.speed import RepSpeed, lift_off, pause, rep_speeds
from shortlever.film.stance import SOURCES, Known, Stance
from shortlever.film.track import Track, smooth
from shortlever.film.world import SeenRep, Setting, Times, World, times_of
from shortlever.lifts.film import FilmCheck, FilmPlan, Number, Path, Point
from shortlever.say import Said

WORLDS, BUDGET_WORLDS, GUESS_WORLDS = 300, 40, 20
UNCLEAR = 2.0  # log weight by which one side must be likelier to be taken without asking
# 90 % intervals, a little wider for what is not drawn; measured in tests/reference/test_film_cover.py
LOW, HIGH = 0.045, 0.955
NOTHING = Number(0.0, 0.0, 0.0)
LONGEST_BLINK_S = 0.25  # lost for longer than that the plate was not seen


@dataclass(frozen=True)
class Rep:
    """One rep: its phases (None for a photo), its numbers by key, where the bar rests, and its path."""

    phases: Phases | None
    numbers: dict[str, Number]
    rest: tuple[Number, Number]  # y and z
    down: Path = field(default_factory=list)
    rise: Path = field(default_factory=list)
    rise_low: list[float] = field(default_factory=list)  # 90 % of y at each row of the way up
    rise_high: list[float] = field(default_factory=list)
    stroke_m: float = 0.0  # by how much the bar rises in the most likely world
    stroke: Number = NOTHING  # and in all of them
    unseen: tuple[Said, ...] = ()  # phases during which the plate was lost
    pause: Number | None = None  # s
    speed: RepSpeed | None = None
    moments: Mapping[str, float] = field(default_factory=dict)  # s, by the keys of the lift's moments
    sticks: Sequence[Sequence[Point]] = ()  # the body as marked, in the most likely world


@dataclass(frozen=True)
class Result:
    """What a clip or photo gives: reps, the stance behind them, the track, each source's share (SD, m)."""

    film: FilmCheck[Any]
    clip: Clip
    stance: Stance
    track: Track
    reps: list[Rep]
    budget: dict[str, float]
    distance: Number = NOTHING  # from the camera to the plate, m
    lost: Number | None = None  # share of the mean speed, from the quickest rep to the last
    side_guessed: bool = False
    side_unclear: bool = False

    @property
    def shown(self) -> Rep:
        """The rep to show first: the first whole one, else the first."""
        return next((r for r in self.reps if r.phases is None or r.phases.complete), self.reps[0])


def measure(
    clip: Clip, known: Known, film: FilmCheck[Any], plan: FilmPlan | None = None, worlds: int = WORLDS
) -> Result:
    """Everything that the film check says of a clip of a lift, against a plan of that lift."""
    if clip.ahead_right is None:
        sides = [_measure(side, known, film, plan, GUESS_WORLDS) for side in (clip, clip.mirror())]
        scores = [side.stance.evidence + film.likely([r.numbers for r in side.reps]) for side in sides]
        better = scores.index(max(scores))
        found = _measure(sides[better].clip, known, film, plan, worlds)
        return replace(found, side_guessed=True, side_unclear=abs(scores[0] - scores[1]) < UNCLEAR)
    return _measure(clip, known, film, plan, worlds)


def follow(clip: Clip) -> Track:
    """The smoothed track of a clip's plate, px."""
    places = [(s.x, s.y) if s is not None else None for s in clip.seen]
    return smooth(clip.times, places, [s.sd if s is not None else 1.0 for s in clip.seen])


def _measure(clip: Clip, known: Known, film: FilmCheck[Any], plan: FilmPlan | None, worlds: int) -> Result:
    track = follow(clip)
    stance = Stance(clip, track, known, film.marks)
    setting = Setting(clip, stance, track, film, plan)
    likely = World(setting, stance.likely)
    found = _found(likely)
    if not found:
        return Result(film, clip, stance, track, [], {})
    many = [World(setting, draw) for draw in setting.draws(worlds, SOURCES)]
    seen = [[world.rep(times) for world in many] for _, times in found]
    reps = [_rep(likely, *one, some) for one, some in zip(found, seen, strict=True)]
    moving = [
        (phases, [one.travel_m / (likely.rep(times).travel_m or 1.0) for one in some])
        for (phases, times), some in zip(found, seen, strict=True)
        if phases
    ]
    speeds, lost = rep_speeds(likely, moving)
    for i, ((moved, _), speed) in enumerate(zip(moving, speeds, strict=True)):
        reps[i] = replace(reps[i], speed=speed, pause=pause(likely, moved))
    whole = next((times for phases, times in found if phases and phases.complete), found[0][1])
    away = number_of([math.hypot(*world.view.place(*world.bar(stance.middle_s))) for world in many])
    return Result(film, clip, stance, track, reps, _budget(setting, whole), away, lost)


def _found(likely: World) -> list[tuple[Phases | None, Times]]:
    """The reps of a clip and when they are measured; a photo is one without phases."""
    clip, film, plan = likely.clip, likely.setting.film, likely.setting.plan
    if clip.photo:
        return [(None, Times((clip.times[0],), moments=dict.fromkeys(film.photo_of, clip.times[0])))]
    find = find_pulls if film.from_below else find_reps
    found: list[tuple[Phases | None, Times]] = []
    for phases in find(likely.track.times, [likely.bar(t)[1] for t in likely.track.times]):
        times = times_of(likely, phases)
        if film.from_below:
            times = replace(times, off=lift_off(likely, phases))
        found.append((phases, replace(times, moments=film.when(times, plan))))
    return found


def moments(clip: Clip, known: Known, film: FilmCheck[Any], plan: FilmPlan | None) -> Mapping[str, float]:
    """The times (s) of the lift's moments in the rep to mark first, by their keys; no joint need be
    marked."""
    track = follow(clip)
    stance = Stance(clip, track, known, film.marks)
    found = _found(World(Setting(clip, stance, track, film, plan), stance.likely))
    whole = [times for phases, times in found if phases and phases.complete]
    return next(iter([*whole, *(times for _, times in found)])).moments if found else {}


def _rep(likely: World, phases: Phases | None, times: Times, seen: Sequence[SeenRep]) -> Rep:
    film, plan = likely.setting.film, likely.setting.plan
    numbers = _summarise([film.measured(one, plan) for one in seen])
    y, z = (number_of([one.rest[i] for one in seen]) for i in (0, 1))
    rows = [
        [number_of([one.rise[i][part] for one in seen]) for part in (1, 2)] for i in range(len(times.rise))
    ]
    rise = [(t, row[0].value, row[1].value) for t, row in zip(times.rise, rows, strict=True)]
    return Rep(
        phases,
        film.settled(numbers, rise),
        (y, z),
        down=likely.path(times.down),
        rise=rise,
        rise_low=[row[0].low for row in rows],
        rise_high=[row[0].high for row in rows],
        stroke_m=times.stroke_m,
        stroke=number_of([one.travel_m for one in seen]),
        unseen=_unseen(likely.clip, phases, film) if phases else (),
        moments=times.moments,
        sticks=film.sticks(likely.rep(times)),
    )


def _unseen(clip: Clip, phases: Phases, film: FilmCheck[Any]) -> tuple[Said, ...]:
    """Phases in which the plate was lost for longer than a blink."""
    found = []
    for name, a, b in (
        (Said("film_way_down"), phases.start, phases.down),
        (film.where, phases.down - 0.1, phases.rise + 0.1),
        (Said("film_way_up"), phases.rise, phases.end),
    ):
        seen = [t for t, s in zip(clip.times, clip.seen, strict=True) if s is not None]
        inside = [a, *(t for t in seen if a < t < b), b]
        if max(q - p for p, q in pairwise(inside)) > LONGEST_BLINK_S:
            found.append(name)
    return tuple(found)


def _summarise(worlds: Sequence[dict[str, float]]) -> dict[str, Number]:
    """Median and 90 % interval of every number."""
    return {key: number_of([w[key] for w in worlds]) for key in worlds[0]}


def number_of(values: Sequence[float]) -> Number:
    """Median and 90 % interval of the values of many worlds."""
    ordered = sorted(values)
    return Number(_share(ordered, 0.5), _share(ordered, LOW), _share(ordered, HIGH))


def _share(values: Sequence[float], share: float) -> float:
    """The value below which a share of sorted values lies."""
    at = share * (len(values) - 1)
    i = min(int(at), len(values) - 2) if len(values) > 1 else 0
    if len(values) == 1:
        return values[0]
    return values[i] + (at - i) * (values[i + 1] - values[i])


def _budget(setting: Setting, times: Times) -> dict[str, float]:
    """What each source alone makes the level distance at rest vary by, 1 SD, m."""
    out = {}
    rest = replace(times, rise=(), down=())
    for source in SOURCES:
        draws = setting.draws(BUDGET_WORLDS, (source,))
        values = [World(setting, d).rep(rest).rest[0] for d in draws]
        mean = sum(values) / len(values)
        out[source] = math.sqrt(sum((v - mean) ** 2 for v in values) / len(values))
    return out
