"""What a lifter's shoulder, the rulebook and two links allow, as bounds on the elbow's swivel and on the bar.

Comfort: the more the elbow hangs below the shoulder, the less the upper arm may flare. Stacked: seen from
the side the forearm stays close to the vertical. Both are common practice without a source and are
parameters, not injury thresholds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from shortlever.lifts.bench.pose import Circle, Effort, Linkage, Pose

CAUTIOUS_GRIP_OF_BIACROMIAL = (
    1.5  # Green and Comfort 2007, Strength Cond J 29:10, after shoulder trouble (abstract read)
)


@dataclass(frozen=True)
class Comfort:
    """How far a lifter lets the upper arm flare and the forearm lean (rad, m).

    The flare allowed is ``flare_level_rad`` with the elbow level with the shoulder, falls by
    ``flare_per_depth`` per metre of depth, never under ``flare_least_rad``, and opens to
    ``flare_most_rad`` above the shoulder. ``stack_rad``: forearm from the vertical seen from the side;
    touch points and paths are planned to lean ``stack_aim_rad``, more only where the touch would
    otherwise be past the chest. ``lean_rad``: forearm leaning inward seen from the head at the chest, opening
    by ``lean_per_height`` per metre of height; without it a narrow grip could touch as close as a wide one,
    against Wagner 1992 and the trade.
    ``max_grip_of_biacromial``: a cautious cap on grip, None without.
    """

    name: str = "usual"
    flare_level_rad: float = math.radians(75)
    flare_per_depth: float = math.radians(30) / 0.20
    flare_least_rad: float = math.radians(30)
    flare_most_rad: float = math.radians(90)
    stack_rad: float = math.radians(10)
    stack_aim_rad: float = math.radians(5)
    lean_rad: float = math.radians(20)
    lean_per_height: float = math.radians(150)
    max_grip_of_biacromial: float | None = None

    def lean_cap_rad(self, height_m: float) -> float:
        """How far the forearm may lean inward seen from the head end, ``height_m`` above the chest, rad."""
        return min(self.lean_rad + self.lean_per_height * max(height_m, 0.0), math.radians(80))

    def flare_cap_rad(self, depth_m: float) -> float:
        """Flare allowed with the elbow ``depth_m`` below the shoulder joint (- above), rad."""
        cap = self.flare_level_rad - self.flare_per_depth * depth_m
        return min(max(cap, self.flare_least_rad), self.flare_most_rad)


_USUAL, _TIGHTER = Comfort(), math.radians(5)
COMFORTS = {
    "usual": _USUAL,
    "careful": replace(
        _USUAL,
        name="careful",
        flare_level_rad=_USUAL.flare_level_rad - _TIGHTER,
        max_grip_of_biacromial=CAUTIOUS_GRIP_OF_BIACROMIAL,
    ),
    "loose": replace(_USUAL, name="loose", flare_level_rad=_USUAL.flare_level_rad + _TIGHTER),
}

ANGLE_TOLERANCE_RAD = 1e-6  # of every angle limit, so that a bar held exactly at a limit counts as inside

# Elbow-depth rule: underside of the elbow not above the top of the shoulder. Half the elbow's thickness and
# the soft tissue over the shoulder joint (memory, about 4 and 5 cm in a large man).
ELBOW_UNDERSIDE_M = 0.04
SHOULDER_TOP_M = 0.05


def stacked_arc(at: Circle, comfort: Comfort, lean_rad: float) -> tuple[float, float] | None:
    """The swivels at which the forearm stays stacked, elbow outside and under the hand.

    Closed form: both edges are of the form A cos(swivel) + B sin(swivel) = C. None where there are none.
    """
    tan = math.tan(comfort.stack_rad)
    h = at.radius / at.s
    low, high = -math.pi / 2, math.pi
    # elbow not too far toward the head, E_y - tan E_z >= y - tan z, nor the feet, E_y + tan E_z <= y + tan z
    for sign in (1.0, -1.0):
        t = sign * tan
        a = h * (-at.dx * at.dy + t * at.dx * at.dz)
        b = h * (at.dz + t * at.dy)
        c = at.y - t * at.z - at.along * (at.dy - t * at.dz)
        size = math.hypot(a, b)
        if size < 1e-12:
            if sign * c > 1e-12:
                return None
            continue
        ratio = c / size
        peak = math.atan2(b, a)
        if sign * ratio > 1:
            return None
        edge = peak - math.acos(min(max(ratio, -1.0), 1.0))
        if sign > 0:
            low = max(low, edge)
            high = min(high, 2 * peak - edge)
        else:
            high = min(high, edge)
    # elbow not too far outside the hand: E_x + tan E_z <= x + tan z
    t = math.tan(lean_rad)
    a, b = h * (at.s * at.s - t * at.dx * at.dz), -h * t * at.dy
    c = at.x + t * at.z - at.along * (at.dx + t * at.dz)
    size = math.hypot(a, b)
    if c < size:
        if c < -size:
            return None
        low = max(low, math.atan2(b, a) + math.acos(c / size))
    if low > high + ANGLE_TOLERANCE_RAD:
        return None
    return min(low, high), high


def flare_room(at: Circle, swivel: float, comfort: Comfort) -> float:
    """Flare allowed minus flare, rad, at a swivel (+ inside the limit)."""
    x, y, z = at.elbow(swivel)
    return comfort.flare_cap_rad(-z) - math.atan2(x, y)


def flare_edge(at: Circle, low: float, high: float, comfort: Comfort, start: float) -> float | None:
    """The least swivel in [low, high] inside the flare limit; None where even ``high`` is not."""
    if flare_room(at, high, comfort) < -ANGLE_TOLERANCE_RAD:
        return None
    if flare_room(at, low, comfort) >= 0:
        return low
    dx, dy, dz, n, h = at.dx, at.dy, at.dz, at.s, at.radius
    psi = min(max(start, low), high)
    for _ in range(60):  # Newton, kept in a shrinking bracket
        x, y, z = at.elbow(psi)
        raw = comfort.flare_level_rad + comfort.flare_per_depth * z
        cap = min(max(raw, comfort.flare_least_rad), comfort.flare_most_rad)
        room = cap - math.atan2(x, y)
        if abs(room) < 1e-10:
            return psi
        if room > 0:
            high = psi
        else:
            low = psi
        c, s = math.cos(psi), math.sin(psi)
        x1, y1, z1 = -h * n * s, h * (dz * c + dx * dy * s) / n, h * (dx * dz * s - dy * c) / n
        slope = (x * y1 - y * x1) / (x * x + y * y) + (comfort.flare_per_depth * z1 if raw == cap else 0.0)
        to = psi - room / slope if slope > 1e-6 else high
        if not low <= to <= high:
            to = (low + high) / 2
        if abs(to - psi) < 1e-9:
            return to
        psi = to
    return high


def limited_swivel(
    link: Linkage, at: Circle, comfort: Comfort, lean_rad: float, sideways: float
) -> tuple[float, float, bool]:
    """The swivel of least effort inside the comfort limits, its effort squared, and whether there is one.

    Where no swivel satisfies them, the one that comes closest is returned with False: stacked if possible,
    then as little flare as can be had.
    """
    effort = Effort(link, at, sideways)
    arc = stacked_arc(at, comfort, lean_rad)
    if arc is None:
        return *effort.valley(at.hanging(), -2.0, 2.5), False
    low, high = arc
    swivel, square = effort.least(low, high)
    if flare_room(at, swivel, comfort) >= -ANGLE_TOLERANCE_RAD:
        return swivel, square, True
    edge = flare_edge(at, low, high, comfort, swivel)
    if edge is None:
        return high, effort.at(high)[0], False
    return *effort.least(edge, high), True


def nearest_y(
    upper_m: float,
    fore_m: float,
    x_m: float,
    z_m: float,
    comfort: Comfort,
    lean_rad: float,
    start: float = 0.2,
    aim_rad: float | None = None,
) -> tuple[float, float]:
    """The smallest y at which a hand at (x, z) from the shoulder joint can be held inside the limits, m.

    There the forearm leans toward the head by ``aim_rad`` (``stack_aim_rad`` where None), and the upper
    arm flares as far as its depth allows; both together fix the elbow, found by Newton on the forearm's lean
    seen from the head (returned too, rad, to start the next height from). Where that lean is over
    ``lean_rad``, the lean and not the flare is the limit. -inf where no limit binds.
    """
    aim = comfort.stack_aim_rad if aim_rad is None else aim_rad
    cos_t, tan_t = math.cos(aim), math.tan(aim)
    forward = fore_m * cos_t
    deepest, upper_2 = -0.999 * upper_m, upper_m * upper_m
    level, per_depth = comfort.flare_level_rad, comfort.flare_per_depth
    least_cap, most_cap = comfort.flare_least_rad, comfort.flare_most_rad
    lean = start
    for _ in range(30):
        sin_l, cos_l = math.sin(lean), math.cos(lean)
        ez = z_m - forward * cos_l
        if ez >= upper_m:
            return -math.inf, lean
        if ez < deepest:
            ez = deepest
        rho = math.sqrt(upper_2 - ez * ez)
        cap, free = level + per_depth * ez, per_depth
        if cap >= most_cap:
            cap, free = most_cap, 0.0
        elif cap <= least_cap:
            cap, free = least_cap, 0.0
        sin_cap, cos_cap = math.sin(cap), math.cos(cap)
        miss = x_m + fore_m * sin_l - rho * sin_cap
        slope = fore_m * cos_l - forward * sin_l * (rho * cos_cap * free - ez / rho * sin_cap)
        step = -miss / slope if slope > 0.02 else (-0.1 if miss > 0 else 0.1)
        if step > 0.3:
            step = 0.3
        elif step < -0.3:
            step = -0.3
        lean += step
        if lean > 1.4:
            lean = 1.4
        elif lean < -1.4:
            lean = -1.4
        if -1e-7 < step < 1e-7:
            break
    most = math.atan(math.tan(lean_rad) * cos_t)
    if lean > most:
        ex = x_m + fore_m * math.sin(most)
        ez = z_m - fore_m * cos_t * math.cos(most)
        room = upper_m * upper_m - ex * ex - ez * ez
        return (math.sqrt(room) - tan_t * (z_m - ez) if room > 0 else -math.inf), lean
    ez = z_m - fore_m * cos_t * math.cos(lean)
    if ez >= upper_m:
        return -math.inf, lean
    ez = max(ez, -0.999 * upper_m)
    rho = math.sqrt(upper_m * upper_m - ez * ez)
    cap = comfort.flare_cap_rad(-ez)
    return rho * math.cos(cap) - tan_t * (z_m - ez), lean


def elbow_rule_margin_m(pose: Pose) -> float:
    """How far the underside of the elbow is below the top of the shoulder, m (- breaks the rule)."""
    return SHOULDER_TOP_M - (pose.elbow[2] - ELBOW_UNDERSIDE_M)
