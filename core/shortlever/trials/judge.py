"""The verdict of a trial: who leads and by how much, whether that is enough, what to do next."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shortlever.numerics import Z90
from shortlever.say import Said
from shortlever.trials.ahead import SetsAhead, sets_ahead
from shortlever.trials.checks import day_of
from shortlever.trials.decide import (
    BETTER,
    LEAST_SETS,
    TIMES,
    between,
    leading,
    of_leader,
    settled,
    times_at_end,
)
from shortlever.trials.fairness import unfair_order, unlike_effort
from shortlever.trials.gauss import chances_best
from shortlever.trials.log import TrialLog
from shortlever.trials.model import Fit, fit
from shortlever.trials.nextset import WORTH_FLOOR, NextSet, next_set
from shortlever.trials.preference import implied_place, implied_preference

ODD_SURPRISE = 3.0  # SD; one set in 370 falls further off
DECIDED, ALIKE, USED_UP = "decided", "too close to matter", "sets used up"
OPEN, NOTHING = "cannot tell yet", "nothing to compare"


@dataclass(frozen=True)
class Range:
    """A middle value (median) and its 90 % interval."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True)
class Standing:
    """One setup: how many of its sets count, its chance to be best, and its one-rep max against that of the
    reference, in percent and kg (positive: more); all None before the sets that carry them. ``against`` is
    what it is against the reference: "better", "worse", "too close" or "open"."""

    key: str
    label: str
    sets: int
    off_list: bool
    chance_best: float | None
    gain_percent: Range | None
    gain_kg: Range | None
    against: str


@dataclass(frozen=True)
class Report:
    """What a log says. ``verdict``: "decided" (for ``best``), "too close to matter" or "sets used up" (take
    the most comfortable of ``alike``), "cannot tell yet", or "nothing to compare" (fewer than two setups on
    the list). ``most_left``: sets that the trial still takes at most. ``leans``: the key that the lift's
    measure leans to before the sets tell anything. ``one_rep_max_kg`` is that of ``against``, the setup the
    gains are measured from, rested, on an ordinary day at the last date. ``odd_set`` is the number of a set
    that hardly fits the others. ``preference`` is the implied dial (None: cannot tell). ``cautions`` are to
    be shown."""

    verdict: str
    why: Said
    best: str | None
    alike: tuple[str, ...]
    against: str | None
    leans: str | None
    one_rep_max_kg: Range | None
    standings: tuple[Standing, ...]
    most_left: int
    ahead: SetsAhead | None
    next: NextSet | None
    odd_set: int | None
    noise_scale: float
    preference: float | None
    cautions: tuple[Said, ...]

    @property
    def finished(self) -> bool:
        """Whether the trial has come to its end."""
        return self.verdict in (DECIDED, ALIKE, USED_UP)


def judge(log: TrialLog, date: str | None = None) -> Report:
    """The verdict of a log. ``date`` (ISO) is when the next set is done; by default the last session goes on.

    Raises InputError for a date that is not one.

    >>> judge(TrialLog()).verdict
    'nothing to compare'
    """
    if date is not None:
        day_of(date)
    return _Judge(log, fit(log), date).report()


@dataclass(frozen=True)
class _Judge:
    log: TrialLog
    found: Fit
    date: str | None

    @property
    def margin(self) -> float:
        """What is too close to matter, ln."""
        return math.log1p(self.log.margin_percent / 100)

    @property
    def active(self) -> list[int]:
        return [i for i, c in enumerate(self.log.candidates) if not c.off_list]

    @property
    def against(self) -> int:
        return next((i for i, c in enumerate(self.log.candidates) if c.present), 0)

    @property
    def carried(self) -> bool:
        """Whether every setup on the list has the sets that chances rest on."""
        return all(self.found.counted(i) >= LEAST_SETS for i in self.active)

    @property
    def most_left(self) -> int:
        done = sum(self.found.counted(i) for i in self.active)
        return max(self.log.sets_each * len(self.active) - done, 0)

    @property
    def times(self) -> float:
        """How much likelier the sets must be with a difference than with none."""
        return TIMES if self.most_left else times_at_end(self.log.sets_each)

    def key(self, setup: int) -> str:
        return self.log.candidates[setup].key

    def label(self, setup: int) -> str:
        return self.log.candidates[setup].label

    def report(self) -> Report:
        log, found, active = self.log, self.found, self.active
        chances = self.chances()
        verdict, leader, alike = self.verdict()
        best = leader if verdict == DECIDED else None
        ahead = (
            sets_ahead(found, active, self.margin, self.most_left, times_at_end(log.sets_each))
            if verdict == OPEN
            else None
        )
        return Report(
            verdict=verdict,
            why=self.why(verdict, leader, alike),
            best=None if best is None else self.key(best),
            alike=tuple(map(self.key, alike)),
            against=self.key(self.against) if log.candidates else None,
            leans=self.leans(),
            one_rep_max_kg=self.level() if log.candidates and found.counted(self.against) else None,
            standings=tuple(self.standing(i, chances) for i in range(len(log.candidates))),
            most_left=self.most_left,
            ahead=ahead,
            next=next_set(log, found, active, chances, self.date) if verdict == OPEN else None,
            odd_set=_odd(found),
            noise_scale=found.noise_scale,
            preference=_preference(log, active, chances, best),
            cautions=self.cautions(),
        )

    def chances(self) -> dict[int, float]:
        if not self.active:
            return {}
        setups = self.found.setups.keeping(self.active)
        return dict(zip(self.active, chances_best(setups.mean, setups.covariance), strict=True))

    def verdict(self) -> tuple[str, int | None, list[int]]:
        """The verdict, the leader, and those not told apart from it, the leader among them."""
        if len(self.active) < 2:
            return NOTHING, None, []
        places = [1 + i for i in self.active]
        leader = leading(self.found.parts, places) - 1
        if not self.carried:
            return OPEN, leader, []
        states = of_leader(self.found.parts, self.found.before, places, self.margin, self.times)
        alike = sorted([leader, *(place - 1 for place, state in states.items() if state != BETTER)])
        if settled(list(states.values())):
            return (ALIKE, leader, alike) if len(alike) > 1 else (DECIDED, leader, [])
        return (OPEN if self.most_left else USED_UP), leader, alike

    def leans(self) -> str | None:
        """Whom the lift's measure leans to, while the sets tell nothing yet."""
        if self.carried or len(self.active) < 2:
            return None
        means = {i: self.found.before.mean[1 + i] for i in self.active}
        leader = max(means, key=lambda i: means[i])
        second = max(mean for i, mean in means.items() if i != leader)
        return self.key(leader) if means[leader] - second > WORTH_FLOOR else None

    def standing(self, setup: int, chances: Mapping[int, float]) -> Standing:
        c, found = self.log.candidates[setup], self.found
        carried = min(found.counted(setup), found.counted(self.against)) >= LEAST_SETS
        state = (
            between(found.parts, found.before, 1 + setup, 1 + self.against, self.margin, self.times)
            if carried and setup != self.against
            else "open"
        )
        return Standing(
            key=c.key,
            label=c.label,
            sets=found.counted(setup),
            off_list=c.off_list,
            chance_best=chances.get(setup) if self.carried else None,
            gain_percent=self.gain(setup, 100.0) if carried else None,
            gain_kg=self.gain(setup, self.level().middle) if carried else None,
            against=state,
        )

    def level(self) -> Range:
        """One-rep max of the reference at the last date, rested, on an ordinary day, kg."""
        found = self.found
        last = max((o.day for o in found.observations), default=0)
        row = {0: 1.0, 1 + self.against: 1.0, len(found.keys) + 2: last / 7}
        mean, sd = found.belief.contrast(row)
        return Range(math.exp(mean - Z90 * sd), math.exp(mean), math.exp(mean + Z90 * sd))

    def gain(self, setup: int, whole: float) -> Range:
        """What a setup gives more than the reference, as a part of ``whole``: 100 for percent, a one-rep max
        for kg."""
        if setup == self.against:
            return Range(0.0, 0.0, 0.0)
        mean, sd = self.found.belief.contrast({1 + setup: 1.0, 1 + self.against: -1.0})
        low, middle, high = (whole * math.expm1(mean + z * sd) for z in (-Z90, 0.0, Z90))
        return Range(low, middle, high)

    def why(self, verdict: str, leader: int | None, alike: Sequence[int]) -> Said:
        names = tuple(map(self.label, alike))
        if leader is None:
            only = tuple(map(self.label, self.active))
            return Said("trial_only_one", {"name": only[0]}) if only else Said("trial_none_on_list")
        if verdict == DECIDED:
            return Said("trial_decided", {"name": self.label(leader), "times": self.times})
        if verdict == ALIKE:
            return Said("trial_alike", {"names": names, "percent": self.log.margin_percent})
        if verdict == USED_UP:
            done = sum(self.found.counted(i) for i in self.active)
            return Said("trial_used_up", {"names": names, "count": done})
        short = tuple(self.label(i) for i in self.active if self.found.counted(i) < LEAST_SETS)
        if short:
            return Said("trial_short", {"names": short, "count": len(short), "least": LEAST_SETS})
        return Said("trial_open", {"name": self.label(leader)})

    def cautions(self) -> tuple[Said, ...]:
        said = [Said("trial_pain", {"name": c.label}) for c in self.log.candidates if c.off_list]
        labels = {c.key: c.label for c in self.log.candidates}
        keys = [self.key(i) for i in self.active]
        for code, pair in (
            ("trial_order", unfair_order(self.log, keys)),
            ("trial_effort", unlike_effort(self.log, keys)),
        ):
            if pair:
                said.append(Said(code, {"first": labels[pair[0]], "second": labels[pair[1]]}))
        if self.found.raised:
            said.append(Said("trial_scatter", {"times": math.sqrt(self.found.noise_scale)}))
        return tuple(said)


def _odd(found: Fit) -> int | None:
    """The number of the set that fits least, where it hardly fits."""
    surprise, number = max(
        ((abs(s), o.number) for s, o in zip(found.surprises, found.observations, strict=True)),
        default=(0.0, None),
    )
    return number if surprise > ODD_SURPRISE else None


def _preference(
    log: TrialLog, active: list[int], chances: Mapping[int, float], best: int | None
) -> float | None:
    """The implied dial, from the setups on the list that stand on it, else from those whose stroke and arm
    are known: as filmed, else as planned."""
    dials = {i: dial for i in active if (dial := log.candidates[i].dial) is not None}
    if dials:
        place = list(dials).index(best) if best in dials else None
        return implied_place(list(dials.values()), [chances[i] for i in dials], place)
    known: dict[int, tuple[float, float]] = {}
    for i in active:
        c = log.candidates[i]
        stroke = log.done_m(c.key, "range_of_motion_m") or c.stroke_m
        arm = log.done_m(c.key, "mean_arm_m") or c.mean_arm_m
        if stroke is not None and arm is not None:
            known[i] = (stroke, arm)
    if best not in known:
        return None
    return implied_preference(list(known.values()), [chances[i] for i in known], list(known).index(best))
