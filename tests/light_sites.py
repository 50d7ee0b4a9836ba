"""Walls, rooms and lamps that the tests of light share."""

from fractions import Fraction

import numpy as np

from meshes.layout.setout import set_out
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import End, NextWall, Opening, Wall
from meshes.layout.walls import set_out_walls
from meshes.light.balance import system
from meshes.light.basis import build_basis
from meshes.light.building import room_patches
from meshes.light.classes import CLASSES, class_of
from meshes.light.field import direct_light, field
from meshes.light.lamps import Lamp, Lighting
from meshes.light.plan import plan_of
from meshes.light.room import Room, RoomReflectance
from meshes.light.room_direct import room_direct
from meshes.light.site import sites
from meshes.light.solving import Solver
from meshes.light.system import Light
from meshes.solids.props import PropBox
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


def corner(turns):
    """Two walls that meet in a corner, the second a little shorter."""
    walls = [Wall(width_mm=Fraction(mm), height_mm=Fraction(2400)) for mm in (2000, 1400)]
    return set_out_walls(
        wall=walls[0],
        openings=(),
        zones=(),
        slats=Slats(width_mm=Fraction(40), depth_mm=Fraction(30), gap_mm=Fraction(20)),
        panels=Panels(),
        next_walls=(NextWall(turns=turns, wall=walls[1]),),
    )


def edged():
    """A wall with a socket and a doorway, a trim at an open end, and a shadow gap."""
    kinds = [("socket", 300, 400, 146, 86), ("door", 1200, 0, 500, 1900)]
    return set_out(
        wall=Wall(
            width_mm=Fraction(2000),
            height_mm=Fraction(2400),
            left=End(meets="wall", shadow_gap_mm=Fraction(12)),
            right=End(meets="open", trim_mm=Fraction(12)),
        ),
        openings=[
            Opening(
                kind=kind,
                left_mm=Fraction(left),
                bottom_mm=Fraction(bottom),
                width_mm=Fraction(wide),
                height_mm=Fraction(high),
            )
            for kind, left, bottom, wide, high in kinds
        ],
        zones=(),
        slats=Slats(width_mm=Fraction(40), depth_mm=Fraction(30), gap_mm=Fraction(20)),
        panels=Panels(),
    )


THINGS = (
    PropBox((0.4, 0.0, 0.08), (1.2, 0.5, 1.4)),
    PropBox((1.5, 0.0, 0.6), (1.8, 1.7, 0.85), body=1),
)
"""A block before the wall, and one as high as a figure."""

ROUND = (PropBox((2.1, 0.0, -1.0), (2.8, 0.7, -0.3)),)
"""A block before the second wall, round an outside corner."""


def solved_site(set_out_walls, room, lighting, things=()):
    """Site of the first wall, fields, system and direct light of a lighting, before any reduction."""
    set_outs = set_out_walls if isinstance(set_out_walls, tuple) else (set_out_walls,)
    walls = sites(set_outs, room, lighting, things)
    patches = room_patches(plan_of(set_outs, room, lighting, things), walls)
    fields = [field(number, where, patches.moved(where.frame)) for number, where in enumerate(walls)]
    whole = system(walls, patches, fields)
    zones = []
    for where, stations in zip(walls, fields, strict=True):
        nodes, fronts = direct_light(where, stations)
        zones.append(np.concatenate([fronts[:, :, None], nodes[:, :, stations.groove.zone_nodes]], axis=2))
    return (
        walls[0],
        fields,
        whole,
        Light(room_direct(walls, patches) / whole.room_open[:, None], tuple(zones)),
    )


def solve(whole, direct, reflectance):
    """Irradiance of one finish on all patches."""
    return Solver(whole, direct).solved(reflectance).light(whole, direct)


def reduced_site(set_out_walls, room, lighting):
    """As ``solved_site``, with the reduced basis."""
    where, fields, whole, direct = solved_site(set_out_walls, room, lighting)
    return where, fields, whole, direct, build_basis(whole, direct)


def zone_area(slats):
    """(sa, sb, z) area of each zone of a wall of the system at each station."""
    return slats.station_area[..., None] * slats.field.zone_share


def reflectances(front, side, fabric, rest):
    """(classes,) of one finish, the room's last."""
    found = np.full(len(CLASSES), float(rest))
    for word, value in (("slat_front", front), ("slat_side", side), ("fabric", fabric)):
        found[class_of(word)] = value
    found[-1] = 1.0
    return found


def finish(front=0.45, side=0.4, fabric=0.05, rest=0.5, bands=41):
    """(n_surfaces, bands) reflectances of one grey finish."""
    found = np.full((len(SURFACES), bands), float(rest))
    for word, value in (("slat_front", front), ("slat_side", side), ("fabric", fabric)):
        found[SURFACE_ID[word]] = value
    return found


def assert_near(found, wanted, *, rel=0.0, least=1e-12):
    """What ``pytest.approx`` asserts, in one go for all numbers of an array: it makes an object of each, and
    light has hundreds of thousands. Off by the larger of the two at most.
    """
    assert np.shape(wanted) in ((), np.shape(found))
    off = np.abs(found - wanted)
    assert (off <= np.maximum(rel * np.abs(wanted), least)).all(), f"off by {off.max()}"
