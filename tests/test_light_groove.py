"""Light in the gap between two slats, against exact factors and published reflectances of grooves."""

import numpy as np
import pytest

from meshes.light.groove import BASE, LEFT, RIGHT, groove

DEPTHS = (0.5, 1.0, 2.0, 3.0, 4.0)


def made(depth):
    return groove(slat_width=1.0, gap=1.0, depth=depth)


def opening_share(section, kind):
    _, opening = section.exchange()
    chosen = section.zone_kind == kind
    width = section.zone_width
    return float((opening * width)[chosen].sum() / width[chosen].sum())


@pytest.mark.parametrize(
    ("depth", "base", "wall", "wall_to_wall"),
    [
        (0.5, 0.618034, 0.381966, 0.236068),
        (1.0, 0.414214, 0.292893, 0.414214),
        (2.0, 0.236068, 0.190983, 0.618034),
        (3.0, 0.162278, 0.139620, 0.720759),
        (4.0, 0.123106, 0.109612, 0.780776),
    ],
)
def test_factors_of_an_infinite_groove(depth, base, wall, wall_to_wall):
    """Crossed strings (Hottel), exact to the printed digits: base and wall to the opening, wall to wall."""
    section = made(depth)
    assert opening_share(section, BASE) == pytest.approx(base, abs=1e-6)
    assert opening_share(section, LEFT) == pytest.approx(wall, abs=1e-6)
    exchange, _ = section.exchange()
    left, right = section.zone_kind == LEFT, section.zone_kind == RIGHT
    width = section.zone_width[left]
    between = float((exchange[np.ix_(left, right)].sum(axis=1) * width).sum() / width.sum())
    assert between == pytest.approx(wall_to_wall, abs=1e-6)


@pytest.mark.parametrize(("depth", "seen"), [(0.5, 0.707107), (1.0, 0.447214), (2.0, 0.242536)])
def test_the_middle_of_the_base_sees_the_sky(depth, seen):
    """(w/2) / sqrt(h^2 + (w/2)^2), exact, at a node: what an occlusion map of the fabric would show."""
    section = made(depth)
    open_share = 1 - section.node_exchange().sum(axis=1)
    at = section.node_points
    base = section.node_kind == BASE
    measured = np.interp(0.5, at[base, 0], open_share[base])
    assert measured == pytest.approx(seen, abs=1e-6)


def reflectance(depth, rho):
    """Reflectance of a groove at its opening under uniform diffuse light."""
    section = made(depth)
    exchange, opening = section.exchange()
    inside = slice(1, None)
    matrix = np.eye(len(opening) - 1) - exchange[inside, inside] * rho
    light = np.linalg.solve(matrix, opening[inside])
    return float((rho * light * section.zone_width[inside] * opening[inside]).sum()), light, section


@pytest.mark.parametrize(
    ("depth", "expected"),
    [
        (0.5, (0.0560, 0.1840, 0.3415, 0.5439, 0.8193)),
        (1.0, (0.0387, 0.1322, 0.2588, 0.4444, 0.7518)),
        (2.0, (0.0282, 0.0967, 0.1921, 0.3435, 0.6526)),
        (4.0, (0.0242, 0.0819, 0.1600, 0.2807, 0.5474)),
    ],
)
def test_a_grooves_reflectance(depth, expected):
    """800-strip radiosity, converged to 1e-5, seconded by a path tracer: within 1 % everywhere, where three
    zones would be 37 % off at depth 4.
    """
    for rho, value in zip((0.1, 0.3, 0.5, 0.7, 0.9), expected, strict=True):
        assert reflectance(depth, rho)[0] == pytest.approx(value, rel=0.01)


def test_light_on_base_and_wall_as_a_path_tracer_found_it():
    """Path tracer (irradiance meter in a groove 1000 widths long), h/w = 1, rho 0.5: 0.5435 and 0.4696."""
    _, light, section = reflectance(1.0, 0.5)
    width, kind = section.zone_width[1:], section.zone_kind[1:]

    def mean(which):
        return float((light * width)[kind == which].sum() / width[kind == which].sum())

    assert mean(BASE) == pytest.approx(0.5435, abs=2e-3)
    assert mean(LEFT) == pytest.approx(0.4696, abs=2e-3)


@pytest.mark.parametrize("depth", DEPTHS)
def test_energy_and_reciprocity(depth):
    section = made(depth)
    exchange, opening = section.exchange()
    assert exchange.sum(axis=1) + opening == pytest.approx(1.0, abs=1e-12)
    power = section.zone_width[:, None] * exchange
    assert power == pytest.approx(power.T, abs=1e-12)
    for rho in (0.2, 0.9):
        reflected, light, _ = reflectance(depth, rho)
        absorbed = ((1 - rho) * light * section.zone_width[1:]).sum()
        assert reflected + absorbed == pytest.approx(1.0, abs=1e-12)


def test_what_a_direction_sees_fills_the_pitch():
    section = made(2.0)
    seen = section.seen(np.linspace(-30, 30, 101))
    assert seen.sum(axis=1) == pytest.approx(2.0, abs=1e-12)
    assert (seen >= 0).all()
    straight = section.seen(np.array(0.0))
    assert straight[section.zone_kind == BASE].sum() == pytest.approx(1.0)


def test_directions_and_factors_tell_the_same():
    """The opening's factor of each zone is the mean over all directions of how much of the zone shows."""
    section = made(1.5)
    _, opening = section.exchange()
    sines = (np.arange(200_000) + 0.5) / 100_000 - 1  # directions in the section, cosine-weighted
    slopes = sines / np.sqrt(1 - sines**2)
    mean = section.seen(slopes).mean(axis=0)
    assert mean[1:] == pytest.approx((opening * section.zone_width)[1:], abs=1e-5)
