"""What the estimate has to know of a planned wall: plain counts, from the set-out and the cutting plan."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil
from typing import Literal

from meshes.cutting.plan import Plan
from meshes.layout.areas import areas
from meshes.layout.lengths import rounded_mm
from meshes.layout.setout import SetOut
from viewer.estimate.needs import decimal
from viewer.estimate.practice import Practice

WallBuild = Literal["masonry", "board_on_studs", "board_on_dabs", "lath", "unknown"]
ZERO = Fraction(0)
SHORTER_BY_MM = 3
"""A pin from the back stays this much short of the slat's face (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strips:
    """Equal lengths of one thing: ``of`` names its section, lengths in mm with their counts."""

    of: str
    lengths: Mapping[Decimal, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """One job in counts, metres and square metres."""

    sections: Strips
    ready_strips: tuple[Strips, ...]
    slats: int
    slat_pieces: int
    slat_m: Decimal
    spares: int
    culls: int
    small_strips_m: Mapping[str, Decimal]
    sheets: int
    sheet_of: str
    panels: int
    joint_m: Decimal
    """Length of the joints between boards."""
    edge_m2: Decimal
    """Board edges that are painted."""
    shadow_m2: Decimal
    run_m: Decimal
    face_m2: Decimal
    openings: int
    fixings: int
    fixings_on_studs: int
    wall_build: WallBuild
    pin_mm: Decimal
    """No pin may be longer."""


def section_name(sides_mm: Sequence[Fraction | Decimal], timber: str) -> str:
    """``47 x 100 Scots pine``: how a section is named in a price list."""
    return " x ".join(f"{rounded_mm(Fraction(side))}" for side in sides_mm) + (f" {timber}" if timber else "")


def work_of(
    set_outs: Sequence[SetOut],
    plan: Plan,
    *,
    timber: str,
    openings: int,
    wall_build: WallBuild = "unknown",
    edges_covered: bool = True,
    practice: Practice | None = None,
) -> Work:
    """Count the work of all walls of a job.

    ``edges_covered``: cloth is wrapped round the boards, so that their edges are not painted.
    """
    points = [point for set_out in set_outs for panel in set_out.panels for point in panel.fixings]
    pieces = [piece for one in plan.timber for piece in one.demand.pieces]
    found = [areas(set_out) for set_out in set_outs]
    build_ups = [set_out.build_up for set_out in set_outs]
    thinnest = min(one.board + one.slat for one in build_ups)
    return Work(
        sections=Strips(
            of=section_name(plan.stock.section_mm, timber),
            lengths={decimal(length): count for length, count in plan.sections.items()},
        ),
        ready_strips=tuple(
            Strips(
                of=section_name((one.demand.width, one.demand.depth), timber),
                lengths={decimal(length): count for length, count in one.ready_made.sections},
            )
            for one in plan.timber
        ),
        slats=sum(len(set_out.slats) for set_out in set_outs),
        slat_pieces=len(pieces),
        slat_m=_metres(sum((piece.length for piece in pieces), Fraction(0))),
        spares=sum(one.demand.spares for one in plan.timber),
        culls=sum(len(one.demand.culls) for one in plan.timber),
        small_strips_m=_small_strips(plan),
        sheets=plan.sheets.count if plan.sheets is not None else 0,
        sheet_of=f"{rounded_mm(plan.panels.thickness_mm)} mm {section_name(plan.panels.sheet_mm, '')}",
        panels=sum(len(set_out.panels) for set_out in set_outs),
        joint_m=_metres(sum((_joints(set_out) for set_out in set_outs), Fraction(0))),
        edge_m2=_square_metres(
            Fraction(0) if edges_covered else sum((one["panel_edge"] for one in found), Fraction(0))
        ),
        shadow_m2=_square_metres(sum((one["shadow_gap"] for one in found), Fraction(0))),
        run_m=_metres(sum((_run(set_out) for set_out in set_outs), Fraction(0))),
        face_m2=_square_metres(
            sum((set_out.face.width * set_out.face.height for set_out in set_outs), Fraction(0))
        ),
        openings=openings,
        fixings=len(points) or _usual_fixings(set_outs, practice or Practice()),
        fixings_on_studs=sum(point.on_stud for point in points),
        wall_build=wall_build,
        pin_mm=decimal(thinnest - SHORTER_BY_MM),
    )


def _metres(mm: Fraction) -> Decimal:
    return decimal(mm / 1000)


def _square_metres(mm2: Fraction) -> Decimal:
    return decimal(mm2 / 1_000_000)


def _run(set_out: SetOut) -> Fraction:
    return set_out.face.width if set_out.run == "upright" else set_out.face.height


def _joints(set_out: SetOut) -> Fraction:
    along = set_out.face.height if set_out.run == "upright" else set_out.face.width
    within = ZERO
    for panel in set_out.panels:
        across = panel.board.width if set_out.run == "upright" else panel.board.height
        within += max(0, len(panel.parts) - 1) * across
    return max(0, len(set_out.panels) - 1) * along + within


def _small_strips(plan: Plan) -> dict[str, Decimal]:
    lengths: Counter[str] = Counter()
    metres: dict[str, Fraction] = {}
    for small in plan.reuse.to_buy:
        name = f"{small.name} {section_name((small.width, small.depth), '')}"
        lengths[name] += 1
        metres[name] = metres.get(name, Fraction(0)) + small.length / 1000
    return {name: decimal(metres[name]) for name in sorted(lengths)}


def _usual_fixings(set_outs: Sequence[SetOut], practice: Practice) -> int:
    count = 0
    for set_out in set_outs:
        for panel in set_out.panels:
            along = panel.board.height if set_out.run == "upright" else panel.board.width
            count += 2 * (ceil(along / Fraction(practice.fixing_spacing_mm)) + 1)
    return count
