"""From the picture to metres, against a world of points that goes through a camera matrix one by one."""

from __future__ import annotations

import math

import pytest

from shortlever.film.ellipse import Ellipse, root_2x2
from shortlever.film.pinhole import Lens, Vector, View, along_edge, cross, dot, upright
from tests.core.film_world import DIAGONAL, Camera, Motion, World, camera_at, outline_of

CAMERAS = [
    (distance, off, tilt, roll, side)
    for distance in (2.0, 4.0)
    for off, tilt, roll in ((0, 0, 0), (20, 10, 3), (-15, 4, -2), (6, -5, 1))
    for side in (1, -1)
]


def world_of(distance: float, off: float, tilt: float, roll: float, side: int) -> World:
    camera = camera_at(
        (side * 0.69, 0.1, 0.3),
        distance,
        off_deg=off,
        tilt_deg=tilt,
        roll_deg=roll,
        aim_px=(210, -90),
        side=side,
    )
    return World(camera, Motion(DIAGONAL), side=side)


def mirrored(world: World, at: tuple[float, float]) -> tuple[float, float]:
    """The picture with the feet on the right."""
    return (at[0] if world.side > 0 else world.camera.width - at[0], at[1])


def true_view(world: World) -> View:
    """The view of the world's camera, from its axes."""
    camera = world.camera

    def seen(v: Vector) -> Vector:
        return (world.side * dot(v, camera.right), dot(v, camera.down), dot(v, camera.forward))

    away, up, feet = (seen(v) for v in ((-float(world.side), 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, 1.0, 0.0)))
    to_body = seen((-camera.place[0], -camera.place[1], -camera.place[2]))
    lens = Lens(camera.focal_px, (camera.width / 2, camera.height / 2), 1.0)
    return View(lens, away, up, feet, dot(away, to_body) - world.plate_middle_m)


@pytest.mark.parametrize("case", CAMERAS)
def test_bar_and_shoulder_come_back_in_metres(case: tuple[float, float, float, float, int]) -> None:
    world = world_of(*case)
    view = true_view(world)
    shoulder = view.on_plane(mirrored(world, world.shoulder_pixel()), 0.69 - 0.19)
    for t in (0.0, 1.3, 2.4):
        x, y, *_ = outline_of([mirrored(world, p) for p in world.rim(t, 400)])
        found = view.disc_middle((x, y), world.radius_m)
        bar = world.motion.bar(t)
        assert found[0] - shoulder[0] == pytest.approx(bar[0], abs=2e-5)
        assert found[1] - shoulder[1] == pytest.approx(bar[1], abs=2e-5)
        end = view.on_plane(mirrored(world, world.bar_end_pixel(t)), 0.69 - 1.10)
        assert end[0] - shoulder[0] == pytest.approx(bar[0], abs=1e-9)


@pytest.mark.parametrize("case", CAMERAS)
def test_outline_of_a_disc(case: tuple[float, float, float, float, int]) -> None:
    """Against the area moments of 400 projected rim points."""
    world = world_of(*case)
    view = true_view(world)
    shoulder = view.on_plane(mirrored(world, world.shoulder_pixel()), 0.69 - 0.19)
    y, z = world.motion.bar(1.0)
    middle, outline = view.disc_outline(y + shoulder[0], z + shoulder[1], world.radius_m)
    x, v, *half = outline_of([mirrored(world, p) for p in world.rim(1.0, 400)])
    assert middle == pytest.approx((x, v), abs=0.01)
    assert root_2x2(*outline) == pytest.approx(tuple(half), abs=0.01)
    ellipse = Ellipse.from_half_axes(*middle, root_2x2(*outline))
    assert 0.85 < ellipse.b / ellipse.a <= 1


def test_the_middle_of_the_outline_is_not_the_middle_of_the_disc() -> None:
    """2 m away and 20 degrees off, taking it for that would be off by a centimetre."""
    world = world_of(2.0, 20, 10, 0, 1)
    view = true_view(world)
    x, y, *_ = outline_of(world.rim(1.0, 400))
    plain, right = view.on_plane((x, y), 0.0), view.disc_middle((x, y), world.radius_m)
    assert 0.008 < math.dist(plain, right) < 0.02


@pytest.mark.parametrize("case", CAMERAS)
def test_the_horizon_from_the_bench_and_from_the_roll(case: tuple[float, float, float, float, int]) -> None:
    world = world_of(*case)
    view = true_view(world)
    rays = [view.lens.ray(mirrored(world, p)) for p in world.edge_pixels()]
    found = along_edge(view.away, *rays)
    assert found is not None
    for one, other in zip(found, (view.up, view.feet), strict=True):
        assert one == pytest.approx(other, abs=1e-9)
    roll = math.atan2(view.up[0], -view.up[1])
    up, feet = upright(view.away, roll)
    assert up == pytest.approx(view.up, abs=1e-9)
    assert feet == pytest.approx(view.feet, abs=1e-9)
    assert cross(view.away, view.up) == pytest.approx(view.feet, abs=1e-12)


def test_an_edge_seen_end_on_gives_no_horizon() -> None:
    assert along_edge((0.0, 0.0, 1.0), (0.1, 0.2, 1.0), (0.1, 0.2, 1.0)) is None


def test_the_lens_bends_there_and_back() -> None:
    lens = Lens(1500.0, (960.0, 540.0), math.hypot(960, 540), 0.03)
    for point in ((0.0, 0.0, 1.0), (0.3, 0.2, 1.0), (-0.55, 0.3, 1.0)):
        assert lens.ray(lens.pixel(point)) == pytest.approx(point, abs=1e-4)
    straight = Lens(1500.0, (960.0, 540.0), 1.0)
    corner = (0.64, 0.36, 1.0)
    out = math.dist(lens.pixel(corner), (960, 540)) / math.dist(straight.pixel(corner), (960, 540))
    assert out == pytest.approx(1.03, abs=1e-6)


def test_the_world_s_own_camera_agrees_with_its_lens() -> None:
    camera: Camera = world_of(3.0, 10, 5, 2, 1).camera
    ahead = [p + 2 * f for p, f in zip(camera.place, camera.forward, strict=True)]
    assert camera.to_pixel((ahead[0], ahead[1], ahead[2])) == pytest.approx((960, 540), abs=1e-9)
    right = [p + 2 * f + 0.5 * r for p, f, r in zip(camera.place, camera.forward, camera.right, strict=True)]
    assert camera.to_pixel((right[0], right[1], right[2])) == pytest.approx((960 + 1500 / 4, 540), abs=1e-9)
