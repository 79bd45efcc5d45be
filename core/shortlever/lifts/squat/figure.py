"""The squat as a picture, to scale from the computed joints: from the side, from the front and from above.

Shapes carry classes only; the page's stylesheet colours them. What moves along the rep carries data-part, and
the rows hold its coordinates for every row from the bottom up, so that a page can move it without asking
again.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.draw.chart import SIDE, Frame, limb
from shortlever.draw.svg import Drawing, Point, area, curve, dot, line, picture, places, text
from shortlever.gear import PLATE_DIAMETER_M
from shortlever.lifts.legs.body import ANKLE_OF_FOOT, BALL_OF_FOOT
from shortlever.lifts.legs.leg import Leg, Vector
from shortlever.lifts.squat.setting import Measured
from shortlever.lifts.squat.squat import Pose, Squat
from shortlever.say import Said, Text

WIDTH, HEIGHT = 500, 300
ABOVE_M, BELOW_M = 0.30, 0.05  # over the highest bar's centre, under the floor
HALF_BAR_M, HALF_FOOT_M = 0.65, 0.045
LEG_WIDE_M, TRUNK_DEEP_M, TRUNK_WIDE_M = 0.11, 0.19, 0.30  # drawn by eye
HEAD_M = 0.105  # radius, and the head's centre over the neck
VIEWS = {"side": Said("view_side"), "front": Said("squat_view_front"), "above": Said("view_above")}


FRONT, ABOVE = ((0, -1), (2, -1)), ((0, 1), (1, -1))


@dataclass(frozen=True)
class Caption:
    """Texts of the figure: the three arms, the stroke, stance and turn-out, title and description."""

    hip: Text
    knee: Text
    back: Text
    stroke: Text
    heels: Text
    turn: Text
    title: Text
    text: Text


def frames(tallest_m: float) -> dict[str, Frame]:
    """The three drawings' frames for a rep whose bar rises to ``tallest_m`` above the floor."""
    per_m = HEIGHT / (tallest_m + ABOVE_M + BELOW_M)
    floor = HEIGHT - per_m * BELOW_M
    above = HEIGHT / 1.15
    return {
        "side": Frame(per_m, WIDTH / 2, floor, SIDE),
        "front": Frame(per_m, WIDTH / 2, floor, FRONT),
        "above": Frame(above, WIDTH / 2, HEIGHT / 2 + 0.05 * above, ABOVE),
    }


def draw(
    squat: Squat, shown: Measured, caption: Caption, ghost: Measured | None = None
) -> list[dict[str, object]]:
    """The three views: key, label, SVG text, and the moving parts' coordinates for every row."""
    tallest = max(one.stance.top_m for one in (shown, ghost) if one)
    drawn: list[dict[str, object]] = []
    for key, frame in frames(tallest).items():
        shapes = {"side": _side, "front": _front, "above": _above}[key](squat, shown, frame, caption, ghost)
        title = Said("figure_title", {"title": caption.title, "view": VIEWS[key]})
        svg = picture(f"fig-{key}", (WIDTH, HEIGHT), title, caption.text, shapes)
        rows = [_moving(squat, shown, pose, key, frame) for pose in shown.rep]
        drawn.append({"key": key, "label": VIEWS[key], "svg": svg, "rows": rows})
    return drawn


def _mirrored(point: Vector) -> Vector:
    return -point[0], point[1], point[2]


def leg_of(leg: Leg, pose: Pose) -> tuple[Vector, Vector, Vector]:
    """Ankle, knee and hip of the right leg, m."""
    return leg.ankle, pose.knee.at, pose.hip


def trunk_of(squat: Squat, pose: Pose) -> tuple[Vector, Vector, Vector]:
    """Middle of the hips, tip of the shoulders, and the head's centre, m."""
    sine, cosine = math.sin(pose.lean_rad), math.cos(pose.lean_rad)

    def along(far: float) -> Vector:
        return 0.0, pose.hip[1] + far * sine, pose.hip[2] + far * cosine

    return along(0.0), along(squat.body.trunk_m), along(squat.body.neck_m + HEAD_M)


def _moving(squat: Squat, shown: Measured, pose: Pose, key: str, frame: Frame) -> dict[str, object]:
    """Where the moving parts of one drawing are in one pose."""
    leg = leg_of(shown.stance.leg, pose)
    hips, shoulders, head = trunk_of(squat, pose)
    moved: dict[str, object] = {"leg": places(frame.at(p) for p in leg)}
    bar = (0.0, *pose.bar)
    if key != "side":
        moved["other-leg"] = places(frame.at(_mirrored(p)) for p in leg)
        (ax, ay), (bx, by) = (frame.at((side * HALF_BAR_M, *pose.bar)) for side in (-1, 1))
        moved["bar-across"] = [ax, ay, bx, by]
    if key != "above":
        moved["trunk"] = places(frame.at(p) for p in (hips, shoulders))
        moved["head"] = list(frame.at(head))
    if key == "side":
        moved |= {"bar": list(frame.at(bar)), "low-back": list(frame.at((0.0, *pose.lumbar)))}
        for part, (a, b) in _arms(shown, pose).items():
            moved[part] = [*frame.at(a), *frame.at(b)]
    else:
        moved["hips"] = [*frame.at(pose.hip), *frame.at(_mirrored(pose.hip))]
    return moved


def _arms(shown: Measured, pose: Pose) -> dict[str, tuple[Vector, Vector]]:
    """The three arms as levels: hip and knee to the plumb line, the low back to the bar's plumb line."""
    plumb, knee, hip = shown.stance.middle_y, pose.knee.at, pose.hip
    return {
        "hip-arm": ((0.0, hip[1], hip[2]), (0.0, plumb, hip[2])),
        "knee-arm": ((0.0, plumb, knee[2]), (0.0, knee[1], knee[2])),
        "back-arm": ((0.0, *pose.lumbar), (0.0, pose.bar[0], pose.lumbar[1])),
    }


def foot_outline(leg: Leg) -> list[Vector]:
    """The foot from the side: heel, sole on its lift, toes, instep, m."""
    body, lift = leg.body, leg.feet.heel_m
    sole = leg.feet.sole_m

    def along(share: float, z: float) -> Vector:
        far = (share - ANKLE_OF_FOOT) * body.foot_m
        return leg.ankle[0] + far * leg.sin, far * leg.cos, z

    return [
        along(0.0, sole + lift),
        along(BALL_OF_FOOT, sole),
        along(1.0, sole),
        along(0.97, sole + 0.02),
        along(BALL_OF_FOOT, sole + 0.045),
        along(ANKLE_OF_FOOT + 0.08, leg.ankle[2]),
        along(ANKLE_OF_FOOT - 0.13, leg.ankle[2]),
    ]


def wedge_outline(leg: Leg) -> list[Vector]:
    """The heel of the shoe under the foot, m."""
    heel, ball = foot_outline(leg)[:2]
    return [(heel[0], heel[1], 0.0), heel, ball, (ball[0], ball[1], 0.0)]


def _side(
    squat: Squat, shown: Measured, frame: Frame, caption: Caption, ghost: Measured | None
) -> list[Drawing]:
    leg, stance, bottom = shown.stance.leg, shown.stance, shown.rep[0]
    body = squat.body

    def at(y: float, z: float) -> Point:
        return frame.at((0.0, y, z))

    out: list[Drawing] = [line("fig-path", (0, frame.y0), (WIDTH, frame.y0))]
    out.append(area("fig-pad", (frame.at(p) for p in wedge_outline(leg))))
    out.append(area("fig-body", (frame.at(p) for p in foot_outline(leg))))
    hips, shoulders, head = trunk_of(squat, bottom)
    if ghost is not None:
        low = ghost.rep[0]
        ghost_hips, ghost_shoulders, _ = trunk_of(squat, low)
        joints = (*leg_of(ghost.stance.leg, low), ghost_hips, ghost_shoulders)
        out.append(curve("fig-ghost", (frame.at(p) for p in joints)))
        out.append(curve("fig-ghost", (at(*pose.bar) for pose in ghost.rep)))
    out.append(curve("fig-path", (at(*pose.bar) for pose in shown.rep)))
    # the depth: crease of the hip and top of the knee as levels
    for kind, y, z in (
        ("fig-limit", bottom.knee.at[1], bottom.knee.at[2] + body.knee_top_m),
        ("fig-limit", bottom.hip[1] + 0.06, bottom.hip[2] + body.crease_m),
    ):
        out.append(line(kind, at(y - 0.07, z), at(y + 0.07, z)))
    out.append(dot("fig-plate", at(*bottom.bar), PLATE_DIAMETER_M / 2 * frame.per_m, "plate"))
    out.append(dot("fig-body", frame.at(head), HEAD_M * frame.per_m, "head"))
    out += limb("fig-limb", (frame.at(p) for p in (hips, shoulders)), TRUNK_DEEP_M * frame.per_m, "trunk")
    out += limb("fig-arm", (frame.at(p) for p in leg_of(leg, bottom)), LEG_WIDE_M * frame.per_m, "leg")
    out.append(dot("fig-hand", at(*bottom.lumbar), 4, "low-back"))
    out.append(dot("fig-bar", at(*bottom.bar), 7, "bar"))
    # the plumb line through the middle of the foot, and the three arms
    plumb = stance.middle_y
    out.append(line("fig-path", at(plumb, 0.0), at(plumb, stance.top_m)))
    for part, (a, b) in _arms(shown, bottom).items():
        out.append(line("fig-arm-line", frame.at(a), frame.at(b), part))
    left, right = 8.0, WIDTH - 8.0
    for i, (name, said, part) in enumerate(
        (
            (Said("squat_drawn_back"), caption.back, "back-arm"),
            (Said("squat_drawn_hip"), caption.hip, "hip-arm"),
        )
    ):
        y = HEIGHT - 150 + 56 * i
        out.append(text("fig-label", (left, y), "start", name))
        out.append(text("fig-label", (left, y + 22), "start", said, f"{part}-text"))
    out.append(text("fig-label", (right, HEIGHT - 94), "end", Said("squat_drawn_knee")))
    out.append(text("fig-label", (right, HEIGHT - 72), "end", caption.knee, "knee-arm-text"))
    # the stroke
    x = round(at(plumb, 0.0)[0] + 0.42 * frame.per_m, 1)
    low_y, high_y = at(*bottom.bar)[1], at(0.0, stance.top_m)[1]
    out.append(line("fig-stroke", (x, low_y), (x, high_y)))
    out += [line("fig-stroke", (x - 8, y), (x + 8, y)) for y in (low_y, high_y)]
    out.append(text("fig-label", (x + 12, (low_y + high_y) / 2 - 4), "start", Said("drawn_stroke")))
    out.append(text("fig-label", (x + 12, (low_y + high_y) / 2 + 18), "start", caption.stroke))
    return out


def _front(
    squat: Squat, shown: Measured, frame: Frame, caption: Caption, ghost: Measured | None
) -> list[Drawing]:
    leg, bottom = shown.stance.leg, shown.rep[0]
    out: list[Drawing] = [line("fig-path", (0, frame.y0), (WIDTH, frame.y0))]
    if ghost is not None:
        joints = leg_of(ghost.stance.leg, ghost.rep[0])
        out += [curve("fig-ghost", (frame.at(p) for p in joints))]
        out += [curve("fig-ghost", (frame.at(_mirrored(p)) for p in joints))]
    hips, shoulders, head = trunk_of(squat, bottom)
    out.append(dot("fig-body", frame.at(head), HEAD_M * frame.per_m, "head"))
    out += limb("fig-limb", (frame.at(p) for p in (hips, shoulders)), TRUNK_WIDE_M * frame.per_m, "trunk")
    out.append(_bar_across(bottom, frame))
    joints = leg_of(leg, bottom)
    out.append(line("fig-hips", frame.at(bottom.hip), frame.at(_mirrored(bottom.hip)), "hips"))
    width = LEG_WIDE_M * frame.per_m
    out += limb("fig-arm", (frame.at(p) for p in joints), width, "leg")
    out += limb("fig-arm", (frame.at(_mirrored(p)) for p in joints), width, "other-leg")
    # what the floor pushes: up, and a little inward
    push = bottom.bears.sideways
    for sign in (1.0, -1.0):
        foot = (sign * leg.ankle[0], 0.0, 0.0)
        tip = (foot[0] - sign * push * 0.30, 0.0, 0.30)
        out.append(line("fig-limit", frame.at(foot), frame.at(tip)))
    a, b = (frame.at((sign * leg.ankle[0], 0.0, 0.02)) for sign in (-1.0, 1.0))
    out.append(line("fig-stroke", a, b))
    out.append(text("fig-label", (WIDTH - 8.0, a[1] - 30), "end", Said("squat_mark_heels")))
    out.append(text("fig-label", (WIDTH - 8.0, a[1] - 8), "end", caption.heels))
    return out


def _bar_across(pose: Pose, frame: Frame) -> str:
    a, b = (frame.at((side * HALF_BAR_M, *pose.bar)) for side in (-1, 1))
    return line("fig-bar", a, b, "bar-across")


def _above(
    squat: Squat, shown: Measured, frame: Frame, caption: Caption, ghost: Measured | None
) -> list[Drawing]:
    leg, bottom, body = shown.stance.leg, shown.rep[0], squat.body
    out: list[Drawing] = []
    if ghost is not None:
        for mirror in (False, True):
            out.append(curve("fig-ghost", (frame.at(p) for p in sole_outline(ghost.stance.leg, mirror))))
    for mirror in (False, True):
        out.append(area("fig-pad", (frame.at(p) for p in sole_outline(leg, mirror))))
    half = body.half_shoulder_m
    shoulders = trunk_of(squat, bottom)[1]
    shape = [bottom.hip, _mirrored(bottom.hip), (-half, *shoulders[1:]), (half, *shoulders[1:]), bottom.hip]
    out.append(curve("fig-body", (frame.at(p) for p in shape)))
    out.append(_bar_across(bottom, frame))
    joints = leg_of(leg, bottom)
    out.append(line("fig-hips", frame.at(bottom.hip), frame.at(_mirrored(bottom.hip)), "hips"))
    width = LEG_WIDE_M * frame.per_m
    out += limb("fig-arm", (frame.at(p) for p in joints), width, "leg")
    out += limb("fig-arm", (frame.at(_mirrored(p)) for p in joints), width, "other-leg")
    plumb = shown.stance.middle_y
    out.append(line("fig-path", frame.at((-0.5, plumb, 0.0)), frame.at((0.5, plumb, 0.0))))
    # how far comfort lets the thigh turn out, from the right hip
    cap, reach = squat.comfort.spread_rad, body.thigh_m
    tip = (bottom.hip[0] + reach * math.sin(cap), bottom.hip[1] + reach * math.cos(cap), 0.0)
    out.append(line("fig-limit", frame.at(bottom.hip), frame.at(tip)))
    toe = frame.at(sole_outline(leg, False)[2])
    out.append(
        text("fig-label", (WIDTH - 8, toe[1]), "end", Said("squat_drawn_toes", {"turn": caption.turn}))
    )
    out.append(text("fig-label", (8.0, toe[1]), "start", Said("squat_drawn_heels", {"heels": caption.heels})))
    return out


def sole_outline(leg: Leg, mirror: bool) -> list[Vector]:
    """A foot from above, m."""
    body, sign = leg.body, -1.0 if mirror else 1.0
    found = []
    for share, aside in (
        (0.0, -0.7),
        (BALL_OF_FOOT, -1.0),
        (1.0, -0.4),
        (0.94, 0.5),
        (BALL_OF_FOOT, 1.0),
        (0.0, 0.7),
    ):
        far, across = (share - ANKLE_OF_FOOT) * body.foot_m, aside * HALF_FOOT_M
        x = leg.ankle[0] + far * leg.sin + across * leg.cos
        found.append((sign * x, far * leg.cos - across * leg.sin, 0.0))
    return [*found, found[0]]
