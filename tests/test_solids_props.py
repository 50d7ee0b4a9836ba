"""Grey things in the picture: closed solids of stated sizes, where furniture, person and card would be."""

import numpy as np
import pytest
from hand_built import Box, demo, rect, upright

from meshes.solids.props import Extras
from meshes.solids.scene import build
from meshes.surfaces import PROP_ID, PROPS, SURFACES


def parts(extras, set_out=None, room=None):
    scene = build([set_out or demo()], room or Box(), extras=extras)
    return {part.name: part for part in scene.parts if part.surfaces[0] >= len(SURFACES)}


def test_without_extras_nothing_stands_in_the_picture():
    assert parts(Extras()) == {}


def test_every_prop_is_a_closed_solid_inside_the_room():
    hidden = (
        rect(300, 0, 1500, 500),
        rect(2000, 0, 1600, 720),
        rect(900, 1100, 1100, 620),
        rect(3600, 0, 400, 650),
    )
    for room in (Box(), Box(depth_mm=700)):
        found = parts(Extras(hidden=(hidden,), figure=True, card=True), room=room)
        assert len(found) == 4 + 1 + 7
        for part in found.values():
            assert part.mesh.is_volume, part.name
            low, high = part.mesh.bounds
            assert low[2] >= 0.029 - 1e-9
            assert high[2] < room.depth_mm / 1000
            assert low[1] >= 0


@pytest.mark.parametrize(
    ("zone", "size"),
    [
        (rect(900, 1100, 1100, 620), [1.1, 0.62, 0.05]),  # screen on the wall
        (rect(300, 0, 1600, 500), [1.6, 0.5, 2.0]),  # bed
        (rect(300, 0, 2000, 650), [2.0, 0.65, 0.9]),  # sofa
        (rect(900, 0, 1600, 740), [1.6, 0.74, 0.7]),  # desk
    ],
)
def test_furniture_follows_from_the_zone_it_hides(zone, size):
    block = parts(Extras(hidden=((zone,),)))["block/0"]
    low, high = block.mesh.bounds
    np.testing.assert_allclose(high - low, size, atol=1e-9)
    assert low[0] == pytest.approx(float(zone.left) / 1000)
    assert high[1] == pytest.approx(float(zone.top) / 1000)
    # it stands before the slats, so that its zone is hidden from the front
    assert low[2] == pytest.approx(0.049)


def test_one_can_look_under_a_desk_but_not_through_a_bed():
    desk = parts(Extras(hidden=((rect(900, 0, 1600, 740),),)))["block/0"]
    assert desk.mesh.volume < 0.1 * 1.6 * 0.74 * 0.7
    bed = parts(Extras(hidden=((rect(900, 0, 1600, 500),),)))["block/0"]
    assert bed.mesh.volume == pytest.approx(1.6 * 0.5 * 2.0)


@pytest.mark.parametrize(
    ("turn", "low", "high"),
    [
        # before a second wall that comes forward at x = 1930 mm, and one that goes back from there; from 600
        # to 1600 mm along it
        ("inside", [1.93 - 0.049 - 0.7, 0, 0.6], [1.93 - 0.049, 0.74, 1.6]),
        ("outside", [1.93 + 0.049, 0, -1.6], [1.93 + 0.049 + 0.7, 0.74, -0.6]),
    ],
)
def test_furniture_stands_before_every_wall(turn, low, high):
    walls = [upright(count=36), upright(count=36)]
    scene = build(walls, Box(), [turn], Extras(hidden=((), (rect(600, 0, 1000, 740),))))
    (desk,) = [part for part in scene.parts if part.name.startswith("block")]
    np.testing.assert_allclose(desk.mesh.bounds, [low, high], atol=1e-9)
    assert desk.mesh.is_volume


def test_furniture_in_a_corner_keeps_off_the_slats_of_both_walls():
    walls = [upright(count=36), upright(count=36)]
    scene = build(
        walls, Box(), ["inside"], Extras(hidden=((rect(1270, 0, 660, 740),), (rect(0, 0, 660, 500),)))
    )
    for block in (part for part in scene.parts if part.name.startswith("block")):
        assert block.mesh.bounds[1, 0] <= 1.93 - 0.049 + 1e-9
        assert block.mesh.bounds[0, 2] >= 0.049 - 1e-9


def test_the_figure_is_1_70_m_tall_and_stands_where_no_furniture_is():
    alone = parts(Extras(figure=True))["figure/0"]
    assert np.ptp(alone.mesh.bounds[:, 1]) == pytest.approx(1.70)
    assert alone.mesh.bounds[0][1] == 0
    assert 0.04 < alone.mesh.volume < 0.10  # m3: a slender adult, arms at the sides
    zone = rect(2900, 0, 1000, 740)
    beside = parts(Extras(figure=True, hidden=((zone,),)))["figure/0"]
    middle = beside.mesh.bounds[:, 0].mean() * 1000
    assert not zone.left < middle < zone.right


def test_normals_of_the_turned_figure_point_outward():
    faces = parts(Extras(figure=True))["figure/0"].faces
    corners = faces.corners
    crossed = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    assert ((crossed * faces.normals).sum(axis=1) > 0).all()
    flat = np.abs(((corners[:, 3] - corners[:, 0]) * faces.normals).sum(axis=1))
    assert flat.max() < 1e-9


def test_the_grey_scale_has_the_published_densities():
    """ "neutral 5 (.70 D)" and "black 2 (1.5 D)" of the 24-patch chart (names in colour-science's data)."""
    assert -np.log10(PROPS["grey_4"]) == pytest.approx(0.70)
    assert -np.log10(PROPS["grey_6"]) == pytest.approx(1.50)
    steps = [PROPS[f"grey_{k}"] for k in range(1, 7)]
    assert steps == sorted(steps, reverse=True)


def test_the_card_lies_before_the_middle_of_the_slats():
    found = parts(Extras(card=True), set_out=upright(count=20))
    white = found["card/0"]
    assert set(white.surfaces) == {PROP_ID["card_white"]}
    assert white.mesh.bounds[:, 0].mean() == pytest.approx((20 * 54 - 14) / 2000)
    assert white.mesh.bounds[0][2] == pytest.approx(0.029)
    assert [int(found[f"card/{k}"].surfaces[0]) for k in range(1, 7)] == [
        PROP_ID[f"grey_{k}"] for k in range(1, 7)
    ]


def test_steps_move_whole_slats_by_the_given_measure_and_stay_closed():
    scene = build([demo()], Box(), extras=Extras(steps_mm=0.3))
    slats = [part for part in scene.parts if part.slat >= 0]
    fronts = np.array([part.mesh.bounds[1][2] for part in slats]) - 0.029
    assert {round(1e4 * step) for step in fronts} == {-3, 0, 3}
    assert all(part.mesh.is_volume for part in slats)
    assert all(part.mesh.bounds[0][2] == pytest.approx(0.013) for part in slats)
    again = build([demo()], Box(), extras=Extras(steps_mm=0.3))
    np.testing.assert_array_equal(scene.faces.corners, again.faces.corners)
