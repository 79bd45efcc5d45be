"""The deadlift as the one value that everything above receives."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from shortlever.lifts.deadlift import form, screen, sheet
from shortlever.lifts.deadlift.advice import Suggestion, suggest_pull
from shortlever.lifts.deadlift.comfort import COMFORTS
from shortlever.lifts.deadlift.doubt import doubt_of
from shortlever.lifts.deadlift.feel import feel
from shortlever.lifts.deadlift.film import PULL_FILM, film_plan
from shortlever.lifts.deadlift.gear import BARS, START_M, Gear
from shortlever.lifts.deadlift.one_style import DEFAULT_PREFERENCE
from shortlever.lifts.deadlift.screen import PullFit
from shortlever.lifts.deadlift.setting import Measured, measured, present, pulled, style_of, that_can_be_set
from shortlever.lifts.deadlift.setup import USUAL_LOAD, Puller, Setup
from shortlever.lifts.deadlift.words import BUILD, CAUTIONS, setup_in_words
from shortlever.lifts.legs import form as legs
from shortlever.lifts.legs.body import Standing, likely_of_legs
from shortlever.lifts.lift import AtEachSet, Doubt, Lift, Reading, Spot
from shortlever.say import Said


class Deadlift(Lift[Puller, Setup, Suggestion, Measured]):
    """The deadlift: a setup is style, stance, turn-out, hands and how far the shoulders start in front of the
    bar; the dial moves the hips where they are nearly free."""

    key = "deadlift"
    name = Said("deadlift")
    fields = form.FIELDS
    choices = form.CHOICES
    parts = form.PARTS
    results = sheet.RESULTS
    default_preference = DEFAULT_PREFERENCE
    example = legs.EXAMPLE
    invented = form.INVENTED
    cautions = CAUTIONS
    commands = "shortlever.lifts.deadlift.commands"
    evidence = "rows_of_pulls"
    library = "shortlever.lifts.deadlift.library"
    at_each_set = AtEachSet(Said("pull_held"), Said("pull_not_held"), Said("pull_ready"), Said("pull_stop"))
    leanings = form.LEANINGS
    example_trial = form.EXAMPLE_TRIAL
    example_load_kg = 100.0
    unclear = form.UNCLEAR
    looks_ours = form.LOOKS_OURS
    film = PULL_FILM
    build = BUILD

    suggest = staticmethod(suggest_pull)
    settable = staticmethod(that_can_be_set)
    measure = staticmethod(measured)
    bar_way = staticmethod(screen.bar_way)
    film_plan = staticmethod(film_plan)
    screen = staticmethod(screen.screen)
    cells = staticmethod(sheet.cells)
    setup_in_words = staticmethod(setup_in_words)
    feel = staticmethod(feel)

    def case(self, reading: Reading) -> Puller:
        """The lifter of a reading before 1.8 body weights, in the style that was asked for or is carried."""
        assert reading.tape is not None
        body, chosen = Standing.from_tape(reading.tape), reading.chosen
        gear = Gear(BARS[chosen["bar"]], reading.given.get("bar_start", START_M))
        load = USUAL_LOAD * body.body_mass_kg
        puller = Puller(body, gear, COMFORTS[chosen["hips"]], load, chosen["style"])
        return puller if puller.style else replace(puller, style=style_of(puller, reading.given))

    def suggested(self, advice: Suggestion) -> Setup:
        """The suggested setup."""
        return advice.setup

    def pulled(self, case: Puller, parts: Mapping[str, float], suggested: Setup) -> Setup:
        """See ``setting.pulled``."""
        return pulled(case, parts)

    def present(self, reading: Reading, case: Puller, shown: Measured) -> Setup | None:
        """See ``setting.present``."""
        return present(case, reading.given, shown.setup)

    def spots(self, fit: PullFit) -> tuple[Spot, ...]:
        """The hand on the bar, the heel on the floor."""
        marks = fit.shown.got.marks
        hands = Spot("bar", marks.hands_m / 2, Said("spot_hands", {"hands_m": marks.hands_m}))
        return hands, Spot("floor", marks.heels_m / 2, Said("spot_heels", {"heels_m": marks.heels_m}))

    def likely(self, given: Mapping[str, float], sex: str | None) -> Mapping[str, float]:
        """The body's numbers, and how far its ankle is taken to go."""
        return likely_of_legs(given, sex)

    def as_present(self, shown: Measured) -> Mapping[str, float]:
        """Feet and hands."""
        got = shown.got
        turn = math.radians(got.turn_out_deg)
        return {
            "current_heels": got.marks.heels_m,
            "current_turn_out": turn,
            "current_hands": got.marks.hands_m,
        }

    def doubt(self, reading: Reading, case: Puller, preference: float) -> Doubt:
        """See ``doubt_of``, in words, of the style that is suggested."""
        assert reading.tape is not None
        style = suggest_pull(case, preference, with_frontier=False).setup.style
        return screen.in_words(doubt_of(case, reading.tape, style, preference))


DEADLIFT = Deadlift()
