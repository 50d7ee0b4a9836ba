"""Scenes of our own for the comparison with a path tracer: walls, rooms, lamps, finishes and cameras.

Every spectrum is made here by formula (Planckian lamps, smooth or stepped reflectances), so that a scene is
the same on every machine and no table of anybody else's is needed.
"""

import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

import numpy as np
from numpy.typing import NDArray

from meshes.layout.placed import Panel
from meshes.layout.rect import Rect
from meshes.layout.setout import SetOut, set_out
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import End, NextWall, Opening, Wall
from meshes.layout.walls import set_out_walls
from meshes.light.lamps import Lamp, Lighting
from meshes.light.presets_round import default_lightings_round
from meshes.light.room import Room, RoomReflectance
from meshes.light.site import lamp_corners, lamp_luminance
from meshes.solids.props import Extras
from meshes.solids.scene import Scene, build
from meshes.stills.camera import Camera, camera
from meshes.surfaces import SURFACE_ID, SURFACES

Floats = NDArray[np.float64]
WIDTH, HEIGHT = 320, 180
BANDS = np.arange(380.0, 781.0, 10.0)


def planck(kelvin: float) -> Floats:
    """Relative spectrum of a Planckian radiator, c2 = 1.438776877e-2 m K (exact in the SI)."""
    metres = BANDS * 1e-9
    return np.asarray(
        (BANDS / 560) ** -5
        * np.expm1(1.438776877e-2 / (560e-9 * kelvin))
        / np.expm1(1.438776877e-2 / (metres * kelvin))
    )


DAY, WARM = planck(6500.0), planck(3000.0)


def through(*points: tuple[float, float]) -> Floats:
    """A reflectance that runs straight between (nm, value) points."""
    nm, values = zip(*points, strict=True)
    return np.interp(BANDS, nm, values)


PALE = through((380, 0.25), (450, 0.38), (550, 0.58), (650, 0.7), (780, 0.76))
OAK = through((380, 0.12), (450, 0.2), (550, 0.34), (650, 0.45), (780, 0.55))
DARK = through((380, 0.04), (450, 0.05), (550, 0.08), (650, 0.15), (780, 0.25))
RED = 0.04 + 0.6 / (1 + np.exp(-(BANDS - 600) / 12))
BLACK, GREY, WHITE = (np.full(41, value) for value in (0.03, 0.2, 0.82))

PANEL = Lamp(name="panel", centre_mm=(2100, 2540, 1500), size_mm=(600, 600), faces="down", lumens=3000)
STRIP = Lamp(name="strip", centre_mm=(2100, 2535, 190), size_mm=(3600, 40), faces="down", lumens=2400)
WINDOW = Lamp(name="window", centre_mm=(5, 1400, 2000), size_mm=(1600, 1300), faces="right", lumens=8000)
WASHER = Lamp(name="floor strip", centre_mm=(2100, 30, 200), size_mm=(3000, 40), faces="up", lumens=1200)

FRONT = ((2.1, 1.275, 3.9), (2.1, 1.275, 0.0), 37.0)
SEATED = ((1.7, 1.2, 2.8), (2.2, 1.15, 0.0), 48.0)
CLOSE = ((2.05, 1.5, 1.25), (2.15, 1.45, 0.0), 32.0)
LEFT = ((0.9, 1.55, 2.6), (2.6, 1.2, 0.0), 50.0)
RIGHT = ((3.4, 1.55, 2.5), (1.7, 1.2, 0.0), 50.0)
CORNER = ((1.0, 1.5, 2.6), (2.8, 1.2, 0.5), 55.0)
ROUND = ((3.6, 1.5, 2.2), (2.4, 1.25, -0.3), 55.0)
LOW = ((1.9, 0.9, 1.1), (1.75, 0.72, 0.0), 60.0)
FLOOR = ((2.1, 0.3, 0.3), (2.1, 0.0, 0.025), 12.0)
CEILING = ((2.1, 2.25, 0.3), (2.1, 2.55, 0.025), 12.0)
BESIDE = ((3.4, 1.3, -0.5), (1.2, 1.25, -0.8), 60.0)
AHEAD = ((0.7, 1.4, 1.9), (2.2, 1.3, 1.3), 62.0)
ROUND_LOW = ((4.5, 1.3, 0.7), (2.45, 0.75, -0.9), 55.0)
INTO = ((0.6, 1.4, 2.6), (2.0, 0.9, 0.6), 58.0)
RAKING = ((3.9, 1.5, 0.4), (1.2, 1.1, 0.03), 40.0)


BARE = Extras()


@dataclass(frozen=True, kw_only=True)
class Case:
    """One picture to be compared. ``spd`` : (lamps, 41); ``reflectance`` : (surfaces, 41)."""

    set_outs: tuple[SetOut, ...]
    room: Room
    lighting: Lighting
    spd: Floats
    reflectance: Floats
    view: str
    extras: Extras = BARE

    @property
    def scene(self) -> Scene:
        return build(self.set_outs, self.room, extras=self.extras)

    def camera(self, scene: Scene) -> Camera:
        return camera(self.view, scene, WIDTH / HEIGHT)

    def digest(self) -> str:
        """A hash of everything that the tracer sees; lengths to a micrometre."""
        scene = self.scene
        seen = self.camera(scene)
        found = hashlib.sha256(scene.faces.surfaces.tobytes())
        parts: list[Any] = [scene.faces.corners, seen.world_from_camera, [seen.vertical_fov_deg]]
        for lamp in self.lighting.lamps:
            parts += [lamp_corners(lamp), [lamp_luminance(lamp)]]
        rooms = self.room.reflectance
        parts += [[rooms.floor, rooms.ceiling, rooms.walls], self.reflectance, self.spd]
        for part in parts:
            found.update(np.round(np.asarray(part, dtype=np.float64) * 1e6).astype(np.int64).tobytes())
        return found.hexdigest()


def look(view: tuple[tuple[float, float, float], tuple[float, float, float], float]) -> str:
    """A camera as JSON from eye, target [m] and vertical field [degrees]."""
    eye, target, field = np.array(view[0]), np.array(view[1]), view[2]
    ahead = (target - eye) / np.linalg.norm(target - eye)
    right = np.cross(ahead, [0.0, 1.0, 0.0])
    right /= np.linalg.norm(right)
    matrix = np.eye(4)
    matrix[:3] = np.stack([right, np.cross(right, ahead), -ahead, eye], axis=1)
    return json.dumps({"world_from_camera": matrix.tolist(), "vertical_fov_deg": field})


def slats(width: int, depth: int, gap: int, run: Any = "upright", openings: Any = (), **wall: Any) -> SetOut:
    """A wall of 4.2 x 2.55 m, on one board: joints lie unseen behind slats, and where they lie is not light's
    affair.
    """
    found = set_out(
        wall=Wall(width_mm=Fraction(4200), height_mm=Fraction(2550), **wall),
        openings=openings,
        zones=(),
        slats=Slats(width_mm=Fraction(width), depth_mm=Fraction(depth), gap_mm=Fraction(gap), run=run),
        panels=Panels(),
    )
    return on_one_board(found, *(plate.rect for plate in found.plates))


def on_one_board(found: SetOut, *holes: Rect) -> SetOut:
    board = Panel(index=0, board=found.face, cutouts=holes, slats=tuple(slat.index for slat in found.slats))
    return replace(found, panels=(board,))


def cornered(turns: Any, first: int, second: int, width: int, depth: int, gap: int) -> tuple[SetOut, ...]:
    """Two walls of so many millimetres, 2.55 m high, that meet in a corner."""
    walls = [Wall(width_mm=Fraction(mm), height_mm=Fraction(2550)) for mm in (first, second)]
    found = set_out_walls(
        wall=walls[0],
        openings=(),
        zones=(),
        slats=Slats(width_mm=Fraction(width), depth_mm=Fraction(depth), gap_mm=Fraction(gap)),
        panels=Panels(),
        next_walls=(NextWall(turns=turns, wall=walls[1]),),
    )
    return tuple(on_one_board(one) for one in found)


def opened(width: int, depth: int, gap: int) -> SetOut:
    """As ``slats``, with a double socket low down, a switch level with the slats and a doorway."""
    openings = [
        ("socket", 1400, 300, 226, 146, "pocket"),
        ("switch", 1700, 1050, 86, 86, "board"),
        ("door", 2000, 0, 900, 2050, "pocket"),
    ]
    found = slats(
        width,
        depth,
        gap,
        openings=[
            Opening(
                kind=kind,
                left_mm=Fraction(left),
                bottom_mm=Fraction(bottom),
                width_mm=Fraction(wide),
                height_mm=Fraction(high),
                plate=plate,
            )
            for kind, left, bottom, wide, high, plate in openings
        ],
    )
    door = Rect(left=Fraction(2000), bottom=Fraction(0), width=Fraction(900), height=Fraction(2050))
    return on_one_board(found, *(plate.rect for plate in found.plates), door)


def edged(width: int, depth: int, gap: int) -> SetOut:
    """As ``slats``, with a kept skirting, a shadow gap, an open end with a trim, and a socket."""
    return slats(
        width,
        depth,
        gap,
        openings=(
            Opening(
                kind="socket",
                left_mm=Fraction(1480),
                bottom_mm=Fraction(450),
                width_mm=Fraction(146),
                height_mm=Fraction(86),
            ),
        ),
        skirting_mm=Fraction(120),
        skirting_projection_mm=Fraction(18),
        left=End(meets="wall", shadow_gap_mm=Fraction(12)),
        right=End(meets="open", trim_mm=Fraction(12)),
    )


def finish(timber: Floats, backing: Floats) -> Floats:
    """Reflectances (surfaces, 41) of a timber over a backing."""
    found = np.zeros((len(SURFACES), 41))
    by_word = {
        "slat_front": timber,
        "slat_side": 0.9 * timber,
        "slat_end": 0.9 * timber,
        "fabric": backing,
        "panel_edge": np.full(41, 0.05),
        "trim": timber,
        "shadow_gap": BLACK,
        "skirting": np.full(41, 0.75),
        "plate": np.full(41, 0.8),
    }
    for word, values in by_word.items():
        found[SURFACE_ID[word]] = values
    return found


def case(
    wall: SetOut | tuple[SetOut, ...],
    lamps: tuple[Lamp, ...],
    timber: Floats,
    backing: Floats,
    view: Any,
    room: Room | None = None,
    extras: Extras = BARE,
) -> Case:
    return Case(
        set_outs=wall if isinstance(wall, tuple) else (wall,),
        extras=extras,
        room=room or Room(),
        lighting=Lighting(name="light", lamps=lamps),
        spd=np.stack([DAY if lamp is WINDOW else WARM for lamp in lamps]),
        reflectance=finish(timber, backing),
        view=look(view),
    )


BED = Rect(left=Fraction(1300), bottom=Fraction(0), width=Fraction(1600), height=Fraction(500))
SOFA = Rect(left=Fraction(400), bottom=Fraction(0), width=Fraction(1000), height=Fraction(650))
DESK = Rect(left=Fraction(100), bottom=Fraction(0), width=Fraction(1000), height=Fraction(740))
SPOT = Lamp(name="spot", centre_mm=(1500, 2400, 1300), size_mm=(300, 300), faces="down", lumens=2400)
BEYOND = Lamp(name="beyond", centre_mm=(3900, 1500, -900), size_mm=(700, 1100), faces="left", lumens=4000)

ROUND_IT = Lamp(name="round it", centre_mm=(2400, 2540, -700), size_mm=(500, 500), faces="down", lumens=3000)

WHITE_ROOM = Room(reflectance=RoomReflectance(floor=0.8, ceiling=0.85, walls=0.85))
OPEN_ROOM = Room(beyond_right_mm=1500)

CASES: dict[str, Callable[[], Case]] = {
    "panel, oak on black, front": lambda: case(slats(40, 16, 20), (PANEL,), OAK, BLACK, FRONT),
    "strip, pale on black, front": lambda: case(slats(40, 20, 20), (STRIP,), PALE, BLACK, FRONT),
    "window, pale on white, seated": lambda: case(slats(30, 30, 15), (WINDOW,), PALE, WHITE, SEATED),
    "panel and strip, oak on red, close": lambda: case(slats(40, 24, 16), (PANEL, STRIP), OAK, RED, CLOSE),
    "deep and white, panel, close": lambda: case(slats(30, 45, 15), (PANEL,), PALE, WHITE, CLOSE, WHITE_ROOM),
    "window, dark on black, left": lambda: case(slats(45, 20, 40), (WINDOW,), DARK, BLACK, LEFT),
    "level, strip, oak on red, front": lambda: case(
        slats(40, 20, 25, run="level"), (STRIP,), OAK, RED, FRONT
    ),
    "window and panel, pale on grey, right": lambda: case(
        slats(35, 25, 20, skirting_mm=Fraction(120), skirting_projection_mm=Fraction(18)),
        (WINDOW, PANEL),
        PALE,
        GREY,
        RIGHT,
    ),
    "level, window, pale on white, seated": lambda: case(
        slats(30, 30, 20, run="level"), (WINDOW,), PALE, WHITE, SEATED
    ),
    "edges, panel, oak on black, front": lambda: case(
        edged(40, 16, 14), (PANEL,), OAK, BLACK, FRONT, OPEN_ROOM
    ),
    "edges, window and panel, oak on red, raking": lambda: case(
        edged(40, 16, 14), (WINDOW, PANEL), OAK, RED, RAKING, OPEN_ROOM
    ),
    "three deep, strip, dark on black, right": lambda: case(
        slats(20, 36, 12), (STRIP,), DARK, BLACK, RIGHT, Room(depth_mm=3000)
    ),
    "strip on the floor and panel, pale on red, front": lambda: case(
        slats(30, 20, 10), (WASHER, PANEL), PALE, RED, FRONT, Room(beyond_left_mm=700)
    ),
    "shallow and wide, window and strip, oak on white, left": lambda: case(
        slats(60, 12, 24), (WINDOW, STRIP), OAK, WHITE, LEFT
    ),
    "inside corner, window and panel, oak on grey": lambda: case(
        cornered("inside", 3000, 2400, 40, 24, 20), (WINDOW, SPOT), OAK, GREY, CORNER, Room(depth_mm=3200)
    ),
    "outside corner, panel, pale on black": lambda: case(
        cornered("outside", 2400, 1800, 40, 20, 20), (SPOT, BEYOND), PALE, BLACK, ROUND, Room(depth_mm=2600)
    ),
    "outside corner and bare wall beside it, panel round it, oak on grey": lambda: case(
        cornered("outside", 1200, 1100, 40, 20, 20),
        (ROUND_IT,),
        OAK,
        GREY,
        BESIDE,
        Room(depth_mm=2600, beyond_left_mm=400, beyond_right_mm=500),
    ),
    "inside corner and bare wall beside it, window and spot, dark on red": lambda: case(
        cornered("inside", 2200, 1500, 45, 25, 18),
        (WINDOW, SPOT),
        DARK,
        RED,
        AHEAD,
        Room(depth_mm=3200, beyond_right_mm=900),
    ),
    "sofa round an outside corner, panel and window there, pale on grey, low": lambda: case(
        cornered("outside", 2400, 1800, 40, 20, 20),
        (SPOT, BEYOND),
        PALE,
        GREY,
        ROUND_LOW,
        Room(depth_mm=2600),
        Extras(hidden=((), (SOFA,))),
    ),
    "sofa and desk in an inside corner, oak on black, by its evening": lambda: case(
        cornered("inside", 2200, 1600, 40, 20, 20),
        default_lightings_round([(2200, 2550), (1600, 2550)], ["inside"], Room(depth_mm=3000))[1].lamps,
        OAK,
        BLACK,
        INTO,
        Room(depth_mm=3000),
        Extras(hidden=((SOFA,), (DESK,))),
    ),
    "bed and figure, window and spot, pale on black, seated": lambda: case(
        slats(40, 20, 20), (WINDOW, SPOT), PALE, BLACK, SEATED, None, Extras(hidden=((BED,),), figure=True)
    ),
    "gaps on the floor, window and panel, pale on white, near": lambda: case(
        slats(30, 30, 15), (WINDOW, PANEL), PALE, WHITE, FLOOR
    ),
    "shadow gap at the ceiling, panel, oak on grey, near": lambda: case(
        edged(40, 16, 14), (PANEL,), OAK, GREY, CEILING, OPEN_ROOM
    ),
    "socket, switch and doorway, panel, oak on red, low": lambda: case(
        opened(40, 30, 20), (PANEL,), OAK, RED, LOW
    ),
}
