"""Whether a colour that a person wrote down is one that a surface can have."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from finishes.timber import NoSpectrumError, bare, zones


def unreachable_colours(
    found: Mapping[str, Mapping[str, Any]], written: Mapping[tuple[str, str], str], cache_dir: Path | None
) -> list[str]:
    """A problem for each entry whose CIELAB no smooth spectrum has.

    written : the file name of each entry to be tried, by kind and name.
    """
    problems = []
    floor = found["optics"]["far red floor"].number.value
    for (kind, name), file in written.items():
        if kind not in ("timber", "fabric", "part"):
            continue
        entry = found[kind][name]
        try:
            if kind == "timber":
                mean = bare(entry.lab, entry.reflectance, floor=floor, cache_dir=cache_dir)
                zones(mean, found["figure"][entry.figure], floor=floor, cache_dir=cache_dir)
            else:
                bare(entry.lab, entry.reflectance, cache_dir=cache_dir)
        except NoSpectrumError as error:
            problems.append(f"{file}: {kind} {name!r}: lab: {error}")
    return problems
