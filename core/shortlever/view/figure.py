"""The stick figure in SVG, to scale from the computed joints, with the moment arm and the stroke drawn in.

Seen from the side: head left, feet right. Shapes carry classes only; the page's stylesheet colours them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from xml.sax.saxutils import escape

from shortlever.bench.press import Press, Rep
from shortlever.gear import PLATE_DIAMETER_M

WIDTH, HEIGHT = 500, 300
BELOW_PAD_M = 0.055
ABOVE_BAR_M = 0.035
LEFT_OF_SHOULDER_M = 0.46


@dataclass(frozen=True)
class Scale:
    """From metres in the lifter's frame to the drawing."""

    per_m: float
    x0: float
    y0: float

    def at(self, y_m: float, z_m: float) -> tuple[float, float]:
        """Drawing coordinates of a point y toward the feet, z above the shoulder line."""
        return round(self.x0 + self.per_m * y_m, 1), round(self.y0 - self.per_m * z_m, 1)


def _points(scale: Scale, points: Iterable[tuple[float, float]]) -> str:
    return " ".join(f"{x},{y}" for x, y in (scale.at(*p) for p in points))


def _line(kind: str, a: tuple[float, float], b: tuple[float, float]) -> str:
    return f'<line class="{kind}" x1="{a[0]}" y1="{a[1]}" x2="{b[0]}" y2="{b[1]}"/>'


def _dot(kind: str, at: tuple[float, float], radius: float) -> str:
    return f'<circle class="{kind}" cx="{at[0]}" cy="{at[1]}" r="{radius:.1f}"/>'


def _text(at: tuple[float, float], anchor: str, text: str) -> str:
    x, y = at
    return f'<text class="fig-label" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{escape(text)}</text>'


def _arm(kind: str, scale: Scale, rep: Rep, row: int, rise_m: float) -> str:
    pose = rep.poses[row][0]
    shoulder = (0.0, rise_m * row)
    elbow = (pose.elbow[1], pose.elbow[2] + rise_m * row)
    hand = (rep.path_m[row], rep.heights_m[row])
    return f'<polyline class="{kind}" points="{_points(scale, (shoulder, elbow, hand))}"/>'


def side_view(
    press: Press, rep: Rep, arm_text: str, stroke_text: str, title: str, text: str, ghost: Rep | None
) -> str:
    """SVG text of the press seen from the side; ``ghost`` is the present setup, drawn behind."""
    body, chest = press.body, press.chest
    pad, top = -body.shoulder_height_m, rep.heights_m[-1]
    per_m = HEIGHT / (top - pad + BELOW_PAD_M + ABOVE_BAR_M)
    scale = Scale(per_m, per_m * LEFT_OF_SHOULDER_M, per_m * (top + ABOVE_BAR_M))
    rise = press.raise_m / (len(rep.heights_m) - 1)
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" '
        'aria-labelledby="fig-title fig-desc">',
        f'<title id="fig-title">{escape(title)}</title><desc id="fig-desc">{escape(text)}</desc>',
    ]
    # bench: the pad, cut off at the picture's edge
    left, level = scale.at(-0.40, pad)
    out.append(
        f'<rect class="fig-bench" x="{left}" y="{level}" width="{WIDTH - left}" height="{0.04 * per_m:.1f}"/>'
    )
    # body: chest profile from notch to the lower ribs, belly, hip; a head; the shoulder joint
    end_y = chest.top_y_m + 0.10
    steps = 12
    profile = [
        (y, chest.height_m(y) + pad)
        for y in (chest.notch_y_m + (end_y - chest.notch_y_m) * i / steps for i in range(steps + 1))
    ]
    hip_y = 0.30 * body.stature_m
    outline = [
        (-0.13, pad + 0.09),
        *profile,
        (0.62 * hip_y + 0.38 * end_y, pad + 0.80 * body.chest_flat_m),
        (hip_y, pad + 0.19),
    ]
    out.append(f'<polyline class="fig-body" points="{_points(scale, outline)}"/>')
    out.append(_line("fig-body", scale.at(hip_y, pad + 0.19), scale.at(hip_y + 0.36, pad + 0.10)))
    out.append(_dot("fig-body", scale.at(-0.225, pad + 0.105), 0.095 * per_m))
    # ghost of the present setup
    if ghost is not None:
        ghost_rise = press.raise_m / (len(ghost.heights_m) - 1)
        out.append(_arm("fig-ghost", scale, ghost, 0, ghost_rise))
        ghost_path = _points(scale, zip(ghost.path_m, ghost.heights_m, strict=True))
        out.append(f'<polyline class="fig-ghost" points="{ghost_path}"/>')
    # path and arms
    out.append(
        f'<polyline class="fig-path" points="{_points(scale, zip(rep.path_m, rep.heights_m, strict=True))}"/>'
    )
    touch = scale.at(rep.path_m[0], rep.heights_m[0])
    lockout = scale.at(rep.path_m[-1], rep.heights_m[-1])
    out.append(_dot("fig-plate", touch, PLATE_DIAMETER_M / 2 * per_m))
    out.append(_arm("fig-arm", scale, rep, 0, rise))
    out.append(_dot("fig-bar", lockout, 4))
    out.append(_dot("fig-bar", touch, 7))
    shoulder = scale.at(0, 0)
    out.append(_dot("fig-arm", shoulder, 6))
    # the moment arm: plumb line over the shoulder, and the distance from it to the bar
    plumb_top = (shoulder[0], touch[1] - 16)
    out.append(_line("fig-path", shoulder, plumb_top))
    out.append(_line("fig-arm-line", (shoulder[0], touch[1]), touch))
    out.append(_text((shoulder[0] - 12, touch[1] - 6), "end", arm_text))
    # the stroke: from the bar at the chest to the bar at lockout
    x = round(max(touch[0], shoulder[0]) + 0.30 * per_m, 1)
    out.append(_line("fig-stroke", (x, touch[1]), (x, lockout[1])))
    for y in (touch[1], lockout[1]):
        out.append(_line("fig-stroke", (x - 8, y), (x + 8, y)))
    out.append(_text((x + 12, (touch[1] + lockout[1]) / 2 + 7), "start", stroke_text))
    out.append("</svg>")
    return "".join(out)
