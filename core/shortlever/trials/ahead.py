"""Looking ahead: how many more sets until the answer, and which setup to try next.

Before a set is done its effect on the belief is known but for one number. The covariance will fall by a fixed
amount, and the mean will move by ``Belief.pull`` times a standard normal number; so the posterior mean of
coming sets is a random walk whose steps are known beforehand (the preposterior distribution, Raiffa and
Schlaifer 1961, memory). Futures are drawn from that walk, with a fixed seed, and each is followed until it
would be decided, or until the sets that the trial may take at most are done.

What is told is the mean of that: every set done brings it down by one on average, as far as the model holds.
Without an end there would be no mean: setups that are all but alike take sets as 1 / difference squared.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shortlever.trials.decide import LEAST_SETS, TIMES, Spread, settled, told
from shortlever.trials.gauss import Belief, quantile, worth_of_look
from shortlever.trials.model import PRIOR, Fit, design, first_day
from shortlever.trials.plan import fair_order

DAYS_BETWEEN = 4  # sessions ahead: one block of the fair order each
FUTURES = 500
SEED = 1931


@dataclass(frozen=True)
class SetsAhead:
    """How many more sets, over all setups on the list together, in fair sessions.

    ``sets`` is the mean of the sets to come, in ``sessions``; ``most`` how many the trial takes at most;
    ``chance_settled`` the chance that a verdict comes within them.
    """

    sets: float
    sessions: int
    most: int
    chance_settled: float


@dataclass(frozen=True)
class _Coming:
    """One coming set: how it moves the setups on the list, their spreads after it, whether it may decide."""

    pull: tuple[float, ...]
    spread: tuple[tuple[float, ...], ...]
    may_decide: bool


def _spreads(belief: Belief, places: Sequence[int]) -> tuple[tuple[float, ...], ...]:
    """SD of the difference of each two unknowns."""
    return tuple(
        tuple(belief.contrast({i: 1.0, j: -1.0})[1] if i != j else 0.0 for j in places) for i in places
    )


def coming_sets(fit: Fit, start: Belief, noise: float, active: Sequence[int], most: int) -> list[_Coming]:
    """The next ``most`` sets of the setups ``active``, in fair sessions DAYS_BETWEEN days apart, from a
    belief and with errors of the variance ``noise``."""
    n = len(fit.keys)
    last = max((o.day for o in fit.observations), default=-DAYS_BETWEEN)
    places = [1 + c for c in active]
    counts = {c: fit.counted(c) for c in active}
    belief = start.keeping(range(first_day(n)))
    coming: list[_Coming] = []
    ahead = 0
    while len(coming) < most:
        belief = belief.keeping(range(first_day(n))).extended(PRIOR.day_sd**2)
        day = last + (ahead + 1) * DAYS_BETWEEN
        names = [str(c) for c in active]
        for order, name in enumerate(fair_order(names, session=len(fit.dates) + ahead)):
            row = design(n, int(name), order, day, 0, fit.usual_guess)
            pull, _ = belief.pull(row, noise)
            belief = belief.moved(pull, 0.0)
            counts[int(name)] += 1
            coming.append(
                _Coming(
                    tuple(pull[i] for i in places),
                    _spreads(belief, places),
                    min(counts.values()) >= LEAST_SETS,
                )
            )
        ahead += 1
    return coming[:most]


def _settled(
    mean: Sequence[float],
    spread: Sequence[Sequence[float]],
    before: Sequence[Sequence[Spread]],
    margin: float,
    times: float,
) -> bool:
    """Whether the leader would be judged against each other setup."""
    leader = max(range(len(mean)), key=mean.__getitem__)
    return settled(
        [
            told([(1.0, (mean[leader] - m, spread[leader][j]))], before[leader][j], margin, times)
            for j, m in enumerate(mean)
            if j != leader
        ]
    )


def _futures(start: Sequence[float], coming: Sequence[_Coming], count: int) -> Iterator[list[float]]:
    """``count`` rows of one standard normal number for each coming set.

    Their sum that says where the difference of the two leaders ends up decides most, so it is spread evenly
    over its distribution (stratified) and the rest is left to chance: as good as many times as many futures.
    """
    first, second = sorted(range(len(start)), key=lambda i: -start[i])[:2]
    towards = [step.pull[first] - step.pull[second] for step in coming]
    length = math.sqrt(sum(t * t for t in towards))
    unit = [t / length for t in towards]
    dice = random.Random(SEED)
    for i in range(count):
        raw = [dice.gauss(0.0, 1.0) for _ in coming]
        shift = quantile((i + 0.5) / count) - sum(u * z for u, z in zip(unit, raw, strict=True))
        yield [z + u * shift for u, z in zip(unit, raw, strict=True)]


def sets_ahead(fit: Fit, active: Sequence[int], margin: float, most: int, times_at_end: float) -> SetsAhead:
    """How many more sets until a verdict between the setups ``active`` (places among the candidates), or
    until ``most`` are done. ``margin``: what is too close to matter, ln; ``times_at_end``: what is asked of
    the sets once ``most`` are done.

    Each scatter has its share of the futures, and is taken as known in them: the sets to come soon tell it.
    """
    before = [
        [fit.before.contrast({1 + i: 1.0, 1 + j: -1.0}) if i != j else (0.0, 1.0) for j in active]
        for i in active
    ]
    total = met = futures = 0
    for (weight, belief), scatter in zip(fit.parts, fit.scatters, strict=True):
        count = round(weight * FUTURES)
        coming = coming_sets(fit, belief, fit.usual_noise * scatter, active, most) if count else []
        start = [belief.mean[1 + c] for c in active]
        futures += count
        for surprises in _futures(start, coming, count):
            needed = _needed(start, coming, surprises, before, margin, times_at_end)
            met += needed is not None
            total += most if needed is None else needed
    sets = total / futures
    return SetsAhead(
        sets=sets,
        sessions=math.ceil(round(sets) / (2 * len(active))),
        most=most,
        chance_settled=met / futures,
    )


def _needed(
    start: Sequence[float],
    coming: Sequence[_Coming],
    surprises: Sequence[float],
    before: Sequence[Sequence[Spread]],
    margin: float,
    times_at_end: float,
) -> int | None:
    """The set of a future that settles it; None where none does."""
    mean = start
    for k, (step, z) in enumerate(zip(coming, surprises, strict=True), start=1):
        mean = [m + p * z for m, p in zip(mean, step.pull, strict=True)]
        times = times_at_end if k == len(coming) else TIMES
        if step.may_decide and _settled(mean, step.spread, before, margin, times):
            return k
    return None


@dataclass(frozen=True)
class Look:
    """What the next set of a setup would be worth: the expected loss it removes (ln), and how much of the
    variance between the two leading setups (``narrows``, ln squared)."""

    setup: int
    worth: float
    narrows: float


def looks(fit: Fit, active: Sequence[int], *, order: int, day: int, session: int | None) -> list[Look]:
    """The next set of each setup on the list, weighed. ``order`` and ``day`` as in the model; ``session`` is
    the place of the running session, or None for a new one.

    The loss of a choice is how far the chosen setup falls short of the best one. Choosing the leader, a set
    removes exactly the expected rise of the largest posterior mean (the knowledge gradient, Frazier 2009).
    """
    n = len(fit.keys)
    kept = list(range(first_day(n)))
    if session is None:
        belief = fit.belief.keeping(kept).extended(PRIOR.day_sd**2)
    else:
        belief = fit.belief.keeping([*kept, first_day(n) + session])
    noise = fit.usual_noise * fit.noise_scale
    means = [belief.mean[1 + c] for c in active]
    first, second = sorted(range(len(active)), key=lambda i: -means[i])[:2]
    found = []
    for c in active:
        pull, _ = belief.pull(design(n, c, order, day, 0, fit.usual_guess), noise)
        own = [pull[1 + a] for a in active]
        found.append(Look(c, worth_of_look(means, own), (own[first] - own[second]) ** 2))
    return found
