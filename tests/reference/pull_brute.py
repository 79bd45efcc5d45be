"""The pull by brute force in numpy: the model's definitions worked out again, with scans throughout.

Nothing of the core's computation is used, only its input: the body's lengths, masses and ankle, the comfort
angles and the numbers that are a choice (slacks). Where the core uses secants and polynomials, this scans:
the start over leans, the feet over a grid of stances and turn-outs.

Frame as in the model: x right, y forward, z up, origin midway between the ankles; m, kg, rad.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shortlever.lifts.deadlift.search import SLACK, STROKE_SLACK
from shortlever.lifts.deadlift.setup import Puller

Array = NDArray[np.float64]

GRAVITY = 9.80665
FINE, COARSE, HALVINGS = 3001, 401, 30
AHEAD, BEHIND, SOLE, HANG = 0.07, 0.05, 0.005, 0.02
SHIN, PATELLA, THIGH, CALF = 0.050, 0.055, 0.095, 0.058
ANKLE_OF_FOOT, ARM_COM, TOE = 0.25, 0.53, 0.03
PUSH, LUMBAR, HAMSTRINGS = 0.10, 0.20, 0.20


def capacity(c1: float, c2: float, c3: float, angle: Array, floor: float) -> Array:
    """A published strength curve with its floor, share of body weight x stature."""
    fit = np.cos(np.minimum(1.5, np.abs(c2 * (angle - c3))))
    return c1 * 0.5 * (fit + floor + np.sqrt((fit - floor) ** 2 + 0.01))


def across(a: Array, b: Array) -> Array:
    return np.cross(a, b)


def inner(a: Array, b: Array) -> Array:
    return np.sum(a * b, axis=-1)


def unit(a: Array) -> Array:
    return a / np.linalg.norm(a, axis=-1, keepdims=True)


@dataclass(frozen=True)
class Start:
    """The start on given feet: lean, hip height, effort, stroke, grip, and whether it keeps the limits."""

    lean: float
    hip: float
    effort: float
    stroke: float
    grip: float
    keeps: bool


@dataclass(frozen=True)
class Brute:
    """One lifter under a bar."""

    puller: Puller
    steps: int = FINE

    @functools.cached_property
    def leans(self) -> Array:
        return np.linspace(0.05, np.radians(88), self.steps)

    @functools.cached_property
    def size(self) -> float:
        return self.puller.body.stature_m / 1.756

    def start(self, style: str, stance: float, turn: float) -> Start | None:
        """The lowest start that clears on these feet, the hands as near as they clear the legs."""
        plumb = 2 * self.puller.body.half_shoulder_m
        grip = plumb
        for _ in range(6 if style == "conventional" else 1):
            found = self._start(style, stance, turn, grip)
            if found is None:
                return None
            knee, one = found
            legs = max(stance / 2, knee) + CALF * self.size + self.puller.body.hand_breadth_m / 2
            if style != "conventional" or abs(max(plumb, 2 * legs) - grip) < 2e-4:
                return one
            grip = max(plumb, 2 * legs)
        return one

    def _start(self, style: str, stance: float, turn: float, grip: float) -> tuple[float, Start] | None:
        body, z = self.puller.body, self.puller.gear.start_m
        ankle = np.array([stance / 2, 0.0, body.ankle_height_m + SOLE])
        toes = np.array([np.sin(turn), np.cos(turn), 0.0])
        aside = grip / 2 - body.half_shoulder_m
        reach = body.arm_m + HANG
        drop = np.sqrt(reach**2 - AHEAD**2 - aside**2)
        sine, cosine = np.sin(self.leans), np.cos(self.leans)
        hip_z = z + drop - body.shoulder_m * cosine
        off = AHEAD - body.shoulder_m * sine  # hip's y from the bar

        def legs(y: Array) -> tuple[Array, Array, Array]:
            """Hips, knees and whether the legs reach, for the bar at y."""
            hip = np.stack([np.full_like(y, body.half_hip_m), y + off, hip_z], axis=-1)
            far = np.linalg.norm(hip - ankle, axis=-1)
            reaches = (far < body.shank_m + body.thigh_m) & (far > abs(body.shank_m - body.thigh_m))
            safe = np.clip(far, abs(body.shank_m - body.thigh_m) + 1e-9, body.shank_m + body.thigh_m - 1e-9)
            a = unit(hip - ankle)
            along = (safe**2 + body.shank_m**2 - body.thigh_m**2) / (2 * safe)
            e = unit(toes - inner(a, np.broadcast_to(toes, a.shape))[..., None] * a)
            q = np.sqrt(np.maximum(body.shank_m**2 - along**2, 0.0))
            return hip, ankle + along[..., None] * a + q[..., None] * e, reaches

        parts, mass = body.segments, body.body_mass_kg
        trunk = parts.lower_trunk + parts.middle_trunk + parts.upper_trunk + parts.head
        moment = (
            parts.lower_trunk * parts.lower_trunk_at
            + parts.middle_trunk * parts.middle_trunk_at
            + parts.upper_trunk * parts.upper_trunk_at
            + parts.head * parts.head_at
        )
        whole = mass + self.puller.load_kg
        middle = (body.middle - ANKLE_OF_FOOT) * body.foot_m * np.cos(turn)
        foot = (parts.foot_com - ANKLE_OF_FOOT) * body.foot_m * np.cos(turn)

        def weight_at(y: Array, hip: Array, knee: Array) -> Array:
            thigh = knee[:, 1] + (hip[:, 1] - knee[:, 1]) * (1 - parts.thigh_com)
            shank = knee[:, 1] * (1 - parts.shank_com)
            m = 2 * mass * (parts.thigh * thigh + parts.shank * shank + parts.foot * foot)
            m += mass * (trunk * hip[:, 1] + moment * body.neck_m * sine)
            m += 2 * mass * parts.arm * (y + ARM_COM * AHEAD) + self.puller.load_kg * y
            return m / whole

        low, high = np.full_like(self.leans, -0.4), np.full_like(self.leans, 0.6)
        for _ in range(
            50
        ):  # the weight moves forward with the bar, and with legs that do not reach it counts too
            y = (low + high) / 2
            hip, knee, _ = legs(y)
            behind = weight_at(y, hip, knee) < middle
            low, high = np.where(behind, y, low), np.where(behind, high, y)
        y = (low + high) / 2
        hip, knee, reaches = legs(y)
        shin = knee - ankle
        lean_of_shin = np.arctan2(shin @ toes, shin[:, 2])
        sideways = np.array([np.cos(turn), -np.sin(turn), 0.0])
        evert = np.arctan2(shin @ sideways, shin[:, 2])
        up = np.where(
            z <= knee[:, 2],
            (z - ankle[2]) / (knee[:, 2] - ankle[2]),
            np.minimum(1.0, (z - knee[:, 2]) / np.maximum(1e-6, hip[:, 2] - knee[:, 2])),
        )
        front = np.where(
            z <= knee[:, 2],
            up * knee[:, 1] + (SHIN + (PATELLA - SHIN) * np.maximum(up, 0.0)) * self.size,
            knee[:, 1] + up * (hip[:, 1] - knee[:, 1]) + (PATELLA + (THIGH - PATELLA) * up) * self.size,
        )
        clear = y - front - self.puller.gear.bar.diameter_m / 2
        inside = reaches & (clear >= 0) & (lean_of_shin <= body.dorsiflexion_rad)
        effort = self._effort(ankle, toes, hip, knee, y, whole, middle / np.cos(turn))
        if not inside.any():
            return None
        i = int(np.argmax(inside))
        while i + 1 < len(self.leans) and inside[i + 1] and effort[i + 1] < effort[i]:
            i += 1
        spread = np.arctan2(knee[i, 0] - body.half_hip_m, knee[i, 1] - hip[i, 1])
        hand, comfort = grip / 2, self.puller.comfort
        beside = CALF * self.size + body.hand_breadth_m / 2
        keeps = (
            spread <= comfort.most_spread_rad(style) + 1e-3
            and abs(spread - turn) <= comfort.align_rad
            and abs(evert[i]) <= np.radians(15)
            and (style == "conventional" or min(stance / 2, knee[i, 0]) - beside >= hand - 2e-4)
            and stance / 2 + (1 - ANKLE_OF_FOOT) * body.foot_m * np.sin(turn) + TOE
            <= self.puller.gear.bar.between_collars_m / 2
        )
        stroke = self._lockout(ankle, toes, y[i], aside, reach) - z
        return knee[i, 0], Start(self.leans[i], hip[i, 2], float(effort[i]), stroke, grip, bool(keeps))

    def _lockout(self, ankle: Array, toes: Array, y: float, aside: float, reach: float) -> float:
        """The bar's height with straight legs, the bar on the thighs: hips scanned forward and back."""
        body = self.puller.body
        hips = np.linspace(-0.4, 0.3, 70001)
        long = body.shank_m + body.thigh_m
        up = ankle[2] + np.sqrt(long**2 - (ankle[0] - body.half_hip_m) ** 2 - hips**2)
        sine = (y - BEHIND - hips) / body.shoulder_m
        bar = (
            up
            + body.shoulder_m * np.sqrt(1 - np.clip(sine, -1, 1) ** 2)
            - np.sqrt(reach**2 - BEHIND**2 - aside**2)
        )
        share = body.shank_m / long
        knee_y, knee_z = share * hips, ankle[2] + share * (up - ankle[2])
        rise = (bar - knee_z) / (up - knee_z)
        front = knee_y + rise * (hips - knee_y) + (PATELLA + (THIGH - PATELLA) * rise) * self.size
        miss = np.abs(y - front - self.puller.gear.bar.diameter_m / 2)
        return float(bar[int(np.argmin(miss))])

    def _effort(
        self, ankle: Array, toes: Array, hip: Array, knee: Array, y: Array, whole: float, pressed: float
    ) -> Array:
        """Effort of every lean."""
        body, parts = self.puller.body, self.puller.body.segments
        mass, scale = body.body_mass_kg, body.body_mass_kg * GRAVITY * body.stature_m
        sine, cosine = np.sin(self.leans), np.cos(self.leans)
        thigh, shank = unit(hip - knee), unit(knee - ankle)
        axis = unit(across(shank, thigh))
        side, valgus = across(thigh, axis), across(shank, axis)
        half = whole * GRAVITY / 2
        at = np.array([ankle[0], ankle[1], 0.0]) + pressed * toes
        ahead = (parts.foot_com - ANKLE_OF_FOOT) * body.foot_m
        down = np.array([0.0, 0.0, -GRAVITY])
        pulls = [
            (knee + (hip - knee) * (1 - parts.thigh_com), parts.thigh * mass, True),
            (ankle + (knee - ankle) * (1 - parts.shank_com), parts.shank * mass, False),
            (np.broadcast_to(ankle + ahead * toes, knee.shape), parts.foot * mass, False),
        ]

        def about(joint: Array, with_thigh: bool) -> tuple[Array, Array]:
            still = across(at - joint, np.array([0.0, 0.0, half]))
            for place, m, above_knee in pulls:
                if with_thigh or not above_knee:
                    still = still + across(place - joint, m * down)
            return still, across(at - joint, np.array([-half, 0.0, 0.0]))

        (hip_0, hip_1), (knee_0, knee_1) = about(hip, True), about(knee, False)
        plain = np.pi / 2 + self.leans - np.arcsin(thigh[:, 2])
        bend = np.arccos(np.clip(inner(shank, thigh), -1, 1))
        floor = body.floor
        strong = (
            capacity(0.171, 0.958, 0.932, plain * (1 - LUMBAR), floor) * scale,
            capacity(0.161, 1.2225, 1.2035, bend, floor) * scale,
            0.6 * 0.171 * scale,
            0.3 * 0.171 * scale,
            0.5 * 0.161 * scale,
        )
        ways = ((hip_0, hip_1, axis, 1), (knee_0, knee_1, axis, -1), (hip_0, hip_1, side, 1))
        ways = (*ways, (hip_0, hip_1, thigh, 1), (knee_0, knee_1, valgus, 1))
        still = [sign * inner(m, way) for m, _, way, sign in ways]
        moves = [sign * inner(m, way) for _, m, way, sign in ways]
        over = sum(s * m / c**2 for s, m, c in zip(still, moves, strong, strict=True))
        under = sum(m * m / c**2 for m, c in zip(moves, strong, strict=True))
        share = np.clip(-over / under, -PUSH, PUSH)
        asked = [s + share * m for s, m in zip(still, moves, strict=True)]
        flexors = capacity(0.0835, 0.871, 0.5785, bend, floor) * scale
        held = -np.maximum(0.0, -asked[1] - HAMSTRINGS * np.maximum(0.0, asked[0])) / flexors
        shin = np.arcsin(np.clip(inner(shank, np.broadcast_to(toes, shank.shape)), -1, 1))
        ankles = capacity(0.0995, 1.395, 0.416, shin, floor) * scale
        up, behind = 0.20 * body.trunk_m, 0.030 * self.size
        low_back = hip[:, 1] + up * sine - behind * cosine
        above = parts.middle_trunk + parts.upper_trunk + parts.head
        far = parts.middle_trunk * parts.middle_trunk_at + parts.upper_trunk * parts.upper_trunk_at
        far += parts.head * parts.head_at
        back = self.puller.load_kg * (y - low_back) + 2 * mass * parts.arm * (y + ARM_COM * AHEAD - low_back)
        back = back + mass * (above * (hip[:, 1] - low_back) + far * body.neck_m * sine)
        arms = GRAVITY * (self.puller.load_kg + (1 - ARM_COM) * 2 * mass * parts.arm) * AHEAD
        shares = [
            asked[0] / strong[0],
            np.where(asked[1] >= 0, asked[1] / strong[1], held),
            *(a / c for a, c in zip(asked[2:], strong[2:], strict=True)),
            pressed * half / ankles,
            GRAVITY * back / (0.235 * scale),
            np.full_like(self.leans, arms / (2 * 0.068 * scale)),
        ]
        return np.sqrt(sum(part**2 for part in shares))

    def feet(self, style: str, stances: Array, turns: Array) -> tuple[float, float]:
        """Stance and turn-out by the rule, on a grid: the middle of what is as good as free."""
        found = [[self.start(style, s, t) for t in turns] for s in stances]

        def table(name: str) -> Array:
            return np.array(
                [[getattr(one, name) if one and one.keeps else np.inf for one in row] for row in found]
            )

        effort, stroke = table("effort"), table("stroke")
        best = effort.argmin(axis=1)
        rows = np.arange(len(stances))
        least, short = effort[rows, best], stroke[rows, best]
        allowed = (1 + SLACK) * effort.min()
        free = least <= allowed
        longest = (1 + STROKE_SLACK) * short[free].min()
        ends = stances[free & (short <= longest)]
        stance = (ends.min() + ends.max()) / 2
        i = int(np.abs(stances - stance).argmin())
        good = turns[(effort[i] <= allowed) & (stroke[i] <= longest)]
        return float(stance), float((good.min() + good.max()) / 2)
