"""The ways to set out a run as a page shows them: strips to scale, reasons, numbers, old beside new."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from gettext import gettext as _
from typing import Any

from markupsafe import Markup

from meshes.layout.alternative import Alternative
from meshes.layout.placed import SetOut
from viewer.answers.set_out import set_outs_of
from viewer.drawings.choice import choice_strip
from viewer.drawings.earlier import earlier_words
from viewer.drawings.elevation import elevation
from viewer.drawings.figures import figure
from viewer.drawings.rod import rod
from viewer.drawings.title_block import TitleBlock
from viewer.job.check import CheckResult
from viewer.job.model import Job
from viewer.pages.job_view import LEVELS_MM, RODS_MM, set_out_rows
from viewer.pages.tried_set_out import trial_of, tried

PINNED = "_pinned"
"""Key of the job document that keeps pinned trials: the fields of each, as typed. Keys with _ are ignored."""
MOST_PINNED = 6
LEVELS = {**LEVELS_MM, "middle": (122, None)}
"""The drawings of the job page, and one more for a column beside the turning view."""
RODS = {**RODS_MM, "half": 148}
STRIP_MM, STRIP_PITCHES = 104, 4
"""Width of paper of a way's strip, and pitches shown at each end: the same for all, so that they compare."""


def wall_heading(number: int, count: int) -> str:
    """What a wall of several is called, counted from 1; nothing for the only one."""
    return _("Wall {number}").format(number=number) if count > 1 else ""


def wall_drawings(
    job: Job, made: Sequence[SetOut], block: TitleBlock, was: Sequence[SetOut] = ()
) -> list[dict[str, Any]]:
    """Elevation and rod of every wall, with fixing points that the page can show and hide.

    ``was``: the walls as they are kept, shown where what is tried differs from them; as many, or none.
    """
    earlier: Sequence[SetOut | None] = was or [None] * len(made)
    return [
        {
            "heading": wall_heading(number, len(made)) or _("Elevation"),
            "elevations": {
                level: Markup(
                    elevation(
                        one,
                        zones=its_zones,
                        width_mm=width,
                        height_mm=height,
                        fixings=True,
                        block=block,
                        was=before,
                    )
                )
                for level, (width, height) in LEVELS.items()
            },
            "rods": {level: Markup(rod(one, width_mm=width, fixings=True)) for level, width in RODS.items()},
            "words": _("{count} slats, gap {gap} mm").format(count=len(one.slats), gap=figure(one.gap)),
            "was": _earlier(before, one),
        }
        for number, (one, its_zones, before) in enumerate(
            zip(made, job.zones_by_wall, earlier, strict=True), start=1
        )
    ]


def _earlier(was: SetOut | None, now: SetOut) -> str:
    """What the drawing shows of the kept state beside what is tried, in words."""
    words = earlier_words(was, now)
    if not words or was is None:
        return ""
    if was.run == "level":
        return _("The strip beside the wall is what is kept: {words}.").format(words=words)
    return _("The strip over the wall is what is kept: {words}.").format(words=words)


def moved_numbers(made: Sequence[SetOut], was: Sequence[SetOut]) -> list[dict[str, Any]]:
    """The numbers of every wall, and for those that moved what they were."""
    found = []
    for number, (one, earlier) in enumerate(zip(made, was or made, strict=True), start=1):
        before = {row.what: row.amount for row in set_out_rows(earlier)}
        rows = []
        for row in set_out_rows(one):
            old = before.get(row.what, row.amount)
            rows.append({"row": row, "was": old if old != row.amount else ""})
        found.append({"heading": wall_heading(number, len(made)), "rows": rows})
    return found


def wall_ways(
    made: Sequence[SetOut], typed: Mapping[str, str], spacers_mm: Sequence[Fraction]
) -> list[dict[str, Any]]:
    """The ways of every wall by itself, and the rules that forbid others; each goes on from what is tried."""
    return [
        {
            "heading": wall_heading(number, len(made)),
            "ways": ways(one, typed, spacers_mm),
            "rejected": [other.rule for other in one.rejected],
        }
        for number, one in enumerate(made, start=1)
    ]


def ways(made: SetOut, typed: Mapping[str, str], spacers_mm: Sequence[Fraction]) -> list[dict[str, Any]]:
    """The way that is taken, then the others, the nearest to the wish first. spacers_mm: those at hand."""
    chosen = (made.chosen,) if made.chosen else ()
    return [
        way(made, one, query={**typed, **query_of(one, spacers_mm)}, chosen=number < len(chosen))
        for number, one in enumerate((*chosen, *made.alternatives))
    ]


def pinned(found: CheckResult) -> list[dict[str, str]]:
    """The pinned trials of a job. No check looks at that key: what is no trial there is left out."""
    noted = found.document.get(PINNED)
    trials = [one for one in noted if isinstance(one, dict)] if isinstance(noted, list) else []
    return [{str(key): str(text) for key, text in one.items()} for one in trials][-MOST_PINNED:]


def pinned_ways(found: CheckResult) -> list[dict[str, Any]]:
    """The pinned trials, set out on every wall with the job as it is now."""
    shown: list[dict[str, Any]] = []
    for number, typed in enumerate(pinned(found)):
        query = trial_of(typed)
        now = tried(found, query)
        made = set_outs_of(now.job) if now.job else ()
        walls = [
            {
                "heading": wall_heading(place, len(made)),
                **way(one, one.chosen, query=query, chosen=False),
            }
            for place, one in enumerate(made, start=1)
            if one.chosen
        ]
        problems = [] if walls else [message for _path, message in now.problems]
        shown.append({"place": number, "query": query, "problems": problems, "walls": walls})
    return shown


def way(made: SetOut, one: Alternative, *, query: Mapping[str, str], chosen: bool) -> dict[str, Any]:
    """One way to set out: its strip, its reason, what to measure."""
    closing = [figure(size) for size in (one.start_slat, one.end_slat) if size]
    return {
        "chosen": chosen,
        "reason": one.reason,
        "strip": Markup(choice_strip(made, one, width_mm=STRIP_MM, pitches=STRIP_PITCHES)),
        "slats": one.slat_count,
        "gap": figure(one.gap),
        "spacer": figure(one.spacer),
        "drift": figure(one.drift),
        "closing": _(" and ").join(closing),
        "resets": ", ".join(figure(place) for place in one.resets[:3]),
        "query": dict(query),
    }


def query_of(one: Alternative, spacers_mm: Sequence[Fraction]) -> dict[str, str]:
    """The fields that would ask for this way; a spacer that is not among those at hand is put beside them."""
    asked = {"slats.shift_for_openings": "true" if one.kind == "shifted" else "false"}
    if one.kind != "shifted":  # which is the spacing that is asked for, moved
        asked["slats.spacing"] = one.kind
    if one.kind not in ("shifted", "feature"):  # whose gap follows from the wish
        asked["slats.gap_mm"] = f"{float(one.gap):.6g}"
    closes = one.ends.startswith("closing")
    by_spacer = one.kind == "spacer" or (one.kind == "centred" and closes)
    if by_spacer and one.gap not in spacers_mm:
        asked["slats.spacers_mm"] = "; ".join(f"{float(spacer):.6g}" for spacer in (*spacers_mm, one.gap))
    if one.closing in ("slat", "gap", "shadow_gap", "trim"):
        asked["slats.closing"] = one.closing
    if one.ends in ("slat", "gap"):
        asked["slats.ends"] = one.ends
    if one.centred_on in ("slat", "gap"):
        asked["slats.centre_on"] = one.centred_on
    return asked
