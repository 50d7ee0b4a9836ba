"""Light on the room's faces beside the body: where gaps end on floor and ceiling, and across a recess."""

import numpy as np
import pytest
from light_sites import EVENING, corner, edged, solved_site, wall

from meshes.light.basis import build_basis
from meshes.light.building import room_patches
from meshes.light.gather import Gatherer, sources
from meshes.light.groove import groove
from meshes.light.lookup import room_light
from meshes.light.plan import plan_of
from meshes.light.room import Room
from meshes.light.site import sites
from meshes.light.strips import end_factors
from meshes.light.transport import solve_lighting

SECTION = groove(slat_width=0.04, gap=0.02, depth=0.03)


def sampled(section, deep, count=200_000):
    """What a point of a gap's end sees along cosine-distributed lines, by tracing them in a channel."""
    rng = np.random.default_rng(7)
    t = section.gap * (np.arange(6) + 0.5) / 6
    start = np.stack([rng.choice(t, count), np.full(count, deep)], axis=1)
    turn, sine = 2 * np.pi * rng.random(count), np.sqrt(rng.random(count))
    way = np.stack([np.cos(turn) * sine, np.sin(turn) * sine], axis=1)
    with np.errstate(divide="ignore"):
        to = np.stack(
            [
                np.where(way[:, 0] < 0, -start[:, 0] / way[:, 0], (section.gap - start[:, 0]) / way[:, 0]),
                np.where(way[:, 1] < 0, -deep / way[:, 1], (section.depth - deep) / way[:, 1]),
            ],
            axis=1,
        )
    sideways = to[:, 0] < to[:, 1]
    out = ~sideways & (way[:, 1] < 0)
    base = ~sideways & (way[:, 1] > 0)
    return sideways.mean(), base.mean(), out.mean()


def test_the_end_of_a_gap_sees_all_round():
    zones, opening = end_factors(SECTION, SECTION.side_nodes[1:-1])
    assert zones.sum(axis=1) + opening == pytest.approx(1, abs=1e-12)
    assert (zones >= 0).all()


@pytest.mark.parametrize("deep", [0.002, 0.01, 0.025])
def test_what_the_end_of_a_gap_sees_is_what_lines_from_it_meet(deep):
    """Against 200,000 lines of a cosine distribution: their error is 0.001."""
    zones, opening = end_factors(SECTION, np.array([deep]))
    kinds = SECTION.zone_kind[1:]
    sides, base, out = sampled(SECTION, deep)
    assert zones[0, kinds != 3].sum() == pytest.approx(sides, abs=5e-3)
    assert zones[0, kinds == 3].sum() == pytest.approx(base, abs=5e-3)
    assert opening[0] == pytest.approx(out, abs=5e-3)


def floor_light(transport, z):
    """Light of some finish on the floor in the middle of the wall, so far from it."""
    point = np.array(
        [[transport.site.gap_left[len(transport.site.gap_left) // 2] + 0.01, 0.0, z]], np.float32
    )
    (values, _rows, mix), *more = room_light(transport, point, np.array([[0, 1, 0]], np.float32))
    assert not more
    return values[0] @ mix[:, 0]


def test_it_is_darker_the_deeper_in_the_gap():
    transport = solve_lighting((wall(),), Room(depth_mm=3000), EVENING)
    where = transport.site
    found = [floor_light(transport, z) for z in np.linspace(where.fabric_z + 1e-3, where.front_z - 1e-4, 8)]
    assert found == sorted(found)
    assert 0 < found[0] < 0.8 * found[-1]


def test_strips_lie_where_the_body_ends():
    """Slats from floor to ceiling: two ends. A shadow gap and an open end: two recesses more."""
    plain = solve_lighting((wall(),), Room(depth_mm=3000), EVENING)
    assert [chart.normal for chart in plain.strips.charts] == [(0, 1, 0), (0, -1, 0)]
    more = solve_lighting((edged(),), Room(depth_mm=3000, beyond_right_mm=900), EVENING)
    assert {(1, 0, 0), (-1, 0, 0)} <= {chart.normal for chart in more.strips.charts}


@pytest.mark.parametrize(("number", "beyond"), [(0, 0.05), (0, 0.4), (1, 0.05)])
def test_the_bare_wall_beside_an_outside_corner_sees_the_room(number, beyond):
    """All of it but the foot of the room's side up to the plane of the fronts: a high strip square to the
    wall, of which a point ``beyond`` [m] away sees half of 1 - cos of its angle (entry B-4 of Howell's
    catalogue, number from memory). The solid that is the corner must not hide the rest.
    """
    room = Room(depth_mm=2200, beyond_left_mm=500, beyond_right_mm=500)
    set_outs = corner("outside")
    walls = sites(set_outs, room, EVENING)
    patches = room_patches(plan_of(set_outs, room, EVENING, ()), walls)
    _, fields, whole, direct = solved_site(set_outs, room, EVENING)
    gather = Gatherer(number, walls, patches, fields, sources(whole, direct, build_basis(whole, direct)))
    side = gather.where.box[0, number]
    x = side - beyond if number else side + beyond
    _, seen = gather.at(np.array([[x, 1.2, 0.0]]), np.array([0.0, 0.0, 1.0]))
    foot = (1 - beyond / np.hypot(beyond, gather.where.front_z)) / 2
    assert seen[0] == pytest.approx(1 - foot, abs=0.004)
