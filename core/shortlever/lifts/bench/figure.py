"""Figures of a press in SVG, to scale from the computed joints: from the side, from the head end, from above.

Shapes carry classes only; the page's stylesheet colours them. What moves along the rep carries data-part, and
``Views.rows`` holds its coordinates for every row, so that a page can move the bar without asking again.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shortlever.draw.bar import bar_across, bar_parts
from shortlever.draw.chart import ABOVE, HEAD, SIDE, Frame, dimension, label, limb, wrench
from shortlever.draw.svg import Drawing, Point, arc, curve, dot, line, picture, places
from shortlever.gear import PLATE_DIAMETER_M
from shortlever.lifts.bench import scene
from shortlever.lifts.bench.gear import HAND_OUTSIDE_FOREFINGER_M
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.rep import Rep
from shortlever.lifts.bench.speed import Speeds
from shortlever.say import Said, Text

WIDTH, HEIGHT = 500, 360
ABOVE_BAR_M, UNDER_FLOOR_M = PLATE_DIAMETER_M / 2 + 0.02, 0.02
LEFT = 150.0  # of the shoulder: what the longest label takes, in the widest usual face
BAR_M = 2.2  # across the pictures from the head end and from above
BEAT_S = 0.2  # from one dot on the bar path to the next
Joints = tuple[tuple[float, float, float], ...]  # shoulder, elbow, hand in the lifter's frame, m


@dataclass(frozen=True)
class Caption:
    """Texts of the figure: its numbers, and title and description for who cannot see it."""

    moment_arm: Text
    stroke: Text
    grip: Text
    touch: Text
    tuck: Text
    title: Text
    text: Text


def joints(press: Press, rep: Rep, row: int, side: int) -> Joints:
    """Shoulder, elbow and hand of the right (side 0) or left arm at a row, in the lifter's frame, m."""
    pose = rep.poses[row][side]
    sign = 1 if side == 0 else -1
    share = row / (len(rep.heights_m) - 1)
    rise = press.raise_m * share
    x = press.body.half_shoulder_m + press.widen_m * share
    ex, ey, ez = pose.elbow
    hx, hy, hz = pose.hand
    return (
        (sign * x, 0.0, rise),
        (sign * (x + ex), ey, rise + ez),
        (sign * (x + hx), hy, rise + hz),
    )


def frames(press: Press, tallest_m: float) -> dict[str, Frame]:
    """The three drawings' frames for presses up to a height over the shoulder line (m)."""
    _, floor = scene.levels(press)
    high = HEIGHT / (tallest_m + ABOVE_BAR_M - floor + UNDER_FLOOR_M)
    beside, across = (WIDTH - LEFT) / (scene.feet_m(press) + 0.06), (WIDTH - 10) / BAR_M
    side, other = min(high, beside, LEFT / scene.BEHIND_M), min(high, across)
    return {
        "side": Frame(side, LEFT, side * (tallest_m + ABOVE_BAR_M), SIDE),
        "head": Frame(other, WIDTH / 2, other * (tallest_m + ABOVE_BAR_M), HEAD),
        "above": Frame(other, WIDTH / 2, other * (0.02 - scene.BENCH_FROM_M), ABOVE),
    }


def draw(
    press: Press, rep: Rep, caption: Caption, ghost: Rep | None = None, speeds: Speeds | None = None
) -> list[dict[str, object]]:
    """The three views: key, label, SVG text, and the moving parts' coordinates for every row.

    With ``speeds`` the path seen from the side carries a dot every BEAT_S seconds and a ring where the bar is
    slowest.
    """
    tallest = max(r.heights_m[-1] for r in ([rep, ghost] if ghost else [rep]))
    drawn: list[dict[str, object]] = []
    for key, frame in frames(press, tallest).items():
        shapes = {"side": _side, "head": _head, "above": _above}[key](press, rep, frame, caption, ghost)
        if key == "side" and speeds:
            shapes += _beats(rep, frame, speeds)
        view = Said(f"view_{key}")
        title = Said("figure_title", {"title": caption.title, "view": view})
        svg = picture(f"fig-{key}", (WIDTH, HEIGHT), title, caption.text, shapes, cut=True)
        rows = [drawn_at(press, rep, i, key, frame) for i in range(len(rep.heights_m))]
        floor = None if key == "above" else frame.at((0.0, 0.0, scene.levels(press)[1]))[1]
        scale = {"per_m": round(frame.per_m, 3), "floor": floor}
        drawn.append({"key": key, "label": view, "svg": svg, "rows": rows, "scale": scale})
    return drawn


def drawn_at(press: Press, rep: Rep, row: int, key: str, frame: Frame) -> dict[str, object]:
    """Where the moving parts of one drawing are at one row."""
    right, left = joints(press, rep, row, 0), joints(press, rep, row, 1)
    y, z = rep.path_m[row], rep.heights_m[row]
    bar = frame.at((0.0, y, z))
    moved: dict[str, object] = {"arm": places(frame.at(p) for p in right), "bar": list(bar)}
    if key == "side":
        shoulder, under = frame.at((0.0, 0.0, right[0][2])), frame.at((0.0, y, right[0][2]))
        return moved | {"moment-arm": [*shoulder, *under], "wrench": list(shoulder), "plumb": [*bar, *under]}
    moved |= {"other-arm": places(frame.at(p) for p in left)}
    moved |= {"hand": list(frame.at(right[2])), "other-hand": list(frame.at(left[2]))}
    moved |= {name: [*a, *b] for name, (a, b) in bar_parts(press.gear.bar, frame, y, z).items()}
    if key == "above":
        moved |= {"moment-arm": [*frame.at((0.0, 0.0, z)), *bar], "wrench": list(frame.at((0.0, 0.0, z)))}
    return moved


def _arm(press: Press, rep: Rep, frame: Frame, side: int, part: str, hand: str) -> list[Drawing]:
    """An arm with the bar on the chest, its hand round the bar."""
    at = [frame.at(p) for p in joints(press, rep, 0, side)]
    width = scene.ARM_WIDTH_M * frame.per_m
    return [
        *limb("fig-arm", at, width, part),
        dot("fig-hand", at[2], scene.HAND_RADIUS_M * frame.per_m, hand),
    ]


def _ghost(press: Press, ghost: Rep | None, frame: Frame, sides: tuple[int, ...]) -> list[Drawing]:
    if ghost is None:
        return []
    return [curve("fig-ghost", (frame.at(p) for p in joints(press, ghost, 0, side))) for side in sides]


def _side(press: Press, rep: Rep, frame: Frame, caption: Caption, ghost: Rep | None) -> list[Drawing]:
    chest, pad, per = press.chest, -press.body.shoulder_height_m, frame.per_m

    def at(y: float, z: float) -> Point:
        return frame.at((0.0, y, z))

    def path(of: Rep) -> list[Point]:
        return [at(y, z) for y, z in zip(of.path_m, of.heights_m, strict=True)]

    touch, lockout, shoulder = at(rep.path_m[0], rep.heights_m[0]), at(0, rep.heights_m[-1]), at(0, 0)
    out = scene.side(press, frame, rep.heights_m[-1])
    # the touch: a tape on the breastbone, from the notch to the bar
    down = [chest.notch_y_m + (rep.path_m[0] - chest.notch_y_m) * i / 8 for i in range(9)]
    out.append(curve("fig-tape", (at(y, chest.height_m(y) + pad + 0.008) for y in down)))
    out += _ghost(press, ghost, frame, (0,))
    if ghost is not None:
        out.append(curve("fig-ghost", path(ghost)))
    out.append(dot("fig-plate", touch, PLATE_DIAMETER_M / 2 * per, "plate"))
    out.append(curve("fig-path", path(rep)))
    out += _arm(press, rep, frame, 0, "arm", "bar")
    out.append(dot("fig-bar", lockout, 4))
    out.append(dot("fig-bar", touch, 5, "bar"))
    under = (touch[0], shoulder[1])
    out.append(line("fig-path", touch, under, "plumb"))
    out += wrench(shoulder, under)
    # the stroke: from the bar at the chest to the bar at lockout
    x = round(touch[0] + 0.29 * per, 1)
    out += dimension((x, touch[1]), (x, lockout[1]))
    middle = (touch[1] + lockout[1]) / 2
    out += label((x + 12, middle - 14), "start", Said("drawn_range"), Said("drawn_motion"), caption.stroke)
    out.append(line("fig-tape", (x + 110, middle + 12), (x + 128, middle + 12)))
    out += label((x + 134, middle - 4), "start", Said("head_touch"), caption.touch)
    named = (shoulder[0] - 14, touch[1] - 34)
    out.append(line("fig-leader", (named[0] - 40, named[1] + 30), shoulder))
    return out + label(named, "end", Said("drawn_moment_arm"), caption.moment_arm, part="moment-arm-text")


def _beats(rep: Rep, frame: Frame, speeds: Speeds) -> list[Drawing]:
    """Dots at equal times on the path: close together where the bar is slow."""

    def on_path(height: float) -> Point:
        row = height / rep.range_of_motion_m * (len(rep.path_m) - 1)
        i = min(int(row), len(rep.path_m) - 2)
        y = rep.path_m[i] + (rep.path_m[i + 1] - rep.path_m[i]) * (row - i)
        return frame.at((0.0, y, rep.heights_m[0] + height))

    dots: list[Drawing] = [dot("fig-beat", on_path(height), 3) for height in speeds.beats(BEAT_S)]
    if speeds.slowest:
        dots.append(dot("fig-slowest", on_path(speeds.slowest[0]), 8))
    return dots


def _both_arms(press: Press, rep: Rep, frame: Frame, ghost: Rep | None) -> list[Drawing]:
    """The bar across the picture and both arms on it."""
    out = _ghost(press, ghost, frame, (0, 1))
    out += bar_across(press.gear.bar, frame, rep.path_m[0], rep.heights_m[0])
    for side, part, hand in ((0, "arm", "hand"), (1, "other-arm", "other-hand")):
        out += _arm(press, rep, frame, side, part, hand)
    return out


def _head(press: Press, rep: Rep, frame: Frame, caption: Caption, ghost: Rep | None) -> list[Drawing]:
    out = scene.from_the_head(press, frame, press.chest.height_m(rep.path_m[0]), rep.heights_m[-1])
    out += _both_arms(press, rep, frame, ghost)
    # grip: between the forefingers, drawn at the height of the bar at lockout
    grip = rep.poses[0][0].hand[0] + press.body.half_shoulder_m - HAND_OUTSIDE_FOREFINGER_M
    high = rep.heights_m[-1] + 0.06
    a, b = frame.at((-grip, 0.0, high)), frame.at((grip, 0.0, high))
    out += dimension(a, b)
    return out + label((WIDTH / 2, a[1] - 10), "middle", Said("drawn_grip", {"grip": caption.grip}))


def _above(press: Press, rep: Rep, frame: Frame, caption: Caption, ghost: Rep | None) -> list[Drawing]:
    x, reach = press.body.half_shoulder_m, press.body.right.upper_m
    out = scene.from_above(press, frame)
    # the flare that the comfort limit allows at this depth, from the right shoulder
    pose = rep.poses[0][0]
    cap = press.comfort.flare_cap_rad(-pose.elbow[2])
    shoulder = frame.at((x, 0.0, 0.0))
    to = frame.at((x + reach * math.sin(cap), reach * math.cos(cap), 0.0))
    out += _both_arms(press, rep, frame, ghost)
    out.append(line("fig-limit", shoulder, to))
    # the tuck: from the trunk's direction to the upper arm's
    elbow = math.atan2(pose.elbow[1], -pose.elbow[0])
    out.append(arc("fig-arc", shoulder, 0.2 * frame.per_m, math.pi / 2, elbow))
    middle, touch = frame.at((0.0, 0.0, 0.0)), frame.at((0.0, rep.path_m[0], 0.0))
    low = touch[1] + PLATE_DIAMETER_M / 2 * frame.per_m + 24  # under the plates
    out += label((frame.at((x, 0.0, 0.0))[0] - 10, low), "end", Said("head_tuck"), caption.tuck)
    out.append(line("fig-path", frame.at((x, 0.0, 0.0)), frame.at((-x, 0.0, 0.0))))
    out += wrench(middle, touch)
    at = (frame.at((-x, 0.0, 0.0))[0] + 10, low)
    return out + label(at, "start", Said("drawn_moment_arm"), caption.moment_arm, part="moment-arm-text")
