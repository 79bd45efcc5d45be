"""A deadlift to feel with a finger: feet that go apart and turn, hips that start lower or higher, hands; each
inside the limits, in the style that is shown."""

from __future__ import annotations

import math

from shortlever.draw.chart import Frame
from shortlever.draw.svg import places as points_of
from shortlever.lifts.deadlift.advice import Suggestion
from shortlever.lifts.deadlift.comfort import MOST_EVERSION_RAD, MOST_FLEXION_RAD
from shortlever.lifts.deadlift.figure import drawn_at, frames
from shortlever.lifts.deadlift.one_style import AHEADS_M
from shortlever.lifts.deadlift.pull import Pose, Pull
from shortlever.lifts.deadlift.rep import lockout
from shortlever.lifts.deadlift.search import EDGE, Search
from shortlever.lifts.deadlift.setting import Measured
from shortlever.lifts.deadlift.setup import AHEAD_M, LEAST_GRIP_M, MOST_GRIP_M, Puller
from shortlever.lifts.deadlift.tried import LIMITS, Tried, tried
from shortlever.lifts.legs import scene
from shortlever.lifts.legs.feel import FEET, Ends, Freedom, Place, grid
from shortlever.lifts.legs.marks import heels_m
from shortlever.lifts.lift import Feel, Felt, FeltNumber, Fit, Handle
from shortlever.numerics import crossing
from shortlever.say import Said
from shortlever.units import degrees

STANCES, AHEADS, TURNS, GRIPS = 4, 4, 4, 3
ROUNDS = 3  # to a turn-out inside the limits
NO_ROOM = 0.02  # of room (rad or tenths of a metre), under which a limit is said to stop it
ROUGH, WITHIN_M = 1e-3, 0.01  # of a place; of the widest hands

NUMBERS = (
    FeltNumber("heels", Said("squat_mark_heels"), "settable"),
    FeltNumber("hip_height", Said("felt_hip_height"), "length"),
    FeltNumber("turn_out", Said("squat_head_turn_out"), "angle"),
    FeltNumber("hands", Said("pull_mark_hands"), "settable"),
    FeltNumber("trunk_lean", Said("squat_row_lean"), "angle"),
    FeltNumber("hip_arm", Said("pull_row_hip_arm"), "length"),
    FeltNumber("back_arm", Said("squat_row_back_arm"), "length"),
    FeltNumber("stroke", Said("squat_row_stroke"), "length"),
    FeltNumber("effort", Said("felt_effort_start"), "percent"),
)

HANDLES = (
    *FEET,
    Handle("side", "thigh", 1, point=1),
    Handle("above", "shoe", 2, point=scene.TOE),
    Handle("above", "other-shoe", 2, point=scene.TOE),
    Handle("front", "hand", 3),
    Handle("front", "other-hand", 3),
    Handle("above", "hand", 3),
    Handle("above", "other-hand", 3),
)


def feel(fit: Fit[Puller, Suggestion, Measured]) -> Feel:
    """The grid round a fitted pull, on the scale of its figure."""
    room = Room(fit.case, fit.shown)
    axes, places = grid(
        (
            Freedom("heels", "stance_m", STANCES, room.stance),
            Freedom("hip_height", "shoulder_ahead_m", AHEADS, room.ahead),
            Freedom("turn_out", "turn_out_deg", TURNS, room.turn),
            Freedom("hands", "grip_m", GRIPS, room.grip),
        )
    )
    drawn = frames(fit.case, fit.shown, fit.now)
    return Feel(axes, HANDLES, NUMBERS, [room.felt(place, drawn) for place in places])


class Room:
    """Where the limits let feet, hips and hands of one pull go."""

    def __init__(self, puller: Puller, shown: Measured) -> None:
        self.puller, self.shown, self.style = puller, shown, shown.setup.style
        self.usual = Search(puller, self.style)
        self.near = self.usual.tried[2][2]
        self.most_fold = max(MOST_FLEXION_RAD, shown.rep.poses[0].bears.hip_flexion_rad)
        why = Said("squat_limit_fold", {"cap_deg": degrees(MOST_FLEXION_RAD)})
        self._found: dict[tuple[float, float], tuple[float, Said]] = {}
        self.folded = Said("felt_stops", {"why": why})

    def _tried(self, stance_m: float, ahead_m: float, turn_rad: float) -> Tried | None:
        return tried(self.puller, self.style, stance_m, turn_rad, ahead_m, self.near)

    def _stops(self, one: Tried | None, otherwise: str = "felt_not_worked_out") -> Said:
        """The limit with the least room."""
        if one is None:
            return Said("felt_no_start")
        room, name = min(zip(one.rooms, LIMITS, strict=True))
        if room > NO_ROOM:
            return Said(otherwise)
        comfort = self.puller.comfort
        caps = {
            "spread": comfort.most_spread_rad(self.style),
            "apart": comfort.align_rad,
            "evert": MOST_EVERSION_RAD,
        }
        if name in caps:
            why = Said(f"squat_limit_{name}", {"cap_deg": degrees(caps[name])})
        else:
            why = Said("pull_limit_plates" if name == "plates" else f"pull_limit_hands_{self.style}")
        return Said("felt_stops", {"why": why})

    def stance(self, _: Place) -> Ends:
        """Ankles apart, m: of what the suggestion looks at, where some turn-out keeps the limits."""
        search = self.usual
        here = (self.shown.setup.stance_m - search.narrow_m) / search.reach_m
        looked = [min(max(here, 0.0), 1.0), *(i / 8 for i in range(9))]
        start = max(looked, key=lambda x: search.best(x).room)
        low, high = (
            crossing(lambda x: search.best(x).room + EDGE, start, end, close=ROUGH, apart=ROUGH)
            for end in (0.0, 1.0)
        )
        said = [
            self._stops(self._tried(search.stance_m(x), AHEAD_M, search.turn_rad(search.best(x).turn)))
            for x in (low, high)
        ]
        return Ends(search.stance_m(low), search.stance_m(high), *said)

    def _turns(self, stance_m: float) -> tuple[float, float]:
        """The turn-outs that keep the limits with the shoulders as far ahead as usual, rad."""
        search = self.usual
        low, high = search.best((stance_m - search.narrow_m) / search.reach_m).turns
        return search.turn_rad(low), search.turn_rad(high)

    def ahead(self, place: Place) -> Ends:
        """The shoulders in front of the bar, m: the hips rise with it."""
        (stance_m,) = place
        turn = sum(self._turns(stance_m)) / 2
        usual = self._tried(stance_m, AHEAD_M, turn)
        if usual is None:
            return Ends(AHEAD_M, AHEAD_M, Said("felt_no_start"), Said("felt_no_start"))

        def room(ahead: float) -> float:
            one = self._tried(stance_m, ahead, turn)
            return -1.0 if one is None else self.most_fold - one.pose.bears.hip_flexion_rad + ROUGH

        low, high = (crossing(room, AHEAD_M, end, close=ROUGH, apart=ROUGH) for end in AHEADS_M)
        over = Said("felt_shoulders_over")
        return Ends(
            low,
            high,
            over if low <= AHEADS_M[0] + ROUGH else self.folded,
            Said("felt_shoulders_ahead"),
        )

    def turn(self, place: Place) -> Ends:
        """Turn-out of each foot, deg."""
        stance_m, ahead_m = place
        low, high = self._turns(stance_m)
        ends = [self._tried(stance_m, ahead_m, turn) for turn in (low, high)]
        for _ in range(ROUNDS):  # with the shoulders elsewhere than usual the legs stand a little otherwise
            over = [min(0.0, *one.rooms[:3]) if one else 0.0 for one in ends]
            if min(over) > -ROUGH:
                break
            middle = (low + high) / 2
            low, high = min(low - over[0], middle), max(high + over[1], middle)
            ends = [self._tried(stance_m, ahead_m, turn) for turn in (low, high)]
        straight = "felt_straight_ahead" if low <= ROUGH else "felt_not_worked_out"
        return Ends(degrees(low), degrees(high), self._stops(ends[0], straight), self._stops(ends[1]))

    def grip(self, place: Place) -> Ends:
        """The middles of the hands apart, m."""
        stance_m, ahead_m, turn_deg = place
        one, puller = self._tried(stance_m, ahead_m, math.radians(turn_deg)), self.puller
        legs = Said("felt_stops", {"why": Said(f"pull_limit_hands_{self.style}")})
        if one is None:
            return Ends(self.shown.setup.grip_m, self.shown.setup.grip_m, legs, legs)
        if self.style == "conventional":
            clear = 2 * (stance_m / 2 + one.past_m + puller.beside_m)
            widest, stops = self._widest(stance_m, ahead_m)
            return Ends(clear, max(widest, clear), legs, stops)
        clear = one.pull.grip_m + 2 * puller.hands_room_m(self.style, one.pull, one.pose)
        return Ends(LEAST_GRIP_M, max(clear, LEAST_GRIP_M), Said("felt_not_worked_out"), legs)

    def _widest(self, stance_m: float, ahead_m: float) -> tuple[float, Said]:
        """The widest hands, which bring the shoulders down until trunk and thigh fold no further, m, with the
        feet half way out; and what stops them."""
        if (stance_m, ahead_m) in self._found:
            return self._found[stance_m, ahead_m]
        puller, turn = self.puller, sum(self._turns(stance_m)) / 2
        sleeves = min(MOST_GRIP_M, puller.gear.bar.between_collars_m - puller.body.hand_breadth_m)

        def room(grip_m: float) -> float:
            pull = puller.on(stance_m, turn, grip_m)
            pose = pull.start(puller.gear.start_m, ahead_m, self.near.pose.lean_rad) if pull.reaches else None
            return -1.0 if pose is None else self.most_fold - pose.bears.hip_flexion_rad + ROUGH

        widest = crossing(room, puller.plumb_m, sleeves, ROUGH, WITHIN_M)
        stops = Said("felt_not_worked_out") if widest > sleeves - WITHIN_M else self.folded
        self._found[stance_m, ahead_m] = widest, stops
        return widest, stops

    def felt(self, place: Place, drawn: dict[str, Frame]) -> Felt:
        """One setup of the grid."""
        stance_m, ahead_m, turn_deg, grip_m = place
        puller, turn, shown = self.puller, math.radians(turn_deg), self.shown.rep.poses[0]
        pull = puller.on(stance_m, turn, grip_m)
        pose = pull.start(puller.gear.start_m, ahead_m) if pull.reaches else None
        if pose is None:
            pull, pose = self.shown.pull, shown
        y, low = pose.bar
        top = lockout(pull, y)
        numbers = {
            "heels": heels_m(puller.body, stance_m, turn),
            "hip_height": pose.hip[2],
            "turn_out": turn_deg,
            "hands": grip_m + puller.body.hand_breadth_m,
            "trunk_lean": degrees(pose.lean_rad),
            "hip_arm": y - pose.hip[1],
            "back_arm": pose.back_arm_m,
            "stroke": top[0] - low if top else self.shown.got.stroke_m,
            "effort": 100 * (pose.effort / shown.effort - 1),
        }
        parts = {
            "stance_m": stance_m,
            "turn_out_deg": turn_deg,
            "grip_m": grip_m,
            "shoulder_ahead_m": ahead_m,
        }
        moved = {key: _drawn(puller, pull, pose, key, frame) for key, frame in drawn.items()}
        return Felt(parts, numbers, moved)


def _drawn(puller: Puller, pull: Pull, pose: Pose, key: str, frame: Frame) -> dict[str, object]:
    """Where the parts of one drawing are, the feet among them."""
    moved = drawn_at(puller, pull, pose, key, frame)
    return moved | {part: points_of(points) for part, points in scene.feet_of(pull.leg, frame, key).items()}
