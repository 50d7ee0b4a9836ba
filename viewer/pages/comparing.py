"""How the candidates of a job differ under its lightings: a sentence for the client, and a number."""

from collections.abc import Collection
from gettext import gettext as _
from typing import Any

from viewer.answers.differences import differences
from viewer.pages.opened import Opened
from viewer.services import services


def compared(on: Opened, shown: Collection[int] | None = None) -> list[dict[str, Any]]:
    """``[{"sentence", "number", "warnings"}]`` for every pair of candidates, or of those ``shown``."""
    named = [one for place, one in enumerate(on.finishes) if shown is None or place in shown]
    return [
        {
            "sentence": one.sentence,
            "number": ", ".join(f"{name} {value:.1f}" for name, value in one.difference) + _(" CIEDE2000"),
            "warnings": one.warnings,
        }
        for one in differences(named, on.lightings, services().catalogue)
    ]
