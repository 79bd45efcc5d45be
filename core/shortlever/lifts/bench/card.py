"""The picture of the rack card: one half of the bar to scale, and this lifter's hand on it."""

from __future__ import annotations

from shortlever.draw.chart import Frame, dimension, label, limb
from shortlever.draw.svg import Drawing, line, picture
from shortlever.lifts.bench import scene
from shortlever.lifts.bench.marks import finger_m
from shortlever.lifts.bench.measure import Assessment
from shortlever.lifts.bench.press import Press
from shortlever.say import Text

WIDTH, HEIGHT = 500, 200
FROM_M, BAR_Y = -0.03, 108.0  # what is shown of the other half; where the bar lies
FINGER_LONG, SHADE = 52.0, 0.86  # drawn length of a finger across the bar; its share of a finger's breadth
KNURL_FROM_M = 0.06  # the knurl begins here on most bars (common practice, no source)


def draw_hand_on_bar(
    press: Press, got: Assessment, grip: Text, where: Text, title: Text, said: Text
) -> Drawing:
    """SVG text. ``grip`` and ``where``: half the grip, and where the forefinger is, as labels.

    The left end is the middle of the bar; to scale along the bar, the bar's thickness too.
    """
    bar, half = press.gear.bar, got.grip_m / 2
    inner = bar.between_collars_m / 2
    shown = inner + 0.09
    per = WIDTH / (shown - FROM_M)
    frame = Frame(per, -FROM_M * per, BAR_Y, ((0, 1), (1, 1)))

    def at(x: float, down: float = 0.0) -> tuple[float, float]:
        a, b = frame.at((x, 0.0, 0.0))
        return a, b + down

    thick = bar.diameter_m * per
    shapes: list[Drawing] = [
        *limb("card-bar", (at(FROM_M), at(inner)), thick),
        *limb("card-knurl", (at(KNURL_FROM_M), at(inner - 0.03)), thick),
        *limb("card-sleeve", (at(inner), at(shown)), 2 * scene.SLEEVE_RADIUS_M * per),
        line("card-middle", at(0.0, -30), at(0.0, 30)),
    ]
    for apart in bar.rings_m:
        shapes.append(line("card-ring", at(apart / 2, -thick / 2 - 1), at(apart / 2, thick / 2 + 1)))
        shapes.append(line("card-ring-line", at(apart / 2, -44), at(apart / 2, 44)))
    finger = finger_m(press)
    for i in range(4):
        x = half + i * finger
        ends = (at(x, -FINGER_LONG / 2), at(x, FINGER_LONG / 2 - 5 * (i == 3)))
        shapes += limb("card-forefinger" if i == 0 else "card-finger", ends, SHADE * finger * per)
    # from the middle to the forefinger: half of the grip
    a, b = at(0.0, -62), at(half, -62)
    shapes += dimension(a, b)
    shapes.append(line("fig-leader", b, at(half, -FINGER_LONG / 2)))
    shapes += label((4.0, a[1] - 12), "start", grip)
    middle = min(max(at(half)[0], 150.0), WIDTH - 150.0)
    shapes += label((middle, BAR_Y + 66), "middle", where)
    return picture("card", (WIDTH, HEIGHT), title, said, shapes)
