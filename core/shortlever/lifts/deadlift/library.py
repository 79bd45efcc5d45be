"""The deadlift as a library: ``assess`` a setup, ``suggest`` one."""

from __future__ import annotations

from dataclasses import replace

from shortlever.lifts.deadlift.advice import Suggestion, suggest_pull
from shortlever.lifts.deadlift.comfort import COMFORTS, STYLES, Comfort
from shortlever.lifts.deadlift.doubt import doubt_of
from shortlever.lifts.deadlift.gear import Gear
from shortlever.lifts.deadlift.measure import Assessment, assess_pull
from shortlever.lifts.deadlift.one_style import DEFAULT_PREFERENCE
from shortlever.lifts.deadlift.setup import USUAL_LOAD, Puller, Setup, no_style, out_of_range
from shortlever.lifts.legs.body import Standing
from shortlever.person.tape import Tape

__all__ = ["Assessment", "Comfort", "Gear", "Setup", "Suggestion", "assess", "puller_of", "suggest"]

LOADS_KG, STARTS_M = (1.0, 600.0), (0.10, 0.60)


def puller_of(
    lifter: Tape | Standing,
    *,
    style: str = "",
    gear: Gear | None = None,
    comfort: Comfort = COMFORTS["usual"],
    load_kg: float | None = None,
) -> Puller:
    """A lifter before a bar. ``style``: the one to be shown, "" any; ``load_kg``: 1.8 body weights where
    None. Raises InputError for what is no choice or out of range.

    >>> round(puller_of(Tape(stature=1.75, body_mass=80)).load_kg)
    144
    """
    body = lifter if isinstance(lifter, Standing) else Standing.from_tape(lifter)
    load = USUAL_LOAD * body.body_mass_kg if load_kg is None else load_kg
    gear = gear or Gear()
    if style not in ("", *STYLES):
        raise no_style(style)
    for name, value, (low, high), unit in (
        ("load_kg", load, LOADS_KG, "kg"),
        ("start_m", gear.start_m, STARTS_M, "m"),
    ):
        if not isinstance(value, int | float) or not low <= value <= high:
            raise out_of_range(name, value, low, high, unit)
    return Puller(body, gear, comfort, load, style)


def assess(
    lifter: Tape | Standing,
    setup: Setup,
    *,
    gear: Gear | None = None,
    comfort: Comfort = COMFORTS["usual"],
    load_kg: float | None = None,
) -> Assessment:
    """All measures of one setup for one lifter (units in the names, SI; angles in degrees).

    Raises InfeasibleError where arms and legs hold no such start or lockout; a setup that only breaks a limit
    is measured all the same and says so in ``limits``.

    >>> man = Tape(stature=1.756, body_mass=85.5, sex="male")
    >>> got = assess(man, Setup("conventional", 0.30, 10.0, 0.50), load_kg=150)
    >>> 55 < got.trunk_lean_deg < 70
    True
    """
    return assess_pull(puller_of(lifter, gear=gear, comfort=comfort, load_kg=load_kg), setup)


def suggest(
    lifter: Tape | Standing,
    *,
    style: str = "",
    gear: Gear | None = None,
    comfort: Comfort = COMFORTS["usual"],
    preference: float = DEFAULT_PREFERENCE,
    load_kg: float | None = None,
    current: Setup | None = None,
    with_intervals: bool = False,
) -> Suggestion:
    """The suggested setup for one lifter, its measures and its reasons, with the best of the other style.

    ``style``: "conventional" or "sumo"; where "" the present one or the one of less effort is shown.
    ``preference`` 0 starts with the lowest hips, 1 with the highest. ``load_kg`` moves the lean a little: the
    bar weighs against the body. ``current`` is compared where it is given. ``with_intervals`` carries tape
    error, estimated dimensions and what is assumed of ankle and balance through (slower; needs a Tape).

    >>> suggest(Tape(stature=1.75, body_mass=80), style="sumo").setup.stance_m > 0.5
    True
    """
    puller = puller_of(lifter, style=style, gear=gear, comfort=comfort, load_kg=load_kg)
    advice = suggest_pull(puller, preference, current)
    if isinstance(lifter, Tape):
        doubt = doubt_of(puller, lifter, advice.setup.style, preference) if with_intervals else None
        advice = replace(advice, doubt=doubt, warnings=tuple(lifter.warnings()))
    return advice
