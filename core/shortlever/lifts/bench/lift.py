"""The bench press as the one value that everything above receives."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from shortlever.lifts.bench import feel, form, screen, sheet
from shortlever.lifts.bench.advice import Suggestion, suggest_press
from shortlever.lifts.bench.doubt import doubt_of
from shortlever.lifts.bench.film import PRESS_FILM, film_plan
from shortlever.lifts.bench.gear import BARS, BENCHES, RULEBOOKS, Gear, Rack
from shortlever.lifts.bench.limits import COMFORTS
from shortlever.lifts.bench.marks import marks_of
from shortlever.lifts.bench.measure import Setup
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.screen import PressFit
from shortlever.lifts.bench.search import DEFAULT_PREFERENCE
from shortlever.lifts.bench.setting import Measured, measured, pulled, that_can_be_set
from shortlever.lifts.bench.words import BUILD, CAUTIONS, hook, ring
from shortlever.lifts.lift import AtEachSet, Doubt, Lift, Reading, Spot
from shortlever.person.body import Body
from shortlever.say import Said, Text


class BenchPress(Lift[Press, Setup, Suggestion, Measured]):
    """The bench press: a setup is grip and touch, the trade-off that between stroke and moment arm."""

    key = "bench"
    name = Said("bench_press")
    fields = form.FIELDS
    choices = form.CHOICES
    parts = form.PARTS
    results = sheet.RESULTS
    default_preference = DEFAULT_PREFERENCE
    example = form.EXAMPLE
    invented = form.INVENTED
    cautions = CAUTIONS
    commands = "shortlever.lifts.bench.commands"
    evidence = "rows_of_presses"
    library = "shortlever.lifts.bench.library"
    at_each_set = AtEachSet(
        Said("bench_held"),
        Said("bench_not_held"),
        Said("set_ready"),
        Said("bench_stop"),
        column="touched_where_planned",
    )
    leanings = form.LEANINGS
    example_trial = form.EXAMPLE_TRIAL
    unclear = form.UNCLEAR
    looks_ours = form.LOOKS_OURS
    build = BUILD
    film = PRESS_FILM

    suggest = staticmethod(suggest_press)
    settable = staticmethod(that_can_be_set)
    measure = staticmethod(measured)
    bar_way = staticmethod(screen.bar_way)
    screen = staticmethod(screen.screen)
    cells = staticmethod(sheet.cells)
    feel = staticmethod(feel.feel)
    film_plan = staticmethod(film_plan)

    def case(self, reading: Reading) -> Press:
        """The press of a lifter under the gear that was read, at body weight."""
        assert reading.tape is not None
        body, chosen = Body.from_tape(reading.tape), reading.chosen
        height, rings, lowest, spacing = (
            reading.given.get(key) for key in ("bench_height", "ring_distance", "lowest_hole", "hole_spacing")
        )
        bench = replace(BENCHES["contest"], height_m=height) if height else BENCHES["contest"]
        bar = replace(BARS[chosen["bar"]], rings_m=(rings,)) if rings else BARS[chosen["bar"]]
        rack = Rack(lowest, spacing) if lowest and spacing else None
        gear = Gear(bar, bench, RULEBOOKS[chosen["rules"]], rack)
        return Press(body, gear, COMFORTS[chosen["comfort"]], load_kg=body.body_mass_kg)

    def suggested(self, advice: Suggestion) -> Setup:
        """The suggested setup."""
        return advice.setup

    def pulled(self, case: Press, parts: Mapping[str, float], suggested: Setup) -> Setup:
        """See ``setting.pulled``."""
        return pulled(case, parts["grip_m"], parts["touch_m"], suggested.load_kg)

    def present(self, reading: Reading, case: Press, shown: Measured) -> Setup | None:
        """The present grip and touch; without the grip it is as shown, without the touch the nearest."""
        grip, tape = (reading.given.get(key) for key in ("current_grip", "current_touch"))
        if grip is None and tape is None:
            return None
        grip = shown.setup.grip_m if grip is None else grip
        touch = case.nearest_touch_m(grip) if tape is None else max(case.chest.y_at_tape_m(tape), 0.0)
        return Setup(grip, touch, shown.setup.load_kg)

    def as_present(self, shown: Measured) -> Mapping[str, float]:
        """Grip and touch."""
        return {"current_grip": shown.got.grip_m, "current_touch": shown.got.touch_tape_m}

    def doubt(self, reading: Reading, case: Press, preference: float) -> Doubt:
        """See ``doubt_of``, in words."""
        assert reading.tape is not None
        return screen.in_words(doubt_of(case, reading.tape, preference))

    def rests(self, fit: PressFit) -> Sequence[Text]:
        """See ``screen.rests_on``."""
        return screen.rests_on(fit)

    def setup_in_words(self, parts: Mapping[str, Any]) -> Text:
        """Grip and touch."""
        grip, touch = (parts.get(part.key) for part in self.parts)
        if not isinstance(grip, int | float) or not isinstance(touch, int | float):
            return ""
        return Said("setup_in_words", {"grip_m": grip, "touch_m": touch})

    def spots(self, fit: PressFit) -> tuple[Spot, ...]:
        """The forefinger on the bar, the hooks of the uprights."""
        got = fit.shown.got
        marks = marks_of(fit.case, got)
        high = {"hook_m": marks.hook_above_floor_m}
        hooks = Spot(
            "hooks", marks.hook_above_floor_m, hook(marks) if marks.hole else Said("spot_hooks", high)
        )
        return Spot("bar", got.grip_m / 2, ring(marks)), hooks


BENCH_PRESS = BenchPress()
