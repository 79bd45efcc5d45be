"""Figures of a pull in SVG, to scale from the computed joints: from the side, from the front and from above.

Shapes carry classes only; the page's stylesheet colours them. What moves along the pull carries data-part,
and the rows hold its coordinates for every row from the floor up, so that a page can move the bar without
asking again.
"""

from __future__ import annotations

from dataclasses import dataclass

from shortlever.draw.bar import bar_across, bar_parts
from shortlever.draw.chart import SIDE, Frame, dimension, label, wrench
from shortlever.draw.svg import Drawing, Point, curve, dot, line, picture, places
from shortlever.gear import PLATE_DIAMETER_M
from shortlever.lifts.deadlift.pull import Pose, Pull
from shortlever.lifts.deadlift.scene import arm_of, arms, hands, low_back_of
from shortlever.lifts.deadlift.setting import Measured
from shortlever.lifts.deadlift.setup import Puller
from shortlever.lifts.legs import scene
from shortlever.lifts.legs.leg import Vector
from shortlever.say import Said, Text

WIDTH, HEIGHT = 500, 360
ABOVE_HEAD_M, UNDER_FLOOR_M = 0.04, 0.03
BAR_M = 2.2  # across the picture from the front
LEFT_OF_BAR = 0.54  # share of the width
VIEWS = {"side": Said("view_side"), "front": Said("squat_view_front"), "above": Said("view_above")}


@dataclass(frozen=True)
class Caption:
    """Texts of the figure: its numbers, and title and description for who cannot see it."""

    hip: Text
    back: Text
    stroke: Text
    hips: Text
    heels: Text
    hands: Text
    turn: Text
    title: Text
    text: Text


def frames(puller: Puller, shown: Measured, now: Measured | None) -> dict[str, Frame]:
    """The three drawings' frames; the bar stands at one place across in the one from the side, and the one
    from above holds the present setup's feet, too."""
    tall = puller.body.stature_m + ABOVE_HEAD_M
    high = HEIGHT / (tall + UNDER_FLOOR_M)
    other = min(high, (WIDTH - 10) / BAR_M)
    floor = HEIGHT - UNDER_FLOOR_M * high
    return {
        "side": Frame(high, WIDTH * LEFT_OF_BAR - high * shown.rep.poses[0].bar[0], floor, SIDE),
        "front": Frame(other, WIDTH / 2, floor, scene.FRONT),
        "above": scene.frame_from_above((one.pull.leg for one in (shown, now) if one), (WIDTH, HEIGHT)),
    }


def draw(
    puller: Puller,
    shown: Measured,
    caption: Caption,
    hips_m: tuple[float, float],
    ghost: Measured | None = None,
) -> list[dict[str, object]]:
    """The three views: key, label, SVG text, and the moving parts' coordinates for every row. ``hips_m``:
    what is nearly free of the hips' height at the start."""
    drawn: list[dict[str, object]] = []
    for key, frame in frames(puller, shown, ghost).items():
        if key == "side":
            shapes = _side(shown, frame, caption, hips_m, ghost)
        else:
            shapes = {"front": _front, "above": _above}[key](puller, shown, frame, caption, ghost)
        title = Said("figure_title", {"title": caption.title, "view": VIEWS[key]})
        svg = picture(f"fig-{key}", (WIDTH, HEIGHT), title, caption.text, shapes)
        rows = [drawn_at(puller, shown.pull, pose, key, frame) for pose in shown.rep.poses]
        scale = {"per_m": round(frame.per_m, 3), "floor": None if key == "above" else frame.y0}
        drawn.append({"key": key, "label": VIEWS[key], "svg": svg, "rows": rows, "scale": scale})
    return drawn


def drawn_at(puller: Puller, pull: Pull, pose: Pose, key: str, frame: Frame) -> dict[str, object]:
    """Where the moving parts of one drawing are in one pose."""
    shoulder, hand = arm_of(pull, pose)
    moved = scene.moving(pull.body, pull.leg, pose, frame, key == "side")
    moved |= {"arm": places(frame.at(p) for p in (shoulder, hand)), "hand": list(frame.at(hand))}
    if key == "side":
        moved |= {part: list(frame.at((0.0, *pose.bar))) for part in ("bar", "plate")}
        moved["wrench"] = list(frame.at((0.0, *pose.hip[1:])))
        moved["low-back"] = list(frame.at(low_back_of(pull, pose)))
        for part, (a, b) in _arms(pull, pose).items():
            moved[part] = [*frame.at(a), *frame.at(b)]
        return moved
    moved["other-arm"] = places(frame.at(scene.mirrored(p)) for p in (shoulder, hand))
    moved["other-hand"] = list(frame.at(scene.mirrored(hand)))
    parts = bar_parts(puller.gear.bar, frame, *pose.bar, key == "front")
    return moved | {name: [*a, *b] for name, (a, b) in parts.items()}


def _arms(pull: Pull, pose: Pose) -> dict[str, tuple[Vector, Vector]]:
    """The arms as levels to the bar's plumb line: of the hip (the wrench), of the low back, of the knee."""
    y, hip, knee = pose.bar[0], pose.hip, pose.knee.at
    back = low_back_of(pull, pose)
    return {
        "moment-arm": ((0.0, hip[1], hip[2]), (0.0, y, hip[2])),
        "back-arm": (back, (0.0, y, back[2])),
        "knee-arm": ((0.0, knee[1], knee[2]), (0.0, y, knee[2])),
    }


def _ghost(ghost: Measured | None, frame: Frame, side: bool) -> list[Drawing]:
    """The present setup at its start, behind: leg, trunk and arm as one line."""
    if ghost is None:
        return []
    start, pull = ghost.rep.poses[0], ghost.pull
    if side:
        hips, shoulders, _ = scene.trunk_of(pull.body, start)
        points = [*scene.leg_of(pull.leg, start), hips, shoulders, (0.0, *start.bar)]
        return [curve("fig-ghost", (frame.at(p) for p in points))]
    return [
        curve("fig-ghost", (frame.at(scene.mirrored(p) if mirror else p) for p in points))
        for points in (scene.leg_of(pull.leg, start), arm_of(pull, start))
        for mirror in (False, True)
    ]


def _side(
    shown: Measured, frame: Frame, caption: Caption, hips_m: tuple[float, float], ghost: Measured | None
) -> list[Drawing]:
    pull, start, top = shown.pull, shown.rep.poses[0], shown.rep.poses[-1]
    y, per = start.bar[0], frame.per_m

    def at(along: float, z: float) -> Point:
        return frame.at((0.0, along, z))

    out: list[Drawing] = [line("fig-floor", (0, frame.y0), (WIDTH, frame.y0))]
    out += _ghost(ghost, frame, side=True)
    out.append(dot("fig-plate", at(*start.bar), PLATE_DIAMETER_M / 2 * per, "plate"))
    out += scene.from_the_side(pull.body, pull.leg, start, frame)
    out.append(curve("fig-limit", (at(*p) for p in _front_of_leg(shown, start))))
    out += arms(pull, start, frame, both=False) + hands(pull, start, frame, both=False)
    # over the middle of the foot, and the bar's straight line
    middle = pull.leg.middle_m * pull.leg.cos
    out.append(line("fig-path", at(middle, 0.0), at(middle, 0.10)))
    out.append(line("fig-path", at(*start.bar), at(*top.bar)))
    out.append(dot("fig-bar", at(*top.bar), 4))
    out.append(dot("fig-bar", at(*start.bar), 5, "bar"))
    # the hips' stretch that is nearly free, as a tape
    behind = start.hip[1] - 0.17
    out.append(line("fig-tape", at(behind, hips_m[0]), at(behind, hips_m[1])))
    for part, (a, b) in _arms(pull, start).items():
        if part != "moment-arm":
            out.append(line("fig-leader", frame.at(a), frame.at(b), part))
    out.append(dot("fig-bar", frame.at(low_back_of(pull, start)), 4, "low-back"))
    hip = at(start.hip[1], start.hip[2])
    out += wrench(hip, at(y, start.hip[2]))
    # the stroke
    x = round(at(y, 0.0)[0] + 0.36 * per, 1)
    low, high = at(*start.bar)[1], at(*top.bar)[1]
    out += dimension((x, low), (x, high))
    out += label(
        (x + 12, (low + high) / 2 - 14), "start", Said("drawn_range"), Said("drawn_motion"), caption.stroke
    )
    left = 8.0
    out += label((left, hip[1] - 118), "start", Said("squat_drawn_back"), caption.back)
    out += label((left, hip[1] - 64), "start", Said("squat_drawn_hip"), caption.hip, part="moment-arm-text")
    return out + label((left, hip[1] + 66), "start", Said("pull_drawn_hips"), caption.hips)


def _front_of_leg(shown: Measured, pose: Pose) -> list[Point]:
    """The line that the bar's middle has to stay ahead of, (y, z)."""
    low, high = shown.pull.leg.ankle[2], pose.hip[2]
    heights = [low + (high - low) * i / 12 for i in range(13)]
    return [(shown.pull.front_m(pose.knee.at, pose.hip, z), z) for z in heights]


def _front(
    puller: Puller, shown: Measured, frame: Frame, caption: Caption, ghost: Measured | None
) -> list[Drawing]:
    pull, start = shown.pull, shown.rep.poses[0]
    leg = pull.leg
    out: list[Drawing] = [line("fig-floor", (0, frame.y0), (WIDTH, frame.y0))]
    out += _ghost(ghost, frame, side=False)
    out += scene.shoes(leg, frame)
    out += scene.trunk(pull.body, start, frame)
    out += scene.legs(pull.leg, start, frame)
    out += bar_across(puller.gear.bar, frame, *start.bar)
    out += arms(pull, start, frame) + hands(pull, start, frame)
    out += scene.floors_push(leg, start.bears.sideways, frame)
    # hands: from outer edge to outer edge, over the shoulders
    edge = shown.got.marks.hands_m / 2
    over = start.shoulder[1] + 0.36
    a, b = (frame.at((sign * edge, 0.0, over)) for sign in (-1.0, 1.0))
    out += dimension(b, a)
    return out + label((WIDTH / 2, a[1] - 10), "middle", Said("pull_drawn_hands", {"hands": caption.hands}))


def _above(
    puller: Puller, shown: Measured, frame: Frame, caption: Caption, ghost: Measured | None
) -> list[Drawing]:
    pull, start, body = shown.pull, shown.rep.poses[0], puller.body
    leg = pull.leg
    out: list[Drawing] = []
    if ghost is not None:
        for mirror in (False, True):
            sole = scene.sole_from_above(ghost.pull.leg, mirror)
            out.append(curve("fig-ghost", (frame.at(p) for p in (*sole, sole[0]))))
    out += scene.legs(pull.leg, start, frame, "fig-thin")
    out += scene.trunk(pull.body, start, frame, "fig-thin-body")
    out += arms(pull, start, frame, kind="fig-thin")
    out.append(scene.thigh_limit(body, start, puller.comfort.most_spread_rad(shown.setup.style), frame))
    out += scene.soles(leg, frame, "fig-foot")
    out += bar_across(puller.gear.bar, frame, *start.bar, ends=False)
    out += hands(pull, start, frame)
    heels = Said("squat_drawn_heels", {"heels": caption.heels})
    return out + scene.measured_feet(
        leg, frame, heels, Said("squat_drawn_toes", {"turn": caption.turn}), WIDTH
    )
