"""Light in openings: closed forms against published factors, points against means, lamps against sampling."""

import numpy as np
import pytest
from light_sites import EVENING, edged

from meshes.light.building import room_patches
from meshes.light.plan import plan_of
from meshes.light.pockets import _factors, parallel, perpendicular, pocket_direct, through_opening
from meshes.light.room import Room
from meshes.light.site import sites


@pytest.mark.parametrize(
    ("x", "y", "factor"),
    [(1, 1, 0.199825), (2, 2, 0.415253), (1, 2, 0.285875), (10, 10, 0.826995), (4, 4, 0.632036)],
)
def test_aligned_rectangles(x, y, factor):
    """Howell's catalogue, C-11: sides over distance."""
    assert parallel(x, y, 1.0) == pytest.approx(factor, abs=1e-6)


@pytest.mark.parametrize(
    ("h", "w", "factor"),
    [(1, 1, 0.200044), (0.5, 1, 0.146187), (1, 0.5, 0.292373), (2, 1, 0.232853), (1, 2, 0.116426)],
)
def test_perpendicular_rectangles(h, w, factor):
    """Howell's catalogue, C-14: both sides over the common edge."""
    assert perpendicular(1.0, w, h) == pytest.approx(factor, abs=1e-6)


def test_a_pocket_is_closed_and_reciprocal():
    area, factors = _factors(0.146, 0.086, 0.034)
    assert factors.sum(axis=1) == pytest.approx(1.0, abs=1e-12)
    powers = area[:, None] * factors
    assert powers == pytest.approx(powers.T, abs=1e-12)
    assert factors[1, 3] == pytest.approx(perpendicular(0.034, 0.086, 0.146), abs=1e-9)


@pytest.fixture(scope="module")
def socket():
    """The socket of a wall, with its site."""
    set_outs, room = (edged(),), Room(depth_mm=3000, beyond_right_mm=800)
    walls = sites(set_outs, room, EVENING)
    patches = room_patches(plan_of(set_outs, room, EVENING), walls)
    assert len(patches.pockets) == 2
    return walls[0], patches.pockets[0]


def test_points_of_the_bottom_agree_with_its_mean(socket):
    """The mean of 60 x 60 points is the factor of the whole, within what so many points leave."""
    _, pocket = socket
    a0, b0, a1, b1 = pocket.rect
    step = (np.arange(60) + 0.5) / 60
    a, b = np.meshgrid(a0 + (a1 - a0) * step, b0 + (b1 - b0) * step, indexing="ij")
    points = np.stack([a.ravel(), b.ravel(), np.full(a.size, pocket.floor_z)], axis=1)
    sides, opening = pocket.to_sides(points)
    assert opening.mean() == pytest.approx(pocket.opening[0], abs=2e-4)
    assert sides.mean(axis=0) == pytest.approx(pocket.exchange[0, 1:], abs=2e-4)


def test_a_lamp_lights_the_bottom_through_the_opening_only(socket):
    """Against 500 x 500 points of the lamp, each tried for passing the opening: 0.5 % at its rim."""
    where, pocket = socket
    lamp = where.lamps[0]
    up = np.array([0.0, 0.0, 1.0])
    low, high = lamp.corners.min(axis=0), lamp.corners.max(axis=0)
    step = (np.arange(500) + 0.5) / 500
    a, z = np.meshgrid(low[0] + (high[0] - low[0]) * step, low[2] + (high[2] - low[2]) * step)
    place = np.stack([a.ravel(), np.full(a.size, low[1]), z.ravel()], axis=1)
    a0, b0, a1, b1 = pocket.rect
    for share in (0.1, 0.5, 0.8):
        point = np.array([a0 + share * (a1 - a0), b0 + share * (b1 - b0) / 2, pocket.floor_z])
        way = place - point
        square = (way * way).sum(axis=1)
        area = (high[0] - low[0]) * (high[2] - low[2])
        weight = way[:, 2] * way[:, 1] / (np.pi * square**2) * area
        at = point + way * ((pocket.opening_z - point[2]) / way[:, 2])[:, None]
        seen = (at[:, 0] > a0) & (at[:, 0] < a1) & (at[:, 1] > b0) & (at[:, 1] < b1)
        found = float(through_opening(lamp, pocket, point[None], up, ())[0])
        assert found == pytest.approx(float((weight * seen).mean()), rel=5e-3, abs=1e-6)
    assert pocket_direct(where, pocket)[0, 0] > 0
