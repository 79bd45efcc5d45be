"""The deadlift: published studies P1 to P7 and the facts of the trade."""

from __future__ import annotations

import functools
import itertools
import math
from collections.abc import Iterator
from dataclasses import replace

from shortlever import Tape
from shortlever.lifts.deadlift.gear import START_M, Gear
from shortlever.lifts.deadlift.library import puller_of, suggest
from shortlever.lifts.deadlift.measure import Assessment, assess_pull
from shortlever.lifts.deadlift.measure import Row as Height
from shortlever.lifts.deadlift.setup import Puller, Setup
from shortlever.units import GRAVITY_M_S2
from tests.authorities.rows import Case, Row, numbers, published

MEN = "average man, 1.8 body weights"
STYLES = ("conventional", "sumo")
WIDE_SUMO_M, WIDE_TURN_DEG = 1.00, 50.0


@functools.cache
def man() -> Puller:
    """The mean man of ANSUR II before 1.8 body weights."""
    return puller_of(Tape(sex="male"))


@functools.cache
def as_measured(style: str) -> Assessment:
    """The average man on the feet and hands that lifters of a style were measured with."""
    entry = published("pulls")["escamilla_2000"]
    feet = entry["stance_m"][style], entry["turn_out_deg"][style]
    return assess_pull(man(), Setup(style, *feet, entry["hands_m"][style]))


@functools.cache
def wide() -> Assessment:
    """The average man in a very wide sumo stance."""
    return assess_pull(man(), Setup("sumo", WIDE_SUMO_M, WIDE_TURN_DEG, man().plumb_m))


def at_knee(got: Assessment) -> Height:
    """The row in which the bar passes the knee joint, as it stands straight."""
    body = man().body
    knee = body.ankle_height_m + body.shank_m - START_M
    return min(got.path, key=lambda row: abs(row.height_m - knee))


def shear_n(got: Assessment) -> float:
    """What is above L5/S1, across the trunk, N."""
    body, mass = man().body, man().body.body_mass_kg
    parts = body.segments
    above = mass * (parts.middle_trunk + parts.upper_trunk + parts.head + 2 * parts.arm)
    return (above + got.load_kg) * GRAVITY_M_S2 * math.sin(math.radians(got.trunk_lean_deg))


def choice_rows() -> Iterator[Row]:
    """P1: what lifters of each style choose, beside what is suggested to an average man."""
    entry = published("pulls")["escamilla_2000"]
    case = Case(entry)
    for style in STYLES:
        got = suggest(Tape(sex="male"), style=style).measures
        for key, what, unit, model in (
            ("stance", "stance", "m", got.stance_m),
            ("turn_out", "toe-out", "°", got.turn_out_deg),
            ("hands", "hands", "m", got.grip_m),
        ):
            ending = "deg" if unit == "°" else "m"
            value, sd = (entry[f"{key}{word}_{ending}"][style] for word in ("", "_sd"))
            yield case.near(
                f"P1-{style}-{key}", f"{style}: suggested {what} against chosen", MEN, value, sd, model, unit
            )


def style_rows() -> Iterator[Row]:
    """P2 to P6: sumo against conventional on the feet and hands that lifters were measured with."""
    book = published("pulls")
    conventional, sumo = (as_measured(style) for style in STYLES)
    passing = [at_knee(one) for one in (conventional, sumo)]
    case = Case(book["escamilla_2000"])
    for short, there in (("liftoff", (conventional, sumo)), ("knee", passing)):
        lean = there[0].trunk_lean_deg - there[1].trunk_lean_deg
        thigh = there[0].thigh_deg - there[1].thigh_deg
        for name, key, change in (
            ("trunk", "trunk_more_upright_deg", lean),
            ("thigh", "thigh_more_level_deg", thigh),
        ):
            low, high = case.entry[key]
            how = "more upright" if name == "trunk" else "more level"
            where = "at the start" if short == "liftoff" else "as the bar passes the knees"
            yield case.within(
                f"P2-{name}-{short}", f"{name} {how} in sumo {where}", MEN, low, high, change, "°"
            )
    low, high = case.entry["bar_distance_ratio"]
    ratio = conventional.stroke_m / sumo.stroke_m
    yield case.within("P4-ratio", "range of motion, conventional over sumo", MEN, low, high, ratio, "")
    change = sumo.stroke_m / conventional.stroke_m - 1
    case = Case(book["escamilla_2001"])
    value, tolerance = case.entry["bar_distance_change"], case.entry["tolerance"]
    yield case.near(
        "P4-games", "range of motion, sumo against conventional", MEN, value, tolerance, change, ""
    )
    yield case.sign(
        "P3-upright",
        "trunk at the start; thigh at the start and knees; sumo against conventional",
        MEN,
        "trunk more vertical; thigh more horizontal at both",
        f"{sumo.trunk_lean_deg:.0f} against {conventional.trunk_lean_deg:.0f}°; "
        + ", ".join(
            f"{b.thigh_deg:.0f} against {a.thigh_deg:.0f}°" for a, b in ((conventional, sumo), tuple(passing))
        ),
        sumo.trunk_lean_deg < conventional.trunk_lean_deg
        and sumo.thigh_deg < conventional.thigh_deg
        and passing[1].thigh_deg < passing[0].thigh_deg,
    )
    yield case.sign(
        "P3-shank",
        "shank as the bar passes the knees, from vertical",
        MEN,
        "less vertical in sumo",
        f"{passing[1].shin_deg:.1f} against {passing[0].shin_deg:.1f}°",
        abs(passing[1].shin_deg) > abs(passing[0].shin_deg),
    )
    yield case.sign(
        "P6-knee",
        "knee moment, conventional: at the start and as the bar passes the knees",
        MEN,
        "extensor, and flexor",
        f"{conventional.knee_moment_n_m:+.0f} and {passing[0].knee_moment_n_m:+.0f} N·m",
        conventional.knee_moment_n_m > 0 > passing[0].knee_moment_n_m,
    )
    yield case.sign(
        "P6-ankle",
        "ankle moment: where the feet are pressed at the start, of their length from the heel",
        MEN,
        "plantar flexor conventional (ahead of the ankle), dorsiflexor in sumo (behind it)",
        f"{conventional.path[0].pressure:.2f} and {sumo.path[0].pressure:.2f}, ankle at 0.25",
        conventional.path[0].pressure > 0.25 > sumo.path[0].pressure,
    )
    case = Case(book["mcguigan_1996"])
    ends = sorted((change, wide().stroke_m / conventional.stroke_m - 1))
    value = case.entry["bar_distance_change"]
    yield case.sign(
        "P4-second",
        "range of motion, sumo against conventional: stance 0.70 m and 1.00 m",
        MEN,
        f"{value:+.2f}, stance not quoted",
        f"{ends[1]:+.2f} and {ends[0]:+.2f}",
        ends[0] <= value <= ends[1],
    )
    case = Case(book["cholewicki_1991"])
    moment = sumo.back_moment_n_m / conventional.back_moment_n_m - 1
    shear = shear_n(sumo) / shear_n(conventional) - 1
    tolerance = case.entry["tolerance"]
    for short, what, model in (("moment", "low-back moment", moment), ("shear", "low-back shear", shear)):
        value = case.entry[f"{short}_change"]
        yield case.near(f"P5-{short}", f"{what}, sumo against conventional", MEN, value, tolerance, model, "")


def knee_rows() -> Iterator[Row]:
    """P7: how far the knees bend under light bars."""
    entry = published("pulls")["schellenberg_2013"]
    feet = published("pulls")["escamilla_2000"]
    setup = Setup(
        "conventional", feet["stance_m"]["conventional"], feet["turn_out_deg"]["conventional"], 0.55
    )
    for share, value, sd in zip(entry["load_of_body"], entry["knee_deg"], entry["knee_sd_deg"], strict=True):
        got = assess_pull(replace(man(), load_kg=share * man().body.body_mass_kg), setup)
        yield Case(entry).near(
            f"P7-{100 * share:.0f}",
            f"largest knee flexion, {100 * share:.0f} % of body weight",
            "average man",
            value,
            sd,
            got.knee_deg,
            "°",
        )


def practice_rows() -> Iterator[Row]:
    """P8 to P11: what the trade is sure of."""
    entry = published("pulls")["practice"]
    case = Case(entry)
    setup = Setup("conventional", 0.32, 14.0, 0.50)
    longer = replace(man(), body=replace(man().body, arm_m=man().body.arm_m + 0.03))
    a, b = assess_pull(man(), setup), assess_pull(longer, setup)
    yield case.sign(
        "P8",
        "arms 3 cm longer: hips, range of motion, effort at the hardest point",
        MEN,
        "hips higher, range of motion shorter, easier",
        f"{100 * (b.hip_height_m - a.hip_height_m):+.1f} cm, {100 * (b.stroke_m - a.stroke_m):+.1f} cm, "
        f"{100 * (b.effort / a.effort - 1):+.1f} %",
        b.hip_height_m > a.hip_height_m and b.stroke_m < a.stroke_m and b.effort < a.effort,
    )
    starts = [0.225, 0.275, 0.325]
    blocks = [assess_pull(replace(man(), gear=Gear(start_m=z)), setup) for z in starts]
    yield case.sign(
        "P9",
        "bar 22.5 / 27.5 / 32.5 cm above the floor: hip height and effort",
        MEN,
        "hips higher, easier",
        f"{numbers([one.hip_height_m for one in blocks])} m; {numbers([one.effort for one in blocks], 2)}",
        all(y.hip_height_m > x.hip_height_m and y.effort < x.effort for x, y in itertools.pairwise(blocks)),
    )
    gap = suggest(Tape(sex="male"), style="conventional").measures.marks.bar_to_shin_m
    near = entry["gap_m"], entry["gap_tolerance_m"]
    yield case.near("P10", "gap between standing shin and bar", MEN, *near, gap)
    grips = [assess_pull(man(), replace(setup, grip_m=grip)) for grip in (0.50, 0.70, 0.90)]
    yield case.sign(
        "P11",
        "hands 50 / 70 / 90 cm apart: range of motion and lean",
        MEN,
        "wider hands: longer range of motion, more lean or lower hips",
        f"{numbers([one.stroke_m for one in grips])} m; "
        f"hips {numbers([one.hip_height_m for one in grips])} m",
        all(
            y.stroke_m > x.stroke_m and y.hip_height_m < x.hip_height_m for x, y in itertools.pairwise(grips)
        ),
    )


TABLE = "pulls"
GROUPS = (choice_rows, style_rows, knee_rows, practice_rows)
