"""What the sheets are about: one job with one finish, everything worked out once."""

from collections.abc import Mapping
from dataclasses import dataclass
from gettext import gettext as _
from typing import TYPE_CHECKING

from finishes.choice import Finish
from meshes.layout.placed import SetOut
from meshes.layout.survey import Opening
from viewer.answers.quantities import Better, Quantities, quantities
from viewer.estimate.prices import PriceList
from viewer.job.model import Job
from viewer.sheets.paper import PaperName, Stamp, stamp_of

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue


@dataclass(frozen=True, slots=True, kw_only=True)
class Matter:
    """One job for paper. ``document`` is its plain data, notes included; ``label`` names the finish."""

    job: Job
    document: Mapping[str, object]
    finish: Finish
    label: str
    catalogue: "Catalogue"
    prices: PriceList | None
    paper: PaperName
    needed: Quantities
    stamp: Stamp
    address: str = ""

    @property
    def set_outs(self) -> tuple[SetOut, ...]:
        return self.needed.set_outs

    def openings(self, wall: int) -> tuple[Opening, ...]:
        """The openings of a wall, counted from 0."""
        return self.job.openings if wall == 0 else self.job.next_walls[wall - 1].openings

    def wall_title(self, wall: int, words: str) -> str:
        """``words``, with the wall's number where the job has several."""
        if len(self.set_outs) == 1:
            return words
        return _("Wall %(number)d: %(words)s") % {"number": wall + 1, "words": words}

    def panel_name(self, wall: int, panel: int) -> str:
        """``Panel 3``, or ``Wall 2, panel 3``; ``panel`` counted from 0."""
        words = {"wall": wall + 1, "panel": panel + 1}
        if len(self.set_outs) == 1:
            return _("Panel %(panel)d") % words
        return _("Wall %(wall)d, panel %(panel)d") % words

    def board_name(self, name: str) -> str:
        """A board's name in a plan (``wall 1 panel 3 part 2``), without its wall where there is only one."""
        return name.removeprefix("wall 1 ") if len(self.set_outs) == 1 else name


def matter_of(
    *,
    job: Job,
    document: Mapping[str, object],
    finish: Finish,
    label: str,
    catalogue: "Catalogue",
    prices: PriceList | None,
    paper: PaperName,
    address: str = "",
    better: Better | None = None,
) -> Matter:
    """Set out, plan and price a checked job for its sheets; ``address``: where its pages stand, if so.

    ``better`` makes something of the first cutting plan, as for ``quantities``.
    """
    return Matter(
        job=job,
        document=document,
        finish=finish,
        label=label,
        catalogue=catalogue,
        prices=prices,
        paper=paper,
        needed=quantities(job, finish, catalogue, prices, better),
        stamp=stamp_of(job, document),
        address=address.rstrip("/"),
    )
