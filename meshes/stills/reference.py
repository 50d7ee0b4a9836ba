"""The same picture by an independent path tracer (mitsuba, an optional extra): slow, unbiased, spectral.

It shares the solids and the camera with our own pictures and nothing else: visibility, light and its way
through the gaps are traced. Passes are averaged, so that a caller can watch, and stop between them.
"""

import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from meshes.light.lamps import Lighting
from meshes.light.room import Room
from meshes.light.site import lamp_axes, lamp_corners, lamp_luminance
from meshes.solids.quads import UNSEEN
from meshes.solids.scene import Scene
from meshes.stills.camera import Camera
from meshes.stills.coating import Coat
from meshes.stills.traced_matter import FIRST_NM, LAST_NM, coated, diffuse, regular
from meshes.surfaces import PROP_ID, PROPS, SURFACE_ID, SURFACES

COATED = ("slat_front", "slat_side", "trim")
"""Surface words that a clear coat lies on; cut ends stay matt."""
Floats = NDArray[np.float64]


class ReferenceMissingError(RuntimeError):
    """mitsuba is not installed."""


class ReferenceCancelledError(RuntimeError):
    """The caller asked to stop before the picture was done."""


def _mitsuba() -> Any:
    try:
        import mitsuba
    except ImportError as missing:
        raise ReferenceMissingError(
            "the reference needs mitsuba: install the optional extra 'reference'"
        ) from missing
    mitsuba.set_variant("scalar_spectral")  # the only variant that needs no LLVM and no GPU
    return mitsuba


def _luminous(spd: Floats, mitsuba: Any) -> float:
    """Y of a spectrum as the tracer's film will measure it: linear between the bands, CIE 1931, per
    106.857.
    """
    wavelengths = np.arange(360.0, 831.0)
    power = np.interp(wavelengths, np.linspace(FIRST_NM, LAST_NM, len(spd)), spd, left=0, right=0)
    bright = np.array([float(mitsuba.cie1931_xyz(float(nm))[1]) for nm in wavelengths])
    return float((power * bright).sum() / 106.856895)


def _write_ply(path: Path, corners: Floats) -> None:
    """Quads (n, 4, 3) as a binary PLY of two triangles each."""
    count = len(corners)
    index = np.array([[0, 1, 2], [0, 2, 3]], dtype=np.int32)
    triangles = (4 * np.arange(count, dtype=np.int32)[:, None, None] + index).reshape(-1, 3)
    rows = np.empty(len(triangles), dtype=[("n", "u1"), ("v", "<i4", 3)])
    rows["n"], rows["v"] = 3, triangles
    head = (
        "ply\nformat binary_little_endian 1.0\n"
        f"element vertex {4 * count}\nproperty float x\nproperty float y\nproperty float z\n"
        f"element face {len(triangles)}\nproperty list uchar int vertex_indices\nend_header\n"
    )
    path.write_bytes(head.encode() + corners.astype("<f4").tobytes() + rows.tobytes())


def _lamps(lighting: Lighting, lamp_spd: Floats, mitsuba: Any) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for number, (lamp, spd) in enumerate(zip(lighting.lamps, lamp_spd, strict=True)):
        first, second, normal = lamp_axes(lamp)
        place = np.eye(4)
        place[:3, 0] = first * lamp.size_mm[0] / 2000
        place[:3, 1] = second * lamp.size_mm[1] / 2000
        place[:3, 2] = normal
        place[:3, 3] = lamp_corners(lamp).mean(axis=0)
        power = spd * (lamp_luminance(lamp) / _luminous(spd, mitsuba))
        found[f"lamp{number}"] = {
            "type": "rectangle",
            "to_world": mitsuba.ScalarTransform4f(place),
            "bsdf": {"type": "diffuse", "reflectance": {"type": "uniform", "value": 0.0}},
            "emitter": {"type": "area", "radiance": regular(power)},
        }
    return found


def trace(
    scene: Scene,
    camera: Camera,
    room: Room,
    lighting: Lighting,
    *,
    reflectance: Floats,
    lamp_spd: Floats,
    width: int,
    height: int,
    samples: int,
    seed: int = 0,
    coat: Coat | None = None,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> NDArray[np.float32]:
    """The picture (height, width, 3) float32, XYZ [cd/m2] scene-linear, plain (no figure).

    coat : the clear coat of fronts, sides and trims, or None for matt ones;
    reflectance : (n_surfaces, 41) by surface id, 380 to 780 nm (room words are taken from ``room``);
    lamp_spd : (n_lamps, 41); samples : paths a pixel. Raises ReferenceMissingError, ReferenceCancelledError.
    """
    mitsuba = _mitsuba()
    by_word = np.array(reflectance, dtype=np.float64)
    for word, value in (
        ("room_floor", room.reflectance.floor),
        ("room_ceiling", room.reflectance.ceiling),
        ("room_walls", room.reflectance.walls),
    ):
        by_word[SURFACE_ID[word]] = value
    whole: dict[str, Any] = {
        "type": "scene",
        "integrator": {"type": "path", "max_depth": -1, "rr_depth": 12},
        "sensor": _sensor(camera, width, height, samples, mitsuba),
        **_lamps(lighting, lamp_spd, mitsuba),
    }
    with tempfile.TemporaryDirectory() as folder:
        whole |= _solids(scene, by_word, coat, Path(folder), mitsuba)
        loaded = mitsuba.load_dict(whole)
    return _passes(mitsuba, loaded, samples, seed, progress, cancelled)


def _sensor(camera: Camera, width: int, height: int, samples: int, mitsuba: Any) -> dict[str, Any]:
    turn = np.diag([-1.0, 1.0, -1.0, 1.0])  # the tracer looks down +z with x to the left
    return {
        "type": "perspective",
        "fov": float(camera.vertical_fov_deg),
        "fov_axis": "y",
        "near_clip": 1e-3,
        "far_clip": 1e3,
        "to_world": mitsuba.ScalarTransform4f(camera.world_from_camera @ turn),
        "film": {
            "type": "hdrfilm",
            "width": width,
            "height": height,
            "pixel_format": "xyz",
            "component_format": "float32",
            "rfilter": {"type": "box"},
        },
        "sampler": {"type": "independent", "sample_count": samples},
    }


def _solids(scene: Scene, by_word: Floats, coat: Coat | None, folder: Path, mitsuba: Any) -> dict[str, Any]:
    """A mesh for each surface word that the scene has, written to ``folder``, which must outlast loading.

    by_word : (n_surfaces, 41) reflectance by surface id.
    """
    found: dict[str, Any] = {}
    grey = {PROP_ID[word]: np.full(by_word.shape[1], value) for word, value in PROPS.items()}
    shown = {**dict(enumerate(by_word)), **grey}
    wood = coated(coat, mitsuba) if coat is not None else diffuse
    for number, word in enumerate((*SURFACES, *PROPS)):
        chosen = scene.faces.surfaces == number
        if chosen.any():
            path = folder / f"{word}.ply"
            _write_ply(path, scene.faces.corners[chosen])
            shape = {"type": "ply", "filename": str(path), "face_normals": True}
            found[word] = {**shape, "bsdf": (wood if word in COATED else diffuse)(shown[number])}
    unseen = scene.faces.surfaces == UNSEEN
    if unseen.any():
        path = folder / "unseen.ply"
        _write_ply(path, scene.faces.corners[unseen])
        black = {"type": "diffuse", "reflectance": {"type": "uniform", "value": 0.0}}
        found["unseen"] = {"type": "ply", "filename": str(path), "bsdf": black}
    return found


def _passes(
    mitsuba: Any,
    loaded: Any,
    samples: int,
    seed: int,
    progress: Callable[[float], None] | None,
    cancelled: Callable[[], bool] | None,
) -> NDArray[np.float32]:
    a_pass = min(16, samples)
    passes = -(-samples // a_pass)
    total: NDArray[np.float64] | None = None
    for number in range(passes):
        if cancelled is not None and cancelled():
            raise ReferenceCancelledError("the reference was cancelled")
        image = mitsuba.render(loaded, spp=a_pass, seed=seed * 100_003 + number)
        found = np.array(image, dtype=np.float64)[..., :3]
        total = found if total is None else total + found
        if progress is not None:
            progress((number + 1) / passes)
    assert total is not None
    return (total / passes).astype(np.float32)
