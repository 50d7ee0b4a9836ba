"""How a kept job stands to what was signed, for every page and sheet that says so."""

from collections.abc import Sequence
from gettext import gettext as _
from typing import Any

from markupsafe import Markup

from meshes.layout.placed import SetOut
from viewer.answers.set_out import set_outs_of
from viewer.drawings.moved import differs, moved
from viewer.job.choices import chosen_finish
from viewer.job.model import Job
from viewer.pages.offered import facts_of
from viewer.services import services
from viewer.signoff.agreed import Fact
from viewer.signoff.offer import Offer
from viewer.signoff.standing import Standing, last_signed, standing

MOVED_MM = {"wide": 200, "narrow": 93}
"""Widths [mm of paper] of the drawing of what moved; style sheets choose by the room there is."""


def standing_of(job_id: str, job: Job) -> Standing | None:
    """What the last signature says of the job as it is now; None when nothing is signed.

    ``Standing.sentence`` is the line to show: ``signed on 2026-11-21: gap 14 → 17 mm (agreed ± 1)``.
    """
    entries = services().store.records.entries(job_id)
    return standing(entries, present_facts(job_id, job)) if last_signed(entries) else None


def present_facts(job_id: str, job: Job) -> tuple[Fact, ...]:
    """The job's facts as it is now, under the tolerances of the last signature."""
    last = last_signed(services().store.records.entries(job_id))
    if last is None:
        return ()
    agreed = Offer.model_validate(last.sections["offer"])
    return facts_of(job, chosen_finish(job), agreed, price=None)


def standing_view(job_id: str, job: Job, set_outs: Sequence[SetOut]) -> dict[str, Any] | None:
    """What a page shows of it: the standing, and drawings of what moved outside what was agreed."""
    found = standing_of(job_id, job)
    if found is None:
        return None
    drawn = []
    if found.outside:
        for was, now in zip(_signed_set_outs(job_id), set_outs, strict=False):
            if differs(was, now):
                words = _("signed on {date}").format(date=found.signed_on)
                drawn.append(
                    {
                        size: Markup(moved(was, now, was_words=words, now_words=_("now"), width_mm=width))
                        for size, width in MOVED_MM.items()
                    }
                )
    return {"stands": found, "drawn": drawn}


def _signed_set_outs(job_id: str) -> tuple[SetOut, ...]:
    """The walls as they were signed; none where this program cannot read that job any more."""
    last = last_signed(services().store.records.entries(job_id))
    if last is None:
        return ()
    document = services().store.jobs.version(job_id, last.sections["offer"]["job_digest"])
    job = services().check_state(document).job
    return set_outs_of(job) if job else ()
