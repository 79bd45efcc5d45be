"""Looking ahead: how many more sets until the answer, and which setup to try next.

Before a set is done its effect on the belief is known but for one number. The covariance will fall by a fixed
amount, and the mean will move by ``Belief.pull`` times a standard normal number; so the posterior mean of
coming sets is a random walk whose steps are known beforehand (the preposterior distribution, Raiffa and
Schlaifer 1961, memory). Futures are drawn from that walk, with a fixed seed, and each is followed until it
would be decided.

The number of sets has no finite mean: setups that are exactly alike are never told apart, and the nearer to
alike, the longer (as 1 / difference squared). So the middle of the futures is reported, with the chance to be
done within a stated number of sets, and the mean counted up to that number.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shortlever.trials.gauss import Belief, cumulative, quantile, worth_of_look
from shortlever.trials.model import PRIOR, Fit, design
from shortlever.trials.plan import fair_order

DECIDED_AT = 0.95
LEAST_SETS = 2  # counted sets of every setup on the list before anything is decided (common practice)
LIMIT_SETS = 120
DAYS_BETWEEN = 4  # sessions ahead: one block of the fair order each
FUTURES = 1000
SEED = 1931
Z_DECIDED = 1.6448536269514722  # cumulative(Z_DECIDED) = DECIDED_AT


@dataclass(frozen=True)
class SetsAhead:
    """How many more sets until a verdict, over all setups on the list together, in fair sessions.

    ``sets`` is the middle of the futures and ``sessions`` the sessions they fill; None where more than half
    are not decided within ``limit`` sets. ``chance_within`` is the chance to be decided within ``limit``, and
    ``mean_sets`` the mean of the sets needed, each counted up to ``limit``.
    """

    sets: int | None
    sessions: int | None
    limit: int
    chance_within: float
    mean_sets: float


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


def coming_sets(fit: Fit, active: Sequence[int], limit: int = LIMIT_SETS) -> list[_Coming]:
    """The next ``limit`` sets of the setups ``active``, in fair sessions DAYS_BETWEEN days apart."""
    n = len(fit.keys)
    last = max((o.day for o in fit.observations), default=-DAYS_BETWEEN)
    places = [1 + c for c in active]
    counts = {c: fit.counted(c) for c in active}
    belief = fit.belief.keeping(range(n + 3))
    coming: list[_Coming] = []
    ahead = 0
    while len(coming) < limit:
        belief = belief.keeping(range(n + 3)).extended(PRIOR.day_sd**2)
        day = last + (ahead + 1) * DAYS_BETWEEN
        names = [str(c) for c in active]
        for order, name in enumerate(fair_order(names, session=len(fit.dates) + ahead)):
            row = design(n, int(name), order, day, 0)
            pull, _ = belief.pull(row, fit.typical_noise)
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
    return coming[:limit]


def _decided(mean: Sequence[float], spread: Sequence[Sequence[float]]) -> bool:
    """Whether the leader's chance to be best reaches DECIDED_AT.

    Exact for two. For more the chances of the others to beat it are summed (Bonferroni): never too early, and
    near 95 % hardly late.
    """
    leader = max(range(len(mean)), key=mean.__getitem__)
    against = 0.0
    for j, m in enumerate(mean):
        if j != leader:
            z = (mean[leader] - m) / spread[leader][j]
            if z < Z_DECIDED:
                return False
            against += cumulative(-z)
    return against <= 1 - DECIDED_AT


def _futures(start: Sequence[float], coming: Sequence[_Coming]) -> Iterator[list[float]]:
    """FUTURES rows of one standard normal number for each coming set.

    Their sum that says where the difference of the two leaders ends up decides most, so it is spread evenly
    over its distribution (stratified) and the rest is left to chance: as good as many times as many futures.
    """
    first, second = sorted(range(len(start)), key=lambda i: -start[i])[:2]
    towards = [step.pull[first] - step.pull[second] for step in coming]
    length = math.sqrt(sum(t * t for t in towards))
    unit = [t / length for t in towards]
    dice = random.Random(SEED)
    for i in range(FUTURES):
        raw = [dice.gauss(0.0, 1.0) for _ in coming]
        shift = quantile((i + 0.5) / FUTURES) - sum(u * z for u, z in zip(unit, raw, strict=True))
        yield [z + u * shift for u, z in zip(unit, raw, strict=True)]


def sets_ahead(fit: Fit, active: Sequence[int], limit: int = LIMIT_SETS) -> SetsAhead:
    """How many more sets until a verdict between the setups ``active`` (places among the candidates)."""
    coming = coming_sets(fit, active, limit)
    start = [fit.belief.mean[1 + c] for c in active]
    needed = []
    for surprises in _futures(start, coming):
        mean, found = start, limit + 1
        for k, (step, z) in enumerate(zip(coming, surprises, strict=True), start=1):
            mean = [m + p * z for m, p in zip(mean, step.pull, strict=True)]
            if step.may_decide and _decided(mean, step.spread):
                found = k
                break
        needed.append(found)
    needed.sort()
    middle = needed[(FUTURES - 1) // 2]
    sets = middle if middle <= limit else None
    return SetsAhead(
        sets=sets,
        sessions=None if sets is None else math.ceil(sets / (2 * len(active))),
        limit=limit,
        chance_within=sum(k <= limit for k in needed) / FUTURES,
        mean_sets=sum(min(k, limit) for k in needed) / FUTURES,
    )


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
    kept = list(range(n + 3))
    if session is None:
        belief = fit.belief.keeping(kept).extended(PRIOR.day_sd**2)
    else:
        belief = fit.belief.keeping([*kept, n + 3 + session])
    means = [belief.mean[1 + c] for c in active]
    first, second = sorted(range(len(active)), key=lambda i: -means[i])[:2]
    found = []
    for c in active:
        pull, _ = belief.pull(design(n, c, order, day, 0), fit.typical_noise)
        own = [pull[1 + a] for a in active]
        found.append(Look(c, worth_of_look(means, own), (own[first] - own[second]) ** 2))
    return found
