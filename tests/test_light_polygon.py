"""Irradiance from polygons: published configuration factors, and sampling."""

import numpy as np
import pytest

from meshes.light.polygon import facing_grid, seen_vector, square_grid, wedge_grid


def factor(normal, polygon, planes=()):
    """Configuration factor of a polygon (k, 3) at the origin, as far as planes through it leave it."""
    vector = seen_vector(polygon, np.zeros((1, 3)), [plane[None] for plane in (normal, *planes)])
    return float(np.abs(vector[0] @ normal))


def mean_factor(width, height, distance, *, square=False, points=48):
    """Area factor between two rectangles by Gauss points over the first and the closed form of the second."""
    nodes, weights = np.polynomial.legendre.leggauss(points)
    u, v = width * (nodes + 1) / 2, height * (nodes + 1) / 2
    x, y = np.meshgrid(u, v, indexing="ij")
    if square:  # the second rectangle stands on the first one's edge y = 0, ``distance`` high
        lines_up = np.broadcast_to([0.0, distance], (*x.shape, 2))
        lines_x = np.stack([-x, width - x], -1)
        found = np.abs(square_grid(lines_up, lines_x, y))[..., 0, 0]
    else:
        found = facing_grid(
            np.stack([-x, width - x], -1), np.stack([-y, height - y], -1), np.full(x.shape, distance)
        )[..., 0, 0]
    return float(np.einsum("i,j,ij->", weights, weights, found) / 4)


@pytest.mark.parametrize(
    ("width", "height", "expected"),
    [(1, 1, 0.199825), (2, 2, 0.415253), (1, 2, 0.285875), (10, 10, 0.826995), (4, 4, 0.632036)],
)
def test_aligned_rectangles_as_catalogued_c_11(width, height, expected):
    """Howell's catalogue of configuration factors, C-11, to its printed digits."""
    assert mean_factor(width, height, 1.0) == pytest.approx(expected, abs=2e-6)


@pytest.mark.parametrize(
    ("reach", "across", "expected"),
    [(1.0, 1.0, 0.200044), (0.5, 1.0, 0.146187), (2.0, 1.0, 0.232853), (1.0, 2.0, 0.116426)],
)
def test_rectangles_with_a_common_edge_as_catalogued_c_14(reach, across, expected):
    """Howell C-14: H = height / common edge, W = depth of the receiver / common edge.

    The receiver's light is steep at the common edge, where Gauss points converge slowly: 1e-4.
    """
    assert mean_factor(1.0, across, reach, square=True, points=200) == pytest.approx(expected, abs=1e-4)


def test_a_cube_closes():
    """Unit cube: 0.199825 + 4 x 0.200044 = 1 (Howell C-11, C-14)."""
    point = np.array([0.3, 0.8])
    up = facing_grid(
        np.array([-point[0], 1 - point[0]]), np.array([-point[1], 1 - point[1]]), np.array(1.0)
    ).sum()
    sides = 0.0
    for axis in range(2):
        other = np.array([-point[1 - axis], 1 - point[1 - axis]])
        for distance in (point[axis], 1 - point[axis]):
            sides += np.abs(square_grid(np.array([0.0, 1.0]), other, np.array(distance))).sum()
    assert up + sides == pytest.approx(1.0, abs=1e-12)


def test_lamberts_polygon_agrees_with_sampling():
    """10^6 directions, cosine-distributed: the standard error of a share of 0.1 is 3e-4; four of them are
    allowed.
    """
    rng = np.random.default_rng(7)
    polygon = np.array([[-0.4, 0.2, 1.0], [1.1, -0.1, 1.4], [0.9, 0.8, 0.7], [0.0, 1.2, 0.9]])
    polygon[:, 2] += polygon @ [0.2, -0.3, 0]  # aslant
    # a plane through the first three points; the fourth is moved onto it
    normal = np.cross(polygon[1] - polygon[0], polygon[2] - polygon[0])
    polygon[3, 2] -= ((polygon[3] - polygon[0]) @ normal) / normal[2]
    share, turn = rng.random(1_000_000), rng.random(1_000_000) * 2 * np.pi
    radius = np.sqrt(share)
    ways = np.stack([radius * np.cos(turn), radius * np.sin(turn), np.sqrt(1 - share)], -1)
    reach = (polygon[0] @ normal) / (ways @ normal)
    hits = ways * reach[:, None]
    inside = reach > 0
    sense = np.sign(np.cross(polygon[1] - polygon[0], polygon[2] - polygon[0]) @ normal)
    for start, end in zip(polygon, np.roll(polygon, -1, axis=0), strict=True):
        inside &= sense * (np.cross(end - start, hits - start) @ normal) >= 0
    up = np.array([0.0, 0.0, 1.0])
    assert factor(up, polygon) == pytest.approx(inside.mean(), abs=1.2e-3)


def test_clipping_in_two_parts_loses_nothing():
    rng = np.random.default_rng(3)
    for _ in range(50):
        polygon = rng.normal(loc=(0.0, 0.0, 3.0), size=(3, 3))
        points = rng.normal(size=(20, 3))
        plane = rng.normal(size=(20, 3))
        whole = seen_vector(polygon, points)
        parts = seen_vector(polygon, points, (plane,)) + seen_vector(polygon, points, (-plane,))
        assert parts == pytest.approx(whole, abs=1e-12)


def test_a_polygon_below_the_horizon_gives_nothing():
    below = np.array([[0, 0, -1.0], [1, 0, -1.0], [1, 1, -1.0]])
    assert factor(np.array([0.0, 0.0, 1.0]), below) == 0.0


def test_a_wedge_cuts_a_grid_as_it_cuts_each_polygon():
    """Closed form of the grid against clipping of every single rectangle."""
    x, y = np.array([-1.2, -0.3, 0.0, 0.4, 2.0]), np.array([0.05, 0.3, 1.0, 4.0])
    for low, high in ((-0.7, 1.3), (0.0, 0.5), (-2.0, 0.0)):
        side, base = wedge_grid(x, y, np.array(0.8), np.array(low), np.array(high))
        planes = (np.array([1.0, 0.0, -low]), np.array([-1.0, 0.0, high]))
        for i in range(len(x) - 1):
            for j in range(len(y) - 1):
                corners = [(x[i], y[j]), (x[i + 1], y[j]), (x[i + 1], y[j + 1]), (x[i], y[j + 1])]
                polygon = np.array([[u, 0.8, v] for u, v in corners])
                seen = factor(np.array([0.0, 0.0, 1.0]), polygon, planes)
                assert base[i, j] == pytest.approx(seen, abs=1e-14)
                if x[i] >= 0 or x[i + 1] <= 0:
                    way = np.array([1.0 if x[i] >= 0 else -1.0, 0.0, 0.0])
                    assert side[i, j] == pytest.approx(factor(way, polygon, planes), abs=1e-14)
