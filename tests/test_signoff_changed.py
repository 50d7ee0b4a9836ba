"""Outside what was agreed a job says so, in words and drawing; a withdrawal leaves the record whole."""

import copy
import re
from typing import Any
from xml.etree import ElementTree

import pytest
from flask import Flask
from flask.testing import FlaskClient
from signoff_site import make_offer, sign_offer, token

from meshes.layout.setout import set_out
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import Wall
from viewer.drawings.moved import BEFORE, differs, moved
from viewer.signoff.verify import verify
from viewer.store.opening import Store


def move(store: Store, section: str, **values: Any) -> None:
    job = store.jobs.get("demo")
    document = copy.deepcopy(dict(job.document))
    part = document[section][0] if isinstance(document[section], list) else document[section]
    part.update(values)
    store.jobs.save("demo", document, revision=job.revision)


def test_the_job_page_shows_what_moved(app: Flask, client: FlaskClient, store: Store) -> None:
    assert "standing-words" not in client.get("/jobs/demo/").text
    sign_offer(app, client)
    page = client.get("/jobs/demo/").text
    assert "As signed on" in page
    assert "What moved" not in page
    move(store, "openings", left_mm=1483)
    page = client.get("/jobs/demo/").text
    assert "within what was agreed" in page
    assert "1480 → 1483 mm (agreed ± 5)" in page
    assert "What moved" not in page
    move(store, "slats", gap_mm=17)
    for address in ("/jobs/demo/", "/jobs/demo/offers"):
        page = client.get(address).text
        assert "Changed since it was signed on" in page
        assert "<strong>gap 14.197 → 16.765 mm (agreed ± 1)</strong>" in page
        assert page.count("<title>What moved</title>") == 2
        assert ": 72 slats of 44 mm, gap 14.2 mm" in page
        assert "now: 69 slats of 44 mm, gap 16.8 mm" in page


def test_a_change_without_a_shape_has_words_alone(app: Flask, client: FlaskClient, store: Store) -> None:
    sign_offer(app, client)
    move(store, "finish", stain="charcoal")
    page = client.get("/jobs/demo/").text
    assert "Changed since it was signed on" in page
    assert "What moved" not in page


def test_the_drawing_is_to_scale_and_shows_both() -> None:
    def of(gap: int) -> Any:
        return set_out(
            wall=Wall.model_validate({"width_mm": 1200, "height_mm": 2400}),
            openings=(),
            zones=(),
            slats=Slats.model_validate({"width_mm": 40, "depth_mm": 18, "gap_mm": gap}),
            panels=Panels(),
        )

    was, now = of(12), of(30)
    assert not differs(was, was)
    drawn = moved(was, now, was_words="signed", now_words="now")
    rects = [part.attrib for part in ElementTree.fromstring(drawn).iter("{http://www.w3.org/2000/svg}rect")]
    light = [
        (float(rect["x"]), float(rect["width"]), rect["y"]) for rect in rects if rect["fill"] == "#fcfcfc"
    ]
    rows = sorted({y for _x, _width, y in light}, key=float)
    assert [sum(y == row for _x, _width, y in light) for row in rows] == [len(was.slats), len(now.slats)]
    scale = light[0][1] / 40
    for one, row in zip((was, now), rows, strict=True):
        xs = [x for x, _width, y in light if y == row]
        assert xs[1] - xs[0] == pytest.approx(float(one.pitch) * scale, abs=0.002)


def test_what_was_there_before_is_drawn_as_iso_128_asks() -> None:
    """ISO 128-2, table 1, line type 05: long dash 24, gap 3, dot 0.5, gap 3, dot 0.5, gap 3 line widths."""
    assert BEFORE.dashes == (24, 3, 0.5, 3, 0.5, 3)


def test_a_withdrawn_signature_stays_on_the_record_and_holds_no_more(
    app: Flask, client: FlaskClient, store: Store
) -> None:
    offer = sign_offer(app, client)
    form = {"stage": "withdrawn", "form_token": token(client, "/jobs/demo/offers")}
    assert client.post("/jobs/demo/stages", data={**form, "words": " "}).status_code == 422
    answer = client.post("/jobs/demo/stages", data={**form, "words": "the client moves house"})
    assert answer.status_code == 302
    entries = store.records.entries("demo")
    assert [(entry.stage, entry.supersedes) for entry in entries] == [
        ("offer", None),
        ("signature", None),
        ("withdrawn", 1),
    ]
    assert verify(store.records.export("demo")).intact
    page = client.get("/jobs/demo/offers").text
    assert re.search(r"Withdrawn on \d{4}-\d\d-\d\d\.", page)
    assert "the client moves house" in page
    assert "Withdrawn on" in client.get(f"/offers/{offer}/client/").text
    assert "standing-words" not in client.get("/jobs/demo/").text
    # nothing is left to note a deposit on, and a new offer is signed as the first one was
    deposit = {**form, "stage": "deposit", "amount": "500 EUR"}
    assert client.post("/jobs/demo/stages", data=deposit).status_code == 422
    sign_offer(app, client)
    assert store.records.entries("demo")[-1].stage == "signature"


def test_a_withdrawn_offer_is_on_the_record_once(app: Flask, client: FlaskClient, store: Store) -> None:
    offer = make_offer(app, client)
    form = {"form_token": token(client, f"/offers/{offer}/")}
    for _press in range(2):
        client.post(f"/offers/{offer}/withdraw", data=form)
    entries = store.records.entries("demo")
    assert [(entry.stage, entry.supersedes) for entry in entries] == [("offer", None), ("withdrawn", 0)]
    assert "withdrawn" in client.get("/jobs/demo/offers").text
