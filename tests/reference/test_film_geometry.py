"""The film check's formulas against scikit-image, SciPy and homogeneous matrices in numpy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import least_squares
from skimage.measure import EllipseModel
from skimage.transform import ProjectiveTransform

from shortlever.film import track as tracking
from shortlever.film.ellipse import fit_ellipse
from shortlever.film.pinhole import Lens, View
from tests.core.film_world import DIAGONAL, Motion, World, camera_at

Points = NDArray[np.floating]


def on_ellipse(x: float, y: float, a: float, b: float, tilt: float, angles: Points) -> Points:
    c, s = math.cos(tilt), math.sin(tilt)
    u, v = a * np.cos(angles), b * np.sin(angles)
    return np.column_stack([x + c * u - s * v, y + s * u + c * v])


def half_axes(a: float, b: float, tilt: float) -> Points:
    turn = np.array([[math.cos(tilt), -math.sin(tilt)], [math.sin(tilt), math.cos(tilt)]])
    return turn @ np.diag([a, b]) @ turn.T


def ours(points: Points, sd: float = 0.0) -> tuple[Points, Points]:
    found = fit_ellipse([(float(x), float(y)) for x, y in points], sd)
    return np.array([found.x, found.y]), half_axes(found.a, found.b, found.tilt)


def theirs(points: Points) -> tuple[Points, Points]:
    model = EllipseModel.from_estimate(points)
    return np.array(model.center), half_axes(*model.axis_lengths, model.theta)


def closest(points: Points, start: tuple[Points, Points]) -> tuple[Points, Points]:
    """The ellipse of least squared distances, points and their feet fitted together (SciPy)."""
    middle, half = start
    angles = np.arctan2(*(np.linalg.solve(half, (points - middle).T)[::-1]))

    def off(p: Points) -> Points:
        half = np.array([[p[2], p[3]], [p[3], p[4]]])
        feet = p[:2] + np.column_stack([np.cos(p[5:]), np.sin(p[5:])]) @ half
        return (points - feet).ravel()

    first = np.concatenate([middle, [half[0, 0], half[0, 1], half[1, 1]], angles])
    p = least_squares(off, first, method="lm").x
    return p[:2], np.array([[p[2], p[3]], [p[3], p[4]]])


@pytest.mark.parametrize("seed", range(25))
def test_ellipse_against_scikit_image(seed: int) -> None:
    rng = np.random.default_rng(seed)
    a = rng.uniform(30, 300)
    shape = (*rng.uniform(100, 1500, 2), a, a * rng.uniform(0.6, 0.99), rng.uniform(-1.5, 1.5))
    exact = on_ellipse(*shape, rng.uniform(0, 2 * math.pi, 30))
    for one, other in zip(ours(exact), theirs(exact), strict=True):
        assert one == pytest.approx(other, abs=1e-5)
    noisy = exact + rng.normal(0, 0.3, exact.shape)
    for one, other in zip(ours(noisy, 0.3), theirs(noisy), strict=True):
        assert one == pytest.approx(other, abs=1.0)


@pytest.mark.parametrize("seed", range(12))
def test_ellipse_against_least_distances(seed: int) -> None:
    """Half a rim with 1 px of noise: within a quarter of the fit's own error of the geometric fit."""
    rng = np.random.default_rng(100 + seed)
    points = on_ellipse(500, 300, 100, 90, 0.4, np.linspace(0.2, 4.0, 40)) + rng.normal(0, 1, (40, 2))
    found = fit_ellipse([(float(x), float(y)) for x, y in points], 1.0)
    middle, half = closest(points, ours(points, 1.0))
    assert math.dist((found.x, found.y), middle) < 0.5 * found.sd
    assert np.abs(half_axes(found.a, found.b, found.tilt) - half).max() < 0.5 * found.axes_sd


def test_the_bias_of_the_plain_direct_fit_is_gone() -> None:
    """On half a rim scikit-image's direct fit (Halir and Flusser) comes out too small; ours does not."""
    rng = np.random.default_rng(7)
    exact = on_ellipse(500, 300, 100, 92, 0.3, np.linspace(0.0, 3.0, 40))
    sizes = []
    for _ in range(300):
        points = exact + rng.normal(0, 1.0, exact.shape)
        sizes.append((np.trace(ours(points, 1.0)[1]) / 2, np.trace(theirs(points)[1]) / 2))
    mine, plain = np.mean(sizes, axis=0) - 96
    error = np.std([s[0] for s in sizes]) / math.sqrt(len(sizes))
    assert plain < -4 * error
    assert abs(mine) < 3 * error
    assert abs(mine) < abs(plain) / 3


def matrix_of(world: World) -> Points:
    """The 3x4 camera matrix K [R | t]."""
    camera = world.camera
    rotation = np.array([camera.right, camera.down, camera.forward])
    inside = np.array(
        [[camera.focal_px, 0, camera.width / 2], [0, camera.focal_px, camera.height / 2], [0, 0, 1]]
    )
    return inside @ np.column_stack([rotation, -rotation @ np.array(camera.place)])


def seen(matrix: Points, points: Points) -> Points:
    homogeneous = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    return homogeneous[:, :2] / homogeneous[:, 2:]


WORLDS = [
    World(
        camera_at((0.69, 0.1, 0.3), distance, off_deg=off, tilt_deg=tilt, roll_deg=roll, aim_px=(300, -120)),
        Motion(DIAGONAL),
    )
    for distance, off, tilt, roll in ((2.0, 0, 0, 0), (3.0, 20, 10, 3), (6.0, -15, 5, -4))
]


def view_of(world: World) -> View:
    """The core's view from the camera matrix's own parts: the lifter's axes are its rows' columns."""
    camera = world.camera
    rotation = np.array([camera.right, camera.down, camera.forward])
    away, up, feet = (tuple(float(v) for v in rotation @ axis) for axis in ([-1, 0, 0], [0, 0, 1], [0, 1, 0]))
    plate = camera.place[0] - world.plate_middle_m
    return View(Lens(camera.focal_px, (960, 540), 1.0), away, up, feet, plate)  # type: ignore[arg-type]


@pytest.mark.parametrize("world", WORLDS)
def test_projection_against_a_camera_matrix(world: World) -> None:
    rng = np.random.default_rng(3)
    points = rng.uniform([-0.8, -0.5, -0.4], [0.8, 0.8, 0.8], (200, 3))
    flat = seen(matrix_of(world), points)
    for point, at in zip(points, flat, strict=True):
        assert world.camera.to_pixel((point[0], point[1], point[2])) == pytest.approx(at, abs=1e-8)


@pytest.mark.parametrize("world", WORLDS)
@pytest.mark.parametrize("beyond", [0.0, 0.5, -0.41])
def test_planes_against_a_homography(world: World, beyond: float) -> None:
    """scikit-image's homography from four corners of a plane, applied to other points of it."""
    x = world.plate_middle_m - beyond
    matrix, view = matrix_of(world), view_of(world)
    corners = np.array([[x, -0.5, -0.3], [x, 0.6, -0.3], [x, 0.6, 0.7], [x, -0.5, 0.7]])
    back = ProjectiveTransform.from_estimate(seen(matrix, corners), corners[:, 1:])
    rng = np.random.default_rng(5)
    inside = np.column_stack([np.full(50, x), rng.uniform(-0.4, 0.5, 50), rng.uniform(-0.2, 0.6, 50)])
    at = seen(matrix, inside)
    found = np.array([view.on_plane((u, v), beyond) for u, v in at])
    offset = found[0] - inside[0, 1:]
    assert found - offset == pytest.approx(inside[:, 1:], abs=1e-9)
    assert back(at) == pytest.approx(found - offset, abs=1e-8)


@pytest.mark.parametrize("world", WORLDS)
def test_outline_against_the_conic(world: World) -> None:
    """The projected circle as a conic: P* = H C* Hᵀ inverted and taken apart in numpy."""
    view = view_of(world)
    matrix = matrix_of(world)
    x, r = world.plate_middle_m, world.radius_m
    y, z = 0.12, 0.31
    plane = matrix @ np.array([[0, 0, x], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    circle = np.array([[1, 0, -y], [0, 1, -z], [-y, -z, y * y + z * z - r * r]])
    back = np.linalg.inv(plane)
    conic = back.T @ circle @ back
    quadratic, linear = conic[:2, :2], conic[:2, 2]
    middle = -np.linalg.solve(quadratic, linear)
    level = -(conic[2, 2] + linear @ middle)
    shape = np.linalg.inv(quadratic / level)
    shift = np.array(view.on_plane(tuple(seen(matrix, np.array([[x, y, z]]))[0]), 0.0)) - (y, z)
    found, (xx, xy, yy) = view.disc_outline(y + shift[0], z + shift[1], r)
    assert found == pytest.approx(middle, abs=1e-6)
    assert np.array([[xx, xy], [xy, yy]]) == pytest.approx(shape, rel=1e-7, abs=1e-5)
    assert view.disc_middle(found, r) == pytest.approx((y + shift[0], z + shift[1]), abs=2e-6)


def test_the_smoother_is_the_least_squares_solution() -> None:
    """All frames' states solved at once as one Gaussian system in numpy; uneven times, two frames lost."""
    rng = np.random.default_rng(4)
    n, noise = 40, 0.5
    times = [i / 30 + float(rng.uniform(-0.01, 0.01)) for i in range(n)]
    places: list[tuple[float, float] | None] = [
        (100 + 90 * math.sin(2 * t) + rng.normal(0, noise), 50 * math.cos(3 * t) + rng.normal(0, noise))
        for t in times
    ]
    places[20] = places[21] = None
    softness = noise**2 / 30 * 20.0**6
    steps = tracking._forward(times, places, [noise] * n, softness)
    found = tracking._backward(times, steps)
    information, first = np.zeros((3 * n, 3 * n)), places[0]
    assert first is not None
    information[:3, :3] += np.eye(3) / tracking.START_VARIANCE
    pulls = np.zeros((3 * n, 2))
    pulls[0] = np.array(first) / tracking.START_VARIANCE
    for i, place in enumerate(places):
        if place is not None:
            information[3 * i, 3 * i] += noise**-2
            pulls[3 * i] += np.array(place) * noise**-2
        if i:
            dt = times[i] - times[i - 1]
            forward = np.array([[1, dt, dt * dt / 2], [0, 1, dt], [0, 0, 1]])
            spread = softness * np.array(
                [
                    [dt**5 / 20, dt**4 / 8, dt**3 / 6],
                    [dt**4 / 8, dt**3 / 3, dt * dt / 2],
                    [dt**3 / 6, dt * dt / 2, dt],
                ]
            )
            both = np.hstack([-forward, np.eye(3)])
            part = slice(3 * i - 3, 3 * i + 3)
            information[part, part] += both.T @ np.linalg.inv(spread) @ both
    covariance = np.linalg.inv(information)
    states = (covariance @ pulls).reshape(n, 3, 2)
    for axis in (0, 1):
        got = np.array([f[axis] for f in found])
        assert got[:, 0] == pytest.approx(states[:, 0, axis], abs=1e-5)
        assert got[:, 1] == pytest.approx(states[:, 1, axis], abs=1e-3)
    sd = np.sqrt(np.diag(covariance)[0::3])
    assert np.sqrt([f[2] for f in found]) == pytest.approx(sd, abs=1e-6)
