"""From the counts of a job to everything that must be bought and done. No prices here."""

from collections.abc import Mapping, Sequence
from decimal import ROUND_CEILING, Decimal
from gettext import gettext as _

from viewer.estimate.needs import Need, Part, Quantity
from viewer.estimate.practice import Labour, Practice
from viewer.estimate.work import Strips, WallBuild, Work

WHOLE = Decimal(1)


def needs_of(
    work: Work,
    coatings: Sequence[Need] = (),
    backing: Sequence[Need] = (),
    *,
    coated_m2: Decimal = Decimal(0),
    practice: Practice | None = None,
    labour: Labour | None = None,
) -> tuple[Need, ...]:
    """Every line of the estimate, in the order of the work. ``coatings``, ``backing``: see ``coatings``."""
    practice = practice or Practice()
    return (
        *timber_needs(work, practice),
        *board_needs(work, practice),
        *backing,
        *_tape(work),
        *coatings,
        *_abrasives(work, practice),
        *fixing_needs(work, practice),
        *labour_needs(work, labour or Labour(), coated_m2),
    )


def _whole(amount: Decimal) -> Decimal:
    return amount.to_integral_value(rounding=ROUND_CEILING)


def _need(item: str, label: str, quantity: Quantity, **fields: object) -> Need:
    return Need(item=item, parts=(Part(label=label, quantity=quantity),), **fields)  # type: ignore[arg-type]


def timber_needs(work: Work, practice: Practice) -> list[Need]:
    """Sections by length, strips that no offcut gives, and test strips where no cull gives them."""
    drivers = (
        (_("slat pieces"), Decimal(work.slat_pieces)),
        (_("spares"), Decimal(work.spares)),
        (_("sorted out"), Decimal(work.culls)),
    )
    found = _strips("section", _("sections"), work.sections, drivers)
    for name, metres in work.small_strips_m.items():
        found.append(_need("small_strip", _("no offcut is large enough"), Quantity.exactly(metres), of=name))
    if not work.culls and not work.spares:
        metres = practice.test_strips * practice.test_strip_mm / 1000
        found.append(
            _need(
                "test_strip", _("sample boards"), Quantity.exactly(metres), of=work.sections.of, grows=False
            )
        )
    return found


def _strips(item: str, label: str, strips: Strips, drivers: tuple[tuple[str, Decimal], ...]) -> list[Need]:
    return [
        _need(item, label, Quantity.exactly(count), of=strips.of, length_mm=length, drivers=drivers)
        for length, count in strips.lengths.items()
    ]


def board_needs(work: Work, practice: Practice) -> list[Need]:
    """Sheets, black paint for edges and shadow gaps, and the pins that hold slats to boards."""
    panels = ((_("panels"), Decimal(work.panels)),)
    found = []
    if work.sheets:
        found.append(
            _need("sheet", _("sheets"), Quantity.exactly(work.sheets), of=work.sheet_of, drivers=panels)
        )
    rate = practice.black_paint_coats / practice.black_paint_m2_per_l
    painted = ((_("board edges"), work.edge_m2), (_("shadow gaps"), work.shadow_m2))
    paint = tuple(
        Part(label=label, quantity=Quantity.exactly(area * rate)) for label, area in painted if area
    )
    if paint:
        found.append(Need(item="black_paint", parts=paint))
    pins = _whole(work.slat_m * 1000 / practice.pin_spacing_mm) + work.slat_pieces
    spare = _whole(pins * practice.pin_spare_share)
    found.append(
        Need(
            item="pins",
            parts=(
                Part(label=_("along the slats"), quantity=Quantity.exactly(pins)),
                Part(label=_("bent and lost"), quantity=Quantity.exactly(spare)),
            ),
            drivers=((_("slat pieces"), Decimal(work.slat_pieces)),),
            note=_("no longer than %(mm)s mm: from the back, board and slat less 3 mm")
            % {"mm": f"{work.pin_mm:f}"},
        )
    )
    return found


def _tape(work: Work) -> list[Need]:
    if not work.joint_m:
        return []
    joints = ((_("panels"), Decimal(work.panels)),)
    return [_need("tape", _("joints"), Quantity.exactly(work.joint_m), drivers=joints)]


def _abrasives(work: Work, practice: Practice) -> list[Need]:
    strips = Decimal(work.slats + work.spares)
    low = _whole(strips / practice.slats_per_disc_high) * practice.grits
    high = _whole(strips / practice.slats_per_disc_low) * practice.grits
    middle = (practice.slats_per_disc_low + practice.slats_per_disc_high) / 2
    likely = _whole(strips / middle) * practice.grits
    drivers = ((_("slats"), Decimal(work.slats)), (_("grits"), practice.grits))
    return [_need("discs", _("sanding"), Quantity.between(low, likely, high), drivers=drivers)]


def fixing_needs(work: Work, practice: Practice) -> list[Need]:
    """Screws, plugs by the build of the wall, packers and the ledger."""
    points = Decimal(work.fixings)
    drivers = ((_("fixing points"), points),)
    spare = _whole(points * practice.screw_spare_share)
    found = [
        Need(
            item="screws",
            parts=(
                Part(label=_("fixing points"), quantity=Quantity.exactly(points)),
                Part(label=_("spare"), quantity=Quantity.exactly(spare)),
            ),
            drivers=drivers,
        )
    ]
    words, on_studs = PLUGS[work.wall_build]
    plugs = points - (work.fixings_on_studs if on_studs else 0)
    if plugs > 0:
        found.append(_need("plugs", _("fixing points"), Quantity.exactly(plugs), of=words, drivers=drivers))
    packers = points * practice.packers_per_fixing
    found.append(_need("packers", _("fixing points"), Quantity.exactly(packers), drivers=drivers))
    ledger = work.run_m * practice.ledger_per_run
    found.append(_need("ledger", _("under the first panels"), Quantity.exactly(ledger)))
    return found


PLUGS: Mapping[WallBuild, tuple[str, bool]] = {
    # what goes into the wall (common practice), and whether a point on a stud needs none
    "masonry": ("masonry", False),
    "board_on_studs": ("plasterboard", True),
    "board_on_dabs": ("masonry, through the board", False),
    "lath": ("lath and plaster", True),
    "unknown": ("wall not yet known", True),
}


def labour_needs(work: Work, labour: Labour, coated_m2: Decimal) -> list[Need]:
    """Hours, one part a kind of work; only what the user has given minutes for."""
    sections = Decimal(sum(work.sections.lengths.values()))
    kinds = (
        (_("ripping and planing"), labour.per_section, sections),
        (_("slats"), labour.per_slat, Decimal(work.slat_pieces + work.spares)),
        (_("coats"), labour.per_coat_m2, coated_m2),
        (_("panels"), labour.per_panel, Decimal(work.panels)),
        (_("openings"), labour.per_opening, Decimal(work.openings)),
        (_("by area"), labour.per_m2, work.face_m2),
    )
    timed = [
        Part(label=label, quantity=Quantity.exactly(minutes * count / 60))
        for label, minutes, count in kinds
        if minutes is not None and count
    ]
    found = [Need(item="labour", of="workshop and site", parts=tuple(timed))] if timed else []
    if labour.per_job is not None:
        hours = Quantity.exactly(labour.per_job / 60)
        found.append(_need("labour", _("once a job"), hours, of="once a job", grows=False))
    return found
