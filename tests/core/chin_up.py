"""A lift that moves in for a test: the chin-up. A toy, no model of one."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from types import SimpleNamespace as Setup
from typing import Any, cast

import pytest

from shortlever.lifts import LIFTS
from shortlever.lifts.film import FilmCheck, Filmed, FilmMark, FilmNumber, FilmPlan
from shortlever.lifts.form import SEX, Field, Part
from shortlever.lifts.lift import Doubt, Fit, Lift, Reading, Result
from shortlever.person.measure import Measure
from shortlever.person.tape import MEASURES, Tape
from shortlever.say import ENGLISH, Said

NOW = Measure(
    "current_hands", "Present hands", "between the thumbs", 0.1, 1.0, letter="g", names="present hands"
)


WORDS = {
    "toy_hip": "hip", "toy_mark": "Hip", "toy_hint": "The near hip joint.", "toy_find": "Mark it.",
    "toy_none": "The hip is not marked.", "toy_rise": "Rise", "toy_higher": "higher", "toy_lower": "lower",
    "toy_front": "front", "toy_back": "back", "toy_hang": "in the hang", "toy_gap": "Plate to hip",
    "toy_ask": "Say where the front is.",
}  # fmt: skip


def move_in(patch: pytest.MonkeyPatch, toy: ChinUp) -> None:
    """The toy is in the registry, and its words in the catalogue."""
    patch.setitem(LIFTS, toy.key, toy)
    for code, text in WORDS.items():
        patch.setitem(cast(dict[str, Any], ENGLISH.texts), code, text)


class ChinUpFilm(FilmCheck[FilmPlan]):
    """A plate on a belt: how far it rises, and how far it hangs in front of the hip."""

    numbers = (
        FilmNumber(
            "rise", Said("toy_rise"), Said("toy_higher"), Said("toy_lower"), head=Said("toy_rise"), told=True
        ),
        FilmNumber("gap", Said("toy_gap"), Said("toy_front"), Said("toy_back")),
    )
    marks = (
        FilmMark("hip", Said("toy_mark"), Said("toy_hint"), 0.16, 0.02, (Said("toy_none"), Said("toy_find"))),
    )
    origin, ahead, behind = Said("toy_hip"), Said("toy_front"), Said("toy_back")
    where, arm, ask_side, strokes_m = Said("toy_hang"), Said("toy_gap"), Said("toy_ask"), (0.2, 0.9)

    def measured(self, rep: Filmed, plan: FilmPlan | None) -> dict[str, float]:
        return {"gap": rep.rest[0]} | ({"rise": rep.travel_m} if rep.rise else {})


class ChinUp(Lift[Tape, Setup, Setup, Setup]):
    key, name, commands = "chin_up", "chin-up", __name__
    fields = (Field(MEASURES["arm_length"], "tape", required=True), Field(NOW, "present"))
    choices, parts = (SEX,), (Part("hands_m", "i", 0),)
    results = (
        Result("hands", "Setup: between the thumbs", True, "Hands"),
        Result("gain", "Setup: against the present one"),
    )
    example, cautions = {"arm_length": "62"}, (("Mind the floor.", None),)
    film = ChinUpFilm()
    leanings = ("hands near", "hands between", "hands apart")
    invented = (("Ida Ried", {"arm_length": 60, "current_hands": 30}, "female"),)

    def case(self, reading: Reading) -> Tape:
        assert reading.tape is not None
        return reading.tape

    def suggest(self, case: Tape, preference: float, *, with_frontier: bool = True) -> Setup:
        return Setup(hands_m=(0.4 + 0.4 * preference) * (case.arm_length or 0))

    def suggested(self, advice: Setup) -> Setup:
        return advice

    def pulled(self, case: Tape, parts: Mapping[str, float], suggested: Setup) -> Setup:
        return Setup(hands_m=min(max(parts["hands_m"], 0.2), case.arm_length or 0))

    def settable(self, case: Tape, setup: Setup, unit: str) -> Setup:
        return Setup(hands_m=round(200 * setup.hands_m) / 200)

    def measure(self, case: Tape, setup: Setup) -> Setup:
        return Setup(hands_m=setup.hands_m, stroke_m=0.9 * (case.arm_length or 0), arm_m=0.3 * setup.hands_m)

    def present(self, reading: Reading, case: Tape, shown: Setup) -> Setup | None:
        return Setup(hands_m=reading.given["current_hands"]) if reading.given else None

    def doubt(self, reading: Reading, case: Tape, preference: float) -> Doubt:
        return Doubt({"hands": "30 to 40 cm"}, "All of it.", "Nothing checks it.", None)

    def screen(self, fit: Fit[Tape, Setup, Setup]) -> dict[str, Any]:
        said, text = self.cells(fit), self.setup_in_words(vars(fit.shown))
        number = {"key": "hands", "label": "Hands", "value": said["hands"], "unit": fit.reading.unit}
        view = {"key": "side", "label": "From the side", "svg": "<svg/>", "rows": [{}]}
        figure = {
            "svg": "<svg/>",
            "title": "Chin-up",
            "text": text,
            "table": [["Hands", text]],
            "views": [view],
        }
        trial = {"label": text, "index": 1.0, "stroke_m": fit.shown.stroke_m, "mean_arm_m": fit.shown.arm_m}
        return {
            "warnings": [], "headline": [number], "measures": [], "reasons": [], "marks": [],
            "trial": [trial],
            "gain": {"text": said["gain"], "parts": []} if fit.now else None,
            "figure": figure | {"beats": "", "rows": [text], "row_arms": [""]},
            "tradeoff": {"svg": "<svg/>", "at": 0, "suggested": 0, "choices": []},
            "setup": {"hands_m": fit.shown.hands_m},
        }  # fmt: skip

    def film_plan(self, fit: Fit[Tape, Setup, Setup]) -> FilmPlan:
        rise = fit.shown.stroke_m
        return FilmPlan({"rise": rise, "gap": 0.0}, [(0.0, -0.3), (0.0, rise - 0.3)], {"hip": (0.17, 0.01)})

    def cells(self, fit: Fit[Tape, Setup, Setup]) -> dict[str, str]:
        wider = 100 * (fit.shown.hands_m - fit.now.hands_m) if fit.now else 0.0
        return {"hands": f"{100 * fit.shown.hands_m:.1f}", "gain": f"{wider:+.1f} cm" if fit.now else ""}

    def setup_in_words(self, parts: Mapping[str, Any]) -> str:
        return f"hands {100 * parts['hands_m']:.1f} cm apart"


def add_options(suggest: argparse.ArgumentParser, assess: argparse.ArgumentParser) -> None:
    assess.add_argument("--hands", type=float, required=True)


def command(options: argparse.Namespace, tape: Tape) -> tuple[str, dict[str, object]]:
    hands = options.hands if options.command == "assess" else 0.6 * (tape.arm_length or 0)
    return f"Hands {100 * hands:.0f} cm", {"hands_m": hands}
