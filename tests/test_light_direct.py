"""Direct light of one lamp past another: what the one in between hides, against sampling."""

import numpy as np
import pytest
from light_sites import wall

from meshes.light.direct import open_factor, wedge_factor
from meshes.light.faces import in_sight, solid_faces
from meshes.light.lamps import Lamp, Lighting
from meshes.light.room import Room
from meshes.light.shade import beyond
from meshes.light.site import site

BIG = Lamp(name="big", centre_mm=(1000, 2300, 1500), size_mm=(800, 800), faces="down", lumens=3000)
SMALL = Lamp(name="small", centre_mm=(1100, 1800, 900), size_mm=(300, 250), faces="down", lumens=300)
FLAT = Lamp(name="flat", centre_mm=(5, 1200, 1500), size_mm=(600, 600), faces="right", lumens=300)
UP = np.array([0.0, 0.0, 1.0])


def placed(*lamps):
    return site((wall(),), Room(depth_mm=3000), Lighting(name="l", lamps=lamps))


def sampled(where, point, normal, wedge=None, side=900):
    """Factor by ``side`` x ``side`` points of the big lamp, each tried for sight past the small one."""
    offset = (np.arange(side) + 0.5) / side - 0.5
    x, z = np.meshgrid(0.8 * offset + 1.0, 0.8 * offset + 1.5)
    way = np.stack([x.ravel(), np.full(x.size, 2.3), z.ravel()], axis=1) - point
    square = (way * way).sum(axis=1)
    share = np.maximum(way @ normal, 0) * way[:, 1] / (np.pi * square**2) * 0.64
    at = point + way * ((1.8 - point[1]) / way[:, 1])[:, None]
    low, high = where.lamps[1].corners.min(axis=0), where.lamps[1].corners.max(axis=0)
    hidden = (at[:, 0] > low[0]) & (at[:, 0] < high[0]) & (at[:, 2] > low[2]) & (at[:, 2] < high[2])
    seen = ~hidden
    if wedge is not None:
        slope = way[:, 0] / way[:, 2]
        seen &= (slope > wedge[0]) & (slope < wedge[1])
    return float((share * seen).mean()), float((share * hidden).mean())


@pytest.mark.parametrize(
    "point", [(1.0, 1.2, 0.05), (1.15, 1.4, 0.05), (0.7, 1.5, 0.05), (1.2, 0.8, 0.05), (1.1, 1.3, 0.05)]
)
def test_a_lamp_shades_the_wall(point):
    """810,000 points a lamp: the rim of the shadow leaves about 1e-3 of the factor."""
    where = placed(BIG, SMALL)
    point = np.array(point)
    expected, hidden = sampled(where, point, UP)
    found = float(open_factor(where.lamps[0], point, UP, where.blockers(0)))
    assert found == pytest.approx(expected, rel=2e-3, abs=1e-6)
    alone = float(open_factor(where.lamps[0], point, UP))
    assert alone - found == pytest.approx(hidden, rel=2e-2, abs=2e-5)


def test_a_lamp_shades_the_inside_of_a_gap():
    where = placed(BIG, SMALL)
    point, low, high = np.array([[1.1, 1.3, 0.02]]), np.array([-0.3]), np.array([0.25])
    expected, _ = sampled(where, point[0], UP, (-0.3, 0.25))
    found = wedge_factor(where.lamps[0], point, np.array([2]), low, high, where.front_z, where.blockers(0))
    assert float(found[0]) == pytest.approx(expected, rel=3e-3)


def test_a_lamp_on_the_wall_of_the_room_stands_in_nobodys_way():
    where = placed(BIG, FLAT)
    assert where.blockers(0) == ()
    assert [lamp.name for lamp in where.blockers(1)] == ["big"]


def test_nothing_is_hidden_by_what_lies_behind_the_lamp():
    above = SMALL.model_copy(update={"centre_mm": (1000, 2350, 1500)})
    where = placed(BIG, above)
    point = np.array([1.0, 1.2, 0.05])
    open_share = float(open_factor(where.lamps[0], point, UP))
    assert float(open_factor(where.lamps[0], point, UP, (where.lamps[1],))) == open_share > 0


def test_a_polygon_is_cut_by_a_plane():
    square = np.array([[0.0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0]])
    half = beyond(square, np.array([1.0, 0, 0]), 0.25)
    assert half[:, 0].min() == pytest.approx(0.25)
    assert len(beyond(square, np.array([1.0, 0, 0]), 2.0)) == 0
    assert np.array_equal(beyond(square, np.array([1.0, 0, 0]), -1.0), square)


BED = np.array([[0.6, 0.0, 0.3], [1.4, 0.7, 1.6]])
CHEST = np.array([[0.9, 0.0, 0.9], [1.9, 1.5, 1.7]])
ASIDE = Lamp(name="aside", centre_mm=(1950, 1300, 1400), size_mm=(900, 800), faces="left", lumens=3000)


@pytest.mark.parametrize(("boxes", "rel"), [((BED,), 2e-3), ((CHEST,), 2e-3), ((BED, CHEST), 2e-2)])
def test_things_shade_the_wall(boxes, rel):
    """Against 300 x 300 lines of sight: one thing is cut exactly, several that overlap by 14 x 14 points."""
    where = placed(ASIDE)
    lamp = where.lamps[0]
    faces = solid_faces(np.zeros((0, 2, 3)), np.array(boxes))
    step = (np.arange(300) + 0.5) / 300
    low, high = lamp.corners.min(axis=0), lamp.corners.max(axis=0)
    y, z = np.meshgrid(low[1] + (high[1] - low[1]) * step, low[2] + (high[2] - low[2]) * step)
    targets = np.stack([np.full(y.size, low[0]), y.ravel(), z.ravel()], axis=1)
    hidden_somewhere = 0
    for point in np.array([[0.3, 0.3, 0.05], [0.5, 0.8, 0.05], [0.8, 1.2, 0.05], [0.2, 1.6, 0.05]]):
        way = targets - point
        square = (way * way).sum(axis=1)
        weight = way[:, 2] * way[:, 0] / (np.pi * square**2) * 0.72
        seen = in_sight(point[None], targets, np.array(boxes))[0]
        hidden_somewhere += not seen.all()
        found = float(open_factor(lamp, point, UP, faces))
        assert found == pytest.approx(float((weight * seen).mean()), rel=rel, abs=2e-5)
    assert hidden_somewhere >= 1


def test_what_stands_on_a_floor_keeps_all_light_from_it():
    where = placed(BIG)
    faces = solid_faces(np.zeros((0, 2, 3)), BED[None])
    under, beside = np.array([1.0, 0.0, 1.0]), np.array([1.0, 0.0, 2.0])
    up = np.array([0.0, 1.0, 0.0])
    assert float(open_factor(where.lamps[0], under, up, faces)) == 0.0
    assert float(open_factor(where.lamps[0], beside, up, faces)) > 0.0
