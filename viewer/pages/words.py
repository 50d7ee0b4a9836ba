"""Sentences that pages and their scripts share."""

from gettext import gettext as _

from meshes.stills.camera import VIEWS, views


def view_names(walls: int = 1) -> dict[str, str]:
    """The named cameras of a job with so many walls, in the order in which they are offered."""
    further = {key: view_name(key) for key in views(walls)[len(VIEWS) :]}
    return {
        "front": _("front"),
        "seated": _("seated"),
        "left": _("from the left"),
        "right": _("from the right"),
        "close": _("close"),
        **further,
    }


def view_name(key: str) -> str:
    """What a view is called: a named one, a further wall, or a camera that somebody gave."""
    if key.startswith("wall-"):
        return _("wall {number}").format(number=key.removeprefix("wall-"))
    return view_names().get(key, _("camera as given"))


def thing_names() -> dict[str, str]:
    """What can stand in a picture beside the wall; see ``viewer.things``."""
    return {
        "furniture": _("furniture"),
        "person": _("a person"),
        "card": _("white card"),
        "steps": _("steps between slats"),
        "doors": _("doors open"),
    }


def page_names() -> dict[str, str]:
    """The pages of a job."""
    return {
        "survey": _("Survey"),
        "job": _("Wall"),
        "board": _("Board"),
        "finish": _("Finish"),
        "lightings": _("Lightings"),
        "stills": _("Stills"),
        "as_made": _("As made"),
        "set_out": _("Set-out"),
        "offers": _("Sign-off"),
        "sheets": _("Sheets"),
    }


def foot_pattern() -> str:
    """The line at a picture's foot; the names in braces are filled in."""
    return _("{finish}, light: {lighting}. {state} colour; the off-cut is what is agreed.")


def foot(finish: str, lighting: str, state: str) -> str:
    """The line at the foot of one picture."""
    return foot_pattern().format(finish=finish, lighting=lighting, state=state)


def orbit_words() -> dict[str, str]:
    """What the orbit view says."""
    return {
        "foot": foot_pattern(),
        "orbit_label": _("The wall in its room. Arrow keys turn, plus and minus come nearer and go back."),
        "no_webgl": _("This browser cannot draw the turning view; a still from the server stands here."),
        "lost": _("The graphics were lost; a still from the server stands here. Reload to turn again."),
        "light_coming": _("The light is being worked out …"),
        "no_light": _("This light could not be had. The numbers and the drawing stand as they are."),
        "still_coming": _("The still is being made …"),
        "still_failed": _("The still could not be had. The numbers and the drawing stand as they are."),
    }
