"""What people read beside the set-out: other choices that work, and what to watch out for."""

from collections.abc import Sequence
from fractions import Fraction

from meshes.layout.gaps import EvenGap, even_gaps, gap_for
from meshes.layout.lengths import rounded_mm
from meshes.layout.placed import Alternative, BuildUp, Panel, Slat
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import Wall

SHORTEST_PIECE_MM = Fraction(100)
"""Shorter pieces of slat split at the pin and show every unevenness (common practice)."""

LEAST_BEARING_MM = Fraction(10)
"""A board edge needs this much slat over it to be pinned (common practice)."""


def mm(value: Fraction) -> str:
    """A length for a sentence, rounded once to 0.1 mm."""
    tenths = round(value * 10)
    return f"{tenths // 10}" if tenths % 10 == 0 else f"{tenths / 10:.1f}"


def alternatives_for(
    run: Fraction, width: Fraction, slats: Slats, found: Sequence[EvenGap]
) -> tuple[Alternative, ...]:
    """Even gaps with a slat more or less, and with the other kind of ends; nearest to the wish first."""
    other = "gap" if slats.ends == "slat" else "slat"
    listed: list[tuple[EvenGap, str, str]] = []
    for even in found[1:]:
        step = even.count - found[0].count
        what = f"{abs(step)} slat{'s' if abs(step) > 1 else ''} {'more' if step > 0 else 'fewer'}"
        listed.append((even, slats.ends, f"Even gap with {what}: {_against(even.gap, slats.gap_mm)}."))
    for even in even_gaps(run, width, slats.gap_mm, other, reach=1):
        listed.append((even, other, f"Both ends finish on a {other}: {_against(even.gap, slats.gap_mm)}."))
    listed.sort(key=lambda one: abs(one[0].gap - slats.gap_mm))
    return tuple(
        Alternative(slat_count=even.count, gap=even.gap, ends=ends, reason=reason)
        for even, ends, reason in listed
    )


def _against(gap: Fraction, wish: Fraction) -> str:
    if gap == wish:
        return f"gap {mm(gap)} mm, as wished"
    return f"gap {mm(gap)} mm, {mm(abs(gap - wish))} {'over' if gap > wish else 'under'} the wish"


def warnings_for(
    wall: Wall,
    slats: Slats,
    panels: Panels,
    build_up: BuildUp,
    run: Fraction,
    chosen: EvenGap,
    placed: Sequence[Slat],
    boards: Sequence[Panel],
) -> tuple[str, ...]:
    """Everything that works but should be known before the first cut, in the order of the work."""
    return (
        *_as_machined(slats, run, chosen),
        *_framing(wall, build_up),
        *_short_pieces(placed, slats.run),
        *_boards(slats, panels, boards),
    )


def _as_machined(slats: Slats, run: Fraction, chosen: EvenGap) -> list[str]:
    made = slats.as_machined_mm
    if made is None:
        return []
    said = []
    if made.depth != slats.depth_mm:
        said.append(
            f"Slats came out {mm(made.depth)} mm deep, not the wished {mm(slats.depth_mm)}: "
            f"the build-up follows ({_signed(made.depth - slats.depth_mm)} mm)."
        )
    planned = next(iter(even_gaps(run, slats.width_mm, slats.gap_mm, slats.ends)), None)
    if made.width == slats.width_mm or planned is None:
        return said
    shift = planned.count * (slats.width_mm - made.width)
    kept = gap_for(run, made.width, planned.count, slats.ends)
    keeping = f"; keeping {planned.count} slats the gap would be {mm(kept)} mm" if kept is not None else ""
    said.append(
        f"Slats came out {mm(made.width)} mm wide, not the wished {mm(slats.width_mm)}: with the planned "
        f"spacer of {rounded_mm(planned.gap)} mm kept, {planned.count} slats would end "
        f"{mm(abs(shift))} mm {'short of' if shift > 0 else 'beyond'} the run. Set out again: "
        f"{chosen.count} slats ({_signed(Fraction(chosen.count - planned.count))}), "
        f"gap {rounded_mm(chosen.gap)} mm{keeping}."
    )
    return said


def _signed(value: Fraction) -> str:
    return f"{'+' if value > 0 else '−' if value < 0 else '±'}{mm(abs(value))}"


def _framing(wall: Wall, build_up: BuildUp) -> list[str]:
    said = []
    overhang = build_up.total - wall.skirting_projection_mm
    if wall.skirting_mm and overhang > 0:
        said.append(
            f"The build-up of {mm(build_up.total)} mm stands {mm(overhang)} mm over the kept skirting's "
            f"{mm(wall.skirting_projection_mm)}: the raw lower edge shows; close it with a trim that deep."
        )
    for side, end in (("left", wall.left), ("right", wall.right)):
        if end.trim_mm and end.meets != "open":
            said.append(
                f"The trim of {mm(end.trim_mm)} mm at the {side} end is not used: it meets a {end.meets}."
            )
        if end.meets == "open" and not end.trim_mm:
            said.append(
                f"The {side} end is open and has no trim: board edges show, {mm(build_up.total)} mm deep."
            )
    return said


def _short_pieces(placed: Sequence[Slat], run: str) -> list[str]:
    said = []
    for slat in placed:
        for piece in slat.pieces:
            length = piece.height if run == "upright" else piece.width
            if length < SHORTEST_PIECE_MM:
                said.append(
                    f"Slat {slat.index} keeps a piece of only {mm(length)} mm "
                    f"(under {mm(SHORTEST_PIECE_MM)}, common practice)."
                )
    return said


def _boards(slats: Slats, panels: Panels, boards: Sequence[Panel]) -> list[str]:
    said = []
    width = slats.as_machined_mm.width if slats.as_machined_mm else slats.width_mm
    bearing = (width - panels.joint_clearance_mm) / 2
    if len(boards) > 1 and bearing < LEAST_BEARING_MM:
        said.append(
            f"Joints have only {mm(bearing)} mm of slat over each board edge "
            f"({mm(LEAST_BEARING_MM)} is common practice): glue a cleat behind each joint."
        )
    widest = max(
        (panel.board.width if slats.run == "upright" else panel.board.height for panel in boards),
        default=Fraction(0),
    )
    if widest > panels.max_width_mm:
        said.append(
            f"A panel of one pitch is already {mm(widest)} mm, over the {mm(panels.max_width_mm)} allowed."
        )
    tallest = max(
        (panel.board.height if slats.run == "upright" else panel.board.width for panel in boards),
        default=Fraction(0),
    )
    if tallest > max(panels.sheet_mm):
        said.append(
            f"Boards {mm(tallest)} mm long are longer than the sheet's {mm(max(panels.sheet_mm))}: "
            "they need a joint across the slats."
        )
    return said
