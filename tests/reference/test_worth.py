"""The same setup leads where Fit suggests and where sets begin, or neither does, for random lifters."""

from __future__ import annotations

import random
from typing import Any

import pytest

from shortlever.errors import InfeasibleError
from shortlever.fitting.fit import AnyFit, fit
from shortlever.fitting.request import read_request
from shortlever.lifts.bench.setting import that_can_be_set
from shortlever.trials import Candidate, TrialLog
from shortlever.trials.gauss import chances_best
from shortlever.trials.model import fit as believed

ROUNDING = 0.005  # ln; what rounding to half a centimetre may cost, and the half percent of the search


def a_lifter(dice: random.Random) -> AnyFit | None:
    """Someone with a present grip and, half of the time, a present touch; None where nothing fits."""
    arm = dice.uniform(54, 78)
    fields = {
        "arm_length": f"{arm:.1f}",
        "shoulder_breadth": f"{0.62 * arm + dice.uniform(-3, 3):.1f}",
        "current_grip": f"{dice.uniform(40, 95):.0f}",
    }
    if dice.random() < 0.5:
        fields["current_touch"] = f"{dice.uniform(12, 26):.0f}"
    if dice.random() < 0.3:
        fields["chest_flat"] = f"{dice.uniform(19, 29):.1f}"
    request: dict[str, Any] = {
        "unit": "cm",
        "fields": fields,
        "preference": dice.choice([0.5, 0.5, 0, 0.3, 1]),
    }
    try:
        return fit(read_request(request), request)
    except InfeasibleError:
        return None


def leads_alike(seed: int) -> str:
    """ "suggested" or "neither": who leads on both screens; "!" and why where they differ; "" for no pair."""
    found = a_lifter(random.Random(seed))
    if found is None or found.now is None:
        return ""
    yard, suggested = found.advice.yardstick, found.shown.got
    assert found.shown.setup == that_can_be_set(found.case, found.advice.setup, "cm")
    gained = yard.of(suggested) - yard.of(found.now.got)
    if gained < -ROUNDING and not any(limit.broken for limit in found.now.got.limits):
        return f"!{seed}: inside the limits the present setup is worth {-gained:.4f} more than the suggestion"
    trial = found.reading.lift.screen(found)["trial"]
    if len(trial) < 2:
        return "neither"
    setups = tuple(
        Candidate(key, str(one["label"]), one["index"], present=one["present"])
        for key, one in zip("AB", trial, strict=False)
    )
    prior = believed(TrialLog(setups)).setups
    chance = chances_best(prior.mean, prior.covariance)[1]
    if (chance > 0.5 + 1e-4) != (gained > 1e-4):
        return f"!{seed}: Fit gains {gained:.4f}, sets begin with {chance:.4f}"
    if chance < 0.5 - 1e-4:
        return f"!{seed}: the present setup leads before the first set with {1 - chance:.4f}"
    return "suggested" if gained > 1e-4 else "neither"


def told(lifters: int, first: int) -> list[str]:
    outcomes = [leads_alike(first + i) for i in range(lifters)]
    print({name: outcomes.count(name) for name in ("", "neither", "suggested")})
    return [one for one in outcomes if one.startswith("!")]


def test_fit_and_sets_lead_alike() -> None:
    assert told(50, 7_000) == []


@pytest.mark.slow
def test_fit_and_sets_lead_alike_for_a_thousand() -> None:
    assert told(1000, 17_000) == []
