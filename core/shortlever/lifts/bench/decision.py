"""What the answer begins with: change or stay, then what it brings and costs, by the one yardstick."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.lifts.bench.advice import Gain
from shortlever.lifts.bench.measure import Assessment
from shortlever.lifts.bench.worth import TOO_CLOSE, Yardstick
from shortlever.say import Said

LEAST_CHANGE_M = 0.0075  # less than two steps of what can be set is not called a change of grip or touch
LEAST_SHARE = 0.005  # half a percent: less is "as now"


@dataclass(frozen=True)
class Decision:
    """``code``: stay, wider, narrower, higher, lower, or "" for nothing; what to say first, and after it."""

    code: str
    said: tuple[Said, ...]
    because: tuple[Said, ...]
    grip_given: bool
    touch_given: bool


def decide(
    new: Assessment,
    now: Assessment,
    gain: Gain,
    yardstick: Yardstick,
    *,
    grip_given: bool,
    touch_given: bool,
    picked: bool = False,
) -> Decision:
    """The suggestion against the present setup; of what was not given nothing is said.

    Stay is the answer where the suggestion is worth less than TOO_CLOSE more and the present setup breaks no
    limit. Of a setup that the person ``picked`` it is said only what it changes.
    """
    worth = yardstick.of(new) - yardstick.of(now)
    broken = [limit for limit in now.limits if limit.broken and (limit.name == "ring" or touch_given)]
    changes = _changes(new, now, grip_given, touch_given)
    if not picked and (not changes or (worth < TOO_CLOSE and not broken)):
        said = Said("stay_close", {"percent": 100 * max(worth, 0.0), "close": 100 * TOO_CLOSE})
        return Decision("stay", (Said("stay"),), (said,), grip_given, touch_given)
    why = tuple(Said("present_breaks", {"why": limit.reason}) for limit in broken[:1])
    said_first, because = tuple(said for _, said in changes), why + _balance(new, now, gain)
    return Decision(changes[0][0] if changes else "", said_first, because, grip_given, touch_given)


def _changes(new: Assessment, now: Assessment, grip_given: bool, touch_given: bool) -> list[tuple[str, Said]]:
    """What moves, the larger change first."""
    found: list[tuple[float, str, Said]] = []
    if grip_given:
        step = new.grip_m - now.grip_m
        ends: dict[str, float | str | Said] = {"from_m": now.grip_m, "to_m": new.grip_m}
        one = ("wider", Said("wider", ends)) if step > 0 else ("narrower", Said("narrower", ends))
        found.append((abs(step), *one))
    if touch_given:
        step = new.touch_tape_m - now.touch_tape_m
        ends = {"by_m": abs(step), "from_m": now.touch_tape_m, "to_m": new.touch_tape_m}
        one = ("lower", Said("lower", ends)) if step > 0 else ("higher", Said("higher", ends))
        found.append((2 * abs(step), *one))
    found.sort(key=lambda one: -one[0])
    return [(code, said) for size, code, said in found if size >= LEAST_CHANGE_M]


def _balance(new: Assessment, now: Assessment, gain: Gain) -> tuple[Said, ...]:
    """What the change brings and what it costs: stroke, hardest point, load on the shoulders."""
    brings: list[Said] = []
    costs: list[Said] = []

    stroke, hardest = 100 * (gain.range_of_motion - 1), 100 * (gain.limit_load_index - 1)
    if stroke <= -100 * LEAST_SHARE:
        brings.append(Said("stroke_shorter", {"percent": -stroke}))
    elif stroke >= 100 * LEAST_SHARE:
        costs.append(Said("stroke_longer", {"percent": stroke}))
    if hardest >= 100 * LEAST_SHARE:
        brings.append(Said("hardest_more", {"percent": hardest}))
    elif hardest <= -100 * LEAST_SHARE:
        costs.append(Said("hardest_less", {"percent": -hardest}))
    sentences = []
    if brings:
        sentences.append(Said("brings", {"what": tuple(brings)}))
    if costs:
        sentences.append(Said("costs", {"what": tuple(costs)}))
    there = 1e4 / gain.same_shoulder_load_kg
    if abs(math.log(there / 100)) >= LEAST_SHARE:
        sentences.append(Said("shoulders_like", {"kg": there}))
    return tuple(sentences)
