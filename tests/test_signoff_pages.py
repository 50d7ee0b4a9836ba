"""Offers through the pages: made, looked at, remarked on, signed once, and what stands in the record."""

import base64
import io
import json
import re
import threading
from pathlib import Path

from flask import Flask
from flask.testing import FlaskClient
from PIL import Image, ImageDraw
from signoff_site import make_offer, signature, site, token

from viewer.demo import demo_bytes
from viewer.services import KEY
from viewer.signoff.keys import fingerprint
from viewer.signoff.verify import verify
from viewer.store.erasing import erase
from viewer.store.opening import Store


def drawn() -> str:
    image = Image.new("RGBA", (900, 240))
    ImageDraw.Draw(image).line([(10, 200), (400, 30), (800, 180)], fill="black", width=5)
    stream = io.BytesIO()
    image.save(stream, "PNG")
    return f"data:image/png;base64,{base64.b64encode(stream.getvalue()).decode()}"


def sign(client: FlaskClient, offer: str, **changed: object) -> tuple[int, str]:
    address = f"/offers/{offer}/client/"
    answer = client.post(
        f"{address}sign", data={**signature(**changed), "form_token": token(client, address)}
    )
    return answer.status_code, answer.text


def test_an_offer_is_made_looked_at_and_signed(app: Flask, client: FlaskClient, store: Store) -> None:
    offer = make_offer(app, client)
    page = client.get(f"/offers/{offer}/client/")
    assert page.headers["Referrer-Policy"] == "no-referrer"
    for words in ("Honey on pine", "3480.00 EUR, tax included", "Electrical work", "evening", "± 1"):
        assert words in page.text
    assert "Limed oak" not in page.text
    status, _text = sign(client, offer, drawn=drawn())
    assert status == 302
    entries = store.records.entries("demo")
    assert [entry.stage for entry in entries] == ["offer", "signature"]
    choice = entries[1].sections["choice"]
    assert (choice["finish"], choice["off_cut"], choice["ticked"]) == (
        "Honey on pine",
        "OC-7",
        ["off_cut", "gap", "sockets"],
    )
    exported = store.records.export("demo")
    verdict = verify(exported, key=fingerprint(store.records.signer.public))
    assert (verdict.words, verdict.erased) == ("intact, signed by the given key", ())
    # what was shown is in the record by its hash
    pictures = entries[1].sections["offer"]["pictures"]
    assert [one["sha256"] for one in pictures] == list(store.offers.pictures(offer).values())
    # quantities and pack follow the signature
    assert store.jobs.get("demo").document["finish"]["name"] == "Honey on pine"


def test_names_stand_beside_the_chain_and_can_be_erased(
    app: Flask, client: FlaskClient, store: Store
) -> None:
    sign(client, make_offer(app, client), drawn=drawn())
    exported = store.records.export("demo")
    chain = json.dumps(json.loads(exported)["entries"])
    assert "B. Client" not in chain
    assert "Reading room" not in chain
    assert b"B. Client" in exported
    erase(store.engine, "demo")
    erased = store.records.export("demo")
    assert b"B. Client" not in erased
    assert verify(erased).intact


def test_everything_that_is_missing_is_said_at_once(app: Flask, client: FlaskClient, store: Store) -> None:
    offer = make_offer(app, client)
    status, text = sign(
        client,
        offer,
        finish="7",
        ticked=["gap", "no_such_line"],
        seen_by_day="",
        off_cut="",
        name=" ",
        signed_on="2020-01-01",
        drawn="data:image/png;base64,AAAA",
    )
    assert status == 422
    for label in ("Finish", "Name", "Date", "Off-cut number", "Signature"):
        assert f"<strong>{label}</strong>" in text
    assert [entry.stage for entry in store.records.entries("demo")] == ["offer"]
    status, text = sign(client, offer, ticked=["gap"], seen_by_day="")
    assert status == 422
    assert text.count("not ticked:") == 2
    assert "<strong>Off-cut seen</strong>" in text


def test_of_many_signatures_at_once_one_stands(database_url: str, tmp_path: Path) -> None:
    """Over two processes' worth of applications, on each of the databases."""
    apps = [site(tmp_path, database_url=database_url) for _process in range(2)]
    store: Store = apps[0].extensions[KEY].store
    address = f"/offers/{make_offer(apps[0], apps[0].test_client())}/client/"
    outcomes: list[int] = []
    barrier = threading.Barrier(5)

    def go(number: int) -> None:
        own = apps[number % 2].test_client()
        form = {**signature(name=f"Client {number} (invented)"), "form_token": token(own, address)}
        barrier.wait()
        outcomes.append(own.post(f"{address}sign", data=form).status_code)

    threads = [threading.Thread(target=go, args=(number,)) for number in range(5)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == [302, 409, 409, 409, 409]
    assert [entry.stage for entry in store.records.entries("demo")] == ["offer", "signature"]
    names = [one.value for one in store.records.personal("demo").values()]
    assert sum(name.startswith("Client") for name in names) == 1
    for app in apps:
        app.extensions[KEY].close()


def test_a_signed_offer_is_not_signed_again(app: Flask, client: FlaskClient) -> None:
    offer = make_offer(app, client)
    address = f"/offers/{offer}/client/"
    form = {**signature(), "form_token": token(client, address)}
    assert client.post(f"{address}sign", data=form).status_code == 302
    assert client.post(f"{address}sign", data=form).status_code == 409
    page = client.get(address).text
    assert "Signed on" in page
    assert "B. Client (invented)" in page
    assert "Sign this offer" not in page


def test_a_withdrawn_offer_cannot_be_signed(app: Flask, client: FlaskClient) -> None:
    offer = make_offer(app, client)
    address = f"/offers/{offer}/client/"
    form = {**signature(), "form_token": token(client, address)}
    client.post(f"/offers/{offer}/withdraw", data={"form_token": form["form_token"]})
    assert client.post(f"{address}sign", data=form).status_code == 409


def test_remarks_keep_their_place(app: Flask, client: FlaskClient, store: Store) -> None:
    offer = make_offer(app, client)
    address = f"/offers/{offer}/client/"
    form = {
        "form_token": token(client, address),
        "kind": "change",
        "words": "Could the socket <b>move</b>?",
        "picture": "2",
        "x": "0.25",
        "y": "0.75",
    }
    assert client.post(f"{address}remarks", data=form).status_code == 302
    for bad in ({"words": ""}, {"words": "x" * 2001}):
        assert client.post(f"{address}remarks", data={**form, **bad}).status_code == 422
    client.post(f"{address}remarks", data={**form, "x": "nan", "words": "somewhere"})
    (first, second) = store.offers.remarks(offer)
    assert (first.kind, first.picture, first.x, first.y) == ("change", 2, 0.25, 0.75)
    assert (second.picture, second.x) == (None, None)
    assert "&lt;b&gt;move&lt;/b&gt;" in client.get(f"/offers/{offer}/").text


def test_a_bad_offer_says_everything_and_keeps_what_was_typed(client: FlaskClient, store: Store) -> None:
    form = {
        "form_token": token(client, "/jobs/demo/offers"),
        "finish": ["Walnut on ash", "Walnut in ash"],
        "price_shown": "yes",
        "price": "much",
        "currency": "Euro",
        "expires": "2020-02-30",
        "tolerance_gap_mm": "wide",
        "maker": "Invented & Sons",
    }
    answer = client.post("/jobs/demo/offers", data=form)
    assert answer.status_code == 422
    for words in (
        "the nearest is &#34;Walnut on ash&#34;",
        "<strong>lightings</strong>",
        "<strong>price</strong>",
        "<strong>currency</strong>",
        "<strong>expires</strong>",
        "<strong>tolerances.gap_mm</strong>",
        "<strong>lines</strong>",
        "Invented &amp; Sons",
    ):
        assert words in answer.text
    assert store.offers.of_job("demo") == ()


def test_paper_counts(app: Flask, client: FlaskClient, store: Store) -> None:
    offer = make_offer(app, client)
    stream = io.BytesIO()
    exif = Image.Exif()
    exif[0x8825] = {1: "N", 2: (52.0, 30.0, 0.0)}  # a place
    Image.new("RGB", (400, 300), "white").save(stream, "JPEG", exif=exif)
    form = {**signature(), "form_token": token(client, f"/offers/{offer}/client/")}
    for data, status in ((b"%PDF-1.7 no picture", 422), (b"", 422), (stream.getvalue(), 302)):
        sent = {**form, "paper": (io.BytesIO(data), "../../sheet.jpg")}
        answer = client.post(f"/offers/{offer}/paper", data=sent, content_type="multipart/form-data")
        assert answer.status_code == status, answer.text
    (photo,) = store.photos.of_job("demo", "signed_sheet")
    entry = store.records.entries("demo")[-1]
    assert entry.sections["choice"]["paper"] == photo.sha256 == entry.sections["paper"]["sha256"]
    assert not Image.open(io.BytesIO(photo.data)).getexif()


def test_a_job_without_offers_says_what_to_do_first(client: FlaskClient) -> None:
    assert "Nothing offered yet. Make an offer below" in client.get("/jobs/demo/offers").text
    assert client.get("/jobs/nowhere/offers").status_code == 404
    assert client.get("/offers/nowhere/").status_code == 404


def test_every_wall_of_a_job_is_seen_whole_in_its_offer(
    app: Flask, client: FlaskClient, store: Store
) -> None:
    wall = {"width_mm": 1200, "height_mm": 2200}
    bed = {"kind": "hidden", "left_mm": 200, "bottom_mm": 0, "width_mm": 900, "height_mm": 500}
    niche = {
        "name": "Niche, two walls",
        "wall": wall,
        "next_walls": [{"turns": "inside", "wall": wall, "zones": [bed]}],
        "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 14},
    }
    job = store.jobs.add(niche).id
    offer = make_offer(app, client, job, finish=["A"], lighting=["day"])
    page = client.get(f"/offers/{offer}/client/").text
    pictures = store.offers.get(offer).document["pictures"]
    assert [one["view"] for one in pictures] == ["front", "wall-2", "close"]
    assert "wall 2</label>" in page
    drawn = re.split(r"<h2>Wall \d</h2>", page)[1:]
    assert [">Hidden</text>" in drawing for drawing in drawn] == [False, True]
    assert "A, day, wall 2" in page


def test_what_is_agreed_of_two_walls_stands_under_each_of_them(app: Flask, client: FlaskClient) -> None:
    document = json.loads(demo_bytes())
    document["wall"]["right"] = {"meets": "inside_corner"}
    document["next_walls"] = [{"turns": "inside", "wall": {"width_mm": 1500, "height_mm": 2550}}]
    document["room"]["beyond_right_mm"] = 0
    job = app.extensions[KEY].store.jobs.add(document).id
    offer = make_offer(app, client, job)
    for page in (f"/offers/{offer}/client/", f"/offers/{offer}/client/offer.html"):
        text = client.get(page).text
        captions = re.findall(r"<caption>(Wall \d|The whole job)</caption>", text)
        assert captions == ["Wall 1", "Wall 2", "Wall 1", "Wall 2", "The whole job"]
        drawn = re.findall(r"<h2>(Wall \d)</h2>(?:\s*<div[^>]*>)*\s*<svg", text)
        assert drawn == ["Wall 1", "Wall 2"]
        assert text.count('<th scope="row">gap <') == 2
        assert "wall 1:" not in text
