"""The squat as a library: ``assess`` a setup, ``suggest`` one."""

from __future__ import annotations

from dataclasses import replace

from shortlever.errors import InputError
from shortlever.lifts.legs.body import Standing
from shortlever.lifts.squat.advice import Suggestion, suggest_squat
from shortlever.lifts.squat.doubt import doubt_of
from shortlever.lifts.squat.gear import BARS, DEPTHS, POSITIONS, Bar
from shortlever.lifts.squat.limits import COMFORTS, Comfort
from shortlever.lifts.squat.measure import Assessment, Setup, assess_squat
from shortlever.lifts.squat.search import DEFAULT_PREFERENCE
from shortlever.lifts.squat.squat import USUAL_LOAD, Squat
from shortlever.person.tape import Tape
from shortlever.say import Said

__all__ = ["Assessment", "Comfort", "Setup", "Suggestion", "assess", "squat_of", "suggest"]

LOADS_KG = 1.0, 600.0


def squat_of(
    lifter: Tape | Standing,
    *,
    bar_position: str = "low",
    depth: str = "rule",
    comfort: Comfort = COMFORTS["usual"],
    load_kg: float | None = None,
    bar: Bar = BARS["power"],
) -> Squat:
    """A lifter under a bar, ready to squat. ``bar_position``: "high" or "low"; ``depth``: "rule" or "level";
    ``load_kg``: 1.5 body weights where None. Raises InputError for what is no choice or out of range.

    >>> round(squat_of(Tape(stature=1.75, body_mass=80)).load_kg)
    120
    """
    for name, value, allowed in (("bar_position", bar_position, tuple(POSITIONS)), ("depth", depth, DEPTHS)):
        if value not in allowed:
            given = str(value)[:24]
            said = Said("squat_not_a_choice", {"name": name, "given": given})
            remedy = Said("choose_one_of", {"options": allowed})
            raise InputError(name, "not_a_choice", given, said, remedy)
    body = lifter if isinstance(lifter, Standing) else Standing.from_tape(lifter)
    load = USUAL_LOAD * body.body_mass_kg if load_kg is None else load_kg
    low, high = LOADS_KG
    if not isinstance(load, int | float) or not low <= load <= high:
        said = Said("squat_load_out_of_range", {"given": repr(load), "low": low, "high": high})
        raise InputError("load_kg", "out_of_range", f"{load!r}"[:24], said, Said("squat_load_remedy"))
    return Squat(body, bar_position, depth, comfort, load, bar.diameter_m)


def assess(
    lifter: Tape | Standing,
    setup: Setup,
    *,
    bar_position: str = "low",
    depth: str = "rule",
    comfort: Comfort = COMFORTS["usual"],
    load_kg: float | None = None,
    bar: Bar = BARS["power"],
) -> Assessment:
    """All measures of one setup for one lifter (units in the names, SI; angles in degrees).

    Raises InfeasibleError where legs and balance hold no such bottom; a setup that only breaks a limit is
    measured all the same and says so in ``limits``.

    >>> got = assess(Tape(stature=1.756, body_mass=85.5, sex="male"), Setup(0.45, 25.0), load_kg=130)
    >>> 25 < got.shin_deg < 37
    True
    """
    squat = squat_of(
        lifter, bar_position=bar_position, depth=depth, comfort=comfort, load_kg=load_kg, bar=bar
    )
    return assess_squat(squat, setup)


def suggest(
    lifter: Tape | Standing,
    *,
    bar_position: str = "low",
    depth: str = "rule",
    comfort: Comfort = COMFORTS["usual"],
    preference: float = DEFAULT_PREFERENCE,
    load_kg: float | None = None,
    bar: Bar = BARS["power"],
    current: Setup | None = None,
    with_intervals: bool = False,
) -> Suggestion:
    """The suggested setup for one lifter, its measures and its reasons.

    ``preference`` 0 lets the knees take most, 1 hips and back. ``load_kg`` moves the lean a little: the bar
    weighs against the body. ``current`` is compared where it is given. ``with_intervals`` carries tape error,
    estimated dimensions and what is assumed of ankle and balance through (slower; needs a Tape).

    >>> 0.3 < suggest(Tape(stature=1.75, body_mass=80)).setup.stance_m < 0.8
    True
    """
    squat = squat_of(
        lifter, bar_position=bar_position, depth=depth, comfort=comfort, load_kg=load_kg, bar=bar
    )
    advice = suggest_squat(squat, preference, current)
    if isinstance(lifter, Tape):
        doubt = doubt_of(squat, lifter, preference) if with_intervals else None
        advice = replace(advice, doubt=doubt, warnings=tuple(lifter.warnings()))
    return advice
