"""One lifter fitted: what is suggested, the setup that can be set, its measures, and the present one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from shortlever.errors import InfeasibleError
from shortlever.lifts.lift import AnyLift, Doubt, Fit, Reading
from shortlever.say import Said

AnyFit = Fit[Any, Any, Any]


def fit(reading: Reading, request: Mapping[str, Any], with_frontier: bool = True) -> AnyFit:
    """The lifter of a request without errors, fitted.

    Raises InfeasibleError where no setup keeps every limit, and InputError for a body that cannot be.
    """
    lift, unit = reading.lift, reading.unit
    case = lift.case(reading)
    advice = lift.suggest(case, preference_of(lift, request), with_frontier=with_frontier)
    suggested, parts = lift.suggested(advice), picked(lift, request)
    setup = lift.settable(case, lift.pulled(case, parts, suggested) if parts else suggested, unit)
    fitted = Fit(reading, case, advice, lift.measure(case, setup), picked=bool(parts))
    try:
        now = lift.present(reading, case, fitted.shown)
        return replace(fitted, now=None if now is None else lift.measure(case, now))
    except InfeasibleError as none:
        return replace(fitted, out_of_reach=none.said)


def doubt(reading: Reading, request: Mapping[str, Any]) -> Doubt:
    """How sure the suggestion for a request without errors is. Raises as ``fit``."""
    lift = reading.lift
    return lift.doubt(reading, lift.case(reading), preference_of(lift, request))


def preference_of(lift: AnyLift, request: Mapping[str, Any]) -> float:
    """The dial of a request, 0 to 1."""
    value = request.get("preference", lift.default_preference)
    return float(value) if isinstance(value, int | float) and 0 <= value <= 1 else lift.default_preference


def picked(lift: AnyLift, request: Mapping[str, Any]) -> dict[str, float]:
    """The parts of the setup picked from the trade-off (m); none where none was picked."""
    choice = request.get("choice")
    if not isinstance(choice, Mapping):
        return {}
    values = {part.key: choice.get(part.key) for part in lift.parts}
    found = {key: float(v) for key, v in values.items() if isinstance(v, int | float) and abs(v) < 1e6}
    return found if len(found) == len(values) else {}


def measure_again(lift: AnyLift) -> Said:
    """What to do where no setup fits."""
    needed = [Said("inside", {"label": one.measure.label}) for one in lift.required]
    return Said("measure_these_again", {"labels": needed})
