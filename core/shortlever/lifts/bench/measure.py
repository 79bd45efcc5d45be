"""What is measured of a setup: arms, stroke, work, efforts, and how it stands against every limit."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

from shortlever.errors import InfeasibleError, InputError
from shortlever.lifts.bench.chest import PAST_THE_TOP_M
from shortlever.lifts.bench.limits import elbow_rule_margin_m
from shortlever.lifts.bench.pose import Pose
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.rep import Rep
from shortlever.lifts.bench.work import work_share
from shortlever.lifts.limit import Limit
from shortlever.say import PLAIN, Said
from shortlever.units import GRAVITY_M_S2, with_plain_numbers

GRIPS_M = 0.2, 1.3  # that two hands and a bar allow


@dataclass(frozen=True)
class Setup:
    """What a lifter can choose: forefinger spacing and touch point (m), bar load (kg).

    ``touch_m`` is the horizontal distance from the shoulder line to the bar on the chest, toward the feet.
    ``sideways_ratio`` holds the outward share of the hand force; None takes what lifters show at the grip.

    >>> Setup(grip_m=0.71, touch_m=0.128).load_kg
    100.0
    """

    grip_m: float
    touch_m: float
    load_kg: float = 100.0
    sideways_ratio: float | None = None

    def __post_init__(self) -> None:
        with_plain_numbers(self, ("grip_m", "touch_m", "load_kg", "sideways_ratio"))
        for name, low, high in (("grip_m", *GRIPS_M), ("touch_m", 0.0, 0.5), ("load_kg", 1.0, 600.0)):
            value = getattr(self, name)
            if not isinstance(value, int | float) or not low <= value <= high:
                of = {
                    "name": name,
                    "given": repr(value),
                    "low": low,
                    "high": high,
                    "unit": name.rsplit("_", 1)[1],
                }
                raise InputError(
                    name,
                    "out_of_range",
                    f"{value!r}"[:24],
                    Said("setup_out_of_range", of),
                    Said("setup_out_of_range_remedy", of),
                )
        ratio = self.sideways_ratio
        if ratio is not None and not (isinstance(ratio, int | float) and -2 <= ratio <= 2):
            raise InputError(
                "sideways_ratio",
                "out_of_range",
                f"{ratio!r}"[:24],
                Said("sideways_out_of_range", {"given": repr(ratio)}),
                Said("sideways_out_of_range_remedy"),
            )


@dataclass(frozen=True)
class Row:
    """One height of the bar path: y and resultant arms of the hand force (m), sideways ratio, tuck."""

    height_m: float
    y_m: float
    shoulder_arm_m: float
    elbow_arm_m: float
    sideways_ratio: float
    tuck_deg: float


@dataclass(frozen=True)
class Assessment:
    """The measures of one setup for one body. Units are in the names; moments are per arm, with arm weight.

    ``moment_arm_m`` is the horizontal distance from bar to shoulder line at the chest; ``mean_moment_arm_m``
    its mean over the press; ``resultant_*_arm_m`` the distance of joint from the line of the whole hand force
    at the chest. ``work_j`` is bar weight times ``range_of_motion_m`` for one press; ``work_share`` splits it
    by joint action by virtual work and sums to 1. ``limit_load_index`` is dimensionless and only compares
    setups of one lifter: larger means that a heavier bar reaches the joints' strength.
    """

    grip_m: float
    touch_m: float
    load_kg: float
    tuck_deg: float
    upper_arm_elevation_deg: float
    forearm_tilt_side_deg: float
    forearm_tilt_head_deg: float
    elbow_height_above_pad_m: float
    moment_arm_m: float
    mean_moment_arm_m: float
    sideways_arm_m: float
    resultant_shoulder_arm_m: float
    resultant_elbow_arm_m: float
    sideways_ratio: float
    range_of_motion_m: float
    work_j: float
    work_share: dict[str, float]
    shoulder_moment_n_m: float
    adduction_moment_n_m: float
    elbow_moment_n_m: float
    peak_shoulder_moment_n_m: float
    limit_load_index: float
    sticking_height_m: float
    lockout_height_m: float
    touch_tape_m: float
    rack_height_above_floor_m: float
    path: tuple[Row, ...]
    limits: tuple[Limit, ...]

    @property
    def ok(self) -> bool:
        """Whether every limit is kept."""
        return all(limit.ok for limit in self.limits)

    def plain(self) -> dict[str, object]:
        """The assessment as an object that can travel as JSON (SI), its sentences in English."""
        found: dict[str, object] = PLAIN.all(self.told())
        return found

    def told(self) -> dict[str, object]:
        """The same with its sentences still to be said."""
        out: dict[str, object] = {f.name: getattr(self, f.name) for f in fields(self)}
        out["path"] = [{f.name: getattr(row, f.name) for f in fields(Row)} for row in self.path]
        out["limits"] = [
            {f.name: getattr(limit, f.name) for f in fields(Limit)} | {"reason": limit.reason}
            for limit in self.limits
        ]
        return out


def resultant_arms_m(pose: Pose) -> tuple[float, float]:
    """Distances of shoulder and elbow from the line of the whole hand force (no arm weight), m."""
    k = pose.sideways
    size = math.hypot(1.0, k)

    def arm(x: float, y: float, z: float) -> float:
        # (x, y, z) cross (-k, 0, -1)
        return math.sqrt(y * y + (x - z * k) ** 2 + (y * k) ** 2) / size

    x, y, z = pose.hand
    ex, ey, ez = pose.elbow
    return arm(x, y, z), arm(x - ex, y - ey, z - ez)


def limits_of(press: Press, grip_m: float, touch_m: float, rep: Rep) -> tuple[Limit, ...]:
    """Every limit with its margin for a setup."""
    found: list[Limit] = []
    rules, comfort = press.gear.rules, press.comfort

    def add(name: str, margin: float, unit: str, tolerance: float, said: Said | None = None) -> None:
        found.append(Limit(name, margin >= -tolerance, margin, unit, said or Said(f"limit_{name}")))

    widest = press.gear.max_grip_m
    by = "rulebook" if rules.max_grip_m else "bar"
    said = Said(f"limit_ring_{by}", {"widest_m": widest, "rulebook": rules.name})
    add("ring", widest - grip_m, "m", 1e-6, said)
    if comfort.max_grip_of_biacromial:
        share = comfort.max_grip_of_biacromial
        cap = share * press.body.biacromial_m
        add(
            "cautious_grip",
            cap - grip_m,
            "m",
            1e-6,
            Said("limit_cautious_grip", {"share": share, "cap_m": cap}),
        )
    chest = min(rep.poses[0], key=lambda p: comfort.flare_cap_rad(-p.elbow[2]) - p.flare_rad)
    cap, depth = comfort.flare_cap_rad(-chest.elbow[2]), -chest.elbow[2]
    how = {"depth_m": abs(depth), "cap_deg": math.degrees(cap)}
    said = Said(f"limit_flare_{'below' if depth >= 0 else 'above'}", how)
    add("flare", math.degrees(cap - chest.flare_rad), "deg", 0.01, said)
    side = max(rep.poses[0], key=lambda p: abs(p.tilt_side_rad))
    most = math.degrees(comfort.stack_rad)
    stacked = math.degrees(comfort.stack_rad - abs(side.tilt_side_rad))
    add("stacked", stacked, "deg", 0.01, Said("limit_stacked", {"cap_deg": most}))
    lean = min(rep.poses[0], key=lambda p: p.tilt_head_rad)
    most = math.degrees(comfort.lean_rad)
    margin = math.degrees(comfort.lean_rad + lean.tilt_head_rad)
    add("lean", margin, "deg", 0.01, Said("limit_lean", {"cap_deg": most}))
    add("path", 0.0 if all(rep.inside[1:]) else -1.0, "deg", 1e-4)
    if rules.elbow_depth:
        add("elbow_depth", min(elbow_rule_margin_m(p) for p in rep.poses[0]), "m", 1e-4)
    past = Said("limit_chest", {"past_m": PAST_THE_TOP_M})
    add("chest", press.chest.end_y_m - touch_m, "m", 0.005, past)
    add("reach", press.body.reach_m - math.hypot(*rep.poses[0][0].hand), "m", 1e-4)
    return tuple(found)


def assess_press(press: Press, setup: Setup, rep: Rep | None = None) -> Assessment:
    """All measures of a setup. Raises InfeasibleError where the arms cannot reach it at all.

    ``rep`` is the setup's own, where it is already there.
    """
    if rep is None:
        rep = press.rep(setup.grip_m, setup.touch_m, setup.sideways_ratio)
    chest = max(rep.poses[0], key=lambda p: p.effort)
    effort, sticking = rep.hardest()
    half_weight = press.load_kg * GRAVITY_M_S2 / 2
    rows = []
    for z, y, pair in zip(rep.heights_m, rep.path_m, rep.poses, strict=True):
        arms = [resultant_arms_m(p) for p in pair]
        rows.append(
            Row(
                height_m=z - rep.heights_m[0],
                y_m=y,
                shoulder_arm_m=max(a[0] for a in arms),
                elbow_arm_m=max(a[1] for a in arms),
                sideways_ratio=pair[0].sideways,
                tuck_deg=math.degrees(pair[0].flare_rad),
            )
        )
    shoulder_arm, elbow_arm = resultant_arms_m(chest)
    x = abs(press.side_m(setup.grip_m) - chest.hand[2] * chest.sideways)
    above_pad = rep.heights_m[-1] + press.body.shoulder_height_m
    return Assessment(
        grip_m=setup.grip_m,
        touch_m=setup.touch_m,
        load_kg=press.load_kg,
        tuck_deg=math.degrees(chest.flare_rad),
        upper_arm_elevation_deg=math.degrees(chest.elevation_rad),
        forearm_tilt_side_deg=math.degrees(chest.tilt_side_rad),
        forearm_tilt_head_deg=math.degrees(chest.tilt_head_rad),
        elbow_height_above_pad_m=chest.elbow[2] + press.body.shoulder_height_m,
        moment_arm_m=setup.touch_m,
        mean_moment_arm_m=rep.mean_moment_arm_m,
        sideways_arm_m=x,
        resultant_shoulder_arm_m=shoulder_arm,
        resultant_elbow_arm_m=elbow_arm,
        sideways_ratio=chest.sideways,
        range_of_motion_m=rep.range_of_motion_m,
        work_j=press.load_kg * GRAVITY_M_S2 * rep.range_of_motion_m,
        work_share=work_share(press, rep, setup.grip_m),
        shoulder_moment_n_m=chest.flexion * half_weight,
        adduction_moment_n_m=chest.adduction * half_weight,
        elbow_moment_n_m=chest.extension * half_weight,
        peak_shoulder_moment_n_m=max(p.flexion for pair in rep.poses for p in pair) * half_weight,
        limit_load_index=press.body.reach_m / effort,
        sticking_height_m=sticking,
        lockout_height_m=above_pad,
        touch_tape_m=press.chest.tape_m(setup.touch_m),
        rack_height_above_floor_m=above_pad + press.gear.bench.height_m,
        path=tuple(rows),
        limits=limits_of(press, setup.grip_m, setup.touch_m, rep),
    )


def same_shoulder_load_kg(of: Assessment, other: Assessment) -> float:
    """The load in ``other`` that puts the peak shoulder flexion moment of ``of`` on the shoulder, kg.

    Of the bar's share of the moment: the arms weigh the same in both.
    """

    def bar_arm(a: Assessment) -> float:
        return max(abs(row.y_m) for row in a.path)

    if bar_arm(other) < 1e-9:
        raise InfeasibleError(Said("no_flexion_moment"))
    return of.load_kg * bar_arm(of) / bar_arm(other)
