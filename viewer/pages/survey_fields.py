"""The fields of a survey in the order in which a tape goes round the wall: every place of it has one."""

from dataclasses import dataclass
from gettext import gettext as _

from viewer.pages.fields import Field


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Fields under one heading. ``first``: always in sight, the others unfold."""

    heading: str
    fields: tuple[Field, ...]
    key: str
    first: bool = False


def length(path: str, label: str, hint: str = "") -> Field:
    """A field for a length."""
    return Field(path=path, label=label, unit="mm", hint=hint)


def job_group() -> Group:
    """What the survey says of the job itself."""
    return Group(
        heading=_("Job"),
        key="job",
        first=True,
        fields=(
            Field(path="name", label=_("Name")),
            Field(path="revised", label=_("Measured on"), hint=_("year-month-day")),
        ),
    )


def room_group() -> Group:
    """The room in front of the wall."""
    return Group(
        heading=_("Room"),
        key="room",
        fields=(
            length("room.depth_mm", _("From the wall to the one opposite")),
            length("room.beyond_left_mm", _("Goes on beyond the left end")),
            length("room.beyond_right_mm", _("Goes on beyond the right end")),
        ),
    )


def wall_groups(before: str) -> list[Group]:
    """The fields of a wall in measuring order; ``before`` is "" or ``next_walls[0].``."""
    wall = f"{before}wall"
    across = (("floor", _("at the floor")), ("middle", _("in the middle")), ("ceiling", _("at the ceiling")))
    up = (("left", _("at the left")), ("middle", _("in the middle")), ("right", _("at the right")))
    one_is_enough = _("one place is enough")
    return [
        Group(
            heading=_("Width and height"),
            key=f"{before}size",
            first=True,
            fields=(
                Field(
                    path=f"{wall}.width_mm",
                    label=_("Width"),
                    unit="mm",
                    holds="places",
                    boxes=across,
                    hint=one_is_enough,
                ),
                Field(
                    path=f"{wall}.height_mm",
                    label=_("Height"),
                    unit="mm",
                    holds="places",
                    boxes=up,
                    hint=one_is_enough,
                ),
            ),
        ),
        end_group(before, "left"),
        floor_group(before),
        end_group(before, "right"),
        ceiling_group(before),
        behind_group(before),
    ]


def end_group(before: str, side: str) -> Group:
    """One end of a wall."""
    path = f"{before}wall.{side}"
    meets = (
        ("wall", _("a wall")),
        ("open", _("nothing, it is open")),
        ("inside_corner", _("an inside corner")),
        ("outside_corner", _("an outside corner")),
    )
    closes = (("trim", _("a trim over the edge")), ("return", _("a board back to the wall")))
    return Group(
        heading=_("Left end") if side == "left" else _("Right end"),
        key=f"{before}{side}",
        fields=(
            Field(path=f"{path}.meets", label=_("It meets"), choices=meets),
            length(f"{path}.out_of_plumb_mm", _("Leans in at the top")),
            length(f"{path}.shadow_gap_mm", _("Shadow gap")),
            length(f"{path}.trim_mm", _("Trim")),
            Field(path=f"{path}.closes_with", label=_("An open end closes with"), choices=closes),
            length(f"{path}.post_mm", _("Post on an outside corner")),
        ),
    )


def floor_group(before: str) -> Group:
    """What stands at the floor."""
    wall = f"{before}wall"
    skirting = (("kept", _("stays")), ("removed", _("comes off")))
    return Group(
        heading=_("Floor and skirting"),
        key=f"{before}floor",
        fields=(
            length(f"{wall}.floor_out_of_level_mm", _("Floor higher at the right end by")),
            length(f"{wall}.floor_to_come_mm", _("Floor still to be laid on it")),
            Field(path=f"{wall}.skirting", label=_("The skirting"), choices=skirting),
            length(f"{wall}.skirting_mm", _("Its height")),
            length(f"{wall}.skirting_projection_mm", _("It stands out")),
            length(f"{wall}.closing_trim_mm", _("Trim over it")),
            length(f"{wall}.plinth_mm", _("Plinth, where there is no skirting")),
        ),
    )


def ceiling_group(before: str) -> Group:
    """What there is at the ceiling."""
    wall = f"{before}wall"
    kinds = (
        ("plain", _("at its lowest point")),
        ("shadow", _("at a shadow gap")),
        ("swept", _("along it, each by itself")),
        ("trim", _("at a trim")),
    )
    return Group(
        heading=_("Ceiling and cornice"),
        key=f"{before}ceiling",
        fields=(
            length(f"{wall}.ceiling_out_of_level_mm", _("Ceiling higher at the right end by")),
            Field(path=f"{wall}.ceiling", label=_("Slats end under it"), choices=kinds),
            length(f"{wall}.ceiling_mm", _("Shadow gap or trim")),
            length(f"{wall}.cornice_mm", _("Cornice, height")),
            length(f"{wall}.cornice_projection_mm", _("Cornice, stands out")),
        ),
    )


def behind_group(before: str) -> Group:
    """What the wall is made of, and how even it is."""
    wall = f"{before}wall"
    builds = (
        ("unknown", _("not known")),
        ("masonry", _("masonry")),
        ("board_on_studs", _("board on studs")),
        ("board_on_dabs", _("board on dabs")),
        ("lath", _("lath and plaster")),
    )
    rows = (("bottom", _("left")), ("middle", _("middle")), ("top", _("right")))
    return Group(
        heading=_("The wall itself"),
        key=f"{before}behind",
        fields=(
            Field(path=f"{wall}.build", label=_("It is of"), choices=builds),
            Field(
                path=f"{wall}.studs_mm",
                label=_("Middles of studs, from the left end"),
                unit="mm",
                holds="many",
                hint=_("a semicolon between two"),
            ),
            Field(
                path=f"{wall}.flatness_mm",
                label=_("Stands out from a plumb string line"),
                unit="mm",
                holds="grid",
                boxes=tuple(
                    (words, across)
                    for words, (_row, across) in zip((_("bottom"), _("middle"), _("top")), rows, strict=True)
                ),
                hint=_("all nine, or none"),
            ),
        ),
    )
