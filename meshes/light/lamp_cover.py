"""How much of each pixel lamps take: their outline cut exactly by every pixel's square.

Lamps are no part of the solids (one raster serves all lightings), so they are laid over the samples here.
"""

import numpy as np
from numpy.typing import NDArray

from meshes.gbuffer import GBuffer
from meshes.light.polygon import Array, clip
from meshes.light.site import LampFace, Site

Floats = NDArray[np.float32]
_AT_ONCE = 1 << 15


def lamp_cover(gbuffer: GBuffer, where: Site) -> tuple[Floats, list[tuple[NDArray[np.int32], Floats]]]:
    """How much of each sample lamps hide (n,), and for each lamp the pixels that show its shining face with
    their share of it; nothing where its black back is seen.
    """
    eye = where.to_light(gbuffer.eye.astype(np.float64))
    pixel_from_ray = _pixel_from_ray(gbuffer)
    hidden = np.zeros(len(gbuffer.pixel), np.float32)
    nearest_first = sorted(
        range(len(where.lamps)), key=lambda i: np.linalg.norm(where.lamps[i].corners.mean(axis=0) - eye)
    )
    taken: dict[int, tuple[NDArray[np.int32], Floats]] = {}
    for number in nearest_first:
        lamp = where.lamps[number]
        cover = _covered_pixels(lamp, where, gbuffer, pixel_from_ray)
        rows = np.flatnonzero(cover[gbuffer.pixel] > 0)
        rows = rows[_beyond(lamp, where, gbuffer, rows)]
        share = cover[gbuffer.pixel[rows]] * (1 - hidden[rows])
        hidden[rows] += share
        lit = float((eye - lamp.corners[0]) @ lamp.normal) > 0
        if lit and len(rows):
            total = np.bincount(gbuffer.pixel[rows], gbuffer.weight[rows] * share, len(cover))
            pixels = np.flatnonzero(total)
            taken[number] = (pixels.astype(np.int32), total[pixels].astype(np.float32))
        else:
            taken[number] = (np.zeros(0, np.int32), np.zeros(0, np.float32))
    shining = [taken[number] for number in range(len(where.lamps))]
    return hidden, shining


def _pixel_from_ray(gbuffer: GBuffer) -> Array:
    """(3, 3): a direction in the world to homogeneous (column, row, 1) of the picture, from its top left."""
    right, up = gbuffer.step.astype(np.float64)
    forward = np.cross(up, right)
    forward /= np.linalg.norm(forward)
    # ray = forward + (column - w / 2) right + (h / 2 - row) up
    ray_from_pixel = np.stack(
        [right, -up, forward - gbuffer.width / 2 * right + gbuffer.height / 2 * up], axis=1
    )
    pixel_from_ray = np.linalg.inv(ray_from_pixel)
    # a band of a larger picture starts some rows lower; its first samples say how many
    first = slice(0, 64)
    seen = (gbuffer.position[first].astype(np.float64) - gbuffer.eye) @ pixel_from_ray.T
    row = gbuffer.pixel[first] // gbuffer.width + 0.5
    shift = np.round(np.median(row - seen[:, 1] / seen[:, 2]))
    moved = np.array([[1, 0, 0], [0, 1, shift], [0, 0, 1]])
    return np.asarray(moved @ pixel_from_ray)


def _beyond(lamp: LampFace, where: Site, gbuffer: GBuffer, rows: NDArray[np.intp]) -> NDArray[np.bool_]:
    """Which samples lie on the far side of the lamp's plane."""
    eye = where.to_light(gbuffer.eye.astype(np.float64))
    points = where.to_light(gbuffer.position[rows]).astype(np.float64)
    own = (points - lamp.corners[0]) @ lamp.normal
    return np.asarray(own * float((eye - lamp.corners[0]) @ lamp.normal) < 0)


def _covered_pixels(lamp: LampFace, where: Site, gbuffer: GBuffer, pixel_from_ray: Array) -> Floats:
    """Share of each pixel's square inside the lamp's outline (pixels,)."""
    width, height = gbuffer.width, gbuffer.height
    cover = np.zeros(width * height, np.float32)
    corners = where.frame.world(lamp.corners) - gbuffer.eye.astype(np.float64)
    near = np.array([0.0, 0.0, 1e-6])
    outline = (corners @ pixel_from_ray.T - near).T[..., None]
    ahead = clip(outline, np.roll(outline, -1, axis=1), np.array([[0.0], [0.0], [1.0]]))
    flat = np.stack([at[..., 0].T for at in ahead], axis=1) + near  # (edges, 2, 3)
    flat = flat / flat[..., 2:]
    flat = flat[np.linalg.norm(flat[:, 1] - flat[:, 0], axis=-1) > 1e-9]
    if not len(flat):
        return cover
    low = np.clip(np.floor(flat[..., :2].min(axis=(0, 1))), 0, [width, height]).astype(int)
    high = np.clip(np.ceil(flat[..., :2].max(axis=(0, 1))), 0, [width, height]).astype(int)
    if (high <= low).any():
        return cover
    area = float(np.cross(flat[:, 0], flat[:, 1])[:, 2].sum())
    # an inward half-plane (a, b, c) of each edge: a x + b y + c >= 0
    planes = np.cross(flat[:, 0], flat[:, 1]) * np.sign(area)
    planes /= np.linalg.norm(planes[:, :2], axis=1, keepdims=True)
    column, row = np.meshgrid(np.arange(low[0], high[0]), np.arange(low[1], high[1]))
    middles = np.stack([column.ravel() + 0.5, row.ravel() + 0.5, np.ones(column.size)], axis=1)
    nearest = (middles @ planes.T).min(axis=1)
    pixels = row.ravel() * width + column.ravel()
    cover[pixels[nearest > 0.7072]] = 1.0
    rim = np.flatnonzero(np.abs(nearest) <= 0.7072)
    turn = np.array([[-0.5, -0.5, 0], [0.5, -0.5, 0], [0.5, 0.5, 0], [-0.5, 0.5, 0]])
    for start in range(0, len(rim), _AT_ONCE):
        part = rim[start : start + _AT_ONCE]
        first = middles[part].T[:, None] + turn.T[..., None]
        last = np.roll(first, -1, axis=1)
        for plane in planes:
            first, last = clip(first, last, plane[:, None])
        twice = (first[0] * last[1] - first[1] * last[0]).sum(axis=0)
        cover[pixels[part]] = np.clip(np.abs(twice) / 2, 0, 1)
    return cover
