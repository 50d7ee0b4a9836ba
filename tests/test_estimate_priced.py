"""The whole way of the built-in job: set-out, cutting plan, coverage and cloth to a sum, and why it moves."""

import json
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from finishes.catalogue import load
from finishes.choice import Finish
from finishes.coverage import take_off
from finishes.fabric_cut import Board, fabric
from meshes.cutting.plan import first_cutting
from meshes.cutting.stock import Stock
from meshes.layout.areas import areas
from meshes.layout.placed import Fixing, SetOut
from meshes.layout.setout import set_out
from meshes.layout.spacing import Panels
from viewer.estimate.alternatives import alternatives
from viewer.estimate.changes import changes
from viewer.estimate.compare import comparisons
from viewer.estimate.export import price_json
from viewer.estimate.items import ITEMS
from viewer.estimate.priced import Priced, priced
from viewer.estimate.prices import PriceList
from viewer.estimate.reading import read_prices, template
from viewer.estimate.shopping import shopping_list
from viewer.estimate.work import work_of
from viewer.job.check import check_job
from viewer.job.model import Job

DEMO = Path(__file__).parent.parent / "viewer" / "demo"
PRICES = read_prices((DEMO / "prices.toml").read_text(encoding="utf-8"), file_name="prices.toml")


def demo_job() -> Job:
    job = check_job(json.loads((DEMO / "job.json").read_text(encoding="utf-8"))).job
    assert job is not None
    return job


def demo_wall(panels: Panels | None = None) -> SetOut:
    job = demo_job()
    return set_out(
        wall=job.wall,
        openings=job.openings,
        zones=job.zones,
        slats=job.slats,
        panels=panels or job.panels,
    )


def demo(
    prices: PriceList | None = PRICES,
    stock: Stock | None = None,
    panels: Panels | None = None,
    **finish: object,
) -> Priced:
    job = demo_job()
    stock, panels = stock or job.stock, panels or job.panels
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
        plan=first_cutting([wall], stock=stock, panels=panels),
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
    wall = demo_wall()
    assert work.fixings == sum(len(panel.fixings) for panel in wall.panels) > 0
    assert work.joint_m == (len(wall.panels) - 1) * Decimal("2.43")


def test_fixing_points_on_studs_are_counted_and_a_set_out_without_points_gets_the_usual_ones() -> None:
    """Two points, one on a stud; without any, two rows of 3 + 1: 2430 / 900 rounds up to 3."""
    job, wall = demo_job(), demo_wall()
    plan = first_cutting([wall], stock=job.stock, panels=job.panels)
    zero = Fraction(0)
    points = (Fixing(x=zero, y=zero, slat=0, on_stud=True), Fixing(x=zero, y=zero, slat=1))
    for fixings, expected in ((points, (2, 1)), ((), (8, 0))):
        one = replace(wall, panels=(replace(wall.panels[0], fixings=fixings),))
        work = work_of([one], plan, timber="", openings=0)
        assert (work.fixings, work.fixings_on_studs) == expected


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


def test_the_shopping_list_goes_by_supplier_and_holds_every_thing_but_work() -> None:
    found = demo()
    suppliers = shopping_list(found.estimate)
    assert [one.name for one in suppliers] == [
        "board merchant",
        "cloth merchant",
        "paint shop",
        "timber yard",
        "tool shop",
    ]
    timber = suppliers[3].entries[0]
    assert (timber.what, timber.count, timber.each, timber.cost) == (
        "Sawn timber 47 x 100 European ash, 5100 mm",
        10,
        Decimal("58.14"),  # 5.1 m at 11.40
        Decimal("581.40"),
    )
    labour = sum(
        line.cost.likely for line in found.estimate.lines if line.cost and line.need.item == "labour"
    )
    assert sum(one.cost for one in suppliers) + labour == found.estimate.priced.likely


def test_what_has_no_price_stands_last_on_the_shopping_list() -> None:
    last = shopping_list(demo(prices=None).estimate)[-1]
    assert last.name == ""
    assert all(entry.cost is None and entry.each is None and entry.count > 0 for entry in last.entries)


def offers(*rows: str) -> PriceList:
    """The example list with other sections and sheets: ``of, per, length, price`` each."""
    heading = "currency,EUR\nitem,of,per,length_mm,price"
    listed = read_prices("\n".join([heading, *rows]), file_name="p.csv")
    kept = tuple(offer for offer in PRICES.offers if offer.item not in {row.split(",")[0] for row in rows})
    return replace(PRICES, offers=(*listed.offers, *kept))


def test_cheaper_lengths_sections_and_sheets_are_found_and_dearer_ones_are_not_told() -> None:
    """Twenty of 2700 cost 200 less than ten of 5100, and ten more sections take 250 min at 46 an hour: 8.33
    are left, 10 with tax. Of 3600 the same twenty cost 180 less, which the minutes eat up."""
    prices = offers(
        "section,47 x 100 European ash,piece,2700,60",
        "section,47 x 100 European ash,piece,3600,61",
        "section,47 x 100 European ash,piece,5100,140",
        "section,50 x 150 European ash,m,,16",
        "section,50 x 200 European ash,m,,90",
        "section,50 x 150 Scots pine,m,,1",
        "sheet,12 mm 1220 x 3050,,,60",
        "sheet,12 mm 2070 x 2800,,,61",
        "sheet,18 mm 1220 x 2500,,,1",
    )
    job, base = demo_job(), demo(prices=prices)
    found = alternatives(
        base,
        stock=job.stock,
        panels=job.panels,
        timber="European ash",
        prices=prices,
        priced_with=lambda stock, panels: demo(prices=prices, stock=stock, panels=panels),
    )
    assert [one.words.split(" saves ")[0] for one in found] == [
        "The section 50 x 150 European ash",
        "The sheet 2070 x 2800",
        "Only the length of 2700 mm",
    ]
    assert abs(found[-1].saving - 10) < Decimal("0.02")  # lines are rounded to cents
    for one in found:
        other = demo(prices=prices, stock=one.stock, panels=one.panels)
        assert base.estimate.total is not None
        assert other.estimate.total == base.estimate.total - one.saving
        assert one.words.endswith(f" saves {one.saving} EUR.")
