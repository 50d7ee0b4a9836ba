"""The sheets page: every document drawn and on paper, every file of the pack, panels, and what changed."""

import io
import itertools
import json
import re
import zipfile
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from flask.testing import FlaskClient
from paper_read import words
from signoff_site import application
from test_pack_files import SMALL
from test_pages_forms import TokenClient
from werkzeug.test import TestResponse

from viewer.demo import PRICES_FILE
from viewer.pack.documents import DOCUMENTS
from viewer.pages.matters import KEY, Matters
from viewer.services import KEY as SERVICES

PUBLIC = "https://walls.example"


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> FlaskClient:
    folder = tmp_path_factory.mktemp("sheets")
    environment = {f"SLATWRIGHT_{name}_DIR": str(folder / name) for name in ("DATA", "CACHE", "STATE")}
    environment["SLATWRIGHT_PRICES"] = str(PRICES_FILE)
    return TokenClient(application(environment), TestResponse, use_cookies=True)


def kept_job(client: FlaskClient, **changed: Any) -> str:
    store = client.application.extensions[SERVICES].store.jobs
    return str(store.add({"format": 1, **SMALL, **changed}).id)


@pytest.fixture(scope="module")
def job(client: FlaskClient) -> str:
    return kept_job(client)


def drawn(page: str) -> list[str]:
    """The sheets of a page."""
    return re.findall(r'<div class="leaf[^>]*>(<svg.*?</svg>)</div>', page, re.DOTALL)


def test_one_sheet_is_opened_at_full_size_and_leads_back(client: FlaskClient, job: str) -> None:
    every = f"/jobs/{job}/sheets/setting-out?paper=Letter"
    page = client.get(every).text
    opened = [
        address.replace("&amp;", "&")
        for address in re.findall(r'class="enlarge"><a [^>]*href="([^"]*)"', page)
    ]
    sheets = drawn(page)
    assert len(opened) == len(sheets) > 1
    for address, sheet in zip(opened, sheets, strict=True):
        alone = client.get(address).text
        assert drawn(alone) == [sheet]
        assert 'class="enlarge"' not in alone
        assert f'href="{every}"' in alone
    assert drawn(client.get(f"{every}&sheet={len(sheets)}").text) == sheets, "there is no such sheet"


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda document: document.name)
def test_a_page_draws_every_sheet_that_its_paper_has(client: FlaskClient, job: str, document: Any) -> None:
    page = client.get(f"/jobs/{job}/sheets/{document.name}")
    paper = client.get(f"/jobs/{job}/sheets/{document.name}.pdf")
    assert (page.status_code, paper.status_code) == (200, 200)
    assert paper.mimetype == "application/pdf"
    sheets = drawn(page.text)
    assert len(sheets) == len(re.findall(rb"/Type /Page\b(?!s)", paper.data))
    for sheet in sheets:
        assert "version" in "".join(ElementTree.fromstring(sheet).itertext())


def test_the_page_leads_to_every_document_and_to_paper(client: FlaskClient, job: str) -> None:
    page = client.get(f"/jobs/{job}/sheets").text
    for document in DOCUMENTS:
        assert f'href="/jobs/{job}/sheets/{document.name}"' in page
    for address in ("workshop.pdf", "pack.zip", "files", "changes", "sheets/order-of-work.pdf"):
        assert f'href="/jobs/{job}/{address}"' in page
    letter = client.get(f"/jobs/{job}/sheets/rod?paper=Letter").text
    assert f'href="/jobs/{job}/sheets/rod.pdf?paper=Letter"' in letter


def test_the_archive_holds_what_the_page_lists_file_for_file(client: FlaskClient, job: str) -> None:
    archive = client.get(f"/jobs/{job}/pack.zip")
    listed = re.findall(rf'href="/jobs/{job}/files/([^"]+)"', client.get(f"/jobs/{job}/files").text)
    with zipfile.ZipFile(io.BytesIO(archive.data)) as held:
        (folder,) = {name.split("/")[0] for name in held.namelist()}
        assert sorted(held.namelist()) == sorted(f"{folder}/{name}" for name in listed)
        assert {entry.date_time for entry in held.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        for name in ("data/csv/slats.csv", "shop/shopping-list.xlsx", "contents.json"):
            assert client.get(f"/jobs/{job}/files/{name}").data == held.read(f"{folder}/{name}")
    client.application.extensions[KEY] = Matters()
    assert client.get(f"/jobs/{job}/pack.zip").data == archive.data


@pytest.mark.parametrize(
    "address",
    [
        "sheets/of-gold",
        "files/../../../etc/passwd",
        "files/data/none.csv",
        "panels/1-99",
        "panels/2-1",
        "panels/0-1",
    ],
)
def test_what_is_not_there_is_not_found(client: FlaskClient, job: str, address: str) -> None:
    assert client.get(f"/jobs/{job}/{address}").status_code == 404


def test_a_panels_page_says_what_its_sheet_says(client: FlaskClient, job: str, tmp_path: Path) -> None:
    page = client.get(f"/jobs/{job}/panels/1-2").text
    rows = re.findall(r"<td[^>]*>([^<]+)</td>", page)
    paper = words(client.get(f"/jobs/{job}/sheets/panels.pdf").data, tmp_path)
    for cell in rows:
        if "⁄" not in cell:  # a reader of PDFs takes a fraction apart
            assert cell.split(" ")[0] in paper
    assert len(rows) > 20


def test_a_panels_page_lists_both_corners_of_tops_cut_to_a_ceiling(client: FlaskClient, job: str) -> None:
    """The ceiling rises 1 in 10: a slat of 40 is 4 mm longer at its right edge."""
    wall = {**SMALL["wall"], "height_mm": 2100, "ceiling": "swept", "ceiling_out_of_level_mm": 120}
    sloping = kept_job(client, wall=wall)
    page = client.get(f"/jobs/{sloping}/panels/1-2").text
    assert re.findall(r'class="amount">(Top \w+)<', page) == ["Top left", "Top right"]
    assert "height of its left and right corner over the board" in page
    rows = re.findall(r"<tr[^>]*>((?:<td[^>]*>[^<]*</td>){5})</tr>", page)
    heads = [[float(cell) for cell in re.findall(r">([^<]+)</td>", row)[3:]] for row in rows]
    heads = [pair for pair in heads if len(pair) == 2 and pair[0] > 2000]
    assert len(heads) > 5
    for (left, right), (after, _right) in itertools.pairwise(heads):
        assert right - left == pytest.approx(4, abs=0.11)
        assert after > right
    assert "Top left" not in client.get(f"/jobs/{job}/panels/1-2").text


def test_a_label_opens_its_panels_page(tmp_path: Path) -> None:
    environment = {f"SLATWRIGHT_{name}_DIR": str(tmp_path / name) for name in ("DATA", "CACHE", "STATE")}
    app = application({**environment, "SLATWRIGHT_PUBLIC_URL": PUBLIC})
    with app.test_request_context("/jobs/demo/sheets/labels"):
        from viewer.pages.matters import matter
        from viewer.sheets.labels import identity

        about = matter("demo")
        assert identity(about, 0, about.set_outs[0].panels[2]) == f"{PUBLIC}/jobs/demo/panels/1-3"
    rules = app.url_map.bind("walls.example", url_scheme="https")
    assert rules.match("/jobs/demo/panels/1-3")[1] == {"name": "demo", "wall": 1, "panel": 3}


def test_what_changed_since_it_was_bought(client: FlaskClient) -> None:
    job = kept_job(client)
    assert "Keep the present state" in client.get(f"/jobs/{job}/changes").text
    assert client.post(f"/jobs/{job}/changes").status_code == 302
    page = client.get(f"/jobs/{job}/changes").text
    assert "Nothing changed." in page
    store = client.application.extensions[SERVICES].store.jobs
    now = store.get(job)
    wider = {**now.document, "wall": {**SMALL["wall"], "width_mm": 1500}}  # type: ignore[dict-item]
    store.save(job, wider, revision=now.revision)
    page = client.get(f"/jobs/{job}/changes").text
    assert "Wall: 1200 × 2400 mm became 1500 × 2400 mm." in page
    assert "Still to buy" in page
    assert client.get(f"/jobs/{job}/changes?since=ffff").status_code == 404
    assert json.loads(client.get(f"/jobs/{job}/files/data/job.json").data)["wall"]["width_mm"] == 1500
