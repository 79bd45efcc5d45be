"""What stands round a press in its figures, to scale: floor, bench, rack, the lifter's body, bar and plates.

Lengths of the body that no tape number gives are shares of stature (Winter's segment table, from memory), its
outline and widths drawn by eye: nothing is measured off them.
"""

from __future__ import annotations

from shortlever.draw.chart import Frame, knee, limb
from shortlever.draw.svg import Drawing, Point, area, blob, box, curve, dot, line
from shortlever.lifts.bench.marks import HOOK_BELOW_LOCKOUT_M
from shortlever.lifts.bench.press import Press

# shares of stature
HIP, THIGH, SHANK, ANKLE, FOOT = 0.30, 0.245, 0.246, 0.039, 0.152
HEAD_Y_M, HEAD_RADIUS_M, HEAD_UP_M = -0.235, 0.095, 0.105  # from the shoulder line; above the pad
ARM_WIDTH_M, HAND_RADIUS_M, THIGH_WIDTH_M, SHANK_WIDTH_M = 0.075, 0.042, 0.14, 0.095
BEHIND_M, BENCH_FROM_M, BENCH_LENGTH_M, PAD_M = (
    0.52,
    -0.40,
    1.22,
    0.05,
)  # length: IPF technical rules, at least (second-hand)
UPRIGHT_Y_M, UPRIGHT_X_M, UPRIGHT_WIDTH_M, HOOK_M = -0.36, 0.56, 0.05, 0.09
SLEEVE_RADIUS_M = 0.025  # IWF equipment (memory)


def levels(press: Press) -> tuple[float, float]:
    """Heights of the pad and of the floor from the shoulder line, m."""
    pad = -press.body.shoulder_height_m
    return pad, pad - press.gear.bench.height_m


def feet_m(press: Press) -> float:
    """How far the toes are from the shoulder line, m."""
    stature = press.body.stature_m
    return (HIP + 0.17 + 0.75 * FOOT) * stature


def side(press: Press, frame: Frame, lockout_m: float) -> list[Drawing]:
    """Floor, rack, bench and lifter from the side, head left."""
    pad, floor = levels(press)

    def at(y: float, z: float) -> Point:
        return frame.at((0.0, y, z))

    left, right = -BEHIND_M, feet_m(press) + 0.05
    out: list[Drawing] = [line("fig-floor", at(left, floor), at(right, floor))]
    out += _rack_from_the_side(frame, floor, lockout_m)
    under, end = pad - PAD_M, BENCH_FROM_M + BENCH_LENGTH_M
    out += [line("fig-iron", at(y, under), at(y, floor)) for y in (BENCH_FROM_M + 0.2, end - 0.2)]
    out.append(box("fig-pad", at(BENCH_FROM_M, pad), BENCH_LENGTH_M * frame.per_m, PAD_M * frame.per_m))
    return out + _leg(press, frame) + _trunk(press, frame)


def _rack_from_the_side(frame: Frame, floor: float, lockout_m: float) -> list[Drawing]:
    """An upright behind the head, its hook just under the bar at lockout."""
    y, hook = UPRIGHT_Y_M, lockout_m - HOOK_BELOW_LOCKOUT_M
    half = UPRIGHT_WIDTH_M / 2
    lip = [(y, hook - 0.03), (y + half + HOOK_M, hook - 0.03), (y + half + HOOK_M, hook + 0.02)]
    tall = (hook + 0.05 - floor) * frame.per_m
    return [
        box("fig-post", frame.at((0.0, y - half, hook + 0.05)), UPRIGHT_WIDTH_M * frame.per_m, tall),
        curve("fig-iron", (frame.at((0.0, *p)) for p in lip)),
    ]


def _leg(press: Press, frame: Frame) -> list[Drawing]:
    (pad, floor), stature = levels(press), press.body.stature_m
    hip = (HIP * stature, pad + 0.10)
    ankle = ((HIP + 0.17) * stature, floor + ANKLE * stature)
    bend = knee(hip, ankle, THIGH * stature, SHANK * stature)
    heel, toe = ankle[0] - 0.25 * FOOT * stature, ankle[0] + 0.75 * FOOT * stature
    sole = [
        (heel, floor),
        (heel, floor + 0.05),
        (ankle[0], floor + 0.10),
        (toe - 0.05, floor + 0.045),
        (toe, floor),
    ]
    per = frame.per_m

    def at(point: Point) -> Point:
        return frame.at((0.0, *point))

    return [
        area("fig-body", map(at, sole)),
        *limb("fig-limb", map(at, (bend, ankle)), SHANK_WIDTH_M * per),
        *limb("fig-limb", map(at, (hip, bend)), THIGH_WIDTH_M * per),
    ]


def _trunk(press: Press, frame: Frame) -> list[Drawing]:
    body, chest = press.body, press.chest
    pad, hip = -body.shoulder_height_m, HIP * body.stature_m
    end = chest.top_y_m + 0.10
    across = [chest.notch_y_m + (end - chest.notch_y_m) * i / 6 for i in range(7)]
    arch = max(body.chest_arched_m - body.chest_flat_m, 0.0)
    outline = [
        (-0.14, pad + 0.055),
        (-0.12, pad + 0.13),
        *((y, chest.height_m(y) + pad) for y in across),
        (0.5 * (end + hip), pad + 0.5 * (chest.height_m(end) + 0.20)),
        (hip, pad + 0.20),
        (hip + 0.09, pad + 0.13),
        (hip + 0.05, pad + 0.01),
        (hip - 0.10, pad),
        (0.5 * hip, pad + 0.015 + 0.8 * arch),
        (0.12, pad),
        (0.0, pad),
    ]
    head = frame.at((0.0, HEAD_Y_M, pad + HEAD_UP_M))
    return [
        blob("fig-body", (frame.at((0.0, *p)) for p in outline)),
        dot("fig-body", head, HEAD_RADIUS_M * frame.per_m),
    ]


def from_the_head(press: Press, frame: Frame, chest_m: float, lockout_m: float) -> list[Drawing]:
    """Floor, rack, bench and lifter from the head end; ``chest_m``: the chest under the bar over the pad."""
    pad, floor = levels(press)
    half, x = press.gear.bench.width_m / 2, press.body.half_shoulder_m
    per = frame.per_m

    def at(across: float, z: float) -> Point:
        return frame.at((across, 0.0, z))

    out: list[Drawing] = [line("fig-floor", at(-1.1, floor), at(1.1, floor))]
    hook = lockout_m - HOOK_BELOW_LOCKOUT_M
    for side_of in (-1, 1):
        place = at(side_of * UPRIGHT_X_M - UPRIGHT_WIDTH_M / 2, hook)
        out.append(box("fig-post", place, UPRIGHT_WIDTH_M * per, (hook - floor) * per))
        out.append(line("fig-iron", at(side_of * 0.8 * half, pad - PAD_M), at(side_of * 1.2 * half, floor)))
    out.append(box("fig-pad", at(-half, pad), 2 * half * per, PAD_M * per))
    tip = x + 0.045  # the shoulder has a width round its joint
    right = [(0.5 * x, pad + 0.92 * chest_m), (0.85 * x, 0.055), (tip, -0.01), (0.8 * x, pad + 0.01)]
    left = [(-across, z) for across, z in reversed(right)]
    outline = [(0.0, pad + chest_m), *right, (0.0, pad), *left]
    out.append(blob("fig-body", (at(*p) for p in outline)))
    out.append(dot("fig-body", at(0.0, pad + HEAD_UP_M), 0.085 * per))
    return out


def from_above(press: Press, frame: Frame) -> list[Drawing]:
    """Bench and lifter from above, head up."""
    stature, x, half = press.body.stature_m, press.body.half_shoulder_m, press.gear.bench.width_m / 2
    hip, per = HIP * stature, frame.per_m

    def at(across: float, y: float) -> Point:
        return frame.at((across, y, 0.0))

    out: list[Drawing] = [box("fig-pad", at(half, BENCH_FROM_M), 2 * half * per, BENCH_LENGTH_M * per)]
    for side_of in (-1, 1):
        leg = [(side_of * 0.09, hip), (side_of * 0.24, hip + 0.9 * THIGH * stature)]
        out += limb("fig-limb", (at(*p) for p in leg), THIGH_WIDTH_M * per)
    tip = x + 0.045
    right = [
        (0.05, -0.10),
        (0.7 * x, -0.075),
        (tip, 0.0),
        (0.88 * x, 0.15),
        (0.72 * x, 0.7 * hip),
        (0.85 * x, hip),
    ]
    outline = [*right, (0.5 * x, hip + 0.08), (-0.5 * x, hip + 0.08), *((-a, y) for a, y in reversed(right))]
    out.append(blob("fig-body", (at(*p) for p in outline)))
    out.append(dot("fig-body", at(0.0, HEAD_Y_M + 0.02), 0.085 * per))
    return out
