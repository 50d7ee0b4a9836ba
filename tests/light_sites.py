"""Walls, rooms and lamps that the tests of light share."""

from fractions import Fraction

import numpy as np

from meshes.layout.setout import set_out
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import Wall
from meshes.light.basis import build_basis
from meshes.light.field import direct_light, field
from meshes.light.lamps import Lamp, Lighting
from meshes.light.room import Room, RoomReflectance
from meshes.light.room_patches import room_patches
from meshes.light.site import site
from meshes.light.system import Light, room_direct, system
from meshes.surfaces import SURFACE_ID, SURFACES

PANEL = Lamp(
    name="panel", centre_mm=(1000, 2390, 1200), size_mm=(600, 600), faces="down", lumens=3000, spectrum="D65"
)
STRIP = Lamp(name="strip", centre_mm=(1000, 2385, 190), size_mm=(1600, 40), faces="down", lumens=1500)
WINDOW = Lamp(name="window", centre_mm=(5, 1300, 1500), size_mm=(1200, 1100), faces="right", lumens=6000)
EVENING = Lighting(name="evening", lamps=(PANEL,))
MIXED = Lighting(name="mixed", lamps=(WINDOW, STRIP))
WHITE_ROOM = Room(depth_mm=3000, reflectance=RoomReflectance(floor=0.9, ceiling=0.9, walls=0.9))


def wall(*, run="upright", width=40, depth=30, gap=20, skirting=0, **more):
    """A wall 2 m wide and 2.4 m high."""
    return set_out(
        wall=Wall(
            width_mm=Fraction(2000),
            height_mm=Fraction(2400),
            skirting_mm=Fraction(skirting),
            skirting_projection_mm=Fraction(15 if skirting else 0),
            **more,
        ),
        openings=(),
        zones=(),
        slats=Slats(width_mm=Fraction(width), depth_mm=Fraction(depth), gap_mm=Fraction(gap), run=run),
        panels=Panels(),
    )


def solved_site(set_out_wall, room, lighting):
    """Site, field, system and direct light of a lighting, before any reduction."""
    where = site((set_out_wall,), room, lighting)
    patches = room_patches(where)
    stations = field(where, patches)
    whole = system(where, patches, stations)
    nodes, fronts = direct_light(where, stations)
    zones = np.concatenate([fronts[:, :, None], nodes[:, :, stations.groove.zone_nodes]], axis=2)
    return where, stations, whole, Light(room_direct(where, patches), zones)


def reduced_site(set_out_wall, room, lighting):
    """As ``solved_site``, with the reduced basis."""
    where, stations, whole, direct = solved_site(set_out_wall, room, lighting)
    return where, stations, whole, direct, build_basis(whole, direct)


def finish(front=0.45, side=0.4, fabric=0.05, rest=0.5, bands=41):
    """(n_surfaces, bands) reflectances of one grey finish."""
    found = np.full((len(SURFACES), bands), float(rest))
    for word, value in (("slat_front", front), ("slat_side", side), ("fabric", fabric)):
        found[SURFACE_ID[word]] = value
    return found
