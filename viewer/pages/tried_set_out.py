"""A set-out that is tried without being kept: what can be tried, read from the address, put over the job."""

from collections.abc import Mapping
from gettext import gettext as _

from viewer.job.check import CheckResult
from viewer.pages.fields import Field, document_with
from viewer.services import services


def trial_fields() -> tuple[Field, ...]:
    """What can be tried, by its path in the job."""
    return (
        Field(path="slats.width_mm", label=_("Slat width"), unit="mm"),
        Field(path="slats.depth_mm", label=_("Slat depth"), unit="mm"),
        Field(path="slats.gap_mm", label=_("Gap wished for"), unit="mm"),
        Field(
            path="slats.spacers_mm",
            label=_("Spacers that you have"),
            unit="mm",
            holds="many",
            hint=_("a semicolon between two"),
        ),
        Field(
            path="slats.spacing",
            label=_("Spacing"),
            choices=(
                ("even", _("one even gap")),
                ("spacer", _("a spacer from the datum")),
                ("centred", _("centred")),
                ("feature", _("on the feature line")),
                ("visible_end", _("from the visible end")),
            ),
        ),
        Field(
            path="slats.ends",
            label=_("Ends on"),
            choices=(("slat", _("a slat")), ("gap", _("a gap"))),
        ),
        Field(
            path="slats.closing",
            label=_("Remainder goes to"),
            choices=(
                ("slat", _("a ripped slat")),
                ("gap", _("a gap")),
                ("shadow_gap", _("the shadow gap")),
                ("trim", _("the trim")),
            ),
        ),
        Field(path="slats.feature_mm", label=_("Feature line, from the left"), unit="mm"),
        Field(
            path="slats.centre_on",
            label=_("Centred on"),
            choices=(("slat", _("a slat")), ("gap", _("a gap"))),
        ),
        Field(
            path="slats.datum",
            label=_("Datum"),
            choices=(
                ("", _("left, or bottom")),
                ("left", _("left")),
                ("right", _("right")),
                ("bottom", _("bottom")),
                ("top", _("top")),
            ),
        ),
        Field(
            path="slats.run",
            label=_("Slats run"),
            choices=(("upright", _("upright")), ("level", _("level"))),
        ),
        Field(
            path="slats.shift_for_openings",
            label=_("Shift for openings"),
            choices=(("false", _("no")), ("true", _("yes"))),
        ),
    )


def trial_of(given: Mapping[str, str]) -> dict[str, str]:
    """What of a query or form is tried; empty where nothing is."""
    names = {name for field in trial_fields() for name, _place, _words in field.named}
    return {name: text for name, text in given.items() if name in names}


def tried(found: CheckResult, typed: Mapping[str, str]) -> CheckResult:
    """The job with what is tried; the job itself where that is nothing."""
    if not typed:
        return found
    document = document_with(found.document, trial_fields(), typed)
    return found if document == found.document else services().check(document)
