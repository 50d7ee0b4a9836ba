"""The stills of an offer: ordered from the stills' worker, kept once they are done, then fixed in the record.

Nothing waits here: whoever looks at the offer gathers what is finished and orders what is missing, so a
restart in between loses nothing.
"""

from dataclasses import dataclass
from gettext import gettext as _
from threading import Lock

from viewer.clock import utc_now
from viewer.frame import Frame
from viewer.pages.offered import HEIGHT, WIDTH, Offered
from viewer.pages.time_left import time_left
from viewer.services import services
from viewer.signoff.offer import Offer, Picture
from viewer.signoff.sections import offered as offered_sections
from viewer.signoff.sections import plain
from viewer.stills_service import TooManyError
from viewer.stills_worker import StillOrder
from viewer.store.jobs import moment

AT_ONCE = 6
"""Stills ordered together, so that other pictures of the maker find a place between them."""

_finishing = Lock()


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """How many stills are there, of how many; ``left_s`` for the ones under way; ``fault`` in words."""

    done: int
    wanted: int
    left_s: float
    fault: str = ""

    @property
    def words(self) -> str:
        """One line for the maker who waits."""
        made = _("{done} of {wanted} pictures are made").format(done=self.done, wanted=self.wanted)
        if self.fault:
            return _("{made}; one cannot be: {fault}").format(made=made, fault=self.fault)
        if self.left_s > 0:
            left = time_left(self.left_s)
            return _("{made}, about {left} for those under way").format(made=made, left=left)
        return made


def gather(on: Offered) -> Progress:
    """Keep what is finished, order what is missing; with the last one the offer enters the record."""
    store, wanted = services().store, on.offer.wanted_pictures()
    there = store.offers.pictures(on.stored.id)
    left_s, fault, ordered = 0.0, "", 0
    for place, (finish, lighting, view) in enumerate(wanted):
        if place in there or ordered >= AT_ONCE:
            continue
        order = StillOrder(
            document=dict(on.document),
            frame=Frame(view=view, width=WIDTH, height=HEIGHT),
            ending=".jpg",
            finish=finish,
            lighting=lighting,
        )
        try:
            still = services().stills.order(order)
        except TooManyError:
            break
        ordered += 1
        outcome = still.outcome
        if outcome is not None and outcome.data is not None:
            there[place] = store.offers.keep_picture(on.stored.id, place, outcome.data, "image/jpeg")
        elif outcome is not None:
            fault = outcome.fault or "; ".join(f"{path}: {words}" for path, words in outcome.problems)
        else:
            left_s += services().stills.progress(still)["left_s"]
    if len(there) == len(wanted) and not on.complete:
        _finish(on, there)
    return Progress(done=len(there), wanted=len(wanted), left_s=round(left_s, 1), fault=fault)


def _finish(on: Offered, there: dict[int, str]) -> None:
    pictures = tuple(
        Picture(finish=finish, lighting=lighting, view=view, sha256=there[place])
        for place, (finish, lighting, view) in enumerate(on.offer.wanted_pictures())
    )
    with _finishing:
        store = services().store
        if Offer.model_validate(store.offers.get(on.stored.id).document).pictures:
            return  # another request was first
        offer = on.offer.model_copy(update={"pictures": pictures})
        sections, personal = offered_sections(on.document, offer)
        store.records.append(
            on.stored.job_id, stage="offer", at=moment(utc_now()), sections=sections, personal=personal
        )
        store.offers.complete(on.stored.id, plain(offer))
