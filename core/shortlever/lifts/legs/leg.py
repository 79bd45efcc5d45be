"""One leg in space: a foot on the floor, the knee of any place of the hip, in closed form.

Frame: origin on the floor midway between the ankles, x to the lifter's right, y the way the lifter faces,
z up. The right leg is computed; the left one is its mirror image. Hip joints at ±half_hip_m.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.lifts.legs.body import ANKLE_OF_FOOT, BALL_OF_FOOT, Standing

Vector = tuple[float, float, float]
MOST_TILT = 0.5  # sine of the steepest foot


@dataclass(frozen=True)
class Feet:
    """Where the feet stand: ankle joints apart (m), turn-out (rad), heel over ball and sole under it (m)."""

    stance_m: float
    turn_rad: float
    heel_m: float = 0.0
    sole_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Knee:
    """Knee joint (m), and the shin's lean along the foot and outward across it (rad)."""

    at: Vector
    shin_rad: float
    evert_rad: float


class Leg:
    """The right leg of a body on its feet: what does not depend on the pose.

    ``ankle``: the joint (m). ``tilt_rad``: of the foot on its heel lift. ``most_shin_rad``: how far the shin
    may lean along the foot. ``middle_m``: from the ankle to the place of balance, along the foot.
    """

    def __init__(self, body: Standing, feet: Feet) -> None:
        self.body, self.feet = body, feet
        self.tilt_rad = math.asin(min(MOST_TILT, feet.heel_m / (BALL_OF_FOOT * body.foot_m)))
        self.sin, self.cos = math.sin(feet.turn_rad), math.cos(feet.turn_rad)
        rises = feet.heel_m * (1 - ANKLE_OF_FOOT / BALL_OF_FOOT)
        self.ankle: Vector = (feet.stance_m / 2, 0.0, body.ankle_height_m + feet.sole_m + rises)
        self.most_shin_rad = body.dorsiflexion_rad + self.tilt_rad
        self.middle_m = (body.middle - ANKLE_OF_FOOT) * body.foot_m

    def knee(self, hip: Vector) -> Knee | None:
        """The knee of a place of the hip joint; None where the leg does not reach it.

        It lies in the plane of the hip-ankle line and the toes, bent forward: with a the unit vector from
        ankle to hip and e that of the toes' direction across a, knee = ankle + p a + q e, where
        p = (r² + shank² - thigh²) / 2r and q² = shank² - p². Thigh over toes comes out by itself.
        """
        ankle, shank, thigh = self.ankle, self.body.shank_m, self.body.thigh_m
        ax, ay, az = hip[0] - ankle[0], hip[1] - ankle[1], hip[2] - ankle[2]
        far = math.sqrt(ax * ax + ay * ay + az * az)
        if not abs(shank - thigh) < far < shank + thigh:
            return None
        ax, ay, az = ax / far, ay / far, az / far
        p = (far * far + shank * shank - thigh * thigh) / (2 * far)
        along = self.sin * ax + self.cos * ay
        ex, ey, ez = self.sin - along * ax, self.cos - along * ay, -along * az
        q = math.sqrt(max(0.0, shank * shank - p * p) / (ex * ex + ey * ey + ez * ez))
        kx, ky, kz = p * ax + q * ex, p * ay + q * ey, p * az + q * ez
        shin, evert = kx * self.sin + ky * self.cos, kx * self.cos - ky * self.sin
        at = (ankle[0] + kx, ankle[1] + ky, ankle[2] + kz)
        return Knee(at, math.atan2(shin, kz), math.atan2(evert, kz))

    def hip_at(self, bend_rad: float, back_rad: float) -> Vector | None:
        """The hip joint of a knee bend and of how far the hip-ankle line tilts back, seen from the side; None
        where the stance is too wide for the bend."""
        shank, thigh = self.body.shank_m, self.body.thigh_m
        aside = self.ankle[0] - self.body.half_hip_m
        square = shank * shank + thigh * thigh + 2 * shank * thigh * math.cos(bend_rad) - aside * aside
        if square <= 0:
            return None
        far = math.sqrt(square)
        y, z = -far * math.sin(back_rad), far * math.cos(back_rad)
        return self.body.half_hip_m, self.ankle[1] + y, self.ankle[2] + z

    def apex_rad(self, bend_rad: float) -> float:
        """The angle at the ankle between the shank and the hip-ankle line at a knee bend, rad."""
        shank, thigh = self.body.shank_m, self.body.thigh_m
        return math.atan2(thigh * math.sin(bend_rad), shank + thigh * math.cos(bend_rad))

    def hip_over_shin(self, shin_rad: float, rise_m: float) -> Vector | None:
        """The hip joint ``rise_m`` over the knee joint when the shin leans so far along the foot, thigh back;
        None where there is none.

        Along the foot (u), across it (w) and up the knee is at (tan(shin) h, w, h) from the ankle, the hip
        in the plane of shin and toes at (v, λ w, λ h) with λ = 1 + rise / h. The thigh's length gives v, and
        w is where the hip comes to lie over its own place across: nearly a straight line, for secants.
        """
        body, ankle, sine, cosine = self.body, self.ankle, math.sin(shin_rad), math.cos(shin_rad)
        aside, thigh = body.half_hip_m - ankle[0], body.thigh_m**2 - rise_m * rise_m
        shank, w, before, off_before = body.shank_m**2, 0.0, 0.0, 0.0
        for i in range(STEPS):
            square = shank - w * w
            if square <= 0:
                return None
            flat = math.sqrt(square)
            h = flat * cosine
            part = rise_m / h
            square = thigh - (part * w) ** 2
            if square <= 0:
                return None
            v = flat * sine - math.sqrt(square)
            off = (aside - self.sin * v) / ((1 + part) * self.cos) - w
            if abs(off) < 1e-11:
                hip_y = ankle[1] + v * self.cos - (1 + part) * w * self.sin
                return body.half_hip_m, hip_y, ankle[2] + h + rise_m
            slope = (off - off_before) / (w - before) if i else -1.0
            before, off_before = w, off
            w -= off / (slope if slope < -0.1 else -1.0)
        return None


STEPS = 30  # at most; four or five are usual
