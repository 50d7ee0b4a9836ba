"""What colours cost, beside references of the same run: ``python tests/bench/bench_finishes.py``.

Prints one JSON object; exits with 1 when a target is missed. Milliseconds are those of the processor, the
least of several runs, so that what else the machine does counts little.
"""

import json
import subprocess
import sys
from collections.abc import Callable
from itertools import cycle, islice, product
from time import process_time

import numpy as np

from finishes.appearance import appearance
from finishes.catalogue import load
from finishes.choice import Finish
from finishes.coverage import take_off
from finishes.difference import ciede2000, seen_under
from finishes.lamps import SPECTRA, lamp

MODULES = (
    "adaptation appearance backing band catalogue coverage difference drops fabric_cut lamps pigment "
    "schedule spectra stain timber tins tone topcoat workshop"
).split()


def least_ms(run: Callable[[], object], rounds: int) -> float:
    """The least of several runs [ms]."""
    times = []
    for _ in range(rounds):
        start = process_time()
        run()
        times.append(process_time() - start)
    return min(times) * 1000.0


def import_ms(statement: str) -> float:
    """Time of one statement in a fresh interpreter [ms], the least of five."""
    code = f"from time import process_time as t; a = t(); {statement}; print((t() - a) * 1000)"
    return min(
        float(subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout)
        for _ in range(5)
    )


def main() -> int:
    catalogue = load()
    lamps = [lamp(name) for name in SPECTRA[:12]]
    chosen = islice(cycle(product(catalogue.timber, catalogue.stain)), 100)
    finishes = [Finish(timber=timber, stain=stain) for timber, stain in chosen]
    spectra = np.stack([appearance(finish, catalogue).seen() for finish in finishes])
    labs, _ = seen_under(spectra, lamps[:4])
    areas = {"slat_front": 6.0, "slat_side": 5.0, "slat_back": 6.0, "slat_end": 0.1, "trim": 0.2}

    numpy_import = import_ms("import numpy")
    import_finishes = import_ms("import finishes")
    import_rooms = import_ms("import " + ", ".join(f"finishes.{name}" for name in MODULES))
    product_only = least_ms(lambda: [spectra @ light.weights for light in lamps], 200)
    hundred = least_ms(lambda: seen_under(spectra, lamps), 200)
    one = least_ms(lambda: seen_under(spectra[:1], lamps[:1]), 500)
    chosen_one = least_ms(lambda: appearance(finishes[7], catalogue), 200)
    pairs = least_ms(lambda: ciede2000(labs[:, None], labs[None, :]), 20)
    litres = least_ms(lambda: take_off(areas, finishes[7], catalogue, slat_depth_mm=16), 50)
    targets = {
        "import_finishes_ms": (import_finishes, 150.0),
        "import_all_modules_without_numpy_ms": (import_rooms - numpy_import, 150.0),
        "one_finish_one_lighting_ms": (one, 0.2),
        "finish_by_name_to_spectra_and_one_lighting_ms": (chosen_one + one, 0.2),
        "100_finishes_12_lightings_ms": (hundred, 10.0),
        "pairs_100_4_lightings_ms": (pairs, 40.0),
        "coverage_ms": (litres, 5.0),
    }
    report = {
        name: {"measured": round(value, 4), "target": limit} for name, (value, limit) in targets.items()
    }
    report["import_numpy_ms"] = {"measured": round(numpy_import, 1)}
    report["hundred_against_bare_products"] = {"measured": round(hundred / product_only, 2)}
    print(json.dumps(report, indent=2))
    return int(any(value > limit for value, limit in targets.values()))


if __name__ == "__main__":
    sys.exit(main())
