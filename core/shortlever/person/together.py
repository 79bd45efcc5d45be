"""Tape numbers beside each other: what contradicts, and what is possible but unlikely. Lengths m, mass kg."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from shortlever.errors import InputError
from shortlever.person.measure import TAPE_SD_M, Measure, echo, refuse
from shortlever.person.population import estimate
from shortlever.say import Said

SIDE_KEYS = ("arm_length", "upper_arm", "forearm_to_grip")
SUM_SLACK_M = 0.06  # by how much upper arm and forearm may miss the whole arm before one must be wrong
# A number is odd beside the others where 199 of 200 people with those have another: two-sided on the normal
# distribution, and the 1 of 200 shared among all numbers that are looked at (Bonferroni).
ODD_SHARE = 0.005
Z995 = 2.807033768343811
# Two numbers of a body, and by how much the first is larger at least and at most (m): wider than ANSUR II has
# it by half the spread or more, so that what lies outside is a slip.
PAIRS = (
    ("stature", "shoulder_tip_height", 0.16, 0.52),
    ("stature", "hip_bone_height", 0.55, 1.20),
    ("stature", "sitting_height", 0.45, 1.25),
    ("stature", "crotch_height", 0.60, 1.30),
    ("stature", "foot_length", 1.05, 2.05),
    ("shoulder_tip_height", "hip_bone_height", 0.33, 0.80),
    ("shoulder_tip_height", "crotch_height", 0.36, 0.90),
    ("shoulder_tip_height", "sitting_height", 0.25, 0.95),
    ("hip_bone_height", "knee_bump_height", 0.24, 0.62),
    ("crotch_height", "knee_bump_height", 0.18, 0.58),
    ("hip_bone_height", "crotch_height", -0.10, 0.25),
)
Measures = Mapping[str, Measure]


def refuse_keys(side: str, own: Any) -> None:
    """Refuse what is not an object of numbers that may differ between the sides."""
    if not isinstance(own, Mapping):
        said = Said("side_no_object", {"side": side, "given": echo(own)})
        raise InputError(side, "not_an_object", echo(own), said, Said("side_no_object_remedy"))
    for key in own:
        if key not in SIDE_KEYS:
            raise InputError(
                f"{side}.{key}",
                "unknown",
                str(key),
                Said("side_same_on_both", {"given": echo(str(key))}),
                Said("give_one_of", {"keys": SIDE_KEYS}),
            )


def refuse_side(side: str, own: Any, measures: Measures) -> None:
    """Refuse numbers of one side that are impossible, one by one or together."""
    refuse_keys(side, own)
    for key, value in own.items():
        refuse(measures[key], value)
    refuse_sum(f"{side}.arm_length", own, measures)


def refuse_sum(field: str, given: Mapping[str, Any], measures: Measures) -> None:
    """Refuse parts that do not make up the whole arm, or that leave no room for the part not given."""
    whole, upper, fore = (given.get(key) for key in SIDE_KEYS)
    if whole is None or (upper is None and fore is None):
        return
    if upper is not None and fore is not None:
        allowed = abs(whole - upper - fore) <= SUM_SLACK_M
        why = Said("parts_add_up", {"parts_m": upper + fore})
    else:
        part, other = (upper, "forearm_to_grip") if upper is not None else (fore, "upper_arm")
        assert part is not None
        left, m = whole - part, measures[other]
        allowed = m.low - SUM_SLACK_M <= left <= m.high + SUM_SLACK_M
        why = Said("part_leaves", {"left_m": left, "other": m.label})
    if not allowed:
        raise InputError(
            field,
            "contradiction",
            f"{whole:g}",
            Said("arm_contradicts", {"whole_m": whole, "why": why}),
            Said("may_differ", {"most_m": SUM_SLACK_M}),
        )


def refuse_heights(given: Mapping[str, Any], measures: Measures) -> None:
    """Refuse two heights that no body has together."""
    for upper, lower, least_m, most_m in PAIRS:
        above, below = given.get(upper), given.get(lower)
        if above is None or below is None or least_m <= above - below <= most_m:
            continue
        names = {"upper": measures[upper].label, "lower": measures[lower].label}
        raise InputError(
            lower,
            "contradiction",
            f"{below:g}",
            Said("heights_contradict", names | {"upper_m": above, "lower_m": below}),
            Said("heights_differ", {"least_m": least_m, "most_m": most_m}),
        )


def unlikely(given: Mapping[str, float], sex: str | None, measures: Measures) -> list[tuple[str, Said]]:
    """Numbers that are possible one by one but unlikely together: field and what to say."""
    found: list[tuple[str, Said]] = []
    arm, upper, fore = (given.get(key) for key in SIDE_KEYS)
    span, joints, shoulders = (given.get(key) for key in ("span", "joint_width", "shoulder_breadth"))
    flat, arched = given.get("chest_flat"), given.get("chest_arched")
    if arm and span and span < 2 * arm + 0.10:
        found.append(("arm_length", Said("arm_longer_than_span_allows", {"arm_m": arm, "span_m": span})))
    if fore and upper and not 0.75 < fore / upper < 1.25:
        pair = {"forearm_m": fore, "upper_m": upper}
        found.append(("forearm_to_grip", Said("forearm_unlike_upper_arm", pair)))
    if joints and shoulders and joints > shoulders - 0.01:
        widths = {"joints_m": joints, "shoulders_m": shoulders}
        found.append(("joint_width", Said("joints_outside_shoulders", widths)))
    found = found or odd(given, sex, measures)
    if flat and arched and arched < flat:
        found.append(("chest_arched", Said("arch_below_flat", {"arched_m": arched, "flat_m": flat})))
    return found


def odd(given: Mapping[str, float], sex: str | None, measures: Measures) -> list[tuple[str, Said]]:
    """The length that is oddest beside the other numbers, if one is odd: field and what to say.

    Each is held against what the tables foretell of it from all the others, as a body is guessed. Both sides
    of an odd pair stand out then; the one that does more is named. Body weight only foretells: it tells of
    training and food more than of bones.
    """
    told = {key: measures[key].seen(value, TAPE_SD_M) for key, value in given.items() if measures[key].tells}
    lengths = [key for key in told if measures[key].kind == "length"]
    if len(told) < 2 or not lengths:
        return []
    away = {}
    for key in lengths:
        others = [seen for other, seen in told.items() if other != key]
        middle, sd = estimate(others, sex).foretold(told[key])
        away[key] = (given[key] - middle) / sd, middle, sd
    key = max(lengths, key=lambda k: abs(away[k][0]))
    far, middle, sd = away[key]
    if math.erfc(abs(far) * math.sqrt(0.5)) >= ODD_SHARE / len(lengths):
        return []
    m, half = measures[key], Z995 * sd
    length = {"here_m": given[key], "low_m": middle - half, "high_m": middle + half}
    return [(key, Said("odd_beside_others", {"label": m.label, "how": m.how, **length}))]
