"""Setting-out sheets: elevation and section to scale, the figures of the set-out, and its notices."""

from fractions import Fraction
from gettext import gettext as _
from xml.etree import ElementTree

from meshes.layout.placed import SetOut
from viewer.drawings.elevation import elevation
from viewer.drawings.figures import figure
from viewer.drawings.section import section
from viewer.sheets.book import Book, Column
from viewer.sheets.matter import Matter
from viewer.sheets.paper import lying, upright

TITLE_ROOM = 12.0


def add_setting_out(book: Book, matter: Matter) -> None:
    """Elevation, section and figures of every wall."""
    for wall, one in enumerate(matter.set_outs):
        zones = matter.job.zones_by_wall[wall]
        sheet = lying(matter.paper)
        svg = elevation(
            one,
            zones=zones,
            width_mm=sheet.room[0],
            height_mm=sheet.room[1] - TITLE_ROOM,
            to_scale=True,
        )
        book.begin(sheet, matter.wall_title(wall, _("Elevation")), scale=scale_words(svg))
        book.drawing(svg)
        sheet = upright(matter.paper)
        svg = section(one, width_mm=sheet.room[0], to_scale=True)
        book.begin(sheet, matter.wall_title(wall, _("Section and figures")), scale=scale_words(svg))
        book.drawing(svg)
        _figures(book, one)
        _strips(book, one)
        _packers(book, one)
        _notices(book, matter, wall, one)


def scale_words(svg: str) -> str:
    """``1 : 20`` of a drawing that says its scale; empty where it is none of the series."""
    scale = float(ElementTree.fromstring(svg).get("data-scale", "0"))
    if not scale:
        return ""
    if scale >= 1:
        return f"{scale:g} : 1"
    tenths = round(10 / scale)
    return f"1 : {tenths / 10:g}" if abs(10 / scale - tenths) < 1e-3 else ""


def _figures(book: Book, one: SetOut) -> None:
    build_up = one.build_up
    book.heading(_("Figures"))
    rows = [
        (
            _("Run, from the datum"),
            _("%(run)s mm, datum %(datum)s") % {"run": figure(one.run_length), "datum": one.datum},
        ),
        (
            _("Slats"),
            _("%(count)d of %(width)s × %(depth)s mm")
            % {"count": len(one.slats), "width": figure(one.slat_width), "depth": figure(one.slat_depth)},
        ),
        (_("Gap, exactly"), f"{figure(one.gap)} mm  ({one.gap} mm)"),
        (_("Pitch, exactly"), f"{figure(one.pitch)} mm  ({one.pitch} mm)"),
        (
            _("Build-up from the wall"),
            _("%(total)s mm: packing %(packing)s, board %(board)s, fabric %(fabric)s, slat %(slat)s")
            % {
                "total": figure(build_up.total),
                "packing": figure(build_up.packing),
                "board": figure(build_up.board),
                "fabric": figure(build_up.fabric),
                "slat": figure(build_up.slat),
            },
        ),
    ]
    if one.chosen is not None:
        chosen = one.chosen
        rows.append((_("Chosen"), chosen.reason))
        rows.append(
            (
                _("Spacer to measure"),
                _("%(spacer)s mm; unmeasured, %(count)d slats may drift %(drift)s mm")
                % {"spacer": figure(chosen.spacer), "count": len(one.slats), "drift": figure(chosen.drift)},
            )
        )
        rows.append(
            (
                _("Measure from the datum again"),
                _("at every %(every)dth slat") % {"every": chosen.reset_every},
            )
        )
    moved = one.movement
    if moved is not None:
        rows.append(
            (
                _("Gap over the seasons"),
                _("%(low)s to %(high)s mm (%(species)s; Wood Handbook, ch. 13)")
                % {
                    "low": figure(moved.narrowest_gap_mm),
                    "high": figure(moved.widest_gap_mm),
                    "species": _("species not stated: the one that moves most")
                    if moved.species == "unknown"
                    else moved.species,
                },
            )
        )
    book.table([Column(head=_("What"), share=3), Column(head=_("How much"), share=7)], rows)


def _strips(book: Book, one: SetOut) -> None:
    sides = {"left": _("left"), "right": _("right"), "top": _("top"), "bottom": _("bottom")}
    kinds = {
        "trim": _("trim"),
        "return": _("return"),
        "post": _("post"),
        "plinth": _("plinth"),
        "shadow_gap": _("shadow gap"),
    }
    rows = []
    for strip in (*one.trims, *one.shadow_gaps):
        words = ""
        if any(strip.rise):
            left, right = map(figure, strip.edges)
            words = _("top cut to the ceiling: left edge %(left)s mm, right edge %(right)s mm") % {
                "left": left,
                "right": right,
            }
        name = f"{kinds.get(strip.kind, strip.kind)}, {sides[strip.side]}"
        rows.append((name, figure(strip.width), figure(max(strip.edges)), words))
    for scribe in one.scribes:
        ends = (_("foot"), _("head")) if scribe.side in ("left", "right") else (_("left"), _("right"))
        words = _("scribe: %(start)s mm at the %(one)s, %(end)s mm at the %(other)s") % {
            "start": figure(scribe.at_start),
            "one": ends[0],
            "end": figure(scribe.at_end),
            "other": ends[1],
        }
        widest = max(scribe.at_start, scribe.at_end, Fraction(0))
        rows.append((_("scribed strip, %(side)s") % {"side": sides[scribe.side]}, figure(widest), "", words))
    if rows:
        book.heading(_("What frames the run"))
        book.table(
            [
                Column(head=_("Strip"), share=3),
                Column(head=_("Width, mm"), share=2, end=True),
                Column(head=_("Length, mm"), share=2, end=True),
                Column(head=_("Taper"), share=5),
            ],
            rows,
        )


def _packers(book: Book, one: SetOut) -> None:
    if one.flatness is None or one.flatness.treatment == "none":
        return
    book.heading(_("Packing, counted from the wall's high point"))
    book.text(
        _("The face is %(mm)s mm out of flat in 2 m: %(how)s.")
        % {"mm": figure(one.flatness.under_2_m), "how": one.flatness.treatment}
    )
    rows = [
        (name, *(figure(depth) for depth in row))
        for name, row in zip((_("bottom"), _("middle"), _("top")), one.flatness.packers, strict=True)
    ]
    heads = (_("left, mm"), _("middle, mm"), _("right, mm"))
    book.table(
        [Column(head=_("Height"), share=2), *(Column(head=head, share=2, end=True) for head in heads)],
        rows[::-1],
    )


def _notices(book: Book, matter: Matter, wall: int, one: SetOut) -> None:
    if not one.warnings:
        return
    book.heading(_("To look at before the first cut"))
    for sentence in one.warnings:
        book.text(sentence, lead="–", lead_width=4)
