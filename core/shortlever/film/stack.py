"""How far out the face of the outermost plate stands, by which plates hang on the sleeve; what of their flank
passes for its rim. m.

Sleeves start 0.655 m from the bar's middle: 1310 mm between the collars (IPF and IWF technical rules, from
memory). How thick plates are no rulebook fixes: of large ones iron has some 3 cm each, rubber some 6 (common
practice, no source).
"""

from __future__ import annotations

import math

SLEEVE_M = 0.655
THICK_M = {"iron": (0.031, 0.006), "rubber": (0.061, 0.008)}  # of one plate, 1 SD between makes
PLAY_M = 0.004  # what does not lie quite flat, the first plate's boss
MOST_PLATES = 3
# of the stack, how far behind the rim the edges lie that are followed: a tenth where the face's own edge is
# clear, all of a black plate (painted clips, tests/site/test_painted_gym.py). Three shares are weighed by how
# well each explains what is seen: how likely, the departure of their logarithm; 1 SD of it within each
FLANK_SHARE, FLANK_SHARE_SD = 0.4, 0.3
FLANKS = ((0.5, 0.0), (0.25, -0.85), (0.25, 0.85))
UNSAID = 0.735, 0.045  # the face where nobody said which, and 1 SD

STACKS = tuple(f"{kind}-{count}" for kind in THICK_M for count in range(1, MOST_PLATES + 1))


def face_of(stack: str | None) -> tuple[float, float]:
    """Bar's middle to the face (m), and its error (1 SD): of one of ``STACKS``, or where none is said.

    >>> [round(v, 3) for v in face_of("rubber-2")]
    [0.777, 0.016]
    """
    if stack is None:
        return UNSAID
    kind, count = stack.split("-")
    thick, sd = THICK_M[kind]
    return SLEEVE_M + int(count) * thick, math.hypot(int(count) * sd, PLAY_M)


def flank_of(face_m: float, sd_m: float) -> tuple[float, float]:
    """How much of the flank passes for rim (m), and the error of its logarithm (1 SD), by where the face
    stands.

    >>> [round(v, 3) for v in flank_of(*face_of("rubber-2"))]
    [0.049, 0.329]
    """
    stack = max(face_m - SLEEVE_M, THICK_M["iron"][0])
    return FLANK_SHARE * stack, math.hypot(FLANK_SHARE_SD, sd_m / stack)
