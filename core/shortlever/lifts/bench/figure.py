"""Stick figures in SVG, to scale from the computed joints: from the side, from the head end and from above.

Shapes carry classes only; the page's stylesheet colours them. What moves along the rep carries data-part, and
``Views.rows`` holds its coordinates for every row, so that a page can move the bar without asking again.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shortlever.draw.svg import Drawing, Point, box, curve, dot, line, picture, places, text
from shortlever.gear import PLATE_DIAMETER_M
from shortlever.lifts.bench.gear import HAND_OUTSIDE_FOREFINGER_M
from shortlever.lifts.bench.press import Press, Rep
from shortlever.lifts.bench.speed import Speeds
from shortlever.say import Said, Text

WIDTH, HEIGHT = 500, 300
BELOW_PAD_M, ABOVE_BAR_M, LEFT_OF_SHOULDER_M, MARGIN_M = 0.055, 0.04, 0.46, 0.02
LABEL_WIDTH = 155.0  # what the longest label left of the shoulder takes, in the widest usual face
BEAT_S = 0.2  # from one dot on the bar path to the next
Joints = tuple[tuple[float, float, float], ...]  # shoulder, elbow, hand in the lifter's frame, m


@dataclass(frozen=True)
class Frame:
    """From metres to one drawing: ``per_m`` units a metre, the origin's place, and which axes are drawn."""

    per_m: float
    x0: float
    y0: float
    axes: tuple[tuple[int, int], tuple[int, int]]  # (axis, sign) drawn to the right and downward

    def at(self, point: Sequence[float]) -> Point:
        """Drawing coordinates of (x, y, z) in m."""
        (right, sign_r), (down, sign_d) = self.axes
        return (
            round(self.x0 + self.per_m * sign_r * point[right], 1),
            round(self.y0 + self.per_m * sign_d * point[down], 1),
        )


SIDE = ((1, 1), (2, -1))
HEAD = ((0, 1), (2, -1))
ABOVE = ((0, -1), (1, 1))


@dataclass(frozen=True)
class Caption:
    """Texts of the figure: the two dimensions, and title and description for who cannot see it."""

    moment_arm: Text
    stroke: Text
    grip: Text
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


def frames(press: Press, tallest_m: float, lowest_m: float) -> dict[str, Frame]:
    """The three drawings' frames for a press between two heights over the shoulder line (m)."""
    lowest = min(lowest_m - MARGIN_M, -press.body.shoulder_height_m - BELOW_PAD_M)
    per_m = HEIGHT / (tallest_m - lowest + ABOVE_BAR_M)
    top = per_m * (tallest_m + ABOVE_BAR_M)
    above = HEIGHT / 0.80
    return {
        "side": Frame(per_m, max(per_m * LEFT_OF_SHOULDER_M, LABEL_WIDTH), top, SIDE),
        "head": Frame(per_m, WIDTH / 2, top, HEAD),
        "above": Frame(above, WIDTH / 2, above * 0.33, ABOVE),
    }


def draw(
    press: Press, rep: Rep, caption: Caption, ghost: Rep | None = None, speeds: Speeds | None = None
) -> list[dict[str, object]]:
    """The three views: key, label, SVG text, and the moving parts' coordinates for every row.

    With ``speeds`` the path seen from the side carries a dot every BEAT_S seconds and a ring where the bar is
    slowest.
    """
    reps = [rep, ghost] if ghost else [rep]
    tallest = max(r.heights_m[-1] for r in reps)
    lowest = min(pose.elbow[2] for r in reps for pose in r.poses[0])
    drawn: list[dict[str, object]] = []
    for key, frame in frames(press, tallest, lowest).items():
        shapes = {"side": _side, "head": _head, "above": _above}[key](press, rep, frame, caption, ghost)
        if key == "side" and speeds:
            shapes += _beats(rep, frame, speeds)
        label = Said(f"view_{key}")
        title = Said("figure_title", {"title": caption.title, "view": label})
        svg = picture(f"fig-{key}", (WIDTH, HEIGHT), title, caption.text, shapes)
        rows = [_moving(press, rep, i, key, frame) for i in range(len(rep.heights_m))]
        drawn.append({"key": key, "label": label, "svg": svg, "rows": rows})
    return drawn


def _moving(press: Press, rep: Rep, row: int, key: str, frame: Frame) -> dict[str, object]:
    """Where the moving parts of one drawing are at one row."""
    right, left = joints(press, rep, row, 0), joints(press, rep, row, 1)
    bar = frame.at((0.0, rep.path_m[row], rep.heights_m[row]))
    moved: dict[str, object] = {"arm": places(frame.at(p) for p in right), "bar": list(bar)}
    if key != "side":
        moved["other-arm"] = places(frame.at(p) for p in left)
        (ax, ay), (bx, by) = _bar_across(frame, rep, row)
        moved["bar-across"] = [ax, ay, bx, by]
    if key != "head":
        shoulder = frame.at((0.0, 0.0, rep.heights_m[row]))
        moved["moment-arm"] = [*shoulder, *bar]
    return moved


def _bar_across(frame: Frame, rep: Rep, row: int) -> tuple[Point, Point]:
    y, z = rep.path_m[row], rep.heights_m[row]
    return frame.at((-0.6, y, z)), frame.at((0.6, y, z))


def _side(press: Press, rep: Rep, frame: Frame, caption: Caption, ghost: Rep | None) -> list[Drawing]:
    body, chest = press.body, press.chest
    pad = -body.shoulder_height_m

    def at(y: float, z: float) -> Point:
        return frame.at((0.0, y, z))

    left, level = at(-0.40, pad)
    out: list[Drawing] = [box("fig-pad", (left, level), WIDTH - left, 0.04 * frame.per_m)]
    end_y, steps = chest.top_y_m + 0.10, 12
    across = [chest.notch_y_m + (end_y - chest.notch_y_m) * i / steps for i in range(steps + 1)]
    hip_y = 0.30 * body.stature_m
    outline = [
        (-0.13, pad + 0.09),
        *((y, chest.height_m(y) + pad) for y in across),
        (0.62 * hip_y + 0.38 * end_y, pad + 0.80 * body.chest_flat_m),
        (hip_y, pad + 0.19),
        (hip_y + 0.36, pad + 0.10),
    ]
    out.append(curve("fig-body", (at(y, z) for y, z in outline)))
    out.append(dot("fig-body", at(-0.225, pad + 0.105), 0.095 * frame.per_m))
    if ghost is not None:
        out.append(curve("fig-ghost", (frame.at(p) for p in joints(press, ghost, 0, 0))))
        out.append(curve("fig-ghost", (at(y, z) for y, z in zip(ghost.path_m, ghost.heights_m, strict=True))))
    out.append(curve("fig-path", (at(y, z) for y, z in zip(rep.path_m, rep.heights_m, strict=True))))
    touch, lockout, shoulder = at(rep.path_m[0], rep.heights_m[0]), at(0, rep.heights_m[-1]), at(0, 0)
    out.append(dot("fig-plate", touch, PLATE_DIAMETER_M / 2 * frame.per_m, "plate"))
    out.append(curve("fig-arm", (frame.at(p) for p in joints(press, rep, 0, 0)), "arm"))
    out.append(dot("fig-bar", lockout, 4))
    out.append(dot("fig-bar", touch, 7, "bar"))
    out.append(dot("fig-arm", shoulder, 6))
    # the moment arm: a plumb line over the shoulder, and the distance from it to the bar
    out.append(line("fig-path", shoulder, (shoulder[0], lockout[1])))
    out.append(line("fig-arm-line", (shoulder[0], touch[1]), touch, "moment-arm"))
    out.append(text("fig-label", (shoulder[0] - 12, touch[1] - 26), "end", Said("drawn_moment_arm")))
    below = (shoulder[0] - 12, touch[1] - 4)
    out.append(text("fig-label", below, "end", caption.moment_arm, "moment-arm-text"))
    # the stroke: from the bar at the chest to the bar at lockout
    x = round(max(touch[0], shoulder[0]) + 0.30 * frame.per_m, 1)
    out.append(line("fig-stroke", (x, touch[1]), (x, lockout[1])))
    out += [line("fig-stroke", (x - 8, y), (x + 8, y)) for y in (touch[1], lockout[1])]
    middle = (touch[1] + lockout[1]) / 2
    out.append(text("fig-label", (x + 12, middle - 4), "start", Said("drawn_stroke")))
    out.append(text("fig-label", (x + 12, middle + 18), "start", caption.stroke))
    return out


def _beats(rep: Rep, frame: Frame, speeds: Speeds) -> list[str]:
    """Dots at equal times on the path: close together where the bar is slow."""

    def on_path(height: float) -> Point:
        row = height / rep.range_of_motion_m * (len(rep.path_m) - 1)
        i = min(int(row), len(rep.path_m) - 2)
        y = rep.path_m[i] + (rep.path_m[i + 1] - rep.path_m[i]) * (row - i)
        return frame.at((0.0, y, rep.heights_m[0] + height))

    dots = [dot("fig-beat", on_path(height), 3) for height in speeds.beats(BEAT_S)]
    if speeds.slowest:
        dots.append(dot("fig-slowest", on_path(speeds.slowest[0]), 8))
    return dots


def _head(press: Press, rep: Rep, frame: Frame, caption: Caption, ghost: Rep | None) -> list[Drawing]:
    body = press.body
    pad = -body.shoulder_height_m
    half_pad = press.gear.bench.width_m / 2
    left, level = frame.at((-half_pad, 0.0, pad))
    out: list[Drawing] = [box("fig-pad", (left, level), 2 * half_pad * frame.per_m, 0.04 * frame.per_m)]
    x = body.half_shoulder_m
    chest = press.chest.height_m(rep.path_m[0]) + pad
    outline = [(-x, 0.0), (-0.55 * x, 0.75 * chest), (0.0, chest), (0.55 * x, 0.75 * chest), (x, 0.0)]
    out.append(curve("fig-body", (frame.at((a, 0.0, b)) for a, b in outline)))
    out.append(dot("fig-body", frame.at((0.0, 0.0, pad + 0.105)), 0.085 * frame.per_m))
    if ghost is not None:
        out += [curve("fig-ghost", (frame.at(p) for p in joints(press, ghost, 0, side))) for side in (0, 1)]
    bar = _bar_across(frame, rep, 0)
    out.append(line("fig-bar", *bar, "bar-across"))
    for side, part in ((0, "arm"), (1, "other-arm")):
        out.append(curve("fig-arm", (frame.at(p) for p in joints(press, rep, 0, side)), part))
    # grip: between the forefingers, drawn over the bar at lockout
    grip = rep.poses[0][0].hand[0] + x - HAND_OUTSIDE_FOREFINGER_M
    high = rep.heights_m[-1] - 0.05
    a, b = frame.at((-grip, 0.0, high)), frame.at((grip, 0.0, high))
    out.append(line("fig-stroke", a, b))
    out += [line("fig-stroke", (p[0], p[1] - 8), (p[0], p[1] + 8)) for p in (a, b)]
    out.append(
        text("fig-label", (WIDTH / 2, a[1] - 12), "middle", Said("drawn_grip", {"grip": caption.grip}))
    )
    return out


def _above(press: Press, rep: Rep, frame: Frame, caption: Caption, ghost: Rep | None) -> list[Drawing]:
    body = press.body
    half_pad = press.gear.bench.width_m / 2
    left, top = frame.at((half_pad, -0.30, 0.0))
    out: list[Drawing] = [box("fig-pad", (left, top), 2 * half_pad * frame.per_m, HEIGHT - top)]
    x, hip_y = body.half_shoulder_m, 0.30 * body.stature_m
    outline = [(-0.75 * x, hip_y), (-x, 0.0), (x, 0.0), (0.75 * x, hip_y)]
    out.append(curve("fig-body", (frame.at((a, b, 0.0)) for a, b in outline)))
    out.append(dot("fig-body", frame.at((0.0, -0.20, 0.0)), 0.085 * frame.per_m))
    if ghost is not None:
        out += [curve("fig-ghost", (frame.at(p) for p in joints(press, ghost, 0, side))) for side in (0, 1)]
    # the flare that the comfort limit allows at this depth, from the right shoulder
    pose = rep.poses[0][0]
    cap = press.comfort.flare_cap_rad(-pose.elbow[2])
    reach = body.right.upper_m
    from_x, to_x = x, x + reach * math.sin(cap)
    out.append(line("fig-limit", frame.at((from_x, 0.0, 0.0)), frame.at((to_x, reach * math.cos(cap), 0.0))))
    bar = _bar_across(frame, rep, 0)
    out.append(line("fig-bar", *bar, "bar-across"))
    for side, part in ((0, "arm"), (1, "other-arm")):
        out.append(curve("fig-arm", (frame.at(p) for p in joints(press, rep, 0, side)), part))
    shoulder, touch = frame.at((0.0, 0.0, 0.0)), frame.at((0.0, rep.path_m[0], 0.0))
    out.append(line("fig-path", frame.at((x, 0.0, 0.0)), frame.at((-x, 0.0, 0.0))))
    out.append(line("fig-arm-line", shoulder, touch, "moment-arm"))
    out.append(text("fig-label", (WIDTH - 6, touch[1] + 26), "end", Said("drawn_moment_arm")))
    out.append(text("fig-label", (WIDTH - 6, touch[1] + 48), "end", caption.moment_arm, "moment-arm-text"))
    return out
