"""Whether the setups of a log were treated alike: in the order of their sets, and in how hard those were.

An order that favours one, or sets to failure with one setup only, cost sets: the model then holds the
difference in doubt. So it is noticed as soon as it shows.
"""

from __future__ import annotations

from collections.abc import Sequence

from shortlever.trials.log import SetRecord, TrialLog
from shortlever.trials.plan import fair_order

UNFAIR_PLACES = 1.0  # sets; further apart in the mean place is unfair (common practice, no source)
UNLIKE_RESERVE = 2.0  # reps in reserve; further apart in the mean is another effort (common practice)
UNLIKE_FAILURE = 0.5  # share of the sets to failure; further apart is another effort (common practice)


def unfair_order(log: TrialLog, keys: Sequence[str]) -> tuple[str, str] | None:
    """The setup that came early and the one that came late, among ``keys``; None where the order is fair.

    A session in the fair order, as far as it went, favours nobody. In any other the places count, from the
    middle of the session; and one setup done twice before another was done at all in the last session.
    """
    if len(keys) < 2:
        return None
    away: dict[str, list[float]] = {key: [] for key in keys}
    for session, date in enumerate(log.dates):
        done = [s.candidate for s in log.sets if s.date == date and s.candidate in keys]
        if _is_planned(done, keys, session):
            for key in done:
                away[key].append(0.0)
            continue
        counts = {key: done.count(key) for key in keys}
        if date == log.dates[-1] and min(counts.values()) == 0 and max(counts.values()) > 1:
            return max(keys, key=lambda key: counts[key]), min(keys, key=lambda key: counts[key])
        for place, key in enumerate(done):
            away[key].append(place - (len(done) - 1) / 2)
    means = {key: sum(places) / len(places) for key, places in away.items() if places}
    if not means:
        return None
    early, late = min(means, key=lambda key: means[key]), max(means, key=lambda key: means[key])
    return (early, late) if means[late] - means[early] >= UNFAIR_PLACES else None


def _is_planned(done: Sequence[str], keys: Sequence[str], session: int) -> bool:
    """Whether sets follow the fair order, block after block, as far as they go."""
    planned: list[str] = []
    block = 0
    while len(planned) < len(done):
        planned += fair_order(keys, session + block)
        block += 1
    return planned[: len(done)] == list(done)


def unlike_effort(log: TrialLog, keys: Sequence[str]) -> tuple[str, str] | None:
    """The setup whose sets went closer to failure and the one whose sets went least so; None where alike."""
    sets = {key: [s for s in log.sets if s.candidate == key and not s.pain] for key in keys}
    done = [key for key in keys if sets[key]]
    for measure, most in ((_left, UNLIKE_RESERVE), (_short_of_failure, UNLIKE_FAILURE)):
        means = {key: sum(map(measure, sets[key])) / len(sets[key]) for key in done}
        if means and max(means.values()) - min(means.values()) >= most:
            return min(done, key=lambda key: means[key]), max(done, key=lambda key: means[key])
    return None


def _left(record: SetRecord) -> float:
    return record.reps_in_reserve


def _short_of_failure(record: SetRecord) -> float:
    return min(record.reps_in_reserve, 1.0)
