"""Figure: every slat is cut from a virtual stem with growth rings, so that its faces belong together.

The stem's pith runs roughly along the slat. A point of the slat lies r away from it, and r / ring width
counts growth rings; where in its ring a point lies decides early or late wood. Flat-sawn slats have the pith
behind or before the face (arches), quarter-sawn ones beside it (straight lines)::

      flat-sawn                 quarter-sawn
    +-----------+              +-----------+
    | .-------. |              | | | | | | |
    |/  .---.  \\|              | | | | | | |   . . . . pith
    +-----------+              +-----------+
         pith

What is drawn in a pixel is the mean over the pixel, exactly: the ring profile is integrated across the part
of a ring that the pixel covers. Rings finer than a pixel therefore fade into the timber's mean, without
beating. The same formula with the same numbers runs in the orbit view's shader.
"""

import numpy as np
from numpy.typing import NDArray

from meshes.stems import GROWTH, KNOT_SPACING_MM, KNOTS, PARAMETERS, Figure, Growth, Reals, Stems

_TAU = np.float32(2 * np.pi)
VERSION = 2
"""Raised whenever the same stem is drawn otherwise: layers kept with the earlier figure are found no more."""
RAGGED = 0.7
"""Ring widths by which streaks move a ring's edge, for a strength of 1 (common practice, chosen by eye)."""


def late_wood(stems_of: Stems, slat: NDArray[np.int32], place: Reals, spread: Reals | None = None) -> Reals:
    """Share of dark wood that each sample sees, 0 to 1: late wood, and knots as such. As ``wood``."""
    late, knot = wood(stems_of, slat, place, spread)
    return late + knot


def wood(
    stems_of: Stems, slat: NDArray[np.int32], place: Reals, spread: Reals | None = None
) -> tuple[Reals, Reals]:
    """Shares of late wood and of knots that each sample sees, 0 to 1; the rest is early wood.

    slat : (n,) row of ``stems_of.numbers``; place : (n, 3) [mm] across, out of the wall and along the slat,
    from the middle of its back at its start; spread : (n, 2, 3) [mm] the two sides of the pixel on the face,
    or None for the bare points. Beside knots, the mean over many slats is ``late_share`` within 0.02.
    """
    number = {name: stems_of.numbers[slat, column] for column, name in enumerate(PARAMETERS)}
    across, out, along = place[:, 0], place[:, 1], place[:, 2]
    knot, aside_s, aside_d = _knots(stems_of.figure, number, across, out, along)
    count, gradient = _rings(number, across - aside_s, out - aside_d, along)
    covered = np.zeros(len(slat), np.float32)
    if spread is not None:
        rates = np.einsum("nij,nj->ni", spread, gradient)
        covered = np.hypot(rates[:, 0], rates[:, 1])
    growth = GROWTH[stems_of.figure.kind]
    share, streak = number["share"], _streaks(growth, number["key"], across, out, along, spread)
    # vessels do not end at a ring: where they are coarse, its edge is ragged
    count = count + np.float32(RAGGED * growth.streak**2) * streak
    late = _zones(stems_of.figure, number, count, covered)
    late = share + (late - share) * _marked(number, count)
    # drawn in towards the share by as much as the streaks then add or take: 0 and 1 stay the limits
    room = growth.streak * (share + (1 - 2 * share) * late)
    late = late + growth.streak * (share - late) + room * streak
    return np.asarray(late * (1 - knot), np.float32), knot


def _rings(
    number: dict[str, Reals], across: Reals, out: Reals, along: Reals
) -> tuple[Reals, NDArray[np.float32]]:
    """Mean ring widths out from the pith, and the gradient of that (n, 3) [1/mm] across, out and along."""
    angle_1 = _TAU * (along * number["wave_1"] + number["phase_1"])
    angle_2 = _TAU * (along * number["wave_2"] + number["phase_2"])
    sine_1, sine_2 = np.sin(angle_1), np.sin(angle_2)
    s = across - number["pith_s"] - number["slope_s"] * along - 2.4 * sine_1 - 0.4 * sine_2
    d = out - number["pith_d"] - number["slope_d"] * along - 0.5 * sine_2 - 2.0 * np.cos(angle_1)
    radius = np.sqrt(s * s + d * d) + np.float32(1e-3)
    count = (radius + number["taper"] * along) / number["ring_mm"] + number["start"]
    cosine_1, cosine_2 = np.cos(angle_1) * number["wave_1"], np.cos(angle_2) * number["wave_2"]
    s_rate = -number["slope_s"] - _TAU * (2.4 * cosine_1 + 0.4 * cosine_2)
    d_rate = -number["slope_d"] - _TAU * (0.5 * cosine_2 - 2.0 * sine_1 * number["wave_1"])
    along_rate = number["taper"] + (s * s_rate + d * d_rate) / radius
    gradient = np.stack([s / radius, d / radius, along_rate], axis=1) / number["ring_mm"][:, None]
    return count, gradient.astype(np.float32)


def _grown(number: dict[str, Reals], count: Reals) -> Reals:
    """Ring number where ``count`` mean ring widths were grown: years were good and bad, by 0.5 to 1.7."""
    good = 0.35 * np.sin(_TAU * (count / 7.3 + number["warp_1"]))
    bad = 0.16 * np.sin(_TAU * (count / 2.9 + number["warp_2"]))
    return np.asarray(count + good + bad, np.float32)


def _marked(number: dict[str, Reals], count: Reals) -> Reals:
    """How strongly a year is marked, 0.6 to 1: not every summer ended alike."""
    slow = 0.12 * np.sin(_TAU * (count / 5.3 + number["warp_2"]))
    return np.asarray(0.8 + slow + 0.08 * np.sin(_TAU * (count / 1.9 + number["warp_1"])), np.float32)


def _zones(figure: Figure, number: dict[str, Reals], count: Reals, covered: Reals) -> Reals:
    """Mean of the ring profile from ``covered / 2`` before ``count`` to as much after it.

    The profile of one ring: 0 in early wood, 1 in late wood at its end, with a smooth change round
    1 - share whose half width is ``blend`` of the smaller zone, so that its mean is ``share``::

        1            ____
                   /     |
        0 ________/      |
          0    1-share   1   (the next ring begins abruptly)
    """
    share = number["share"]
    half = np.asarray(GROWTH[figure.kind].blend * np.minimum(share, 1 - share), np.float32)
    reach = np.asarray(np.maximum(covered, np.float32(0.02)) / 2, np.float32)
    lower, upper = _grown(number, count - reach), _grown(number, count + reach)
    rise = _integral(upper, share, half) - _integral(lower, share, half)
    return np.asarray(np.clip(rise / (upper - lower), 0, 1), np.float32)


def _integral(ring: Reals, share: Reals, half: Reals) -> Reals:
    """Integral of the profile from 0 to ``ring``; smoothstep 3t^2 - 2t^3 integrates to t^3 - t^4 / 2."""
    whole = np.floor(ring)
    inside = ring - whole
    t = np.clip((inside - (1 - share) + half) / (2 * half), 0, 1)
    rise = 2 * half * (t * t * t - t * t * t * t / 2)
    flat = np.maximum(inside - (1 - share) - half, 0)
    return np.asarray(whole * share + rise + flat, np.float32)


def _knots(
    figure: Figure, number: dict[str, Reals], across: Reals, out: Reals, along: Reals
) -> tuple[Reals, Reals, Reals]:
    """How far a point lies in a knot (0 to 1), and how far wood was pushed aside by it (across, out) [mm].

    A knot is a branch: a cone from the pith through a point of the slat's face. It therefore shows where it
    leaves the face and, if it does, the side.
    """
    held, smallest, largest = KNOTS[figure.knots]
    if held == 0:
        none = np.zeros_like(across)
        return none, none, none
    cell = np.floor(along / np.float32(KNOT_SPACING_MM))
    chance, height, target, size = (_hashed(number["key"], cell, salt) for salt in (1, 2, 3, 4))
    middle = (cell + 0.25 + 0.5 * height) * np.float32(KNOT_SPACING_MM)
    aim_s = (target - 0.5) * 50 - number["pith_s"]
    aim_d = number["front_d"] - number["pith_d"]
    reach = np.sqrt(aim_s * aim_s + aim_d * aim_d)
    s, d = across - number["pith_s"], out - number["pith_d"]
    outward = (s * aim_s + d * aim_d) / reach
    aside = (s * aim_d - d * aim_s) / reach
    up = along - middle - 0.35 * (outward - reach)
    radius = (smallest + (largest - smallest) * size * size) * np.clip(outward / reach, 0.05, 1.3)
    distance = np.sqrt(aside * aside + (0.8 * up) ** 2) / radius
    present = (chance < held) & (outward > 0)
    inside = np.where(present, np.clip((1.15 - distance) / 0.3, 0, 1), 0)
    near = np.maximum(1 - (aside * aside + 0.15 * up * up) / (9 * radius * radius), 0)
    push = np.where(present, np.clip(1.4 * aside, -radius, radius) * near * near, 0) / reach
    return np.asarray(inside, np.float32), push * aim_d, -push * aim_s


def _streaks(
    growth: Growth, key: Reals, across: Reals, out: Reals, along: Reals, spread: Reals | None
) -> Reals:
    """Streaks of fibres and pores, -1 to 1 with mean 0: value noise that fades where a pixel is coarser."""
    width, length = (np.float32(size) for size in growth.streak_mm)
    u = (0.83 * across + 1.21 * out) / width
    v = along / length
    column, row = np.floor(u), np.floor(v)
    a, b = u - column, v - row
    b = b * b * (3 - 2 * b)
    at = [_hashed(key, (row + j) * 4096 + column + i, 9) for j in (0, 1) for i in (0, 1)]
    value = (at[0] * (1 - a) + at[1] * a) * (1 - b) + (at[2] * (1 - a) + at[3] * a) * b
    fade = np.float32(1)
    if spread is not None:
        size = np.abs(spread[:, :, 0] * 0.83 + spread[:, :, 1] * 1.21).sum(axis=1) / width
        fade = 1 / (1 + size * size)
    return np.asarray((2 * value - 1) * fade, np.float32)


def _hashed(key: Reals, cell: Reals, salt: int) -> Reals:
    """A repeatable value in [0, 1) for whole numbers: 32-bit multiply and shift, the same in the shader."""
    mixed = key.astype(np.int64).astype(np.uint32) * np.uint32(0x9E3779B1)
    mixed = (
        mixed
        + cell.astype(np.int64).astype(np.uint32) * np.uint32(0x85EBCA77)
        + np.uint32(salt * 0x27D4EB2F & 0xFFFFFFFF)
    )
    mixed ^= mixed >> np.uint32(15)
    mixed *= np.uint32(0x2C1B3C6D)
    mixed ^= mixed >> np.uint32(12)
    mixed *= np.uint32(0x297A2D39)
    mixed ^= mixed >> np.uint32(15)
    return (mixed >> np.uint32(8)).astype(np.float32) / np.float32(1 << 24)
