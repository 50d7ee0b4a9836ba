"""Layers and finishes put on them: absolute luminance, figure, level slats, lamps in the picture, no
moire.
"""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from light_sites import EVENING, MIXED, PANEL, finish, wall

from meshes.light.layers import layers
from meshes.light.relight import coefficients, column_coefficients, picture
from meshes.light.room import Room, RoomReflectance
from meshes.light.tables import chart_values
from meshes.light.transport import solve_lighting
from meshes.solids.scene import build
from meshes.stills.camera import Camera
from meshes.stills.raster import raster
from meshes.surfaces import SURFACE_ID

pytestmark = pytest.mark.gl

ROOM = Room(depth_mm=3000)
FLAT = np.ones((41, 3)) / 41  # an observer that counts every band alike: Y is luminance itself


def looking(eye, target, field=40.0):
    ahead = np.subtract(target, eye) / np.linalg.norm(np.subtract(target, eye))
    right = np.cross(ahead, [0.0, 1.0, 0.0])
    right /= np.linalg.norm(right)
    place = np.eye(4)
    place[:3] = np.stack([right, np.cross(right, ahead), -ahead, eye], axis=1)
    return Camera(world_from_camera=place, vertical_fov_deg=field)


FRONT = looking((1.0, 1.2, 2.6), (1.0, 1.2, 0.0), 50.0)


@pytest.fixture(scope="module")
def upright():
    made = wall()
    transport = solve_lighting((made,), ROOM, EVENING)
    scene = build((made,), ROOM)
    samples = raster(scene, FRONT, 160, 120)
    return made, transport, samples


def lit(samples, transport, reflectance, mask=None, zones=None):
    seen = layers(samples, transport, mask)
    spd = np.ones((len(transport.reduced), 41))
    return picture(seen, coefficients(seen, transport, reflectance, spd, FLAT, zones))


def test_a_front_shows_reflectance_times_illuminance_over_pi(upright):
    """Absolute photometry: L = rho E / pi, with E the light of the panel by sampling it 400 x 400 times,
    in a black room.
    """
    made, _, samples = upright
    black = Room(depth_mm=3000, reflectance=RoomReflectance(floor=0, ceiling=0, walls=0))
    samples = replace(samples, reach=None)  # a pixel by itself: slats are two pixels wide here
    alone = solve_lighting((made,), black, EVENING)
    shown = lit(samples, alone, finish(front=0.5, side=0, fabric=0, rest=0))
    fronts = np.flatnonzero((samples.surface == SURFACE_ID["slat_front"]) & (samples.weight > 0.999))
    chosen = fronts[:: len(fronts) // 5]
    offset = (np.arange(400) + 0.5) / 400 - 0.5
    x, z = np.meshgrid(0.6 * offset + 1.0, 0.6 * offset + 1.2)
    place = np.stack([x.ravel(), np.full(x.size, 2.39), z.ravel()], axis=1)
    radiance = PANEL.lumens / (np.pi * 0.36)
    for row in chosen:
        way = place - samples.position[row]
        square = (way * way).sum(axis=1)
        share = (way[:, 2] * way[:, 1] / square**2).mean() * 0.36
        expected = 0.5 * radiance * share / np.pi
        pixel = samples.pixel[row]
        # tables are linear between their lines: half a per cent
        assert shown.reshape(-1, 3)[pixel, 1] == pytest.approx(expected, rel=5e-3)


def test_a_black_finish_in_a_black_room_is_black(upright):
    made, _, samples = upright
    black = Room(depth_mm=3000, reflectance=RoomReflectance(floor=0, ceiling=0, walls=0))
    shown = lit(samples, solve_lighting((made,), black, EVENING), finish(0, 0, 0, 0))
    lamp = PANEL.lumens / (np.pi * 0.36)
    assert set(np.round(np.unique(shown[..., 1] // lamp), 0)) <= {0.0, 1.0}
    assert shown[60:, :, 1].max() == 0.0


def test_light_grows_with_every_reflectance(upright):
    _, transport, samples = upright
    last = None
    for value in (0.05, 0.3, 0.6, 0.9):
        shown = lit(samples, transport, finish(value, value, value, value))[..., 1]
        assert last is None or (shown >= last - 1e-4).all()
        last = shown


def test_figure_changes_nothing_where_both_zones_are_alike(upright):
    _, transport, samples = upright
    mask = np.random.default_rng(2).random(len(samples)).astype(np.float32)
    reflectance = finish()
    plain = lit(samples, transport, reflectance)
    zones = {
        word: (reflectance[SURFACE_ID[word]], reflectance[SURFACE_ID[word]])
        for word in ("slat_front", "slat_side", "slat_end")
    }
    assert lit(samples, transport, reflectance, mask, zones) == pytest.approx(plain, rel=1e-4, abs=1e-4)


def test_figure_mixes_its_two_zones(upright):
    _, transport, samples = upright
    reflectance = finish()
    early, late = np.full(41, 0.6), np.full(41, 0.2)
    zones = {word: (early, late) for word in ("slat_front", "slat_side", "slat_end")}
    fronts = samples.filtered((samples.surface == SURFACE_ID["slat_front"]).astype(np.float32)) > 0.999
    shown = [
        lit(samples, transport, reflectance, np.full(len(samples), share, np.float32), zones)[fronts]
        for share in (0.0, 0.25, 1.0)
    ]
    assert shown[1] == pytest.approx(0.75 * shown[0] + 0.25 * shown[2], rel=1e-4)
    assert shown[0] == pytest.approx(3 * shown[2], rel=1e-4)


def test_a_wrong_mask_is_refused(upright):
    _, transport, samples = upright
    with pytest.raises(ValueError, match="mask"):
        layers(samples, transport, np.zeros(3, np.float32))


def test_each_pixel_is_written_once(upright):
    _, transport, samples = upright
    seen = layers(samples, transport, np.full(len(samples), 0.4, np.float32))
    groups = {id(block.pixels): block.pixels for block in seen.blocks}
    every = np.concatenate(list(groups.values()))
    assert len(every) == len(np.unique(every)) == 160 * 120


def test_a_lamp_in_the_picture_shows_its_luminance_and_its_black_back():
    made = wall()
    up = looking((1.0, 1.0, 2.4), (1.0, 2.39, 1.2), 40.0)
    samples = raster(build((made,), ROOM), up, 96, 96)
    shown = lit(samples, solve_lighting((made,), ROOM, EVENING), finish())
    assert shown[48, 48, 1] == pytest.approx(PANEL.lumens / (np.pi * 0.36), rel=1e-5)
    turned = EVENING.model_copy(
        update={"lamps": (PANEL.model_copy(update={"centre_mm": (1000, 1800, 1200), "faces": "up"}),)}
    )
    below = looking((1.0, 1.0, 2.4), (1.0, 1.8, 1.2), 30.0)
    samples = raster(build((made,), ROOM), below, 96, 96)
    assert lit(samples, solve_lighting((made,), ROOM, turned), finish())[48, 48, 1] == 0.0


def test_level_slats_are_lit_as_upright_ones_lie_down():
    """The same square room and wall turned by 90 degrees: what upright slats show along x, level ones show
    along y.
    """
    from meshes.layout.setout import set_out
    from meshes.layout.spacing import Panels, Slats
    from meshes.layout.survey import Wall
    from meshes.light.lamps import Lamp, Lighting

    side = Fraction(2000)
    room = Room(depth_mm=2500, reflectance=RoomReflectance(floor=0.5, ceiling=0.5, walls=0.5))
    lights = {
        "upright": Lamp(name="l", centre_mm=(600, 1900, 900), size_mm=(400, 200), faces="wall", lumens=900),
        "level": Lamp(name="l", centre_mm=(1900, 600, 900), size_mm=(200, 400), faces="wall", lumens=900),
    }
    fronts = {}
    for run, lamp in lights.items():
        made = set_out(
            wall=Wall(width_mm=side, height_mm=side),
            openings=(),
            zones=(),
            slats=Slats(width_mm=Fraction(40), depth_mm=Fraction(30), gap_mm=Fraction(16), run=run),
            panels=Panels(),
        )
        transport = solve_lighting((made,), room, Lighting(name="l", lamps=(lamp,)))
        columns = column_coefficients(transport, finish(), np.ones((1, 41)), FLAT)[:, :, 1].sum(axis=1)
        grid = np.linspace(0.05, 1.95, 9)
        a, b = np.meshgrid(grid, grid, indexing="ij")
        points = np.stack([a.ravel(), b.ravel(), np.full(a.size, transport.site.front_z)], axis=1)
        values = chart_values(transport.front.charts[0], points.astype(np.float32))
        fronts[run] = (values @ transport.front.mix) @ columns
    assert fronts["level"] == pytest.approx(fronts["upright"], rel=1e-4)


def test_no_moire_at_three_pixels_a_pitch():
    """Row means over eight pitches against the same picture supersampled 16 x 16: within 2 of 255."""
    made = wall(width=24, depth=30, gap=14)
    scene = build((made,), ROOM)
    transport = solve_lighting((made,), ROOM, MIXED)
    pitch = float(made.pitch) / 1000
    width, height, out = 160, 48, 2.6
    # three pixels a pitch at the fronts: focal length in pixels = 3 / pitch * distance
    focal = 3 / pitch * (out - transport.site.front_z)
    field = float(np.degrees(2 * np.arctan(height / 2 / focal)))
    view = looking((1.0, 1.2, out), (1.0, 1.2, 0.0), field)
    usual = lit(raster(scene, view, width, height), transport, finish())[..., 1]
    fine = looking((1.0, 1.2, out), (1.0, 1.2, 0.0), field)
    much = lit(raster(scene, fine, width * 4, height * 4, 4), transport, finish())[..., 1]
    much = much.reshape(height, 4, width, 4).mean(axis=(1, 3))
    white = float(np.quantile(much, 0.999))

    def shown(linear):
        share = np.clip(linear / white, 0, 1)
        return 255 * np.where(share < 0.0031308, 12.92 * share, 1.055 * share ** (1 / 2.4) - 0.055)

    windows = [slice(start, start + 24) for start in range(0, width - 24, 3)]
    for window in windows:
        off = shown(usual[:, window].mean(axis=1)) - shown(much[:, window].mean(axis=1))
        assert np.abs(off).max() <= 2.0
