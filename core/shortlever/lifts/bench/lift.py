"""The bench press as the one value that everything above receives."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from shortlever.lifts.bench import film, form, screen, sheet
from shortlever.lifts.bench.advice import Suggestion, suggest_press
from shortlever.lifts.bench.doubt import doubt_of
from shortlever.lifts.bench.gear import BARS, BENCHES, RULEBOOKS, Gear
from shortlever.lifts.bench.limits import COMFORTS
from shortlever.lifts.bench.measure import Setup
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.screen import PressFit
from shortlever.lifts.bench.search import DEFAULT_PREFERENCE
from shortlever.lifts.bench.setting import Measured, measured, pulled, that_can_be_set
from shortlever.lifts.bench.words import CAUTIONS
from shortlever.lifts.lift import Doubt, FilmPlan, Lift, Reading
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
    unclear = form.UNCLEAR
    looks_ours = form.LOOKS_OURS

    def case(self, reading: Reading) -> Press:
        """The press of a lifter under the gear that was read, at body weight."""
        assert reading.tape is not None
        body, chosen = Body.from_tape(reading.tape), reading.chosen
        height = reading.given.get("bench_height")
        bench = replace(BENCHES["contest"], height_m=height) if height else BENCHES["contest"]
        gear = Gear(BARS[chosen["bar"]], bench, RULEBOOKS[chosen["rules"]])
        return Press(body, gear, COMFORTS[chosen["comfort"]], load_kg=body.body_mass_kg)

    def suggest(self, case: Press, preference: float, *, with_frontier: bool = True) -> Suggestion:
        """See ``suggest_press``."""
        return suggest_press(case, preference, with_frontier=with_frontier)

    def suggested(self, advice: Suggestion) -> Setup:
        """The suggested setup."""
        return advice.setup

    def pulled(self, case: Press, parts: Mapping[str, float], suggested: Setup) -> Setup:
        """See ``setting.pulled``."""
        return pulled(case, parts["grip_m"], parts["touch_m"], suggested.load_kg)

    def settable(self, case: Press, setup: Setup, unit: str) -> Setup:
        """See ``that_can_be_set``."""
        return that_can_be_set(case, setup, unit)

    def measure(self, case: Press, setup: Setup) -> Measured:
        """See ``measured``."""
        return measured(case, setup)

    def present(self, reading: Reading, case: Press, shown: Measured) -> Setup | None:
        """The present grip and touch; the half not given is taken as shown."""
        grip, tape = (reading.given.get(key) for key in ("current_grip", "current_touch"))
        if grip is None and tape is None:
            return None
        touch = shown.setup.touch_m if tape is None else case.chest.y_at_tape_m(tape)
        return Setup(shown.setup.grip_m if grip is None else grip, max(touch, 0.0), shown.setup.load_kg)

    def doubt(self, reading: Reading, case: Press, preference: float) -> Doubt:
        """See ``doubt_of``, in words."""
        assert reading.tape is not None
        return screen.doubt_in_words(doubt_of(case, reading.tape, preference))

    def screen(self, fit: PressFit) -> dict[str, Any]:
        """See ``screen.screen``."""
        return screen.screen(fit)

    def cells(self, fit: PressFit) -> Mapping[str, Text]:
        """See ``sheet.cells``."""
        return sheet.cells(fit)

    def setup_in_words(self, parts: Mapping[str, Any]) -> Text:
        """Grip and touch."""
        grip, touch = (parts.get(part.key) for part in self.parts)
        if not isinstance(grip, int | float) or not isinstance(touch, int | float):
            return ""
        return Said("setup_in_words", {"grip_m": grip, "touch_m": touch})

    def film_plan(self, fit: PressFit) -> FilmPlan:
        """See ``film.film_plan``."""
        return film.film_plan(fit)


BENCH_PRESS = BenchPress()
