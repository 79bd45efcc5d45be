"""Paints made-up side-on clips of squats and deadlifts: as ``film_scenes``, with a lifter who stands."""

from __future__ import annotations

from collections.abc import Mapping

from tests.core.film_world import Point2
from tests.core.leg_film_world import Body, PullMotion
from tests.film_scenes import Colour, Look, Painter, Picture, World

SKIN: Colour = (196, 150, 122)
CLOTH: Colour = (40, 58, 72)
TRUNKS: Colour = (28, 30, 36)
FLOOR_M = -0.085  # under the ankle
Pose = Mapping[str, Point2]


def _between(a: Point2, b: Point2, share: float) -> Point2:
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])


class LegPainter(Painter):
    """A lifter whose marked joints are where the body of ``leg_film_world`` has them at its moments."""

    def __init__(self, world: World, body: Body, look: Look | None = None) -> None:
        self.body = body
        super().__init__(world, look)

    def _background(self) -> Picture:
        picture = super()._background()
        # the floor and nothing else of a bench: what stands still is painted over
        picture[:] = picture[:, :1, :1]
        side = self.world.side
        floor = [(side * x, y, FLOOR_M) for x, y in ((1.6, -1.6), (1.6, 1.6), (-1.6, 1.6), (-1.6, -1.6))]
        self._polygon(picture, floor, (66, 60, 54))
        return picture

    def _person(self, picture: Picture, y: float, z: float) -> None:
        for side in (-self.world.side, self.world.side):
            self._leg(picture, self._pose(y, z), side)
        self._trunk(picture, self._pose(y, z))

    def _arm(self, picture: Picture, y: float, z: float, side: int) -> None:
        shoulder = self._pose(y, z)["shoulder"]
        hand = (side * 0.32, y, z)
        self._limb(picture, (side * 0.2, *shoulder), hand, 0.05, 0.035, SKIN)

    def _pose(self, y: float, z: float) -> Pose:
        """Joints with the bar there."""
        path = self.world.motion.path
        share = (z - path[0][1]) / (path[-1][1] - path[0][1])
        return (
            self._pulling(share, y, z)
            if isinstance(self.world.motion, PullMotion)
            else self._squatting(share, y, z)
        )

    def _squatting(self, share: float, y: float, z: float) -> Pose:
        at = self.body.places
        top, crease = at["knee", "bottom"], at["hip", "bottom"]
        knee = _between((top[0], top[1] - 0.055), (0.02, 0.42), share)
        hip = _between((crease[0] - 0.06, crease[1] - 0.075), (0.01, 0.82), share)
        return {"knee": knee, "hip": hip, "shoulder": (y + 0.04, z + 0.02)}

    def _pulling(self, share: float, y: float, z: float) -> Pose:
        at, motion = self.body.places, self.world.motion
        passed = motion.share(self.body.times["knee"])[0]
        hip = _between(at["hip", "off"], at["hip", "knee"], share / passed)
        if share > passed:
            hip = _between(at["hip", "knee"], (0.0, 0.83), (share - passed) / (1 - passed))
        end = at["shoulder", "lockout"]
        ahead = _between((0.07, 0.58), (end[0] - motion.path[-1][0], end[1] - motion.path[-1][1]), share)
        knee = _between(at["knee", "off"], at["knee", "lockout"], min(share / passed, 1.0))
        return {"knee": knee, "hip": hip, "shoulder": (y + ahead[0], z + ahead[1])}

    def _leg(self, picture: Picture, pose: Pose, side: int) -> None:
        out = self.body.out
        ankle = (side * out["ankle"], 0.0, 0.0)
        knee, hip = (side * out["knee"], *pose["knee"]), (side * 0.12, *pose["hip"])
        self._limb(
            picture, (ankle[0], -0.05, FLOOR_M + 0.03), (ankle[0], 0.18, FLOOR_M + 0.02), 0.035, 0.025, TRUNKS
        )
        self._limb(picture, ankle, knee, 0.04, 0.06, SKIN)
        self._limb(picture, knee, hip, 0.06, 0.09, TRUNKS)

    def _trunk(self, picture: Picture, pose: Pose) -> None:
        hip, shoulder = pose["hip"], pose["shoulder"]
        head = _between(hip, shoulder, 1.4)
        self._limb(picture, (0.0, *hip), (0.0, *shoulder), 0.12, 0.13, CLOTH)
        self._limb(picture, (0.0, *head), (0.0, head[0] + 0.01, head[1] + 0.02), 0.09, 0.09, SKIN)
