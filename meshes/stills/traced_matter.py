"""What the reference's surfaces are made of, in the tracer's terms: matt matter, and wood under a clear coat.

A clear coat is the tracer's rough plastic. What of the light comes out of the wood through such a boundary is
the tracer's own affair and depends on its roughness; a plate in even light tells how much, so that wood is as
bright as it should be where it is looked at straight on.
"""

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from meshes.stills.coating import Coat

FIRST_NM, LAST_NM = 380, 780
Floats = NDArray[np.float64]


def regular(values: Floats) -> dict[str, Any]:
    """A spectrum of evenly spaced values, FIRST_NM to LAST_NM; the tracer takes none that is 0 throughout."""
    if not values.any():
        return {"type": "uniform", "value": 0.0}
    return {
        "type": "regular",
        "wavelength_min": float(FIRST_NM),
        "wavelength_max": float(LAST_NM),
        "values": ", ".join(f"{value:.9g}" for value in values),
    }


def diffuse(reflectance: Floats) -> dict[str, Any]:
    """A matt surface, on both sides."""
    bsdf = {"type": "diffuse", "reflectance": regular(reflectance)}
    return {"type": "twosided", "bsdf": bsdf}


def _rough_plastic(coat: Coat, base: dict[str, Any]) -> dict[str, Any]:
    root = float(np.sqrt(coat.f0))
    bsdf = {
        "type": "roughplastic",
        "distribution": "ggx",
        "alpha": coat.alpha,
        "int_ior": (1 + root) / (1 - root),
        "ext_ior": 1.0,
        "nonlinear": True,
        "specular_reflectance": {"type": "uniform", "value": 1 - coat.matt},
        "diffuse_reflectance": base,
    }
    return {"type": "twosided", "bsdf": bsdf}


def coated(coat: Coat, mitsuba: Any) -> Callable[[Floats], dict[str, Any]]:
    """Wood under a coat, by the reflectance that it has when looked at straight on, without the mirroring."""
    black, half, white = (_in_even_light(coat, base, mitsuba) for base in (0.0, 0.5, 1.0))
    # what comes out is through * base / (1 - back * base): two plates give both
    ratio = (white - black) / (half - black)
    back = (ratio - 2) / (ratio - 1)
    through = (white - black) * (1 - back)

    def bsdf(reflectance: Floats) -> dict[str, Any]:
        return _rough_plastic(coat, regular(reflectance / (through + back * reflectance)))

    return bsdf


def _in_even_light(coat: Coat, base: float, mitsuba: Any) -> float:
    """Radiance of a coated plate, seen straight on, in light of radiance 1 from all sides."""
    loaded = mitsuba.load_dict(
        {
            "type": "scene",
            "integrator": {"type": "path", "max_depth": 4},
            "light": {"type": "constant", "radiance": {"type": "uniform", "value": 1.0}},
            "plate": {"type": "rectangle", "bsdf": _rough_plastic(coat, {"type": "uniform", "value": base})},
            "sensor": {
                "type": "perspective",
                "fov": 1.0,
                "to_world": mitsuba.ScalarTransform4f().look_at(
                    origin=[0, 0, 9], target=[0, 0, 0], up=[0, 1, 0]
                ),
                "film": {
                    "type": "hdrfilm",
                    "width": 8,
                    "height": 8,
                    "pixel_format": "xyz",
                    "rfilter": {"type": "box"},
                },
            },
        }
    )
    return float(np.array(mitsuba.render(loaded, spp=4096, seed=1))[..., 1].mean())
