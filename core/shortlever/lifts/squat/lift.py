"""The squat as the one value that everything above receives."""

from __future__ import annotations

import math
from collections.abc import Mapping

from shortlever.lifts.legs import form as legs
from shortlever.lifts.legs.body import Standing, likely_of_legs
from shortlever.lifts.legs.marks import stance_of_heels_m
from shortlever.lifts.lift import AtEachSet, Doubt, Lift, Reading, Spot
from shortlever.lifts.squat import form, screen, sheet
from shortlever.lifts.squat.advice import Suggestion, suggest_squat
from shortlever.lifts.squat.doubt import doubt_of
from shortlever.lifts.squat.feel import feel
from shortlever.lifts.squat.film import SQUAT_FILM, film_plan
from shortlever.lifts.squat.limits import COMFORTS
from shortlever.lifts.squat.measure import Setup
from shortlever.lifts.squat.screen import SquatFit
from shortlever.lifts.squat.search import DEFAULT_PREFERENCE
from shortlever.lifts.squat.setting import Measured, measured, pulled, that_can_be_set
from shortlever.lifts.squat.squat import USUAL_LOAD, Squat
from shortlever.lifts.squat.words import BUILD, CAUTIONS, setup_in_words
from shortlever.say import Said


class SquatLift(Lift[Squat, Setup, Suggestion, Measured]):
    """The squat: a setup is stance, turn-out, heel and how far the hips sit back; the trade-off is that
    between knees and hips."""

    key = "squat"
    name = Said("squat")
    fields = form.FIELDS
    choices = form.CHOICES
    parts = form.PARTS
    results = sheet.RESULTS
    default_preference = DEFAULT_PREFERENCE
    example = legs.EXAMPLE
    invented = form.INVENTED
    cautions = CAUTIONS
    commands = "shortlever.lifts.squat.commands"
    evidence = "rows_of_squats"
    library = "shortlever.lifts.squat.library"
    at_each_set = AtEachSet(
        Said("squat_held"), Said("squat_not_held"), Said("squat_ready"), Said("squat_stop")
    )
    leanings = form.LEANINGS
    example_trial = form.EXAMPLE_TRIAL
    example_load_kg = 80.0
    unclear = legs.UNCLEAR
    looks_ours = form.LOOKS_OURS
    film = SQUAT_FILM
    build = BUILD

    suggest = staticmethod(suggest_squat)
    settable = staticmethod(that_can_be_set)
    measure = staticmethod(measured)
    bar_way = staticmethod(screen.bar_way)
    film_plan = staticmethod(film_plan)
    screen = staticmethod(screen.screen)
    cells = staticmethod(sheet.cells)
    setup_in_words = staticmethod(setup_in_words)
    feel = staticmethod(feel)

    def case(self, reading: Reading) -> Squat:
        """The squat of a lifter as it was read, with 1.5 body weights on the bar."""
        assert reading.tape is not None
        body, chosen = Standing.from_tape(reading.tape), reading.chosen
        load = USUAL_LOAD * body.body_mass_kg
        return Squat(body, chosen["bar_position"], chosen["depth"], COMFORTS[chosen["hips"]], load)

    def suggested(self, advice: Suggestion) -> Setup:
        """The suggested setup."""
        return advice.setup

    def pulled(self, case: Squat, parts: Mapping[str, float], suggested: Setup) -> Setup:
        """See ``setting.pulled``."""
        return pulled(case, parts)

    def present(self, reading: Reading, case: Squat, shown: Measured) -> Setup | None:
        """The present feet; what was not given of them is taken as shown, the hips where effort is least."""
        heels, turn, heel = (
            reading.given.get(key) for key in ("current_heels", "current_turn_out", "current_heel")
        )
        if heels is None and turn is None and heel is None:
            return None
        there = shown.setup
        turn_rad = there.turn_rad if turn is None else turn
        stance = there.stance_m if heels is None else stance_of_heels_m(case.body, heels, turn_rad)
        return Setup(stance, math.degrees(turn_rad), heel or 0.0)

    def spots(self, fit: SquatFit) -> tuple[Spot, ...]:
        """The heel on the floor, the hooks of the uprights."""
        marks = fit.shown.got.marks
        heels = Spot("floor", marks.heels_m / 2, Said("spot_heels", {"heels_m": marks.heels_m}))
        return Spot("hooks", marks.hook_m, Said("spot_hooks", {"hook_m": marks.hook_m})), heels

    def likely(self, given: Mapping[str, float], sex: str | None) -> Mapping[str, float]:
        """The body's numbers, and how far its ankle is taken to go."""
        return likely_of_legs(given, sex)

    def as_present(self, shown: Measured) -> Mapping[str, float]:
        """Feet and heel."""
        got = shown.got
        turn = math.radians(got.turn_out_deg)
        return {"current_heels": got.marks.heels_m, "current_turn_out": turn, "current_heel": got.heel_m}

    def doubt(self, reading: Reading, case: Squat, preference: float) -> Doubt:
        """See ``doubt_of``, in words."""
        assert reading.tape is not None
        return screen.in_words(doubt_of(case, reading.tape, preference))


SQUAT = SquatLift()
