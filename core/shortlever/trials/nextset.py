"""Which setup to try next, and why."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from shortlever.say import Said
from shortlever.trials.ahead import looks
from shortlever.trials.checks import day_of
from shortlever.trials.log import Candidate, TrialLog
from shortlever.trials.model import Fit

WORTH_FLOOR = 1e-5  # ln; below a thousandth of a percent one set alone cannot change the choice


@dataclass(frozen=True)
class NextSet:
    """The setup to try next, why, and by how many percent of the one-rep max it lowers the expected loss."""

    key: str
    label: str
    reason: Said
    worth_percent: float


def next_set(
    log: TrialLog, found: Fit, active: list[int], chances: Mapping[int, float], date: str | None
) -> NextSet:
    """The setup whose next set lowers the expected loss most; where none does, the one that narrows most."""
    dates = log.dates
    when = date or (dates[-1] if dates else None)
    if when in dates:
        order, session = sum(s.date == when for s in log.sets), dates.index(when)
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
    chances: Mapping[int, float],
    telling: bool,
) -> Said:
    count, name = found.counted(setup), {"name": candidate.label}
    others = [found.counted(i) for i in active if i != setup]
    if count == 0:
        return Said("trial_next_none", name)
    if count < min(others):
        return Said("trial_next_fewest", name | {"done": count})
    if not telling:
        return Said("trial_next_narrows", name)
    if setup == max(active, key=lambda i: chances[i]):
        return Said("trial_next_leader", name)
    return Said("trial_next_rival", name)
