"""What a finish is called on pictures and lists."""

from typing import TYPE_CHECKING

from finishes.choice import Finish
from viewer.job.choices import finish_label
from viewer.job.model import Job

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue


def called(job: Job, finish: Finish, catalogue: "Catalogue") -> str:
    """Its own name, else its letter among the candidates, else what it is made of."""
    if finish.name:
        return finish.name
    if finish in job.finishes:
        return finish_label(finish, job.finishes.index(finish))
    timber = catalogue.named("timber", finish.timber).name
    if finish.coats == 0:
        return str(timber)
    tone = finish.own_tone
    stain = f"{tone.first} + {tone.second}" if tone else catalogue.named("stain", finish.stain).name
    return f"{timber}, {stain}"
