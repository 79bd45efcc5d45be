"""One instant of one arm: where the elbow is and how hard each joint works.

The arm is two rigid links from the shoulder joint S to the middle of the grip H. Frame: x outward from S, y
toward the feet, z up. The elbow E may swing on a circle about the line S-H (swivel angle, rad), and the hand
pushes sideways along the bar (sideways ratio = outward hand force / vertical hand force). The ratio is taken
as lifters were measured (``sideways_share``); the swivel is the one of least joint effort, the sum over joint
actions of (moment / strength)^2. Least effort for both was tried and pushes far further inward than lifters.

All moments here are per newton of vertical hand force, so they are lengths in m ("arms"): multiply by half
the bar's weight for N·m. Signs: flexion + = the load drives the bar toward the feet; horizontal adduction +
= the load opens the arms; elbow extension + = the load bends the elbow; abduction + = the load swings the
upper arm toward the feet in plan view.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.person.body import Arm

# Maximum isometric moments, N·m: shoulder flexion, shoulder horizontal adduction, elbow extension. The only
# set found with all three: Jackson's and Kentel's athletes as tabled in the torque-muscle data of the Rigid
# Body Dynamics Library (Millard, read in its source). Only their ratios matter here.
FLEXION_STRENGTH = 91.1
ADDUCTION_STRENGTH = 128.5
EXTENSION_STRENGTH = 69.9


@dataclass(frozen=True)
class Strength:
    """Strength of each joint action relative to horizontal adduction (dimensionless)."""

    flexion: float = FLEXION_STRENGTH / ADDUCTION_STRENGTH
    adduction: float = 1.0
    extension: float = EXTENSION_STRENGTH / ADDUCTION_STRENGTH


STRENGTH = Strength()

# Outward hand force / vertical hand force against s, the hand's place outside the shoulder joint as a share
# of the arm's reach. Fitted to five published grips, 40 to 81 cm (Larsen 2021; Sports 2023, 11:154; evidence
# rows C1 and C3, which are therefore inputs). The spread between lifters: Duffey and Challis 2011, J Strength
# Cond Res 25:2442, SD of the peak share (abstract read).
SIDEWAYS_STRAIGHT = -0.118
SIDEWAYS_BY_SQUARE = 2.15
SIDEWAYS_SD = 0.039
WIDEST_MEASURED = (
    0.45  # s of 81 cm grips; wider goes on along the tangent, inside the shoulders it stays level
)


def sideways_share(outside: float) -> float:
    """Outward hand force as a share of the vertical one, for a hand ``outside`` the shoulder (in reaches)."""
    s, beyond = min(max(outside, 0.0), WIDEST_MEASURED), max(outside - WIDEST_MEASURED, 0.0)
    return SIDEWAYS_STRAIGHT + SIDEWAYS_BY_SQUARE * s * (s + 2 * beyond)


class Linkage:
    """An arm under one load, reduced to the numbers that the statics needs again and again.

    ``bar_c`` multiplies the bar's arm (1 plus what the forearm's weight adds at the hand), ``elbow_c`` the
    elbow's arm (what the weights of upper arm and forearm add at the elbow).
    """

    __slots__ = ("bar_c", "elbow_c", "fore", "s_add", "s_ext", "s_flex", "upper")

    def __init__(self, arm: Arm, load_kg: float, strength: Strength = STRENGTH) -> None:
        upper_q = 2 * arm.upper_mass_kg / load_kg
        fore_q = 2 * arm.fore_mass_kg / load_kg
        self.upper = arm.upper_m
        self.fore = arm.fore_m
        self.bar_c = 1 + fore_q * arm.fore_com
        self.elbow_c = upper_q * arm.upper_com + fore_q * (1 - arm.fore_com)
        self.s_flex = strength.flexion**2
        self.s_add = strength.adduction**2
        self.s_ext = strength.extension**2


@dataclass(frozen=True)
class Pose:
    """One arm at one instant. Positions in m from the shoulder joint; moments as arms in m (see module).

    ``effort`` is the square root of the summed (arm / strength)^2, m.
    """

    swivel: float
    sideways: float
    hand: tuple[float, float, float]
    elbow: tuple[float, float, float]
    flexion: float
    adduction: float
    abduction: float
    extension: float
    effort: float

    @property
    def flare_rad(self) -> float:
        """Angle between the trunk's long axis and the upper arm seen from above (pi/2 = straight out)."""
        return math.atan2(self.elbow[0], self.elbow[1])

    @property
    def elevation_rad(self) -> float:
        """Upper arm above the horizontal through the shoulder (- below)."""
        return math.atan2(self.elbow[2], math.hypot(self.elbow[0], self.elbow[1]))

    @property
    def tilt_side_rad(self) -> float:
        """Forearm from the vertical seen from the side: + when the hand is nearer the feet than the elbow."""
        return math.atan2(self.hand[1] - self.elbow[1], self.hand[2] - self.elbow[2])

    @property
    def tilt_head_rad(self) -> float:
        """Forearm from the vertical seen from the head end: + when the hand is outside the elbow."""
        return math.atan2(self.hand[0] - self.elbow[0], self.hand[2] - self.elbow[2])


class Circle:
    """The circle on which the elbow can be: centre c along the line S-H, radius h, axes first and second.

    At swivel 0 the elbow is outward (x), at + pi/2 toward the feet and down.
    """

    __slots__ = ("along", "dx", "dy", "dz", "radius", "rest", "s", "x", "y", "z")

    def __init__(self, link: Linkage, x: float, y: float, z: float) -> None:
        r = math.sqrt(x * x + y * y + z * z)
        self.x, self.y, self.z = x, y, z
        self.dx, self.dy, self.dz = x / r, y / r, z / r
        self.along = (r * r + link.upper**2 - link.fore**2) / (2 * r)
        self.radius = math.sqrt(max(link.upper**2 - self.along**2, 0.0))
        self.rest = r - self.along
        self.s = math.sqrt(max(1 - self.dx * self.dx, 1e-12))

    def elbow(self, swivel: float) -> tuple[float, float, float]:
        """Elbow position from the shoulder joint, m."""
        c, s = math.cos(swivel), math.sin(swivel)
        dx, dy, dz, n = self.dx, self.dy, self.dz, self.s
        return (
            self.along * dx + self.radius * n * c,
            self.along * dy + self.radius * (dz * s - dx * dy * c) / n,
            self.along * dz + self.radius * (-dy * s - dx * dz * c) / n,
        )

    def hanging(self) -> float:
        """The swivel at which the elbow is lowest."""
        return math.atan2(self.dy, self.dx * self.dz)


class Effort:
    """Effort squared of one arm over the swivel (m²), with the sideways ratio held.

    Every moment is a + b cos + c sin of the swivel, so the sum of squares is a trigonometric polynomial of
    second degree: five numbers.
    """

    __slots__ = ("c1", "c2", "level", "s1", "s2")

    def __init__(self, link: Linkage, at: Circle, sideways: float) -> None:
        dx, dy, dz, n = at.dx, at.dy, at.dz, at.s
        h, swing = at.radius, link.elbow_c * at.radius
        along = link.elbow_c * at.along
        bend = link.bar_c * at.rest
        terms = (
            (link.s_flex, at.y * link.bar_c + along * dy, -swing * dx * dy / n, swing * dz / n),
            (link.s_add, at.x * link.bar_c + along * dx - at.z * sideways, swing * n, 0.0),
            (
                link.s_ext,
                link.bar_c * h * dz + sideways * h * dx,
                at.rest * sideways * n - bend * dx * dz / n,
                -bend * dy / n,
            ),
        )
        self.level = self.c1 = self.s1 = self.c2 = self.s2 = 0.0
        for strength, a, b, c in terms:
            self.level += (a * a + (b * b + c * c) / 2) / strength
            self.c1 += 2 * a * b / strength
            self.s1 += 2 * a * c / strength
            self.c2 += (b * b - c * c) / 2 / strength
            self.s2 += b * c / strength

    def at(self, swivel: float) -> tuple[float, float, float]:
        """Value and first and second derivative by swivel (m², m²/rad, m²/rad²)."""
        c, s = math.cos(swivel), math.sin(swivel)
        first, second = self.c1 * c + self.s1 * s, self.c2 * (c * c - s * s) + 2 * self.s2 * s * c
        return (
            self.level + first + second,
            self.s1 * c - self.c1 * s + 2 * self.s2 * (c * c - s * s) - 4 * self.c2 * s * c,
            -first - 4 * second,
        )

    def valley(self, start: float, low: float, high: float) -> tuple[float, float]:
        """Swivel (rad) and value at the bottom of the valley that ``start`` lies in, by Newton downhill."""
        psi = min(max(start, low), high)
        j, j1, j2 = self.at(psi)
        for _ in range(40):
            step = -j1 / j2 if j2 > 1e-12 else (-0.3 if j1 > 0 else 0.3)
            to = min(max(psi + min(max(step, -0.5), 0.5), low), high)
            nj, nj1, nj2 = self.at(to)
            while nj > j + 1e-15 and abs(to - psi) > 1e-9:
                to = psi + (to - psi) / 2
                nj, nj1, nj2 = self.at(to)
            moved = abs(to - psi)
            psi, j, j1, j2 = to, nj, nj1, nj2
            if moved < 1e-6:
                break
        return psi, j

    def least(self, low: float, high: float) -> tuple[float, float]:
        """The swivel of least effort in [low, high] and its value: there may be two valleys."""
        if math.hypot(self.c1, self.s1) > 4 * math.hypot(self.c2, self.s2):  # one valley, opposite the hill
            start = math.atan2(-self.s1, -self.c1)
            if low <= start <= high:
                psi, j = self.valley(start, low, high)
                if low < psi < high:
                    return psi, j
            return min(((end, self.at(end)[0]) for end in (low, high)), key=lambda at: at[1])
        starts = (low, (low + high) / 2, high)
        return min((self.valley(start, low, high) for start in starts), key=lambda at: at[1])


def pose_at(link: Linkage, at: Circle, swivel: float, sideways: float) -> Pose:
    """The pose at a swivel with a sideways ratio: joint moments and effort."""
    ex, ey, _ = elbow = at.elbow(swivel)
    c, s = math.cos(swivel), math.sin(swivel)
    wx = at.s * c
    wz = (-at.dy * s - at.dx * at.dz * c) / at.s
    flexion = at.y * link.bar_c + link.elbow_c * ey
    adduction = at.x * link.bar_c + link.elbow_c * ex - at.z * sideways
    extension = link.bar_c * (at.rest * wz + at.radius * at.dz) + sideways * (
        at.rest * wx + at.radius * at.dx
    )
    effort = math.sqrt(flexion**2 / link.s_flex + adduction**2 / link.s_add + extension**2 / link.s_ext)
    return Pose(
        swivel, sideways, (at.x, at.y, at.z), elbow, flexion, adduction, at.y * sideways, extension, effort
    )
