"""The binary container that the orbit view's arrays travel in.

The length of a JSON head (4 bytes, little endian), the head padded to 4 bytes, then arrays.
``head["arrays"][name] = [kind, shape, offset]``, offset in bytes from the end of the head, kind ``f2`` (half
floats), ``f4``, ``i1`` or ``i2``.
"""

import json
import struct
from typing import Any

import numpy as np
from numpy.typing import NDArray

Arrays = dict[str, NDArray[Any]]


def container(head: dict[str, Any], arrays: Arrays) -> bytes:
    """The binary container of a head and its arrays; what is none of the kinds becomes ``f4``."""
    places: dict[str, tuple[str, tuple[int, ...], int]] = {}
    chunks: list[bytes] = []
    offset = 0
    for name, array in arrays.items():
        kind = f"{array.dtype.kind}{array.dtype.itemsize}"
        kind = kind if kind in ("f2", "i1", "i2") else "f4"
        data = np.ascontiguousarray(array, dtype=f"<{kind}").tobytes()
        places[name] = (kind, array.shape, offset)
        data += bytes(-len(data) % 4)
        chunks.append(data)
        offset += len(data)
    text = json.dumps({**head, "arrays": places}, separators=(",", ":")).encode()
    text += b" " * (-len(text) % 4)
    return struct.pack("<I", len(text)) + text + b"".join(chunks)
