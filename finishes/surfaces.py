"""The surface words, as plain strings in a fixed order; the same set stands in meshes/surfaces.py.

A test compares the two.
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
