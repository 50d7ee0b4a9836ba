"""Light on grey things in the room: direct light in closed form, agreement with the wall beside them."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hand_built import rect, upright

from meshes.light.beside import beside
from meshes.light.lamps import Lamp, Lighting
from meshes.light.layers import layers
from meshes.light.lookup import room_light
from meshes.light.props import prop_values
from meshes.light.relight import coefficients, picture
from meshes.light.room import Room, RoomReflectance
from meshes.light.transport import solve_lighting
from meshes.solids.props import Extras
from meshes.solids.scene import build, prop_boxes
from meshes.stills.camera import Camera, camera
from meshes.stills.raster import raster
from meshes.surfaces import PROP_ID, PROPS, SURFACES
from viewer.metering import card_cd_m2

PANEL = Lighting(
    name="evening",
    lamps=(Lamp(name="p", centre_mm=(1000, 2490, 1500), size_mm=(600, 600), faces="down", lumens=3000),),
)
# one flat observer: the middle column counts every band alike, so that Y is luminance itself
FLAT = np.ones((41, 3)) / 41


def luminance(scene, transport, view, reflectance):
    """(h, w) [cd/m2], and the samples."""
    # a pixel by itself: slats are four pixels wide here, which a wide filter would mix with their gaps
    samples = replace(raster(scene, view, 240, 160), reach=None)
    seen = layers(samples, transport)
    spd = np.ones((len(PANEL.lamps), 41))
    weights = coefficients(seen, transport, np.full((len(SURFACES), 41), reflectance), spd, FLAT, zones={})
    return picture(seen, weights)[..., 1], samples


def only(samples, scene, name):
    """Pixels that a part fills altogether."""
    number = [part.name for part in scene.parts].index(name)
    return samples.filtered((samples.part == number).astype(np.float32)).reshape(-1) > 0.999


@cache
def solved(set_out, room, extras):
    scene = build([set_out], room, extras=extras)
    return scene, solve_lighting([set_out], room, PANEL, prop_boxes(scene))


def test_the_top_of_a_block_in_a_black_room_has_the_lamps_direct_light_in_closed_form():
    """A point below the middle of a rectangle: Howell's catalogue, configuration B-3 by four quarters."""
    room = Room(depth_mm=3000, reflectance=RoomReflectance(floor=0, ceiling=0, walls=0))
    set_out = upright(count=37, bottom=0)
    scene, transport = solved(set_out, room, Extras(hidden=((rect(400, 0, 1200, 500),),)))
    eye = np.array([1.0, 2.0, 2.6])
    down = np.array([[1, 0, 0, 0], [0, 0.6, 0.8, 0], [0, -0.8, 0.6, 0], [0, 0, 0, 1.0]])
    down[:3, 3] = eye
    found, samples = luminance(scene, transport, Camera(world_from_camera=down, vertical_fov_deg=60), 0.0)
    under = np.hypot(samples.position[:, 0] - 1.0, samples.position[:, 2] - 1.5) < 0.06
    top = (samples.surface == PROP_ID["block"]) & (samples.face_normals[samples.face, 1] > 0.9) & under
    pixels = np.unique(samples.pixel[top])
    assert len(pixels) > 5
    a = 0.3 / (2.49 - 0.5)
    quarter = a / np.sqrt(1 + a * a) * np.arctan(a / np.sqrt(1 + a * a)) / np.pi
    lamp_cd_m2 = 3000 / (np.pi * 0.36)
    expected = PROPS["block"] * lamp_cd_m2 * 4 * quarter
    np.testing.assert_allclose(found.reshape(-1)[pixels], expected, rtol=0.02)


def test_the_card_agrees_with_the_slats_that_it_lies_before():
    """Same plane, same light: card and slat differ by their reflectances only."""
    room = Room(depth_mm=3000)
    set_out = upright(count=37)
    scene, transport = solved(set_out, room, Extras(card=True))
    view = camera("front", scene, 1.5)
    found, samples = luminance(scene, transport, view, 0.45)
    card = only(samples, scene, "card/0")
    rows = np.flatnonzero(card) // 240
    middle = found.reshape(-1)[card].mean()
    slats = samples.filtered((samples.surface == 0).astype(np.float32)).reshape(-1) > 0.999
    near = (
        slats & np.isin(np.arange(240 * 160) // 240, rows) & (np.abs(np.arange(240 * 160) % 240 - 120) < 25)
    )
    assert near.sum() > 20
    ratio = middle / found.reshape(-1)[near].mean()
    # the slats are up to a fifth of a metre off, and a little farther from the middle of the lamp
    assert ratio == pytest.approx(PROPS["card_white"] / 0.45, rel=0.04)
    steps = [found.reshape(-1)[only(samples, scene, f"card/{k}")].mean() for k in range(1, 7)]
    # among themselves: they hang a little lower than the white card, in a little less light
    expected = [PROPS[f"grey_{k}"] / PROPS["grey_1"] for k in range(1, 7)]
    np.testing.assert_allclose(np.array(steps) / steps[0], expected, rtol=0.02)


def test_things_shade_what_is_near_them_and_little_else():
    room = Room(depth_mm=3000)
    set_out = upright(count=37)
    bare = build([set_out], room)
    view = camera("seated", bare, 1.5)
    empty, _ = luminance(bare, solved(set_out, room, Extras())[1], view, 0.4)
    extras = Extras(hidden=((rect(400, 0, 1200, 500),),))
    scene, transport = solved(set_out, room, extras)
    full, samples = luminance(scene, transport, view, 0.4)
    props = samples.filtered((samples.surface >= len(SURFACES)).astype(np.float32)) > 0
    assert 0.02 < props.mean() < 0.6
    change = (full / empty)[~props]
    # a grey block of 0.4 takes the place of a floor of 0.3: a little lighter here, darker beside it
    assert 0.9 < np.median(change) < 1.1
    assert (change < 0.93).mean() > 0.002
    assert (full[props] > 0).all()


def test_the_floor_at_the_foot_of_a_block_is_lit_as_what_sees_half_of_the_room():
    """Before the lit side: the lamp whole, and of the room at least the half that the block does not hide."""
    block = rect(400, 0, 1200, 650)
    _, transport = solved(upright(count=37), Room(depth_mm=3000), Extras(hidden=((block,),)))
    front = 0.049 + 0.9  # of a sofa; the lamp hangs farther out
    points = np.array([[1.0, 0.0, front + away] for away in (0.003, 0.02, 0.3)])
    blocks = room_light(transport, points, np.tile([0.0, 1.0, 0.0], (3, 1)))
    direct = sum((values @ mix)[np.argsort(rows), 0] for values, rows, mix in blocks)
    assert direct[:2] == pytest.approx(direct[2], rel=0.05)
    room = sum((values @ mix)[np.argsort(rows), 1] for values, rows, mix in blocks)
    assert room[0] == pytest.approx(room[1], rel=0.05)
    assert 0.5 * abs(room[2]) < abs(room[0]) < abs(room[2])


def test_places_under_things_are_moved_to_before_them():
    """A sofa's back against its seat: out of the back one goes behind or aside, never into the seat."""
    feet = np.array([[[0.0, 0.0], [1.0, 0.2]], [[0.0, 0.2001], [1.0, 0.9]]])
    given = np.array([[0.5, 0.15], [0.5, 0.85], [0.05, 0.5], [0.5, 0.3], [2.0, 0.5]])
    found = beside(given, feet)
    expected = [[0.5, -0.002], [0.5, 0.902], [-0.002, 0.5], [-0.002, 0.3], [2.0, 0.5]]
    np.testing.assert_allclose(found, expected, atol=1e-9)


def test_a_figure_is_lit_smoothly_all_round():
    room = Room(depth_mm=3000)
    scene, transport = solved(upright(count=37), room, Extras(figure=True))
    found, samples = luminance(scene, transport, camera("front", scene, 1.5), 0.4)
    seen = only(samples, scene, "figure/0")
    values = found.reshape(-1)[seen]
    assert values.min() > 0.1 * values.max()


def test_a_view_with_things_needs_a_lighting_solved_for_them():
    room = Room(depth_mm=3000)
    set_out = upright(count=37)
    scene = build([set_out], room, extras=Extras(figure=True))
    samples = raster(scene, camera("front", scene, 1.5), 48, 32)
    with pytest.raises(ValueError, match="props: the view shows grey things"):
        layers(samples, solved(set_out, room, Extras())[1])


def test_what_hides_the_walls_middle_does_not_darken_the_card_that_exposes():
    """A screen before the middle: the card then hangs beside it, in nearly the light of a bare wall."""
    room = Room(depth_mm=3000)
    set_out = upright(count=37)
    spd = np.ones((len(PANEL.lamps), 41))
    middle = Extras(hidden=((rect(600, 800, 900, 900),),))
    bare, hidden = (
        card_cd_m2(set_out, solved(set_out, room, extras)[1], spd, FLAT) for extras in (Extras(), middle)
    )
    assert hidden == pytest.approx(bare, rel=0.25)


def test_a_figure_shows_none_of_the_flat_faces_that_it_is_drawn_with():
    """Along a ring of its faces, light changes from one to the next no faster than within one."""
    scene, transport = solved(upright(count=37), Room(depth_mm=3000), Extras(figure=True))
    figure = next(part for part in scene.parts if part.name == "figure/0").faces
    middle = figure.corners.mean(axis=1)
    upright_ones = np.flatnonzero(np.abs(figure.normals[:, 1]) < 0.9)
    high = middle[upright_ones, 1]
    (ring,) = (upright_ones[high == level] for level in [high[np.abs(high - 1.3).argmin()]])
    around = middle[ring] - middle[ring].mean(axis=0)
    ring = ring[np.arctan2(-around[:, 2], around[:, 0]).argsort()]
    shares = ((np.arange(5) + 0.5) / 5)[:, None]
    places = np.concatenate(
        [(1 - shares) * face[0] + shares * face[1] for face in figure.corners[ring].astype(np.float64)]
    )
    surfaces = np.full(len(places), PROP_ID["figure"], np.uint8)
    normals = np.repeat(figure.normals[ring], 5, axis=0)
    found = sum(
        (values @ mix)[:, :2].sum(axis=1)  # of the lamp: direct, and from the room
        for values, mix in prop_values(transport.props, transport.site, surfaces, places, normals)
    ).reshape(-1, 5)
    inside = np.abs(np.diff(found, axis=1))
    across = np.abs(found[:, 0] - np.roll(found[:, -1], 1))
    assert len(ring) == 32
    assert across.max() < 2 * inside.max()
    assert across.mean() < 2 * inside.mean()
