"""Ripping one section into slats: how many, which faces show, what is left.

End view of a section, one column of three rows; the slat's width comes from the section's ``across`` side,
its depth from the ``along`` side::

      across
    <--------->
    (---------)  ^   rounded arrises: this face is turned to the wall
    |  slat 0 |  |
    |.........|  |   kerf
    |  slat 1 | along
    |.........|  |   kerf
    |  slat 2 |  |
    |.........|  |   kerf
    (  rest   )  v

The front and both edges of a slat are planed, the back stays as it was sawn and lies on the cloth (common
practice). Columns are ripped first, then rows out of each column. Exact Fractions, millimetres.
"""

from dataclasses import dataclass
from fractions import Fraction

from meshes.cutting.stock import Stock
from meshes.layout.lengths import rounded_mm

ZERO = Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class RippedSlat:
    """Where one slat lies in the section, and what its faces were before planing.

    ``back`` and ``edges`` are "section" (an outer face of the section) or "ripped" (a saw cut). The front is
    always a saw cut unless the section gives a single row without a rest.
    """

    column: int
    row: int
    front: str
    back: str
    edges: tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """A strip left over along the whole section after its own kerf [mm]; ``count`` equal ones."""

    width: Fraction
    depth: Fraction
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Rip:
    """One way to rip a section; every length in mm, every area in mm2 of the section's end."""

    across: Fraction
    along: Fraction
    columns: int
    rows: int
    sawn_width: Fraction
    """Fence setting of the first cuts: slat width with its planing allowance."""
    sawn_depth: Fraction
    """Fence setting of the second cuts: slat depth with the planing of its front."""
    kerf: Fraction
    kerf_area: Fraction
    slats: tuple[RippedSlat, ...]
    rests: tuple[Rest, ...]
    front_rounding: Fraction
    """Rounding still visible on the front of the slats; 0 when every rounded arris is turned back."""

    @property
    def count(self) -> int:
        return self.columns * self.rows

    @property
    def rest_area(self) -> Fraction:
        return sum((rest.width * rest.depth * rest.count for rest in self.rests), ZERO)


def sawn_limits(size: Fraction) -> tuple[Fraction, Fraction]:
    """Smallest and largest a sawn size of tolerance class 1 may measure [mm]: EN 336."""
    return (size - 1, size + 3) if size <= 100 else (size - 2, size + 4)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cuts:
    """Parts side by side in a given room: what the saw takes, what lies beyond the last part [mm]."""

    count: int
    kerf: Fraction
    beyond: Fraction
    rest: Fraction


def _cuts(room: Fraction, part: Fraction, kerf: Fraction) -> _Cuts:
    count = int((room + kerf) // (part + kerf))
    if count == 0:
        return _Cuts(count=0, kerf=ZERO, beyond=room, rest=room)
    beyond = room - count * part - (count - 1) * kerf
    taken = (count - 1) * kerf + min(kerf, beyond)
    return _Cuts(count=count, kerf=taken, beyond=beyond, rest=max(ZERO, beyond - kerf))


def rip(*, across: Fraction, along: Fraction, width: Fraction, depth: Fraction, stock: Stock) -> Rip:
    """Rip a section ``across`` x ``along`` into slats ``width`` x ``depth`` finished [mm].

    The count is 0 when the section is too small: the slat's width needs the planing allowance of the width
    pass, its depth the planing of one face.
    """
    allowance = max(stock.width_allowance_mm, 2 * stock.planing_mm) if stock.planing_mm else ZERO
    sawn_width, sawn_depth = width + allowance, depth + stock.planing_mm
    columns, rows = _cuts(across, sawn_width, stock.kerf_mm), _cuts(along, sawn_depth, stock.kerf_mm)
    if columns.count == 0 or rows.count == 0:
        rests = [Rest(width=across, depth=along, count=1)]
        slats: list[RippedSlat] = []
        kerf_area = front_rounding = ZERO
    else:
        rests = [
            Rest(width=columns.rest, depth=along, count=1),
            Rest(width=sawn_width, depth=rows.rest, count=columns.count),
        ]
        slats = [
            _ripped(column, row, columns, rows)
            for column in range(columns.count)
            for row in range(rows.count)
        ]
        kerf_area = columns.kerf * along + columns.count * rows.kerf * sawn_width
        hidden = rows.beyond + stock.planing_mm
        front_rounding = max(ZERO, stock.arris_radius_mm - hidden) if rows.count == 1 else ZERO
    return Rip(
        across=across,
        along=along,
        columns=columns.count if slats else 0,
        rows=rows.count if slats else 0,
        sawn_width=sawn_width,
        sawn_depth=sawn_depth,
        kerf=stock.kerf_mm,
        kerf_area=kerf_area,
        slats=tuple(slats),
        rests=tuple(rest for rest in rests if rest.width and rest.depth),
        front_rounding=front_rounding,
    )


def _ripped(column: int, row: int, columns: _Cuts, rows: _Cuts) -> RippedSlat:
    last_is_outer = row == rows.count - 1 and not rows.beyond
    return RippedSlat(
        column=column,
        row=row,
        front="section" if row == 0 and last_is_outer else "ripped",
        back="section" if row == 0 or last_is_outer else "ripped",
        edges=(
            "section" if column == 0 else "ripped",
            "section" if column == columns.count - 1 and not columns.beyond else "ripped",
        ),
    )


def rips(*, width: Fraction, depth: Fraction, stock: Stock) -> tuple[Rip, Rip]:
    """Both ways to lay the section, the better first.

    Better is: more slats, then no rounding left on a front, then fewer cuts (columns cost a second setting of
    the fence), then the order in which the section's sizes were given.
    """
    a, b = stock.section_mm
    both = (
        rip(across=a, along=b, width=width, depth=depth, stock=stock),
        rip(across=b, along=a, width=width, depth=depth, stock=stock),
    )
    ranked = sorted(both, key=lambda one: (-one.count, one.front_rounding, one.columns))
    return ranked[0], ranked[1]


def refusal(*, width: Fraction, depth: Fraction, stock: Stock) -> str:
    """Why no slat comes out of the section, in words; for ``rips(...)[0].count == 0``."""
    tried = rip(across=ZERO, along=ZERO, width=width, depth=depth, stock=stock)
    section, slat, sawn = (
        f"{rounded_mm(a)} x {rounded_mm(b)} mm"
        for a, b in (stock.section_mm, (width, depth), (tried.sawn_width, tried.sawn_depth))
    )
    return (
        f"a section of {section} gives no slat of {slat}: before planing the slat is {sawn}; "
        "take a larger section or a smaller slat"
    )


def yield_at_lower_limit(chosen: Rip, *, width: Fraction, depth: Fraction, stock: Stock) -> int:
    """Slats from the same way of ripping when the sawn section measures the least that EN 336 allows."""
    return rip(
        across=sawn_limits(chosen.across)[0],
        along=sawn_limits(chosen.along)[0],
        width=width,
        depth=depth,
        stock=stock,
    ).count
