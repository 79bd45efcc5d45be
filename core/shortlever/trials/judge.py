"""The verdict of a trial: who leads and by how much, whether that is enough, what to do next, in words."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.trials.ahead import DECIDED_AT, LEAST_SETS, SetsAhead, looks, sets_ahead
from shortlever.trials.gauss import chances_best
from shortlever.trials.log import Candidate, TrialLog, day_of
from shortlever.trials.model import Fit, fit
from shortlever.trials.preference import implied_preference

Z90 = 1.6448536269514722  # two-sided 90 % of the normal distribution
ODD_SURPRISE = 3.0  # SD; one set in 370 falls further off
DECIDED, OPEN, NOTHING = "decided", "cannot tell yet", "nothing to compare"
WORTH_FLOOR = 1e-5  # ln; below a thousandth of a percent one set alone cannot change the choice


@dataclass(frozen=True)
class Range:
    """A middle value (median) and its 90 % interval."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True)
class Standing:
    """One setup: how many of its sets count, its chance to be best (None off the list), and its one-rep max
    against the present setup's, in percent and kg (positive: more)."""

    key: str
    label: str
    sets: int
    off_list: bool
    chance_best: float | None
    gain_percent: Range
    gain_kg: Range


@dataclass(frozen=True)
class NextSet:
    """The setup to try next, why, and by how many percent of the one-rep max it lowers the expected loss."""

    key: str
    label: str
    reason: str
    worth_percent: float


@dataclass(frozen=True)
class Report:
    """What a log says. ``verdict`` is "decided", "cannot tell yet" or "nothing to compare" (fewer than two
    setups on the list); ``best`` the key it decided for. ``one_rep_max_kg`` is that of ``against``, the setup
    the gains are measured from, rested, on an ordinary day at the last date. ``odd_set`` is the number of a
    set that hardly fits the others. ``preference`` is the implied dial (None: cannot tell). ``cautions`` are
    sentences to show."""

    verdict: str
    why: str
    best: str | None
    threshold: float
    against: str | None
    one_rep_max_kg: Range | None
    standings: tuple[Standing, ...]
    ahead: SetsAhead | None
    next: NextSet | None
    odd_set: int | None
    noise_scale: float
    preference: float | None
    cautions: tuple[str, ...]


def judge(log: TrialLog, date: str | None = None) -> Report:
    """The verdict of a log. ``date`` (ISO) is when the next set is done; by default the last session goes on.

    Raises InputError for a date that is not one.

    >>> judge(TrialLog()).verdict
    'nothing to compare'
    """
    if date is not None:
        day_of(date)
    found = fit(log)
    active = [i for i, c in enumerate(log.candidates) if not c.off_list]
    against = next((i for i, c in enumerate(log.candidates) if c.present), 0)
    chances = _chances(found, active)
    enough = all(found.counted(i) >= LEAST_SETS for i in active)
    best = None
    if len(active) > 1 and enough:
        leader = max(active, key=lambda i: chances[i])
        best = leader if chances[leader] >= DECIDED_AT else None
    ahead = sets_ahead(found, active) if len(active) > 1 and best is None else None
    verdict = NOTHING if len(active) < 2 else OPEN if best is None else DECIDED
    surprise, odd = max(
        ((abs(s), o.number) for s, o in zip(found.surprises, found.observations, strict=True)),
        default=(0.0, None),
    )
    return Report(
        verdict=verdict,
        why=_why(log, found, active, chances, best, ahead),
        best=None if best is None else log.candidates[best].key,
        threshold=DECIDED_AT,
        against=log.candidates[against].key if log.candidates else None,
        one_rep_max_kg=_level(found, against) if log.candidates else None,
        standings=tuple(
            Standing(
                key=c.key,
                label=c.label,
                sets=found.counted(i),
                off_list=c.off_list,
                chance_best=chances.get(i),
                gain_percent=_gain(found, i, against, 100.0),
                gain_kg=_gain(found, i, against, _level(found, against).middle),
            )
            for i, c in enumerate(log.candidates)
        ),
        ahead=ahead,
        next=_next(log, found, active, chances, date) if verdict == OPEN else None,
        odd_set=odd if surprise > ODD_SURPRISE else None,
        noise_scale=found.noise_scale,
        preference=_preference(log, active, chances, best),
        cautions=_cautions(log, found),
    )


def _chances(found: Fit, active: list[int]) -> dict[int, float]:
    if not active:
        return {}
    setups = found.setups.keeping(active)
    return dict(zip(active, chances_best(setups.mean, setups.covariance), strict=True))


def _last_day(found: Fit) -> int:
    return max((o.day for o in found.observations), default=0)


def _level(found: Fit, setup: int) -> Range:
    """One-rep max of a setup at the last date, rested, on an ordinary day, kg."""
    row = {0: 1.0, 1 + setup: 1.0, len(found.keys) + 2: _last_day(found) / 7}
    mean, sd = found.belief.contrast(row)
    return Range(math.exp(mean - Z90 * sd), math.exp(mean), math.exp(mean + Z90 * sd))


def _gain(found: Fit, setup: int, against: int, whole: float) -> Range:
    """What a setup gives more than another, as a part of ``whole``: 100 for percent, a one-rep max for kg."""
    if setup == against:
        return Range(0.0, 0.0, 0.0)
    mean, sd = found.belief.contrast({1 + setup: 1.0, 1 + against: -1.0})
    low, middle, high = (whole * math.expm1(mean + z * sd) for z in (-Z90, 0.0, Z90))
    return Range(low, middle, high)


def _percent(chance: float) -> str:
    return f"{min(max(round(100 * chance), 1), 99)} %"


def _sets(count: int) -> str:
    return f"{count} more set" + ("" if count == 1 else "s")


def _why(
    log: TrialLog,
    found: Fit,
    active: list[int],
    chances: dict[int, float],
    best: int | None,
    ahead: SetsAhead | None,
) -> str:
    if ahead is None and best is None:
        if not active:
            return "No setup is on the list."
        return f"Only {log.candidates[active[0]].label} is on the list; a trial needs two setups."
    leader = max(active, key=lambda i: chances[i])
    name, chance = log.candidates[leader].label, _percent(chances[leader])
    bar = f"{100 * DECIDED_AT:.0f} %"
    if best is not None or ahead is None:
        return f"{name} is the best of these with a chance of {chance}; {bar} decides."
    short = [log.candidates[i].label for i in active if found.counted(i) < LEAST_SETS]
    if chances[leader] >= DECIDED_AT and short:
        need = "needs" if len(short) == 1 else "need"
        return f"{name} leads, but {' and '.join(short)} {need} {LEAST_SETS} sets to be judged."
    lead = f"{name} leads with a chance of {chance} to be the best; {bar} decides."
    if ahead.sets is None:
        return f"{lead} Probably too close for {ahead.limit} more sets: take the one that feels better."
    return (
        f"{lead} About {_sets(ahead.sets)} ({ahead.sessions} session{'s' * (ahead.sessions != 1)}) will tell."
    )


def _next(
    log: TrialLog, found: Fit, active: list[int], chances: dict[int, float], date: str | None
) -> NextSet:
    """The setup whose next set lowers the expected loss most; where none does, the one that narrows most."""
    dates = log.dates
    when = date or (dates[-1] if dates else None)
    if when in dates:
        same_day = [s for s in log.sets if s.date == when]
        order, session = len(same_day), dates.index(when)
    else:
        order, session = 0, None
    first = min((s.day for s in log.sets), default=0)
    day = day_of(when) - first if when and dates else 0
    options = looks(found, active, order=order, day=day, session=session)
    telling = max(look.worth for look in options) > WORTH_FLOOR
    chosen = max(options, key=lambda look: (look.worth if telling else 0.0, look.narrows))
    candidate = log.candidates[chosen.setup]
    return NextSet(
        key=candidate.key,
        label=candidate.label,
        reason=_reason(candidate, chosen.setup, found, active, chances, telling),
        worth_percent=100 * math.expm1(chosen.worth),
    )


def _reason(
    candidate: Candidate,
    setup: int,
    found: Fit,
    active: list[int],
    chances: dict[int, float],
    telling: bool,
) -> str:
    count = found.counted(setup)
    others = [found.counted(i) for i in active if i != setup]
    if count == 0:
        return f"{candidate.label} has no set yet that counts."
    if count < min(others):
        return f"{candidate.label} has the fewest sets ({count}), so one more tells most about it."
    if not telling:
        return f"No single set can change the answer now; one of {candidate.label} narrows it down most."
    if setup == max(active, key=lambda i: chances[i]):
        return f"{candidate.label} leads; one more set shows best whether the lead holds."
    chance = _percent(chances[setup])
    return f"{candidate.label} may still be the best ({chance}); one more set can change that most."


def _preference(
    log: TrialLog, active: list[int], chances: dict[int, float], best: int | None
) -> float | None:
    """The implied dial, from the setups on the list whose stroke and arm are known: as filmed, else as
    planned."""
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


def _cautions(log: TrialLog, found: Fit) -> tuple[str, ...]:
    said = [
        f"Pain was reported with {c.label}: it is off the list, and no number brings it back. "
        "Stop, and see a licensed clinician if it stays or returns."
        for c in log.candidates
        if c.off_list
    ]
    if found.noise_scale > 1:
        said.append(
            f"These sets scatter {math.sqrt(found.noise_scale):.1f} times as much as published ones do; the "
            "intervals are widened. Look for a slip in load, reps or reps in reserve."
        )
    return tuple(said)
