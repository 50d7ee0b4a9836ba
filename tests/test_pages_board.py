"""The board, asked as a browser asks: what stands on it, what the client sees, and its PDF."""

import io
import re
import subprocess
from pathlib import Path

from flask.testing import FlaskClient

PAGE = "/jobs/demo/board"


def heads(page: str) -> list[str]:
    return re.findall(r'<th role="columnheader" scope="col" class="amount">([^<]+)</th>', page)


def test_the_maker_sees_coats_litres_price_day_and_numbers(client: FlaskClient) -> None:
    page = client.get(PAGE).text
    assert heads(page) == ["Coats", "Stain, l", "Topcoat, l", "Fabric, m", "Price", "Earliest day to fit"]
    assert "CIEDE2000" in page


def test_the_client_sees_only_what_the_maker_ticks(client: FlaskClient) -> None:
    page = client.get(PAGE, query_string={"for": "client", "tick": ["day", "coats"]}).text
    assert heads(page) == ["Coats", "Earliest day to fit"]
    assert "CIEDE2000" not in page
    assert "are different colours" in page, "in words, the difference is always said"
    assert 'class="trail"' not in page
    assert 'name="tick"' not in page
    assert "CIEDE2000" in client.get(PAGE, query_string={"for": "client", "tick": "number"}).text


def test_three_finishes_by_default_and_others_as_asked(client: FlaskClient) -> None:
    cells = re.findall(r'data-finish="(\d+)" data-lighting="(\d+)"', client.get(PAGE).text)
    assert len(cells) == 3 * 2
    fewer = client.get(PAGE, query_string={"finish": ["2", "0"], "lighting": "1"}).text
    assert re.findall(r'data-finish="(\d+)" data-lighting="(\d+)"', fewer) == [("0", "1"), ("2", "1")]
    assert len(re.findall("<li>", fewer.split("How they differ")[1])) == 1


def test_the_earliest_day_counts_from_the_day_that_work_can_start(client: FlaskClient) -> None:
    days = [
        re.findall(
            r'<td role="cell" class="amount"[^>]*>(\d{4}-\d\d-\d\d)',
            client.get(PAGE, query_string={"start": start}).text,
        )
        for start in ("2026-11-23", "2026-11-30")
    ]
    assert all(len(found) == 3 for found in days)
    assert all(later > earlier > "2026-11-23" for earlier, later in zip(*days, strict=True))


def test_a_start_that_cannot_be_is_named(client: FlaskClient) -> None:
    assert "start</strong>: expected a day" in client.get(PAGE, query_string={"start": "soon"}).text


def test_the_pdf_shows_what_its_view_shows(client: FlaskClient, tmp_path: Path) -> None:
    texts = {}
    for view in ("maker", "client"):
        answer = client.get(
            PAGE + ".pdf", query_string={"for": view, "paper": "Letter", "start": "2026-11-23"}
        )
        assert answer.mimetype == "application/pdf"
        (tmp_path / "board.pdf").write_bytes(io.BytesIO(answer.data).read())
        texts[view] = subprocess.run(
            ["pdftotext", "-layout", tmp_path / "board.pdf", "-"], capture_output=True, text=True, check=True
        ).stdout
    assert "Earliest day" in texts["maker"]
    assert "CIEDE2000" in texts["maker"]
    assert "Earliest day" not in texts["client"]
    assert "CIEDE2000" not in texts["client"]
    assert "How they differ" in texts["client"]
