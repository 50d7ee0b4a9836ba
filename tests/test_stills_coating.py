"""The clear coat's first surface: a mirror where it is smooth, no light made, sums as sampling finds them."""

import numpy as np
import pytest

from meshes.stills.coating import Coat, albedo, fresnel, mirrored_polygon

UP = np.array([0.0, 0.0, 1.0])


def cells(corner, first, second, across=1, up=1):
    """(across * up, 4, 3) of the rectangle from ``corner`` along two sides."""
    corner, first, second = (np.asarray(value, float) for value in (corner, first, second))
    return np.array(
        [
            [
                corner + (i + u) / across * first + (j + v) / up * second
                for u, v in ((0, 0), (1, 0), (1, 1), (0, 1))
            ]
            for i in range(across)
            for j in range(up)
        ]
    )


def unit(way):
    return np.asarray(way, float) / np.linalg.norm(way)


def sampled(corner, first, second, view, coat, count=240):
    """The rendering equation over a rectangle by its midpoints, from D, G and F as published."""
    s = (np.arange(count) + 0.5) / count
    u, v = (value.ravel() for value in np.meshgrid(s, s))
    place = np.asarray(corner) + u[:, None] * np.asarray(first) + v[:, None] * np.asarray(second)
    square = (place**2).sum(axis=1)
    light = place / np.sqrt(square)[:, None]
    face = np.cross(first, second)
    area = np.linalg.norm(face) / count**2
    solid = np.abs(light @ (face / np.linalg.norm(face))) * area / square
    half = view + light
    half /= np.linalg.norm(half, axis=1, keepdims=True)
    a2, nl, nv, nh = coat.alpha**2, light[:, 2], view[2], half[:, 2]
    d = a2 / (np.pi * (nh**2 * (a2 - 1) + 1) ** 2)
    lam = [(np.sqrt(1 + a2 * (1 - c * c) / (c * c)) - 1) / 2 for c in (nl, nv)]
    g = 1 / (1 + lam[0] + lam[1])
    brdf = d * g * fresnel(half @ view, coat.f0) / (4 * nl * nv)
    return float((brdf * nl * solid)[nl > 0].sum())


def test_fresnel_at_its_published_points():
    """Normal incidence ((n-1)/(n+1))^2 = 0.04 at n = 1.5; grazing 1; at Brewster's angle half of Rs."""
    assert fresnel(np.array([1.0, 0.0]), 0.04) == pytest.approx([0.04, 1.0])
    brewster = np.cos(np.arctan(1.5))
    rs = ((1 - 1.5**2) / (1 + 1.5**2)) ** 2
    assert fresnel(np.array([brewster]), 0.04) == pytest.approx([rs / 2])


@pytest.mark.parametrize("degrees", [10, 55, 80])
def test_a_smooth_coat_is_a_mirror(degrees):
    """alpha near 0: the lamp's own luminance times Fresnel where the mirror's ray meets it, else nothing."""
    angle = np.radians(degrees)
    view = np.array([np.sin(angle), 0.0, np.cos(angle)])
    coat = Coat(f0=0.04, alpha=1e-4)
    # a ceiling panel at height 1, met by the mirror's ray at x = -tan(angle)
    met = cells([-np.tan(angle) - 0.2, -0.2, 1.0], [0.4, 0, 0], [0, 0.4, 0])
    missed = met + np.array([0.5, 0.0, 0.0])
    point = np.zeros((1, 3))
    assert mirrored_polygon(met, point, view[None], coat) == pytest.approx(
        fresnel(np.array([np.cos(angle)]), 0.04), rel=2e-3
    )
    assert mirrored_polygon(missed, point, view[None], coat)[0] < 1e-4


@pytest.mark.parametrize("alpha", [0.0225, 0.1225, 0.36])
@pytest.mark.parametrize("view", [(0.2, 0.1, 1.0), (2.0, 0.4, 1.0), (-3.0, 1.0, 0.8)])
def test_a_rough_coat_shows_a_panel_as_sampling_does(alpha, view):
    corner, first, second = [-1.4, -0.5, 1.1], [0.9, 0.0, 0.0], [0.0, 0.7, 0.2]
    coat, view = Coat(f0=0.04, alpha=alpha), unit(view)
    ours = mirrored_polygon(cells(corner, first, second, 6, 6), np.zeros((1, 3)), view[None], coat)[0]
    truth = sampled(corner, first, second, view, coat)
    # Fresnel and shadowing are taken once a cell: 2 %, and 1e-5 where the lobe's far tail is all there is
    assert ours == pytest.approx(truth, rel=0.02, abs=1e-5)


def test_a_plane_hides_what_lies_beyond_it():
    coat, view = Coat(f0=0.04, alpha=0.36), unit([0.3, 0.0, 1.0])[None]
    panel = cells([-0.6, -0.4, 1.0], [1.2, 0, 0], [0, 0.8, 0], 4, 4)
    point, plane = np.zeros((1, 3)), np.array([[1.0, 0.0, 0.0]])
    half = cells([0.0, -0.4, 1.0], [0.6, 0, 0], [0, 0.8, 0], 2, 4)
    hidden = mirrored_polygon(panel, point, view, coat, (plane,))
    assert hidden == pytest.approx(mirrored_polygon(half, point, view, coat), rel=1e-9)


@pytest.mark.parametrize("alpha", [0.02, 0.12, 0.36, 0.6])
def test_a_white_room_mirrored_whole_makes_no_light(alpha):
    """A furnace: five sides of a room of radiance 1. A coat that mirrors all sends back at most 1, as much as
    ``albedo`` says, which is 1 for a smooth one; a dielectric sends back F at the smooth end."""
    sides = [
        cells([-2, -2, 2], [4, 0, 0], [0, 4, 0], 12, 12),
        cells([-2, -2, 0], [4, 0, 0], [0, 0, 2], 12, 8),
        cells([-2, 2, 0], [4, 0, 0], [0, 0, 2], 12, 8),
        cells([-2, -2, 0], [0, 4, 0], [0, 0, 2], 12, 8),
        cells([2, -2, 0], [0, 4, 0], [0, 0, 2], 12, 8),
    ]
    room = np.concatenate(sides)
    view = np.array([unit([0.0, 0.0, 1.0]), unit([1.0, 0.3, 0.7]), unit([1.0, 0.2, 0.25])])
    for f0 in (1.0, 0.04):
        coat = Coat(f0=f0, alpha=alpha)
        sent = mirrored_polygon(room, np.zeros((3, 3)), view, coat)
        expected = albedo(view[:, 2], coat)
        assert sent.max() <= 1 + 2e-3
        assert sent == pytest.approx(expected, rel=0.02)
        if alpha == 0.02:
            assert sent == pytest.approx(fresnel(view[:, 2], f0), rel=0.03)


def test_what_is_scattered_evenly_is_left_out():
    coat, half = Coat(f0=0.04, alpha=0.2), Coat(f0=0.04, alpha=0.2, matt=0.5)
    cosine = np.array([0.3, 1.0])
    assert albedo(cosine, half) == pytest.approx(albedo(cosine, coat) / 2)
