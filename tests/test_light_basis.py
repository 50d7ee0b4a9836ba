"""The reduced basis against the full solve, and its error bar."""

import numpy as np
import pytest
from light_sites import (
    EVENING,
    MIXED,
    WHITE_ROOM,
    assert_near,
    reduced_site,
    reflectances,
    solve,
    wall,
    zone_area,
)

from meshes.light.basis import MOST_VECTORS
from meshes.light.classes import CLASSES
from meshes.light.measured import DARKEST, SMALLEST_M2
from meshes.light.room import Room

SITES = {
    "panel": (wall(depth=30), Room(depth_mm=3000), EVENING),
    "window and strip, skirting": (wall(depth=40, skirting=120), Room(depth_mm=3000), MIXED),
    "deep and white": (wall(depth=60), WHITE_ROOM, EVENING),
    "level": (wall(run="level", depth=30), Room(depth_mm=3000), EVENING),
}


@pytest.fixture(scope="module", params=SITES.values(), ids=SITES.keys())
def reduced(request):
    return reduced_site(*request.param)


def indirect(whole, direct, solved):
    """Light of a solved finish less the direct light."""
    return solved.light(whole, direct) - direct


def rebuilt(whole, basis, direct, lamp, rho):
    """Irradiance of every patch (n,) from the reduced system, and its error bar."""
    small = basis.reduced[lamp]
    c = small.coefficients(rho[None])
    snapshots = np.concatenate(
        [indirect(whole, direct, one).column(lamp).flat() for one in basis.snapshots], axis=1
    )
    light = direct.column(lamp).flat()[:, 0] + snapshots @ (basis.mix[lamp] @ c[0])
    return light, float(small.residual(rho[None], c)[0])


def surfaces(whole):
    """(n,) which surface each patch belongs to: rooms' patches by what they are most of, zones by class."""
    zones = [np.broadcast_to(wall.zone_class, zone_area(wall).shape).ravel() for wall in whole.walls]
    return np.concatenate([100 + whole.room_weight.argmax(axis=1), *zones])


def weights(whole, basis, direct, lamp):
    """(n,) what the basis and its error bar measure with: areas over a middling finish's light squared."""
    middle = solve(whole, direct, basis.finishes[0]).column(lamp).flat()[:, 0]
    area = np.concatenate(
        [np.maximum(whole.room_area, SMALLEST_M2), *(zone_area(wall).ravel() for wall in whole.walls)]
    )
    return np.sqrt(area) / np.maximum(middle, DARKEST * middle.max())


def test_ten_random_finishes_agree_with_the_full_solve(reduced):
    """Reduced against full below 0.3 % on every single patch, of its own light or of the mean of its surface,
    whichever is more (a patch of a dark corner is seen beside its surface); and the error bar tells how far
    off it is: in its own measure, the error is between half and three times the bar (one to two are found).
    """
    *_, whole, direct, basis = reduced
    rng = np.random.default_rng(11)
    kind = surfaces(whole)
    measure = [weights(whole, basis, direct, lamp) for lamp in range(direct.room.shape[1])]
    for _ in range(10):
        rho = np.append(rng.uniform(0.03, 0.9, len(CLASSES) - 1), 1.0)
        full = solve(whole, direct, rho)
        for lamp, weight in enumerate(measure):
            exact = full.column(lamp).flat()[:, 0]
            light, bar = rebuilt(whole, basis, direct, lamp, rho)
            mean = np.array(
                [exact[kind == one].mean() for one in range(kind.max() + 1) if (kind == one).any()]
            )
            size = np.maximum(exact, mean[np.unique(kind, return_inverse=True)[1]])
            assert (np.abs(light - exact) / size).max() < 3e-3
            off = np.linalg.norm(weight * (light - exact)) / np.linalg.norm(weight * exact)
            assert 0.5 * bar < off < 3 * bar


def test_the_residual_is_what_the_full_system_leaves(reduced):
    """The error bar from the small Gram matrix tells the residual that all patches have."""
    *_, whole, direct, basis = reduced
    rho = reflectances(0.8, 0.25, 0.6, 0.4)
    light, bar = rebuilt(whole, basis, direct, 0, rho)
    patches = len(direct.room)
    like = direct.column(0)
    full = type(direct)(light[:patches, None], (light[patches:].reshape(like.zones[0].shape),))
    rest = (full - like - whole.received(whole.reflected(full, rho))).flat()[:, 0]
    weight = weights(whole, basis, direct, 0)
    measured = np.linalg.norm(weight * rest) / np.linalg.norm(weight * light)
    # the bar is measured on a choice of stations, and comes from differences of squares
    assert bar == pytest.approx(measured, rel=0.25, abs=1e-6)


def test_the_basis_is_small_and_its_vectors_few(reduced):
    *_, basis = reduced
    assert all(6 <= one.vectors <= MOST_VECTORS <= 16 for one in basis.reduced)
    assert basis.worst_residual < 1e-3


def test_a_solved_finish_is_met_exactly(reduced):
    *_, whole, direct, basis = reduced
    solved = basis.snapshots[1].light(whole, direct).column(0).flat()[:, 0]
    light, bar = rebuilt(whole, basis, direct, 0, basis.finishes[1])
    assert_near(light, solved, rel=1e-6)
    assert bar < 1e-6
