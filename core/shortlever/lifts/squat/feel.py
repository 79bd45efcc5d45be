"""A squat to feel with a finger: feet that go apart and turn, hips that sit back, each inside the limits."""

from __future__ import annotations

import math

from shortlever.draw.chart import Frame
from shortlever.draw.svg import places as points_of
from shortlever.lifts.legs import scene
from shortlever.lifts.legs.feel import FEET, Ends, Freedom, Place, furthest, grid, stopped_by
from shortlever.lifts.legs.marks import heels_m
from shortlever.lifts.lift import Feel, Felt, FeltNumber, Fit, Handle
from shortlever.lifts.squat.advice import Suggestion
from shortlever.lifts.squat.figure import drawn_at, frames, plumb_of
from shortlever.lifts.squat.measure import limits_of
from shortlever.lifts.squat.search import MOST_TURN_RAD, NARROWEST_M, WIDEST_M, Found, Search
from shortlever.lifts.squat.setting import Measured
from shortlever.lifts.squat.squat import Pose, Squat, Stance
from shortlever.lifts.squat.valley import EDGE_RAD, FAR_RAD, SHINS_RAD
from shortlever.numerics import crossing
from shortlever.say import Said

STANCES, BACKS, TURNS = 6, 5, 4
CLOSE_RAD = 1e-3  # of a limit, as near as counts as at it
STEPS = 6
HIPS, KNEES, TOES = ("lean", "fold", "evert"), ("ankle", "evert"), ("spread", "apart")

NUMBERS = (
    FeltNumber("heels", Said("squat_mark_heels"), "settable"),
    FeltNumber("sit_back", Said("squat_head_sit_back"), "settable"),
    FeltNumber("turn_out", Said("squat_head_turn_out"), "angle"),
    FeltNumber("trunk_lean", Said("squat_row_lean"), "angle"),
    FeltNumber("knee_arm", Said("squat_row_knee_arm"), "length"),
    FeltNumber("back_arm", Said("squat_row_back_arm"), "length"),
    FeltNumber("stroke", Said("squat_row_stroke"), "length"),
    FeltNumber("effort", Said("felt_effort_bottom"), "percent"),
)

HANDLES = (
    *FEET,
    Handle("side", "thigh", 1, point=1),
    Handle("above", "shoe", 2, point=scene.TOE),
    Handle("above", "other-shoe", 2, point=scene.TOE),
)


def feel(fit: Fit[Squat, Suggestion, Measured]) -> Feel:
    """The grid round a fitted squat on its heel, on the scale of its figure."""
    room, shown = Room(fit.case, fit.shown), fit.shown
    axes, places = grid(
        (
            Freedom("heels", "stance_m", STANCES, room.stance),
            Freedom("sit_back", "sit_back_m", BACKS, room.back),
            Freedom("turn_out", "turn_out_deg", TURNS, room.turn),
        )
    )
    drawn = frames(shown, fit.now)
    return Feel(axes, HANDLES, NUMBERS, [room.felt(place, drawn) for place in places])


class Room:
    """Where the limits let the feet and hips of one squat go, the heel as it is shown."""

    def __init__(self, squat: Squat, shown: Measured) -> None:
        self.squat, self.shown, self.heel_m = squat, shown, shown.setup.heel_m
        self.search = Search(squat)
        self.bottoms = self.search.bottoms
        self._widest: dict[float, Found | None] = {}

    def widest(self, stance_m: float) -> Found | None:
        """Feet turned out as far as comfort allows, where effort is then least."""
        if stance_m not in self._widest:
            self._widest[stance_m] = self.search.widest_turn(stance_m, self.heel_m)
        return self._widest[stance_m]

    def on(self, stance_m: float, turn_rad: float) -> Stance:
        """The squat on such feet."""
        return self.squat.on(stance_m, turn_rad, self.heel_m)

    def _bottom(self, stance_m: float, back_m: float, turn_rad: float) -> Pose | None:
        stance = self.on(stance_m, turn_rad)
        shin = self.bottoms.shin_for(stance, back_m)
        return None if shin is None else stance.bottom(shin)

    def _stops(self, stance_m: float, turn_rad: float, pose: Pose | None, names: tuple[str, ...]) -> Said:
        if pose is None:
            return Said("felt_no_bottom")
        limits = limits_of(self.squat, self.on(stance_m, turn_rad), pose)
        return stopped_by(limits, names, Said("felt_not_worked_out"))

    def stance(self, _: Place) -> Ends:
        """Ankles apart, m."""

        def keeps(stance_m: float) -> bool:
            found = self.widest(stance_m)
            return found is not None and self.search.outside(found) <= EDGE_RAD

        def stops(end: float) -> Said:
            found = self.widest(end)
            if found is None:
                return Said("felt_no_bottom")
            return self._stops(end, found.turn_rad, found.valley.pose, (*HIPS, *KNEES, *TOES))

        here = self.shown.setup.stance_m
        low, high = furthest(keeps, here, NARROWEST_M), furthest(keeps, here, WIDEST_M)
        low_said = Said("felt_not_worked_out") if low <= NARROWEST_M else stops(low - 0.01)
        return Ends(low, high, low_said, stops(high + 0.01))

    def back(self, place: Place) -> Ends:
        """The hips behind the middle of the feet, m, the feet turned out as far as comfort then allows."""
        (stance_m,) = place
        found = self.widest(stance_m)
        if found is None:
            back = self.shown.got.sit_back_m
            return Ends(back, back, Said("felt_no_bottom"), Said("felt_no_bottom"))
        bottoms, start = self.bottoms, found.valley.shin_rad

        def turn_at(shin: float) -> float:
            return self.search._turn_for(stance_m, self.heel_m, found.turn_rad, shin)

        def room(shin: float) -> float:
            pose = self.on(stance_m, turn_at(shin)).bottom(shin)
            return min(bottoms.hips_room(pose), bottoms.knees_room(pose)) + CLOSE_RAD

        most = bottoms.most_shin(self.on(stance_m, found.turn_rad))
        ends = []
        for far, names in ((most, KNEES), (max(SHINS_RAD[0], start - FAR_RAD), HIPS)):
            shin = crossing(room, start, far)
            pose = self.on(stance_m, turn_at(shin)).bottom(shin) or found.valley.pose
            ends.append((pose.hip_arm_m, self._stops(stance_m, turn_at(shin), pose, names)))
        (low, knees), (high, hips) = ends
        return Ends(low, max(low, high), knees, hips)

    def turn(self, place: Place) -> Ends:
        """Turn-out of each foot, deg."""
        stance_m, back_m = place
        found = self.widest(stance_m)
        high = found.turn_rad if found else self.shown.setup.turn_rad
        for _ in range(STEPS):
            pose = self._bottom(stance_m, back_m, high)
            if pose is None:
                break
            left = self.search.spread_room(high, pose)
            high = min(max(high + left, 0.0), MOST_TURN_RAD)
            if abs(left) < CLOSE_RAD:
                break

        def room(turn: float) -> float:
            pose = self._bottom(stance_m, back_m, turn)
            if pose is None:
                return -1.0
            ankle = self.on(stance_m, turn).leg.most_shin_rad - pose.knee.shin_rad
            apart = self.squat.comfort.apart_rad - (pose.spread_rad - turn)
            return min(apart, ankle, self.bottoms.hips_room(pose), self.bottoms.knees_room(pose)) + CLOSE_RAD

        low = crossing(room, high, 0.0, close=CLOSE_RAD / 2, apart=CLOSE_RAD)
        said = [
            self._stops(stance_m, turn, self._bottom(stance_m, back_m, turn), names)
            for turn, names in ((low, (*HIPS, *KNEES, "apart")), (high, TOES))
        ]
        if low <= 0.0:
            said[0] = Said("felt_straight_ahead")
        return Ends(math.degrees(low), math.degrees(high), *said)

    def felt(self, place: Place, drawn: dict[str, Frame]) -> Felt:
        """One setup of the grid."""
        stance_m, back_m, turn_deg = place
        turn = math.radians(turn_deg)
        stance = self.on(stance_m, turn)
        pose = self._bottom(stance_m, back_m, turn) or self.shown.rep[0]
        shown = self.shown.rep[0].bears.effort
        numbers = {
            "heels": heels_m(self.squat.body, stance_m, turn),
            "sit_back": pose.hip_arm_m,
            "turn_out": turn_deg,
            "trunk_lean": math.degrees(pose.lean_rad),
            "knee_arm": pose.knee_arm_m,
            "back_arm": pose.back_arm_m,
            "stroke": stance.top_m - pose.bar[1],
            "effort": 100 * (pose.bears.effort / shown - 1),
        }
        parts = {
            "stance_m": stance_m,
            "turn_out_deg": turn_deg,
            "heel_m": self.heel_m,
            "sit_back_m": pose.hip_arm_m,
        }
        return Felt(parts, numbers, {key: _drawn(stance, pose, key, frame) for key, frame in drawn.items()})


def _drawn(stance: Stance, pose: Pose, key: str, frame: Frame) -> dict[str, object]:
    """Where the parts of one drawing are, the feet among them."""
    moved = drawn_at(stance, pose, key, frame)
    moved |= {part: points_of(points) for part, points in scene.feet_of(stance.leg, frame, key).items()}
    if key == "side":
        a, b = plumb_of(stance, frame)
        moved["plumb"] = [*a, *b]
    return moved
