"""Bodies: segments, joints, populations, strength."""

from __future__ import annotations

import csv
from collections.abc import Iterator

import numpy as np

from shortlever import Body, Tape
from shortlever.lifts.bench.pose import STRENGTH
from shortlever.person.body import ELBOW_ABOVE_RADIALE, SHOULDER_BELOW_ACROMION
from tests.authorities import held_out, reduce_ansur
from tests.authorities.rows import HERE, REPORTED, Case, Row, man, published

# ---- bodies, strength, rules -------------------------------------------------------------------------------


def body_rows() -> Iterator[Row]:
    """Segment lengths and sizes."""
    book = published("bodies")
    entry = book["pheasant"]
    for sex in ("male", "female"):
        arm = reduce_ansur.people(sex)[
            :, [reduce_ansur.ORDER.index(n) for n in ("upper_arm", "forearm_to_grip")]
        ]
        body = Body.from_tape(Tape(sex=sex)).right
        yield Case(entry).near(
            f"L1-{sex}",
            "arm length, acromion to grip (joint-to-joint reach plus the shoulder offset)",
            f"mean {sex}",
            entry["arm_length"][sex],
            entry["arm_length_sd"][sex],
            body.fore_m
            + body.upper_m / (1 - SHOULDER_BELOW_ACROMION - ELBOW_ABOVE_RADIALE) * (1 - ELBOW_ABOVE_RADIALE),
            note=f"{arm.sum(axis=1).mean():.3f} from the people themselves",
        )
    entry, spread = book["de_leva"], book["same_stature"]
    for sex in ("male", "female"):
        leva = entry[sex]
        body = Body.from_tape(
            Tape(sex=sex, stature=leva["stature"], body_mass=leva["body_mass"]), tape_sd_m=1e-6
        )
        share = book["wrist_to_grip"][sex]
        hand = np.array(hand_length(sex, leva["stature"]))
        name = f"{sex} of {leva['stature']:.3f} m, {leva['body_mass']:.1f} kg"
        yield Case(entry).near(
            f"L2-upper-{sex}",
            "upper arm, shoulder to elbow joint (± 1 SD at that stature)",
            name,
            leva["upper_arm"],
            spread[sex]["upper_arm"],
            body.right.upper_m,
        )
        yield Case(entry).near(
            f"L2-forearm-{sex}",
            "forearm, elbow to wrist joint (± 1 SD at that stature)",
            name,
            leva["forearm"],
            spread[sex]["forearm"],
            body.right.fore_m - share * float(hand),
        )
        mass = leva["upper_arm_mass"] + leva["forearm_mass"] + leva["hand_mass"]
        yield Case(entry).near(
            f"L2-mass-{sex}",
            "mass of one arm / body mass",
            name,
            mass,
            1e-6,
            (body.right.upper_mass_kg + body.right.fore_mass_kg) / body.body_mass_kg,
            "",
        )
        # the offsets, from memory, must turn Table 4's upper arm back into a plausible acromion to radiale
        offsets = book["de_leva_offsets"]
        whole = leva["upper_arm"] / (1 - offsets["shoulder_below_acromion"] - offsets["elbow_above_radiale"])
        yield Case(offsets).near(
            f"L3-{sex}",
            "arithmetic: acromion-radiale at that stature against Table 4's upper arm / (1 - offsets)",
            name,
            whole,
            spread[sex]["upper_arm"],
            body.right.upper_m / (1 - SHOULDER_BELOW_ACROMION - ELBOW_ABOVE_RADIALE),
        )
    for id, entry, top, bottom in (
        ("L4", book["wrist_to_grip"], "grip", "hand_length"),
        ("L5", book["handbook_breadth"], "shoulder_breadth", "stature"),
    ):
        for sex in ("male", "female"):
            people = dict(zip(reduce_ansur.ORDER, reduce_ansur.people(sex).T, strict=True))
            if top == "grip":
                value = float(wrist_to_grip(sex).mean() / people[bottom].mean())
            else:
                value = Body.from_tape(Tape(sex=sex)).biacromial_m / Body.from_tape(Tape(sex=sex)).stature_m
            yield Case(entry).near(
                f"{id}-{sex}", entry["definition"], f"mean {sex}", entry[sex], entry["tolerance"], value, ""
            )


def wrist_to_grip(sex: str) -> np.ndarray:
    """Wrist to grip centre of every person of one sex, m: forearm to grip without the forearm."""
    with open(HERE / "ansur2.csv", newline="") as file:
        rows = [r for r in csv.DictReader(file) if r["sex"] == sex[0].upper()]
    hand, forearm_hand, forearm_grip = (
        np.array([float(r[name]) for r in rows]) / 1000
        for name in ("handlength", "forearmhandlength", "forearmcenterofgriplength")
    )
    return hand - forearm_hand + forearm_grip


def hand_length(sex: str, stature_m: float) -> float:
    """Mean hand length of people of one sex and stature, by least squares, m."""
    people = reduce_ansur.people(sex)
    x, y = (people[:, reduce_ansur.ORDER.index(n)] for n in ("stature", "hand_length"))
    slope, start = np.polyfit(x, y, 1)
    return float(start + slope * stature_m)


def strength_rows() -> Iterator[Row]:
    """Ratios of strength: the model takes the first source's, the others stand beside it."""
    book = published("strength")
    gymnast = book["gymnast"]
    yield Case(gymnast).near(
        "S1-flexion",
        "shoulder flexion / horizontal adduction",
        "model parameter",
        gymnast["flexion"] / gymnast["horizontal_adduction"],
        1e-6,
        STRENGTH.flexion / STRENGTH.adduction,
        "",
    )
    yield Case(gymnast).near(
        "S1-elbow",
        "elbow extension / horizontal adduction",
        "model parameter",
        gymnast["elbow_extension"] / gymnast["horizontal_adduction"],
        1e-6,
        STRENGTH.extension / STRENGTH.adduction,
        "",
    )
    elbow = STRENGTH.extension / STRENGTH.adduction
    worker = book["manual_workers"]
    yield Case(worker).row(
        "S2",
        "elbow extension / horizontal adduction",
        "model parameter",
        f"{worker['elbow_extension'] / worker['horizontal_adduction']:.3f}",
        f"{elbow:.3f}",
        REPORTED,
    )
    young, hurt, static = book["young_men_elbow"], book["rupture_uninjured_side"], book["static_flexion"]
    mass = man().body_mass_kg
    both = Case({"source": f"{young['source']}; {hurt['source']}", "known": "derived"})
    yield both.row(
        "S3",
        "elbow extension / horizontal adduction (two groups, body mass of the average man)",
        "model parameter",
        f"{young['elbow_extension_per_kg'] * mass / hurt['horizontal_adduction']:.3f}",
        f"{elbow:.3f}",
        REPORTED,
    )
    both = Case({"source": f"{static['source']}; {hurt['source']}", "known": "derived"})
    yield both.row(
        "S4",
        "shoulder flexion / horizontal adduction (two groups)",
        "model parameter",
        f"{static['flexion'] / hurt['horizontal_adduction']:.3f}",
        f"{STRENGTH.flexion / STRENGTH.adduction:.3f}",
        REPORTED,
    )


def population_rows() -> Iterator[Row]:
    """Whether people held out of the fit fall inside the intervals."""
    book = published("bodies")["coverage"]
    for words, known in held_out.KNOWN.items():
        cover = {n: held_out.pooled_cover(known, n) for n in reduce_ansur.ORDER if n not in known}
        low, high = min(cover, key=cover.__getitem__), max(cover, key=cover.__getitem__)
        yield Case(book).sign(
            f"L6-{words.replace(', ', '+').replace(' ', '_')}",
            f"held-out people inside 90 % intervals, least and most covered dimension; known: {words}",
            "1,213 people, both sexes",
            f"{100 * book['low']:.0f} to {100 * book['high']:.0f} %",
            f"{100 * cover[low]:.1f} % ({low}) to {100 * cover[high]:.1f} % ({high})",
            book["low"] <= cover[low] and cover[high] <= book["high"],
        )


GROUPS = (body_rows, population_rows, strength_rows)
