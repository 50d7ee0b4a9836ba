"""Walls that hypothesis makes up, for laws that every set-out obeys."""

from typing import Any

from hypothesis import assume, settings
from hypothesis import strategies as st
from laid_out import job

from meshes.layout.checks import check
from meshes.layout.placed import SetOut
from meshes.layout.setout import set_out

Json = dict[str, Any]

KINDS = ("socket", "switch", "data", "thermostat", "vent", "radiator", "window", "bracket")
LAWS = settings(max_examples=25, deadline=None)


def sizes(low: int, high: int) -> st.SearchStrategy[float]:
    """Lengths in half millimetres."""
    return st.integers(2 * low, 2 * high).map(lambda halves: halves / 2)


@st.composite
def openings(draw: st.DrawFn, width: float, height: float) -> list[Json]:
    """Up to four openings, each in its own quarter of the wall so that none overlap."""
    found = []
    for quarter in draw(st.sets(st.integers(0, 3))):
        low, high = quarter * width / 4, (quarter + 1) * width / 4
        size = min(draw(sizes(20, 600)), high - low)
        left = draw(sizes(int(low) + 1, max(int(low) + 1, int(high - size))))
        tall = min(draw(sizes(20, 1200)), height / 2)
        found.append(
            {
                "kind": draw(st.sampled_from(KINDS)),
                "left_mm": left,
                "bottom_mm": draw(sizes(0, int(height / 2))),
                "width_mm": min(size, width - left),
                "height_mm": tall,
                "clearance_mm": draw(st.sampled_from([0, 0, 4])),
            }
        )
    return found


@st.composite
def ends(draw: st.DrawFn) -> Json:
    meets = draw(st.sampled_from(["wall", "open", "inside_corner", "outside_corner"]))
    return {
        "meets": meets,
        "shadow_gap_mm": draw(st.sampled_from([0, 0, 8, 12.5])),
        "trim_mm": draw(st.sampled_from([0, 12])) if meets == "open" else 0,
        "out_of_plumb_mm": draw(st.sampled_from([0, 0, 5, -7])),
    }


@st.composite
def jobs(draw: st.DrawFn, **fixed: Any) -> Json:
    """A sound job: what a person could measure and wish for."""
    width, height = draw(sizes(300, 6000)), draw(sizes(700, 2600))
    wall = {"width_mm": width, "height_mm": height, "left": draw(ends()), "right": draw(ends())}
    if draw(st.booleans()):
        wall["studs_mm"] = [at for at in range(150, int(width), draw(st.integers(300, 650)))]
    slats = {
        "width_mm": draw(sizes(10, 120)),
        "gap_mm": draw(sizes(2, 60)),
        "ends": draw(st.sampled_from(["slat", "gap"])),
        "run": draw(st.sampled_from(["upright", "upright", "level"])),
        "shift_for_openings": draw(st.booleans()),
        **fixed.get("slats", {}),
    }
    zones = [
        {
            "kind": draw(st.sampled_from(["hidden", "no_drill", "access", "raking_light"])),
            "left_mm": draw(sizes(0, int(width * 0.6))),
            "bottom_mm": draw(sizes(0, int(height * 0.6))),
            "width_mm": width / 5,
            "height_mm": height / 5,
        }
        for _ in range(draw(st.integers(0, 2)))
    ]
    panels = {
        "sheet_mm": [1220, 2700] if slats["run"] == "upright" else [1220, 6100],
        **fixed.get("panels", {}),
    }
    return {
        "wall": wall,
        "slats": slats,
        "panels": panels,
        "zones": zones,
        "openings": draw(openings(width, height)),
    }


def laid(given_job: Json) -> SetOut:
    parts = job(**given_job)
    assume(check(**parts) == [])
    return set_out(**parts)
