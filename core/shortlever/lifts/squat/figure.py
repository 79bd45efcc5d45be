"""The squat as a picture, to scale from the computed joints: from the side, from the front and from above.

Shapes carry classes only; the page's stylesheet colours them. What moves along the rep carries data-part, and
the rows hold its coordinates for every row from the bottom up, so that a page can move it without asking
again.
"""

from __future__ import annotations

from dataclasses import dataclass

from shortlever.draw.bar import bar_across, bar_parts
from shortlever.draw.chart import SIDE, Frame, dimension, label, wrench
from shortlever.draw.svg import Drawing, Point, curve, dot, line, picture
from shortlever.gear import BARS, PLATE_DIAMETER_M
from shortlever.lifts.legs import scene
from shortlever.lifts.legs.leg import Vector
from shortlever.lifts.squat.setting import Measured
from shortlever.lifts.squat.squat import Pose, Squat, Stance
from shortlever.say import Said, Text

WIDTH, HEIGHT = 500, 360
ABOVE_M, BELOW_M = 0.30, 0.05  # over the highest bar's centre, under the floor
BAR = BARS["power"]  # as it is drawn
BAR_M = 2.2  # across the picture from the front
VIEWS = {"side": Said("view_side"), "front": Said("squat_view_front"), "above": Said("view_above")}


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


def frames(shown: Measured, now: Measured | None) -> dict[str, Frame]:
    """The three drawings' frames, which hold the setup shown and the present one."""
    stances = [one.stance for one in (shown, now) if one]
    per_m = HEIGHT / (max(stance.top_m for stance in stances) + ABOVE_M + BELOW_M)
    floor = HEIGHT - per_m * BELOW_M
    wide = min(per_m, (WIDTH - 10) / BAR_M)
    return {
        "side": Frame(per_m, WIDTH / 2, floor, SIDE),
        "front": Frame(wide, WIDTH / 2, floor, scene.FRONT),
        "above": scene.frame_from_above((stance.leg for stance in stances), (WIDTH, HEIGHT)),
    }


def draw(
    squat: Squat, shown: Measured, caption: Caption, ghost: Measured | None = None
) -> list[dict[str, object]]:
    """The three views: key, label, SVG text, and the moving parts' coordinates for every row."""
    drawn: list[dict[str, object]] = []
    for key, frame in frames(shown, ghost).items():
        shapes = {"side": _side, "front": _front, "above": _above}[key](squat, shown, frame, caption, ghost)
        title = Said("figure_title", {"title": caption.title, "view": VIEWS[key]})
        svg = picture(f"fig-{key}", (WIDTH, HEIGHT), title, caption.text, shapes)
        rows = [drawn_at(shown.stance, pose, key, frame) for pose in shown.rep]
        scale = {"per_m": round(frame.per_m, 3), "floor": None if key == "above" else frame.y0}
        drawn.append({"key": key, "label": VIEWS[key], "svg": svg, "rows": rows, "scale": scale})
    return drawn


def drawn_at(stance: Stance, pose: Pose, key: str, frame: Frame) -> dict[str, object]:
    """Where the moving parts of one drawing are in one pose."""
    moved = scene.moving(stance.squat.body, stance.leg, pose, frame, key == "side")
    if key == "side":
        moved |= {part: list(frame.at((0.0, *pose.bar))) for part in ("bar", "plate")}
        moved["low-back"] = list(frame.at((0.0, *pose.lumbar)))
        moved["wrench"] = list(frame.at((0.0, *pose.hip[1:])))
        for part, (a, b) in _arms(stance, pose).items():
            moved[part] = [*frame.at(a), *frame.at(b)]
        return moved
    return moved | {
        name: [*a, *b] for name, (a, b) in bar_parts(BAR, frame, *pose.bar, key == "front").items()
    }


def plumb_of(stance: Stance, frame: Frame) -> tuple[Point, Point]:
    """The plumb line over the middle of the feet, from the floor to the standing bar."""
    return frame.at((0.0, stance.middle_y, 0.0)), frame.at((0.0, stance.middle_y, stance.top_m))


def _arms(stance: Stance, pose: Pose) -> dict[str, tuple[Vector, Vector]]:
    """The three arms as levels: hip (the wrench) and knee to the plumb line, the low back to the bar's."""
    plumb, knee, hip = stance.middle_y, pose.knee.at, pose.hip
    return {
        "moment-arm": ((0.0, hip[1], hip[2]), (0.0, plumb, hip[2])),
        "knee-arm": ((0.0, plumb, knee[2]), (0.0, knee[1], knee[2])),
        "back-arm": ((0.0, *pose.lumbar), (0.0, pose.bar[0], pose.lumbar[1])),
    }


def _ghost(squat: Squat, ghost: Measured | None, frame: Frame, side: bool) -> list[Drawing]:
    """The present setup at its bottom, behind: leg and trunk as one line."""
    if ghost is None:
        return []
    low, leg = ghost.rep[0], scene.leg_of(ghost.stance.leg, ghost.rep[0])
    if side:
        points = (*leg, *scene.trunk_of(squat.body, low)[:2])
        bar = ((0.0, *pose.bar) for pose in ghost.rep)
        return [curve("fig-ghost", (frame.at(p) for p in line_)) for line_ in (points, bar)]
    both = (leg, [scene.mirrored(p) for p in leg])
    return [curve("fig-ghost", (frame.at(p) for p in points)) for points in both]


def _side(
    squat: Squat, shown: Measured, frame: Frame, caption: Caption, ghost: Measured | None
) -> list[Drawing]:
    stance, bottom, body = shown.stance, shown.rep[0], squat.body

    def at(y: float, z: float) -> Point:
        return frame.at((0.0, y, z))

    out: list[Drawing] = [line("fig-floor", (0, frame.y0), (WIDTH, frame.y0))]
    out += _ghost(squat, ghost, frame, side=True)
    out.append(dot("fig-plate", at(*bottom.bar), PLATE_DIAMETER_M / 2 * frame.per_m, "plate"))
    out += scene.from_the_side(body, stance.leg, bottom, frame)
    # the depth: crease of the hip and top of the knee as levels
    for y, z in (
        (bottom.knee.at[1], bottom.knee.at[2] + body.knee_top_m),
        (bottom.hip[1] + 0.06, bottom.hip[2] + body.crease_m),
    ):
        out.append(line("fig-limit", at(y - 0.07, z), at(y + 0.07, z)))
    out.append(curve("fig-path", (at(*pose.bar) for pose in shown.rep)))
    # the plumb line through the middle of the foot, and the three arms
    plumb = stance.middle_y
    out.append(line("fig-path", *plumb_of(stance, frame), "plumb"))
    arms = _arms(stance, bottom)
    for part in ("knee-arm", "back-arm"):
        a, b = arms[part]
        out.append(line("fig-leader", frame.at(a), frame.at(b), part))
    out.append(dot("fig-bar", at(*bottom.lumbar), 4, "low-back"))
    out.append(dot("fig-bar", at(*bottom.bar), 5, "bar"))
    hip, end = arms["moment-arm"]
    out += wrench(frame.at(hip), frame.at(end))
    left, right = 8.0, WIDTH - 8.0
    out += label((left, HEIGHT - 186), "start", Said("squat_drawn_back"), caption.back)
    out += label((left, HEIGHT - 124), "start", Said("squat_drawn_hip"), caption.hip, part="moment-arm-text")
    out += label((right, HEIGHT - 124), "end", Said("squat_drawn_knee"), caption.knee)
    # the stroke
    x = round(at(plumb, 0.0)[0] + 0.42 * frame.per_m, 1)
    low, high = at(*bottom.bar)[1], at(0.0, stance.top_m)[1]
    out += dimension((x, low), (x, high))
    return out + label(
        (x + 12, (low + high) / 2 - 14), "start", Said("drawn_range"), Said("drawn_motion"), caption.stroke
    )


def _front(
    squat: Squat, shown: Measured, frame: Frame, caption: Caption, ghost: Measured | None
) -> list[Drawing]:
    leg, bottom = shown.stance.leg, shown.rep[0]
    out: list[Drawing] = [line("fig-floor", (0, frame.y0), (WIDTH, frame.y0))]
    out += _ghost(squat, ghost, frame, side=False)
    out += scene.shoes(leg, frame)
    out += bar_across(BAR, frame, *bottom.bar)
    out += scene.trunk(squat.body, bottom, frame)
    out += scene.legs(leg, bottom, frame)
    out += scene.floors_push(leg, bottom.bears.sideways, frame)
    edge = shown.got.marks.heels_m / 2
    a, b = (frame.at((sign * edge, 0.0, 0.02)) for sign in (1.0, -1.0))
    out += dimension(a, b)
    return out + label((WIDTH - 8.0, a[1] - 30), "end", Said("squat_mark_heels"), caption.heels)


def _above(
    squat: Squat, shown: Measured, frame: Frame, caption: Caption, ghost: Measured | None
) -> list[Drawing]:
    leg, bottom, plumb = shown.stance.leg, shown.rep[0], shown.stance.middle_y
    out: list[Drawing] = []
    if ghost is not None:
        for mirror in (False, True):
            sole = scene.sole_from_above(ghost.stance.leg, mirror)
            out.append(curve("fig-ghost", (frame.at(p) for p in (*sole, sole[0]))))
    out += scene.legs(leg, bottom, frame, "fig-thin")
    out += scene.trunk(squat.body, bottom, frame, "fig-thin-body")
    out.append(scene.thigh_limit(squat.body, bottom, squat.comfort.spread_rad, frame))
    out += scene.soles(leg, frame, "fig-foot")
    out.append(line("fig-path", frame.at((-0.5, plumb, 0.0)), frame.at((0.5, plumb, 0.0))))
    out += bar_across(BAR, frame, *bottom.bar, ends=False)
    heels = Said("squat_drawn_heels", {"heels": caption.heels})
    return out + scene.measured_feet(
        leg, frame, heels, Said("squat_drawn_toes", {"turn": caption.turn}), WIDTH
    )
