"""Everything that the client, the shop and the workshop need from one job, as files by name."""

import hashlib
import json
from collections.abc import Iterator, Mapping
from gettext import gettext as _
from typing import TYPE_CHECKING

from finishes.choice import Finish
from viewer.answers.glb import glb_answer
from viewer.answers.quantities import Better
from viewer.answers.set_out import set_out_answer
from viewer.answers.take_off import answer_of
from viewer.drawings.backing import backing_drawing
from viewer.drawings.bench import bench_drawing
from viewer.drawings.elevation import elevation
from viewer.drawings.fixing_plan import fixing_plan
from viewer.drawings.ripping import ripping_drawing
from viewer.drawings.rod import rod
from viewer.drawings.section import section
from viewer.drawings.sheet_cutting import sheet_drawing
from viewer.estimate.prices import PriceList
from viewer.export.cells import csv_bytes, xlsx_bytes
from viewer.export.cutting_tables import cutting_tables
from viewer.export.dxf import panel_dxf, run_dxf
from viewer.export.money_tables import alternatives_table, estimate_table, shopping_table
from viewer.export.wall_tables import wall_tables
from viewer.job.model import Job
from viewer.pack.documents import cheaper_for, workshop
from viewer.sheets.handover import handover
from viewer.sheets.labels import labels
from viewer.sheets.matter import Matter, matter_of
from viewer.sheets.money import comparison, estimate_sheet, shopping
from viewer.sheets.paper import PaperName
from viewer.sheets.rods import true_size

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue

CONTENTS = "contents.json"
"""Names every file of a pack with its size and SHA-256; a later pack takes away what it no longer has."""
FORMAT = 1


def pack_files(
    *,
    job: Job,
    document: Mapping[str, object],
    finish: Finish,
    label: str,
    catalogue: "Catalogue",
    prices: PriceList | None = None,
    paper: PaperName = "A4",
    address: str = "",
    beside: Mapping[str, bytes] | None = None,
    better: Better | None = None,
) -> dict[str, bytes]:
    """Every file of the pack by its name below the pack's folder, ``contents.json`` last.

    ``address`` is where the job's pages stand, for the codes of the labels; files ``beside`` are listed too;
    ``better`` makes something of the first cutting plan, as for ``quantities``.
    """
    matter = matter_of(
        job=job,
        document=document,
        finish=finish,
        label=label,
        catalogue=catalogue,
        prices=prices,
        paper=paper,
        address=address,
        better=better,
    )
    return matter_files(matter, beside or {})


def matter_files(matter: Matter, beside: Mapping[str, bytes]) -> dict[str, bytes]:
    """The files of a job that is already worked out."""
    files = {**dict(_files(matter)), **beside}
    files[CONTENTS] = _contents(matter, files)
    return files


def _files(matter: Matter) -> Iterator[tuple[str, bytes]]:
    yield "workshop/workshop.pdf", workshop(matter).pdf()
    yield "workshop/rod-full-size.pdf", true_size(matter).pdf()
    yield "workshop/labels.pdf", labels(matter).pdf()
    yield "client/handover.pdf", handover(matter).pdf()
    yield from _money(matter)
    yield from _tables(matter)
    yield from _dxf(matter)
    yield from _drawings(matter)
    yield "data/job.json", _json(matter.document)
    yield "data/set-out.json", _json(set_out_answer(matter.job))
    yield "data/take-off.json", _json(answer_of(matter.needed, matter.label))
    yield "data/wall.glb", glb_answer(matter.job, matter.catalogue)


def _money(matter: Matter) -> Iterator[tuple[str, bytes]]:
    found = cheaper_for(matter)
    yield "shop/shopping-list.pdf", shopping(matter, found).pdf()
    yield "maker/estimate.pdf", estimate_sheet(matter).pdf()
    yield "maker/comparison.pdf", comparison(matter).pdf()
    priced = matter.needed.priced
    if priced is None:
        return
    bought, lines = shopping_table(priced.estimate), estimate_table(priced.estimate)
    yield "shop/shopping-list.csv", csv_bytes(bought)
    sheets = [bought, alternatives_table(found)] if found else [bought]
    yield "shop/shopping-list.xlsx", xlsx_bytes(sheets, title=matter.stamp.job)
    yield "maker/estimate.csv", csv_bytes(lines)
    yield "maker/estimate.xlsx", xlsx_bytes([lines], title=matter.stamp.job)


def _tables(matter: Matter) -> Iterator[tuple[str, bytes]]:
    tables = wall_tables(matter.set_outs)
    if matter.needed.plan is not None:
        tables += cutting_tables(matter.needed.plan, matter.needed.fabric)
    for table in tables:
        yield f"data/csv/{table.name}.csv", csv_bytes(table)


def _dxf(matter: Matter) -> Iterator[tuple[str, bytes]]:
    stamp = matter.stamp
    for wall, one in enumerate(matter.set_outs, start=1):
        title = f"{stamp.job}  version {stamp.version}  {stamp.revised}  wall {wall}"
        yield f"data/dxf/wall-{wall}-run.dxf", run_dxf(one, title=title)
        for panel in one.panels:
            number = panel.index + 1
            yield (
                f"data/dxf/wall-{wall}-panel-{number:02}.dxf",
                panel_dxf(one, panel, title=f"{title}  panel {number}"),
            )


def _drawings(matter: Matter) -> Iterator[tuple[str, bytes]]:
    plan, fabric = matter.needed.plan, matter.needed.fabric
    for wall, one in enumerate(matter.set_outs, start=1):
        zones = matter.job.zones_by_wall[wall - 1]
        place = f"data/svg/wall-{wall}"
        yield f"{place}-elevation.svg", elevation(one, zones=zones, width_mm=400, to_scale=True).encode()
        yield f"{place}-section.svg", section(one, to_scale=True).encode()
        yield f"{place}-rod.svg", rod(one).encode()
        yield f"{place}-fixing-plan.svg", fixing_plan(one, width_mm=400, height_mm=280).encode()
        for panel in one.panels:
            yield f"{place}-panel-{panel.index + 1:02}.svg", bench_drawing(one, panel).encode()
    for number, timber in enumerate(plan.timber if plan else (), start=1):
        yield f"data/svg/ripping-{number}.svg", ripping_drawing(timber).encode()
    if plan is not None and plan.sheets is not None:
        for number, layout in enumerate(plan.sheets.layouts, start=1):
            title = _("Sheet %(number)d of %(count)d") % {"number": number, "count": plan.sheets.count}
            drawn = sheet_drawing(plan.sheets.order, layout, plan.board_names, title=title)
            yield f"data/svg/sheet-{number:02}.svg", drawn.encode()
    if fabric is not None:
        yield "data/svg/backing.svg", backing_drawing(fabric).encode()


def _json(value: object) -> bytes:
    return f"{json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False)}\n".encode()


def _contents(matter: Matter, files: Mapping[str, bytes]) -> bytes:
    return _json(
        {
            "format": FORMAT,
            "job": matter.stamp.job,
            "version": matter.stamp.version,
            "revised": matter.stamp.revised,
            "finish": matter.label,
            "paper": matter.paper,
            "files": {
                name: {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}
                for name, data in sorted(files.items())
            },
        }
    )
