"""The only module that imports colour-science: it derives the weight tables once and keeps them in a file."""

import logging
import os
import warnings
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np

from finishes.spectra import COUNT, FIRST_NM, LAST_NM, Floats, frozen, lagrange_10_nm

log = logging.getLogger(__name__)

TABLE_VERSION = 3
"""Raise it when the derivation below changes: the cache file carries it in its name."""


CHART_VINTAGES = {
    "before November 2014": "ColorChecker24 - Before November 2014",
    "after November 2014": "ColorChecker24 - After November 2014",
}
"""Vintages of the 24-patch chart and the name of their reference data in colour-science."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Table:
    """Weights (41, 3) by spectrum for both standard observers, and the 2° observer on two grids."""

    weights: dict[str, Floats]
    weights_10_degree: dict[str, Floats]
    observer: Floats
    observer_1_nm: Floats
    charts: dict[str, Floats]
    """By vintage: XYZ (24, 3) of a 24-patch chart under D50, Y = 1 for white, row by row from dark skin."""


def cie_table(spectra: Sequence[str], cache_dir: Path | None = None) -> Table:
    """The table from the cache, or derived and then written there.

    cache_dir : the folder to use; ``None`` is ``$XDG_CACHE_HOME/slatwright`` or ``~/.cache/slatwright``. A
    folder that cannot be written costs a second at the next start and is logged, nothing more.
    """
    import importlib.metadata  # 50 ms, and needed only here

    folder = cache_dir if cache_dir is not None else default_cache_dir()
    version = importlib.metadata.version("colour-science")
    path = folder / f"cie-weights-{TABLE_VERSION}-{version}.npz"
    table = _read(path, spectra)
    if table is None:
        table = _derive(spectra)
        _write(path, table)
    return table


def default_cache_dir() -> Path:
    """The user's cache folder by the XDG Base Directory Specification."""
    base = os.environ.get("XDG_CACHE_HOME", "")
    return (Path(base) if base.startswith("/") else Path.home() / ".cache") / "slatwright"


def lamp_weights(power_1_nm: Floats, observer_1_nm: Floats) -> Floats:
    """(41, 3) weights of a lamp given every nanometre from 380 to 780, Y = 1 for the perfect diffuser.

    The product of lamp and observer is summed every nanometre; the reflectance in between is interpolated by
    the cubic of ASTM E2022, so smooth reflectances lose nothing on the 10 nm grid and lamp peaks are kept.
    """
    weights = _every_nanometre().T @ (power_1_nm[:, None] * observer_1_nm)
    return frozen(weights / weights[:, 1].sum())


@lru_cache(maxsize=1)
def _every_nanometre() -> Floats:
    """The interpolation matrix (401, 41) to every nanometre, which all lamps share."""
    return frozen(lagrange_10_nm(np.arange(FIRST_NM, LAST_NM + 1, dtype=np.float64)))


def _derive(spectra: Sequence[str]) -> Table:
    with warnings.catch_warnings():
        # it warns that scipy and matplotlib are absent; nothing used here needs them
        warnings.simplefilter("ignore")
        import colour

        fine = np.arange(FIRST_NM, LAST_NM + 1, dtype=np.float64)
        observers = {}
        for degrees, key in (
            (2, "CIE 1931 2 Degree Standard Observer"),
            (10, "CIE 1964 10 Degree Standard Observer"),
        ):
            data = colour.MSDS_CMFS[key]
            inside = (data.wavelengths >= FIRST_NM) & (data.wavelengths <= LAST_NM)
            observers[degrees] = np.asarray(data.values[inside], dtype=np.float64)
        powers = {
            name: np.interp(
                fine, colour.SDS_ILLUMINANTS[name].wavelengths, colour.SDS_ILLUMINANTS[name].values
            )
            for name in spectra
        }
        charts = {
            vintage: np.asarray(
                colour.xyY_to_XYZ(np.stack(list(colour.CCS_COLOURCHECKERS[key].data.values())))
            )
            for vintage, key in CHART_VINTAGES.items()
        }
    return Table(
        weights={name: lamp_weights(power, observers[2]) for name, power in powers.items()},
        weights_10_degree={name: lamp_weights(power, observers[10]) for name, power in powers.items()},
        observer=frozen(_every_nanometre().T @ observers[2]),
        observer_1_nm=frozen(observers[2]),
        charts={vintage: frozen(values) for vintage, values in charts.items()},
    )


def _read(path: Path, spectra: Sequence[str]) -> Table | None:
    import zipfile

    try:
        with path.open("rb") as file, np.load(file, allow_pickle=False) as data:
            weights = {name: frozen(data[f"2/{name}"]) for name in spectra}
            weights_10 = {name: frozen(data[f"10/{name}"]) for name in spectra}
            table = Table(
                weights=weights,
                weights_10_degree=weights_10,
                observer=frozen(data["observer"]),
                observer_1_nm=frozen(data["observer_1_nm"]),
                charts={vintage: frozen(data[f"chart/{vintage}"]) for vintage in CHART_VINTAGES},
            )
    except FileNotFoundError:
        return None
    except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile) as error:
        log.warning("weight table %s cannot be read (%s); it is derived again", path.name, error)
        return None
    shapes_hold = all(
        w.shape == (COUNT, 3) and np.isfinite(w).all() for w in (*weights.values(), *weights_10.values())
    )
    if (
        not shapes_hold
        or table.observer.shape != (COUNT, 3)
        or table.observer_1_nm.shape != (LAST_NM - FIRST_NM + 1, 3)
    ):
        log.warning("weight table %s has the wrong shape; it is derived again", path.name)
        return None
    return table


def _write(path: Path, table: Table) -> None:
    """Write beside the target and rename, so that another process sees the whole file or none."""
    import tempfile

    arrays = {f"2/{name}": weights for name, weights in table.weights.items()}
    arrays |= {f"10/{name}": weights for name, weights in table.weights_10_degree.items()}
    arrays |= {"observer": table.observer, "observer_1_nm": table.observer_1_nm}
    arrays |= {f"chart/{vintage}": values for vintage, values in table.charts.items()}
    temporary: str | None = None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=path.stem, suffix=".part")
        with os.fdopen(handle, "wb") as file:
            np.savez(file, allow_pickle=False, **arrays)
        os.replace(temporary, path)
        temporary = None
    except OSError as error:
        log.warning("weight table is not kept in %s (%s)", path.parent, error)
    finally:
        if temporary is not None:
            Path(temporary).unlink(missing_ok=True)
