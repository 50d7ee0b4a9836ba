"""What a finish says about buying: sorting by knots, and how its cloth lies on the roll."""

from fractions import Fraction

import pytest

from finishes.catalogue import Catalogue
from finishes.choice import Finish
from viewer.answers.quantities import quantities, stock_for
from viewer.job.check import check_job
from viewer.job.model import Job


def job_with(**stock: object) -> Job:
    found = check_job(
        {
            "name": "n",
            "wall": {"width_mm": 3000, "height_mm": 2400},
            "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 12},
            "stock": stock,
        }
    ).job
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("finish", "stock", "share"),
    [
        # joinery grade loses 5 %, construction 17.5 %; the classes of knots 15, 10 and 5 % (common practice)
        ({"sorting": "clear"}, {}, "0.15"),
        ({"sorting": "small sound knots"}, {}, "0.1"),
        ({"sorting": "all knots"}, {}, "0.05"),
        ({"sorting": "clear"}, {"grade": "construction"}, "0.175"),
        ({"sorting": "clear"}, {"cull_rate": 0.02}, "0.02"),
        ({"sorting": "clear", "timber": "MDF"}, {}, "0.05"),
    ],
)
def test_the_stricter_habit_decides_and_a_stated_share_wins(
    catalogue: Catalogue, finish: dict[str, str], stock: dict[str, object], share: str
) -> None:
    found = stock_for(job_with(**stock), Finish.model_validate(finish), catalogue)
    assert found.culled == Fraction(share)


def test_sorting_free_of_knots_buys_more_timber(catalogue: Catalogue) -> None:
    culls = []
    for sorting in ("all knots", "small sound knots", "clear"):
        finish = Finish.model_validate({"timber": "Scots pine", "sorting": sorting})
        needed = quantities(job_with(), finish, catalogue)
        assert needed.priced is not None
        work = needed.priced.work
        # strips that are left after sorting are the slats and their spares
        assert work.culls == -(-(work.slats + work.spares) // (1 - stock_share(finish, catalogue))) - (
            work.slats + work.spares
        )
        culls.append(work.culls)
    assert culls == sorted(set(culls))


def stock_share(finish: Finish, catalogue: Catalogue) -> Fraction:
    return stock_for(job_with(), finish, catalogue).culled


@pytest.mark.parametrize("fabric", ["mid grey wool", "rust velvet"])
def test_cloth_lies_as_the_finish_asks(catalogue: Catalogue, fabric: str) -> None:
    metres = {}
    for asked in ("shortest", "along", "across"):
        finish = Finish.model_validate({"fabric": fabric, "fabric_lay": asked})
        plan = quantities(job_with(), finish, catalogue).fabric
        assert plan is not None
        # boards of 2400 mm would need seams across a roll of 1400
        assert plan.lay == ("along" if asked == "shortest" else asked)
        assert any(piece.seam for drop in plan.drops for piece in drop.pieces) == (asked == "across")
        metres[asked] = plan.metres
    assert metres["shortest"] == metres["along"]
