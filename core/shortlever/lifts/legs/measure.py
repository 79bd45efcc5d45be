"""What is measured of every lift from the legs."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, fields

from shortlever.lifts.legs.marks import Marks
from shortlever.lifts.limit import Limit
from shortlever.say import PLAIN, Said


@dataclass(frozen=True)
class Row:
    """One height of the bar above where it was lowest: angles as in ``Assessment``, arms (m), moments
    (N·m)."""

    height_m: float
    trunk_lean_deg: float
    shin_deg: float
    thigh_deg: float
    knee_deg: float
    hip_arm_m: float
    knee_arm_m: float
    back_arm_m: float
    hip_moment_n_m: float
    knee_moment_n_m: float
    back_moment_n_m: float
    bar_drift_m: float
    effort: float


@dataclass(frozen=True)
class Assessment:
    """The measures of one setup for one body. Units are in the names; moments per leg, the back's whole, with
    the weight of the segments.

    Where the bar is lowest: ``back_arm_m``: the bar ahead of L5/S1. ``trunk_lean_deg`` and ``shin_deg`` from
    the vertical (the shin along the foot, ``shin_side_deg`` as seen from the side); ``thigh_deg`` from the
    horizontal, + with the hip joint above the knee joint; ``ankle_deg``: the shin over the sole;
    ``knee_deg``: bend, 0 straight; ``hip_deg``: between trunk and thigh in space, 0 standing; ``spread_deg``:
    the thigh from straight ahead, seen from above. ``hip_moment_n_m`` and ``knee_moment_n_m`` extend in the
    plane of the leg, ``*_side_n_m`` are the same as seen from the side. ``bar_drift_m``: the bar ahead of the
    middle of the feet. ``work_j`` raises bar and body, ``work_share`` is its split by joint (sum 1).
    ``hardest_height_m``: above where the bar is lowest. ``limit_load_index``: dimensionless, only compares
    setups of one lifter: larger means that a heavier bar brings the hardest point to the same joint effort.
    """

    stance_m: float
    turn_out_deg: float
    load_kg: float
    hip_arm_m: float
    knee_arm_m: float
    back_arm_m: float
    trunk_lean_deg: float
    shin_deg: float
    shin_side_deg: float
    thigh_deg: float
    knee_deg: float
    hip_deg: float
    ankle_deg: float
    spread_deg: float
    hip_moment_n_m: float
    knee_moment_n_m: float
    back_moment_n_m: float
    hip_moment_side_n_m: float
    knee_moment_side_n_m: float
    sideways_ratio: float
    stroke_m: float
    bar_drift_m: float
    work_j: float
    work_share: dict[str, float]
    effort: float
    hardest_height_m: float
    limit_load_index: float
    marks: Marks
    path: tuple[Row, ...]
    limits: tuple[Limit, ...]

    @property
    def ok(self) -> bool:
        """Whether every limit is kept."""
        return all(limit.ok for limit in self.limits)

    def plain(self) -> dict[str, object]:
        """The assessment as an object that can travel as JSON (SI, degrees where named), said in English."""
        found: dict[str, object] = PLAIN.all(self.told())
        return found

    def told(self) -> dict[str, object]:
        """The same with its sentences still to be said."""
        return parts_of(self) | {
            "marks": parts_of(self.marks),
            "path": [parts_of(row) for row in self.path],
            "limits": [parts_of(limit) for limit in self.limits],
        }


def parts_of(one: Assessment | Marks | Row | Limit) -> dict[str, object]:
    """The fields of a value by their names."""
    return {f.name: getattr(one, f.name) for f in fields(one)}


def angle_limit(name: str, margin_rad: float, cap_rad: float) -> Limit:
    """A limit of an angle, with its margin."""
    said = Said(f"squat_limit_{name}", {"cap_deg": math.degrees(cap_rad)})
    return Limit(name, margin_rad >= -1e-3, math.degrees(margin_rad), "deg", said)


def load_for(room: Callable[[float], float], load_kg: float) -> float:
    """The load at which ``room`` (of a load, kg; nan where there is none) is 0, kg: by secants from
    ``load_kg``, for effort is nearly straight in the load."""
    a, b = load_kg, load_kg * 1.02 + 0.1
    room_a, room_b = room(a), room(b)
    for _ in range(12):
        if math.isnan(room_b) or room_a == room_b or abs(room_b) < 1e-9:
            break
        to = min(max(b - room_b * (b - a) / (room_b - room_a), 0.2 * b), 5 * b)
        a, room_a, b, room_b = b, room_b, to, room(to)
    return b
