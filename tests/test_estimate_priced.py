"""The whole way of the built-in job: set-out, cutting plan, coverage and cloth to a sum, and why it moves."""

import json
from decimal import Decimal
from pathlib import Path

import pytest

from finishes.catalogue import load
from finishes.choice import Finish
from finishes.coverage import take_off
from finishes.fabric_cut import Board, fabric
from meshes.cutting.plan import first_cutting
from meshes.layout.areas import areas
from meshes.layout.setout import set_out
from viewer.estimate.changes import changes
from viewer.estimate.compare import comparisons
from viewer.estimate.export import price_json
from viewer.estimate.items import ITEMS
from viewer.estimate.priced import Priced, priced
from viewer.estimate.prices import PriceList
from viewer.estimate.reading import read_prices, template
from viewer.job.check import check_job

DEMO = Path(__file__).parent.parent / "viewer" / "demo"
PRICES = read_prices((DEMO / "prices.toml").read_text(encoding="utf-8"), file_name="prices.toml")


def demo(prices: PriceList | None = PRICES, **finish: object) -> Priced:
    job = check_job(json.loads((DEMO / "job.json").read_text(encoding="utf-8"))).job
    assert job is not None
    chosen = Finish.model_validate({**job.finish.model_dump(), **finish})
    catalogue = load()
    wall = set_out(wall=job.wall, openings=job.openings, zones=job.zones, slats=job.slats, panels=job.panels)
    cloth = catalogue.named("fabric", chosen.fabric)
    boards = [
        Board(name=str(panel.index), width_mm=float(panel.board.width), height_mm=float(panel.board.height))
        for panel in wall.panels
    ]
    return priced(
        set_outs=[wall],
        plan=first_cutting([wall], stock=job.stock, panels=job.panels),
        coverage=take_off(
            {word: float(area) / 1e6 for word, area in areas(wall).items()},
            chosen,
            catalogue,
            slat_depth_mm=float(wall.slat_depth),
        ),
        fabric=fabric(boards, cloth, catalogue) if cloth.kind == "fabric" else None,
        timber=chosen.timber,
        openings=len(job.openings),
        prices=prices,
        wall_build="masonry",
    )


def test_the_example_list_prices_every_line_of_the_built_in_job() -> None:
    found = demo()
    assert found.estimate.missing == ()
    assert found.estimate.total is not None
    lines = [line.cost.likely for line in found.estimate.lines if line.cost is not None]
    assert found.estimate.total == sum(lines) + PRICES.rounded(sum(lines, Decimal(0)) * Decimal("0.2"))
    assert len({line.need.key for line in found.estimate.lines}) == len(found.estimate.lines)


def test_the_answer_is_json_and_the_same_twice() -> None:
    one, two = (json.dumps(price_json(demo().estimate)) for _ in range(2))
    assert one == two
    assert json.loads(one)["total"] == float(demo().estimate.total or 0)


def test_a_second_coat_moves_stain_and_hours_and_says_so() -> None:
    sentences = changes(demo(coats=1).estimate, demo(coats=2).estimate)
    stain = next(sentence for sentence in sentences if sentence.startswith("Stain walnut"))
    assert "second coat +" in stain
    assert any("coats +" in sentence and sentence.startswith("Labour") for sentence in sentences)
    assert sentences[-1].startswith("In all: ")
    assert len(sentences) == 3


@pytest.mark.parametrize("coats", [1, 2, 3])
def test_a_coat_more_never_costs_less(coats: int) -> None:
    fewer, more = demo(coats=coats - 1).estimate.total, demo(coats=coats).estimate.total
    assert fewer is not None
    assert more is not None
    assert fewer <= more


def test_a_painted_backing_is_paint_and_no_cloth() -> None:
    items = {need.item for need in demo(fabric="black paint").needs}
    assert "backing_paint" in items
    assert not items & {"fabric", "staples", "glue"}


def test_counts_come_from_the_plan_and_the_set_out() -> None:
    work = demo().work
    assert work.sections.of == "47 x 100 European ash"
    assert work.run_m == Decimal("4.176")  # 4200 less a shadow gap of 12 and a trim of 12
    assert work.face_m2 == Decimal("10.14768")
    assert work.pin_mm == 29  # board 12 + slat 20 - 3
    assert work.fixings == 56  # seven panels, two rows of four: 2430 / 900 rounds up to 3
    assert work.joint_m == Decimal("14.58")  # six joints of 2.43 m


def test_the_template_of_the_needs_can_be_filled_and_read_back() -> None:
    found = demo(prices=None)
    assert found.estimate.total is None
    assert "section: 47 x 100 European ash, 5100 mm" in found.estimate.missing
    rows = template(found.needs).splitlines()
    filled = []
    for row in rows:
        cells = row.split(",")
        filled.append(",".join([*cells[:5], "1", *cells[6:]]) if cells[0] in ITEMS else row)
    listed = read_prices("\n".join(filled), file_name="prices.csv")
    assert demo(prices=listed).estimate.missing == ()


def test_ways_to_buy_it_ready_are_compared_at_the_same_prices() -> None:
    found = demo()
    strips, panels = comparisons(found.needs, found.work, PRICES)
    assert (strips.way, panels.way) == ("ready_strips", "ready_panels")
    assert strips.other.missing == panels.other.missing == ()
    assert strips.saving is not None
    assert found.estimate.total is not None
    assert strips.saving == (strips.other.total or 0) - found.estimate.total
