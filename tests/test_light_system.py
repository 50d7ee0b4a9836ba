"""The light system against laws of physics: energy, reciprocity, white furnace; and absolute photometry."""

import numpy as np
import pytest
from light_sites import (
    EVENING,
    MIXED,
    PANEL,
    ROUND,
    THINGS,
    WHITE_ROOM,
    assert_near,
    corner,
    edged,
    reflectances,
    solve,
    solved_site,
    wall,
    zone_area,
)

from meshes.light.classes import class_of
from meshes.light.lamps import Lamp, Lighting
from meshes.light.room import Room, RoomReflectance
from meshes.light.system import Light

SITES = {
    "upright, shallow": (wall(depth=10), Room(depth_mm=3000), EVENING),
    "upright, deep, skirting": (wall(depth=60, skirting=120), Room(depth_mm=3000), MIXED),
    "level": (wall(run="level", depth=30), Room(depth_mm=3000, beyond_right_mm=800), EVENING),
    "round an inside corner": (corner("inside"), Room(depth_mm=2200), EVENING),
    "round an outside corner": (corner("outside"), Room(depth_mm=2200), EVENING),
    "socket, trim, shadow gap": (edged(), Room(depth_mm=3000, beyond_right_mm=800), EVENING),
    "few wide slats": (wall(width=200, gap=100, depth=30), Room(depth_mm=3000), EVENING),
    "block and figure": (wall(), Room(depth_mm=3000), EVENING, THINGS),
    "block round a corner": (corner("outside"), Room(depth_mm=2200), EVENING, ROUND),
}


@pytest.fixture(scope="module", params=SITES.values(), ids=SITES.keys())
def solved(request):
    return solved_site(*request.param)


def areas(whole):
    """Area of every patch [m2], shaped as a ``Light`` of one column."""
    return Light(whole.room_area[:, None], tuple(zone_area(wall)[..., None] for wall in whole.walls))


def like(light, make):
    return Light(make(light.room.shape), tuple(make(one.shape) for one in light.zones))


def weighed(light, size):
    pairs = zip(light.zones, size.zones, strict=True)
    return Light(light.room * size.room, tuple(one * area for one, area in pairs))


def total(light, weights):
    return float((light.flat() * weights.flat()).sum())


def test_uniform_light_stays_uniform(solved):
    """White furnace: every patch of a closed enclosure sees radiosity 1 all round, through every opening."""
    *_, whole, _ = solved
    size = areas(whole)
    seen = whole.received(like(size, np.ones))
    for zones in seen.zones:
        assert_near(zones, 1.0, least=1e-6)
    # what a thing stands on sees nothing
    shut = whole.room_open < 0.021
    assert_near(seen.room[~shut], 1.0, least=2e-5)
    assert (seen.room[shut] < 1e-2).all()
    assert whole.room_area[shut].sum() < 0.05 * whole.room_area.sum()


def test_exchange_is_reciprocal(solved):
    *_, whole, _ = solved
    rng = np.random.default_rng(1)
    size = areas(whole)
    one, two = like(size, rng.random), like(size, rng.random)
    there = total(whole.received(two), weighed(one, size))
    assert there == pytest.approx(total(whole.received(one), weighed(two, size)), rel=1e-6)


def test_lamps_give_their_lumens(solved):
    """Direct light over all areas adds up to the lamps' flux: photometry is absolute."""
    where, _, whole, direct = solved
    size = areas(whole)
    for number, lamp in enumerate(where.lamps):
        flux = total(direct.column(number), size)
        # patches near a strip are sampled at nine points each: within 1 %
        assert flux == pytest.approx(lamp.lumens, rel=0.01)


@pytest.mark.parametrize("rho", [(0.1, 0.1, 0.1, 0.1), (0.5, 0.45, 0.3, 0.6), (0.9, 0.9, 0.9, 0.9)])
def test_what_lamps_give_is_absorbed(solved, rho):
    """Energy balance of the solved light: absorbed = emitted."""
    *_, whole, direct = solved
    reflectance = reflectances(*rho)
    light = solve(whole, direct, reflectance)
    sent = whole.reflected(light, reflectance)
    size = areas(whole)
    absorbed = total(light, size) - total(sent, size)
    assert absorbed == pytest.approx(total(direct, size), rel=1e-5)


def test_the_solution_satisfies_the_equation(solved):
    *_, whole, direct = solved
    reflectance = reflectances(0.7, 0.3, 0.9, 0.5)
    light = solve(whole, direct, reflectance)
    left = light - direct - whole.received(whole.reflected(light, reflectance))
    scale = light.flat().max()
    # the largest factors are kept in single precision
    assert np.abs(left.flat()).max() < 2e-5 * scale


def test_white_fabric_in_a_deep_gap_of_a_white_room():
    """Depth / gap 3, everything 0.9: a fixed number of bounces misses this. Held against a Neumann series
    carried on until nothing is left of it.
    """
    *_, whole, direct = solved_site(wall(depth=60), WHITE_ROOM, EVENING)
    reflectance = reflectances(0.9, 0.9, 0.9, 0.9)
    light = solve(whole, direct, reflectance)
    bounce, summed = direct, direct
    after_four = None
    for number in range(400):
        bounce = whole.received(whole.reflected(bounce, reflectance))
        summed = summed + bounce
        if number == 3:
            after_four = summed
    assert_near(summed.flat(), light.flat(), rel=1e-6)
    fabric = whole.walls[0].zone_class == class_of("fabric")
    short = after_four.zones[0][:, :, fabric].mean() / light.zones[0][:, :, fabric].mean()
    assert short < 0.6  # four bounces would leave out two fifths of the light on the fabric


def test_a_black_room_leaves_direct_light_alone():
    black = Room(depth_mm=3000, reflectance=RoomReflectance(floor=0, ceiling=0, walls=0))
    *_, whole, direct = solved_site(wall(), black, EVENING)
    light = solve(whole, direct, reflectances(0, 0, 0, 0))
    assert_near(light.flat(), direct.flat())


def test_a_small_far_lamp_lights_by_the_inverse_square():
    """E = I cos^3 / h^2 with I = flux / pi on the axis (Lambert): a lamp a hundredth of the distance wide."""
    lamp = Lamp(name="spot", centre_mm=(1000, 1200, 2500), size_mm=(20, 20), faces="wall", lumens=100)
    where, (stations,), _, direct = solved_site(
        wall(), Room(depth_mm=3000), Lighting(name="spot", lamps=(lamp,))
    )
    across = int(np.abs(stations.across - 1.0).argmin())
    along = int(np.abs(stations.along - 1.2).argmin())
    out = 2.5 - where.front_z
    off = np.hypot(stations.across[across] - 1.0, stations.along[along] - 1.2)
    cosine = out / np.hypot(out, off)
    expected = 100 / np.pi * cosine**4 / out**2
    assert direct.zones[0][across, along, 0, 0] == pytest.approx(expected, rel=1e-3)


def test_default_room_reflectances_lie_in_en_12464_1():
    """EN 12464-1: ceiling 0.7 to 0.9, walls 0.5 to 0.8, floor 0.2 to 0.4 [M]."""
    room = RoomReflectance()
    assert 0.7 <= room.ceiling <= 0.9
    assert 0.5 <= room.walls <= 0.8
    assert 0.2 <= room.floor <= 0.4


def test_luminance_of_a_lamp_is_lumens_over_pi_area():
    where, *_ = solved_site(wall(), Room(depth_mm=3000), EVENING)
    assert where.lamps[0].luminance == pytest.approx(PANEL.lumens / (np.pi * 0.36))
