"""How a kept job stands to what was signed, for every page and sheet that says so."""

from viewer.job.choices import chosen_finish
from viewer.job.model import Job
from viewer.pages.offered import facts_of
from viewer.services import services
from viewer.signoff.agreed import Fact
from viewer.signoff.offer import Offer
from viewer.signoff.standing import Standing, last_signed, standing


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
