"""What a tape says of a build: lengths beside those of people of the same sex and stature. Lengths m.

The people are those of ``population``, conditioned on stature alone; a share is the normal distribution's.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from shortlever.person.measure import TAPE_SD_M
from shortlever.person.population import Observation, estimate
from shortlever.person.tape import MEASURES, Tape

Z90 = 1.6448536269514722
PLAIN = 0.25  # of the people at either end: beyond that a length is told as short or long

# By key: what each tape number adds to the length.
TRAITS: Mapping[str, Mapping[str, int]] = {
    "arm": {"arm_length": 1},
    "shoulders": {"shoulder_breadth": 1},
    "trunk": {"shoulder_tip_height": 1, "hip_bone_height": -1},
    "thigh": {"hip_bone_height": 1, "knee_bump_height": -1},
    "shin": {"knee_bump_height": 1},
}


@dataclass(frozen=True)
class Trait:
    """A length of a lifter (m) and of the people: 9 in 10 of them lie from ``low_m`` to ``high_m``; ``below``
    is the share of them who have less. ``word``: "short", "long", or "" between the two."""

    key: str
    length_m: float
    middle_m: float
    low_m: float
    high_m: float
    below: float

    @property
    def word(self) -> str:
        """How it is told."""
        return "short" if self.below < PLAIN else "long" if self.below > 1 - PLAIN else ""


def build_of(tape: Tape) -> list[Trait]:
    """The lengths that were measured whole, beside the people's; none where the stature was not.

    The spread is the people's own and that of the tape's error in these numbers.

    >>> [arm] = build_of(Tape(stature=1.756, arm_length=0.70, sex="male"))
    >>> arm.key, arm.word, round(arm.middle_m, 3)
    ('arm', 'long', 0.665)
    """
    if tape.stature is None:
        return []
    stature = MEASURES["stature"].seen(tape.stature, TAPE_SD_M)
    people = estimate([stature], tape.sex)
    found = []
    for key, parts in TRAITS.items():
        values = {name: getattr(tape, name) for name in parts}
        if any(value is None for value in values.values()):
            continue
        weights: dict[str, float] = {}
        variance = 0.0
        for name, sign in parts.items():
            variance += MEASURES[name].seen(0.0, TAPE_SD_M).sd ** 2
            for dimension, weight in MEASURES[name].tells.items():
                weights[dimension] = weights.get(dimension, 0.0) + sign * weight
        length = sum(sign * values[name] for name, sign in parts.items())
        middle, sd = people.foretold(Observation(weights, length, math.sqrt(variance)))
        below = 0.5 * (1 + math.erf((length - middle) / sd / math.sqrt(2)))
        found.append(Trait(key, length, middle, middle - Z90 * sd, middle + Z90 * sd, below))
    return found
