"""The orbit view's shaders as texts: the parts in static/glsl, put together, without their comments."""

import re
from functools import cache

from meshes.surfaces import SURFACES
from viewer.pages.static_files import STATIC

FOLDER = STATIC / "glsl"
FRAGMENT = ("figure", "shade", "wall.frag")
COMMENT = re.compile(r"[ \t]*//[^\n]*")


@cache
def shaders() -> dict[str, str]:
    """Texts by name: ``vertex`` and ``fragment`` of the wall, ``gloss`` (what its coat mirrors), small ones.

    Surface words stand in them as numbers, their ids.
    """
    ids = "".join(f"#define {word.upper()} {number}\n" for number, word in enumerate(SURFACES))
    return {
        "vertex": ids + _part("wall.vert"),
        "fragment": ids + "".join(map(_part, FRAGMENT)),
        "gloss": ids + _part("shade") + _part("gloss"),
        "thingVertex": _part("thing.vert"),
        "thing": _part("thing.frag"),
        "lampVertex": _part("lamp.vert"),
        "lamp": _part("lamp.frag"),
        "cover": _part("cover.vert"),
        "mean": _part("mean.frag"),
        "show": _part("show.frag"),
    }


def _part(name: str) -> str:
    return COMMENT.sub("", (FOLDER / f"{name}.glsl").read_text(encoding="utf-8"))
