"""What the core says to inputs that page scripts treat as well, for node --test to compare with."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

from shortlever import view
from shortlever.errors import InputError
from shortlever.film.ellipse import Ellipse
from shortlever.fitting.request import read_request
from shortlever.lifts import LIFTS
from shortlever.lifts.bench.measure import Setup as PressSetup
from shortlever.lifts.deadlift.setup import Setup as PullSetup
from shortlever.lifts.squat.measure import Setup as SquatSetup
from shortlever.person.measure import read
from shortlever.person.tape import MEASURES
from shortlever.roster.record import of_version_1
from shortlever.trials import fair_order
from shortlever.units import LENGTH_UNITS, MASS_UNITS, UnreadableError, read_quantity, show_length
from shortlever.view import sets_changes

LOADS = (
    "60", "62,5", "100", " 97.5 ", "135 lb", "60 KG", "61 1/4", "220lbs", "45 lb.", "61 3/2", "1/4", "60½",
    "½", "60 ½ kg", "60.", "60,", ".5", ",5 kg", "+60", "-60", "−60", "9 st", "9 st 4 lb", "4 lb 9 st",
    "9 st 4", "60 kg 5 kg", "60 kg -5 g", "1 kg 500 g", "500g", "60 stone", "60 in", "60²", "60 kg²", "６０",
    "60 kg.", "60..", "6.1.2", "6 1", "1e2", "61 1/0", "61 100/3", "", " ", "kg", "heavy", "0", "1" * 40,
    "1" * 41, "60\u00a0kg", "60 k g", "1,000.5", "061", "61 01/02", "61 1 / 2 lb",
)  # fmt: skip
COUNTS = (
    "5", " 8", "1,5", "1.5 ", "5.", ",5", ".5", "+5", "-1", "1e1", "1E+1", "05", "1 1/2", "1/2", "5 3/2", "",
    " ", ".", ",", "+", "5 5", "1,000.5", "5kg", "½", "inf", "nan", "0x5", "five", "2.5.1", "e1", "--5",
    "+ 5",
)  # fmt: skip
READABLE = ("61", "61,5", " 24 1/2 ", "0.5", "24 1/2 in", "61 cm", '24"')
TEXTS = (*READABLE, "1/4", "1 100/3", "1 3/2", "2′ 1", "", "wide", "6.1.2", "1 2")
Said = dict[str, Any]
VERSION_1 = Path(__file__).parents[1] / "core" / "lifters-1.json"


def lengths() -> list[Said]:
    """How a text is read where the unit switch stands at cm or in: metres, or null."""
    found = []
    for text in TEXTS:
        read: Said = {"text": text}
        for unit in ("cm", "in"):
            try:
                read[unit] = read_quantity(text, LENGTH_UNITS, unit)
            except UnreadableError:
                read[unit] = None
        found.append(read)
    return found


def masses() -> list[Said]:
    """Loads as read where kilograms or pounds are chosen: kg, or null."""
    found = []
    for text in LOADS:
        for unit in ("kg", "lb"):
            try:
                read = read_quantity(text, MASS_UNITS, unit)
            except UnreadableError:
                read = None
            found.append({"text": text, "unit": unit, "kg": read})
    return found


def counts() -> list[Said]:
    """Reps in reserve as read with no limit: the number, or null."""
    found = []
    for text in COUNTS:
        try:
            read = sets_changes._number({"reserve": text}, "reserve", -1e9, 1e9)
        except InputError:
            read = None
        found.append({"text": text, "number": read})
    return found


def tape_texts() -> list[Said]:
    """Fields of the tape as typed under one unit, read by the core (SI)."""
    return [
        {"key": key, "text": text, "unit": unit, "value": read(MEASURES[key], text, unit)}
        for key, text, unit in (
            ("arm_length", "62", "cm"), ("arm_length", "24 1/2", "in"), ("shoulder_breadth", "39,5", "cm"),
            ("shoulder_breadth", "15.5", "in"), ("stature", "180 cm", "in"), ("stature", "5 ft 11 in", "cm"),
            ("body_mass", "80", "cm"), ("body_mass", "176", "in"), ("body_mass", "176 lb", "cm"),
        )
    ]  # fmt: skip


def ellipses() -> list[Said]:
    """Semi-axes and tilt (degrees) with the matrix of the unit circle's picture, and back from it."""
    found = []
    for a, b, tilt in ((9, 7, 0), (120, 80, 30), (64, 63, -45), (50, 20, 90), (31, 12, -89), (40, 40, 0)):
        half = Ellipse(0, 0, a, b, math.radians(tilt)).half_axes()
        back = Ellipse.from_half_axes(0, 0, half)
        axes = (back.a, back.b, math.degrees(back.tilt))
        found.append({"a": a, "b": b, "tilt": tilt, "half": half, "axes": axes})
    return found


def orders() -> list[Said]:
    return [
        {"keys": keys, "session": session, "order": fair_order(keys, session)}
        for keys in ("AB", "ACD", "ABCD")
        for session in range(5)
    ]


def felt_between(lift: str, parts: list[dict[str, float]], most: dict[str, float]) -> Said:
    """The grid of a lift's example, and what the core says of setups between its points, to ``most``."""
    request = view.example_request(lift)
    grid = json.loads(view.answer(json.dumps(request | {"want": "feel"})))["feel"]
    case = LIFTS[lift].case(read_request(request))
    shown = json.loads(view.answer(json.dumps(request)))["setup"]
    cases = []
    for one in parts:
        setup = shown | one
        got = LIFTS[lift].measure(case, SETUPS[lift](case, setup)).got
        numbers = {key: NUMBERS[key](got) for key in most}
        cases.append({"parts": setup, "numbers": numbers, "most": most})
    return {"grid": grid, "cases": cases}


SETUPS: dict[str, Any] = {
    "bench": lambda press, parts: PressSetup(parts["grip_m"], parts["touch_m"], press.load_kg),
    "squat": lambda _, parts: SquatSetup(**parts),
    "deadlift": lambda _, parts: PullSetup("conventional", **parts),
}
NUMBERS: dict[str, Any] = {
    "tuck": lambda got: got.tuck_deg,
    "range_of_motion": lambda got: got.range_of_motion_m,
    "touch": lambda got: got.touch_tape_m,
    "heels": lambda got: got.marks.heels_m,
    "trunk_lean": lambda got: got.trunk_lean_deg,
    "knee_arm": lambda got: got.knee_arm_m,
    "hip_arm": lambda got: got.hip_arm_m,
    "back_arm": lambda got: got.back_arm_m,
    "stroke": lambda got: got.stroke_m,
    "hip_height": lambda got: got.hip_height_m,
}


def felt() -> Said:
    """By lift."""
    presses = [{"grip_m": a, "touch_m": b} for a in (0.55, 0.6333, 0.741, 0.8) for b in (0.112, 0.1345)]
    squats = [
        {"stance_m": a, "turn_out_deg": b, "sit_back_m": c}
        for a in (0.42, 0.5)
        for b in (30.0, 34.0)
        for c in (0.19, 0.23)
    ]
    pulls = [
        {"stance_m": a, "turn_out_deg": b, "grip_m": 0.62, "shoulder_ahead_m": c}
        for a in (0.22, 0.31)
        for b in (5.0, 12.0)
        for c in (0.04, 0.08)
    ]
    arms = dict.fromkeys(("knee_arm", "back_arm", "stroke"), 0.004)
    return {
        "bench": felt_between("bench", presses, {"tuck": 1.5, "range_of_motion": 0.002, "touch": 0.002}),
        "squat": felt_between("squat", squats, arms | {"heels": 0.002, "trunk_lean": 1.0}),
        "deadlift": felt_between(
            "deadlift",
            pulls,
            {"heels": 0.002, "trunk_lean": 1.0, "hip_height": 0.005, "hip_arm": 0.004, "stroke": 0.004},
        ),
    }


def of_a_device() -> list[Said]:
    """Lifters as version 1 kept them; the last as its own file refused it."""
    lifters = list(json.loads(VERSION_1.read_text("utf-8"))["lifters"])
    odd = json.loads(json.dumps(lifters[0]))
    odd["name"], odd["notes"] = "N" * 59 + "\ud83c", "left \udfcb, \U0001f3cb"
    odd["tapes"][1]["fields"] |= {"arm_length": "\ud83c" + "7" * 300, "span": "\U0001f3cb" * 201}
    return [*lifters, odd]


def everything() -> Said:
    return {
        "lengths": lengths(),
        "masses": masses(),
        "counts": counts(),
        "shown": [
            {"m": m} | {unit: show_length(m, unit) for unit in ("cm", "in")} for m in (0.62, 0.1, 0.3937)
        ],
        "tape_texts": tape_texts(),
        "ellipses": ellipses(),
        "orders": orders(),
        "felt": felt(),
        "of_version_1": [[one, of_version_1(one)] for one in of_a_device()],
    }


if __name__ == "__main__":
    print(json.dumps(everything()))
