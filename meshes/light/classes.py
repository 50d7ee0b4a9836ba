"""What light meets on its way: a finish's surface words, and the room, whose reflectance is the job's."""

import numpy as np

from meshes.light.polygon import Array

CLASSES = (
    "slat_front",
    "slat_side",
    "fabric",
    "slat_end",
    "panel_edge",
    "trim",
    "shadow_gap",
    "skirting",
    "plate",
    "room",
)
"""Nine of a finish's surface words, and everything whose reflectance is baked."""

ROOM = len(CLASSES) - 1


def class_of(word: str) -> int:
    return CLASSES.index(word)


def shares(**parts: float) -> Array:
    """(classes,) of how much of a patch belongs to each word."""
    found = np.zeros(len(CLASSES))
    for word, part in parts.items():
        found[class_of(word)] += part
    return found
