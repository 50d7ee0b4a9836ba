"""The surface words, as plain strings in a fixed order; the same set stands in finishes/surfaces.py.

A test compares the two. Index in this tuple is the surface id that meshes, rasters and layers carry.
"""

SURFACES = (
    "slat_front",
    "slat_side",
    "slat_end",
    "fabric",
    "panel_edge",
    "trim",
    "shadow_gap",
    "skirting",
    "plate",
    "room_floor",
    "room_ceiling",
    "room_walls",
)
SURFACE_ID = {word: number for number, word in enumerate(SURFACES)}

PROPS = {
    "block": 0.4,
    "figure": 0.4,
    "card_white": 0.9,
    "grey_1": 10**-0.05,
    "grey_2": 10**-0.23,
    "grey_3": 10**-0.44,
    "grey_4": 10**-0.70,
    "grey_5": 10**-1.05,
    "grey_6": 10**-1.50,
    "leaf": 0.8,
}
"""Matt grey things that can stand in a picture, with their reflectance; no finish changes them.

The grey scale has the six optical densities of the common 24-patch chart's neutral row (check against the
bundled "neutral 5 (.70 D)" and "black 2 (1.5 D)"). Their ids follow those of SURFACES.
"""
PROP_ID = {word: len(SURFACES) + number for number, word in enumerate(PROPS)}
