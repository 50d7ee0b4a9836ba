"""What is known of people goes for good when it is asked for: from pages, database file and record file."""

import base64
import io
import json
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient
from PIL import Image
from signoff_site import make_offer, signature, token

from viewer.cli import invoke
from viewer.services import KEY
from viewer.signoff.verify import verify
from viewer.store.erasing import erase
from viewer.store.offers import Remark
from viewer.store.opening import Store

NAME, SAID = "B. Client (invented)", "behind the invented sofa"


@pytest.fixture
def signed(app: Flask, client: FlaskClient, store: Store) -> str:
    """An offer signed on paper, with a remark and photos."""
    offer = make_offer(app, client)
    store.offers.remark(offer, Remark(kind="comment", words=SAID, at="2026-11-25T03:00:00Z"))
    sheet = io.BytesIO()
    Image.new("RGB", (60, 40), "white").save(sheet, "JPEG")
    store.photos.add("demo", "sample", b"a board (invented)", "image/jpeg")
    form = {**signature(name=NAME), "form_token": token(client, f"/offers/{offer}/")}
    form["paper"] = (io.BytesIO(sheet.getvalue()), "sheet.jpg")
    answer = client.post(f"/offers/{offer}/paper", data=form, content_type="multipart/form-data")
    assert answer.status_code == 302
    return offer


def test_nothing_of_people_is_left_and_the_record_still_verifies(
    app: Flask, client: FlaskClient, store: Store, signed: str, tmp_path: Path
) -> None:
    form = {"form_token": token(client, "/jobs/demo/offers")}
    assert client.post("/jobs/demo/erase", data=form).status_code == 422
    assert NAME in client.get("/jobs/demo/offers").text
    assert client.post("/jobs/demo/erase", data={**form, "for_good": "yes"}).status_code == 302
    for address in ("/jobs/demo/offers", f"/offers/{signed}/", f"/offers/{signed}/client/"):
        page = client.get(address).text
        assert NAME not in page
        assert SAID not in page
    assert "(erased)" in client.get("/jobs/demo/offers").text
    verdict = verify(client.get("/jobs/demo/record.json").data)
    assert verdict.intact
    assert verdict.erased
    assert [photo.data for photo in store.photos.of_job("demo", "sample")] == [b"a board (invented)"]
    assert store.photos.of_job("demo", "signed_sheet") == ()
    app.extensions[KEY].close()
    kept = b"".join(file.read_bytes() for file in (tmp_path / "data").iterdir())
    for word in (NAME, SAID):
        assert word.encode() not in kept
        assert base64.b64encode(word.encode()) not in kept


def test_the_command_says_how_much_went(
    app: Flask,
    signed: str,
    store: Store,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsysbinary: pytest.CaptureFixture[bytes],
) -> None:
    values = len(store.records.personal("demo"))
    monkeypatch.setenv("SLATWRIGHT_DATA_DIR", str(tmp_path / "data"))
    assert invoke(["erase", "demo"]) == 0
    assert json.loads(capsysbinary.readouterr().out) == {"values": values, "remarks": 1, "photos": 1}
    assert invoke(["erase", "nowhere"]) == 2
    assert erase(store.engine, "demo").values == 0
