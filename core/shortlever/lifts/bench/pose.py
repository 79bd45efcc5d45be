"""One instant of one arm: where the elbow is and how hard each joint works.

The arm is two rigid links from the shoulder joint S to the middle of the grip H. Frame: x outward from S, y
toward the feet, z up. The elbow E may swing on a circle about the line S-H (swivel angle, rad), and the hand
may push sideways along the bar (sideways ratio = outward hand force / vertical hand force). Both are set by
least joint effort, the sum over joint actions of (moment / strength)^2, as the body does (see README).

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


def effort_slope(
    link: Linkage, at: Circle, swivel: float, sideways: float | None
) -> tuple[float, float, float]:
    """Effort squared and its first and second derivative by swivel (m², m²/rad, m²/rad²).

    With ``sideways`` None the best sideways force for each swivel is taken (it enters linearly, so it is
    eliminated in closed form); else it is held.
    """
    c, s = math.cos(swivel), math.sin(swivel)
    dx, dy, dz, n = at.dx, at.dy, at.dz, at.s
    h, rest, bar_c, elbow_c = at.radius, at.rest, link.bar_c, link.elbow_c
    wx, wx1 = n * c, -n * s
    wy, wy1 = (dz * s - dx * dy * c) / n, (dz * c + dx * dy * s) / n
    wz, wz1 = (-dy * s - dx * dz * c) / n, (dx * dz * s - dy * c) / n
    m1 = at.y * bar_c + elbow_c * (at.along * dy + h * wy)
    m1_1 = elbow_c * h * wy1
    m1_2 = -elbow_c * h * wy
    a2 = at.x * bar_c + elbow_c * (at.along * dx + h * wx)
    a2_1 = elbow_c * h * wx1
    a2_2 = -elbow_c * h * wx
    a3 = bar_c * (rest * wz + h * dz)
    a3_1 = bar_c * rest * wz1
    a3_2 = -bar_c * rest * wz
    b2 = -at.z
    b3 = rest * wx + h * dx
    b3_1 = rest * wx1
    b3_2 = -rest * wx
    j = m1 * m1 / link.s_flex
    j1 = 2 * m1 * m1_1 / link.s_flex
    j2 = 2 * (m1_1 * m1_1 + m1 * m1_2) / link.s_flex
    if sideways is not None:
        m2 = a2 + b2 * sideways
        m3, m3_1, m3_2 = a3 + b3 * sideways, a3_1 + b3_1 * sideways, a3_2 + b3_2 * sideways
        j += m2 * m2 / link.s_add + m3 * m3 / link.s_ext
        j1 += 2 * (m2 * a2_1 / link.s_add + m3 * m3_1 / link.s_ext)
        j2 += 2 * ((a2_1 * a2_1 + m2 * a2_2) / link.s_add + (m3_1 * m3_1 + m3 * m3_2) / link.s_ext)
        return j, j1, j2
    u = a2 * b3 - a3 * b2
    u1 = a2_1 * b3 + a2 * b3_1 - a3_1 * b2
    u2 = a2_2 * b3 + 2 * a2_1 * b3_1 + a2 * b3_2 - a3_2 * b2
    q = link.s_add * b3 * b3 + link.s_ext * b2 * b2
    q1 = 2 * link.s_add * b3 * b3_1
    q2 = 2 * link.s_add * (b3_1 * b3_1 + b3 * b3_2)
    v = u / q
    j += u * v
    j1 += v * (2 * u1 - v * q1)
    j2 += 2 * (u1 - v * q1) * (u1 - v * q1) / q + v * (2 * u2 - v * q2)
    return j, j1, j2


def least_swivel(
    link: Linkage, at: Circle, start: float, low: float, high: float, sideways: float | None = None
) -> float:
    """The swivel of least effort in [low, high], by Newton steps kept downhill (rad)."""
    psi = min(max(start, low), high)
    j, j1, j2 = effort_slope(link, at, psi, sideways)
    for _ in range(40):
        step = -j1 / j2 if j2 > 1e-12 else (-0.3 if j1 > 0 else 0.3)
        to = min(max(psi + min(max(step, -0.5), 0.5), low), high)
        if abs(to - psi) < 3e-4 and j2 > 1e-12:  # Newton: the next step would be of the order of its square
            return to
        nj, nj1, nj2 = effort_slope(link, at, to, sideways)
        while nj > j + 1e-15 and abs(to - psi) > 1e-9:
            to = psi + (to - psi) / 2
            nj, nj1, nj2 = effort_slope(link, at, to, sideways)
        if abs(to - psi) < 1e-9:
            return to
        psi, j, j1, j2 = to, nj, nj1, nj2
    return psi


def sideways_balance(link: Linkage, at: Circle, swivel: float) -> tuple[float, float]:
    """Numerator and denominator (m²) of the sideways ratio of least effort at a swivel.

    Sums over both arms give the ratio that serves a pair of different arms best.
    """
    c, s = math.cos(swivel), math.sin(swivel)
    wx = at.s * c
    wz = (-at.dy * s - at.dx * at.dz * c) / at.s
    a2 = at.x * link.bar_c + link.elbow_c * (at.along * at.dx + at.radius * wx)
    a3 = link.bar_c * (at.rest * wz + at.radius * at.dz)
    b3 = at.rest * wx + at.radius * at.dx
    return a2 * at.z / link.s_add - a3 * b3 / link.s_ext, at.z * at.z / link.s_add + b3 * b3 / link.s_ext


def pose_at(link: Linkage, at: Circle, swivel: float, sideways: float | None = None) -> Pose:
    """The pose at a swivel: joint moments and effort, with the best or a held sideways ratio."""
    if sideways is None:
        top, bottom = sideways_balance(link, at, swivel)
        sideways = top / bottom
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
