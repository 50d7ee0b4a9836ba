"""The drying schedule as it is printed: coats, waits, and the first day for fixing over the cloth."""

from datetime import date
from typing import TYPE_CHECKING, Any

from finishes.amounts import Coverage
from finishes.choice import Finish
from finishes.coverage import take_off
from finishes.schedule import schedule
from viewer.answers.quantities import areas_m2
from viewer.answers.set_out import set_outs_of
from viewer.job.model import Job

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue


def coated_once_m2(coverage: Coverage) -> float:
    """Square metres that one coat goes over."""
    for product in (coverage.stain, coverage.topcoat):
        if product is not None:
            return sum(line.area_m2 for line in product.lines if line.coat == 1)
    return 0.0


def schedule_answer(
    job: Job,
    finish: Finish,
    label: str,
    catalogue: "Catalogue",
    *,
    start: date,
    zone: str,
    weekends: bool = False,
) -> dict[str, Any]:
    """What ``slatwright schedule`` prints. Raises ``finishes.schedule.UnknownZoneError``."""
    set_outs = set_outs_of(job)
    coverage = take_off(areas_m2(set_outs), finish, catalogue, slat_depth_mm=float(set_outs[0].slat_depth))
    area = coated_once_m2(coverage)
    found = schedule(finish, catalogue, start=start, zone_name=zone, area_m2=area, weekends=weekends)
    return {
        "finish": label,
        "zone": zone,
        "weekends": weekends,
        "coated_m2": round(area, 2),
        "steps": [
            {
                "work": step.work,
                "starts": step.starts.isoformat(timespec="minutes"),
                "ends": step.ends.isoformat(timespec="minutes"),
                "ready": step.ready.isoformat(timespec="minutes"),
                "wait_hours": step.wait_h,
                "reason": step.reason,
            }
            for step in found.steps
        ],
        "fit_on": found.fit_on.isoformat(),
        "notes": list(found.notes),
    }
