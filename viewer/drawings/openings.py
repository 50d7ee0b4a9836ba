"""What lies in the front of a wall: openings and zones with their words, and fixing points."""

from collections.abc import Sequence
from fractions import Fraction

from meshes.layout.bands import zone_rect
from meshes.layout.placed import SetOut
from meshes.layout.survey import Zone
from viewer.drawings import pen as p
from viewer.drawings.figures import figure
from viewer.drawings.front import SLAT
from viewer.drawings.labels import Labels
from viewer.drawings.marks import opening_word, zone_word
from viewer.drawings.place import Place

ARM = 0.9
"""Of a fixing point's cross [mm of paper]."""


def draw_openings(pen: p.Pen, set_out: SetOut, place: Place) -> None:
    """Plates are crossed; what no plate covers stays bare and has its word inside."""
    plated = {plate.index for plate in set_out.plates}
    for opening in set_out.openings:
        x, y, width, height = place.box(opening.rect)
        size = f"{figure(opening.rect.width)} × {figure(opening.rect.height)} mm"
        with pen.group(f"{opening_word(opening.kind)} {size}", mark="opening", index=opening.index):
            if opening.index not in plated:
                pen.rect(x, y, width, height, p.WIDE, p.PAPER)
                continue
            pen.rect(x, y, width, height, p.WIDE, SLAT)
            pen.path(f"M{x:.3f} {y:.3f}l{width:.3f} {height:.3f}m0 {-height:.3f}l{-width:.3f} {height:.3f}")


def draw_words(pen: p.Pen, set_out: SetOut, zones: Sequence[Zone], place: Place) -> None:
    """What openings and zones are, over every line; openings first, zones where they leave room."""
    labels = Labels(pen, (place.x(Fraction(0)), place.x(set_out.wall_width)))
    plated = {plate.index for plate in set_out.plates}
    boxes = [(opening, *place.box(opening.rect)) for opening in set_out.openings]
    for opening, x, y, width, height in boxes:
        if opening.index in plated:
            labels.take(x, y, x + width, y + height)
    for opening, x, y, width, height in boxes:
        middle = x + width / 2
        inside = [] if opening.index in plated else [(middle, y + height / 2 + 1)]
        labels.put(opening_word(opening.kind), [*inside, (middle, y - 1.6), (middle, y + height + 4)])
    for zone in zones:
        x, y, width, height = place.box(zone_rect(zone))
        word = zone_word(zone.kind)
        half = p.words_width(word) / 2 + 1.2
        columns = (x + half, x + width / 2, x + width - half) if width > 2 * half else (x + width / 2,)
        rows = (y + p.LETTERING + 1, y + height / 2, y + height - 2)
        labels.put(word, [(column, row) for row in rows for column in columns])


def draw_fixings(pen: p.Pen, set_out: SetOut, place: Place) -> None:
    """Fixing points as one path of upright crosses."""
    data = []
    for panel in set_out.panels:
        for point in panel.fixings:
            x, y = place.x(point.x), place.y(point.y)
            data.append(f"M{x - ARM:.3f} {y:.3f}h{2 * ARM:.3f}M{x:.3f} {y - ARM:.3f}v{2 * ARM:.3f}")
    with pen.group(fixings=len(data)):
        pen.path("".join(data), p.WIDE)


def draw_zone(pen: p.Pen, zone: Zone, place: Place) -> None:
    """A zone as a dashed rectangle."""
    with pen.group(zone_word(zone.kind), zone=zone.kind):
        pen.rect(*place.box(zone_rect(zone)), p.DASHED)
