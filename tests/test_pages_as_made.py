"""As made, and the ballpark before a job exists: two short pages, asked as a browser asks."""

import re
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient
from signoff_site import make_offer, signature, site, token

from viewer.services import KEY

PAGE = "/jobs/demo/as-made"
WIDTH, DEPTH = "slats.as_machined_mm.width", "slats.as_machined_mm.depth"
PRICES = """currency,EUR
tax_percent,0
item,of,per,pack,length_mm,price,supplier,class
section,47 x 100,piece,,2700,27,,softwood
sheet,,piece,,,40,,
fabric,,m,,,20,,
stain,,l,1,,30,,
topcoat,,l,1,,30,,
pins,,piece,100,,5,,
screws,,piece,100,,10,,
"""


def test_what_is_tried_moves_the_set_out_and_is_not_kept(client: FlaskClient) -> None:
    page = client.get(PAGE, query_string={WIDTH: "43.4", DEPTH: "20"}).text
    assert re.search(r"Slat 44 × 20 mm became|Slat: 44 × 20 mm became 43.4 × 20 mm", page)
    assert "was 44 × 20" in page
    assert "Nothing is signed yet" in page
    assert "was 44 × 20" not in client.get(PAGE).text


def test_a_spacer_in_inches_is_kept_as_typed(app: Flask, client: FlaskClient) -> None:
    form = {"slats.spacers_mm": '9/16"; 14', WIDTH: "", DEPTH: "", "form_token": token(client, PAGE)}
    answer = client.post(PAGE, data=form)
    assert answer.status_code == 302
    (job,) = app.extensions[KEY].store.jobs.page()
    assert job.document["slats"]["spacers_mm"] == [14.288, 14]  # 9/16 in = 14.2875 mm (25.4 mm an inch)
    assert "9/16&#34;; 14" in client.get(answer.headers["Location"]).text


def test_half_of_a_machined_size_is_refused_at_its_field_and_nothing_kept(
    app: Flask, client: FlaskClient
) -> None:
    answer = client.post(PAGE, data={WIDTH: "43", DEPTH: "", "form_token": token(client, PAGE)})
    assert answer.status_code == 422
    assert 'aria-invalid="true"' in answer.text
    assert app.extensions[KEY].store.jobs.page() == ()


@pytest.mark.parametrize(
    ("width", "words"), [("43.2", "Within what was agreed."), ("41", "Outside what was agreed")]
)
def test_it_says_whether_it_stays_within_what_was_signed(
    app: Flask, client: FlaskClient, width: str, words: str
) -> None:
    offer = make_offer(app, client)
    address = f"/offers/{offer}/client/"
    form = signature() | {"form_token": token(client, address)}
    assert client.post(address + "sign", data=form).status_code in (302, 303)
    job = app.extensions[KEY].store.offers.get(offer).job_id
    page = client.get(f"/jobs/{job}/as-made", query_string={WIDTH: width, DEPTH: "20"}).text
    assert words in page


def test_a_ballpark_is_a_range_and_says_that_it_is_no_offer(tmp_path: Path) -> None:
    (tmp_path / "prices.csv").write_text(PRICES, encoding="utf-8")
    client = site(tmp_path, prices=str(tmp_path / "prices.csv")).test_client()
    page = client.get(
        "/ballpark", query_string={"length": "4,2", "height": "2.55", "timber": "softwood"}
    ).text
    assert "a ballpark before measuring, not an offer" in page
    found = re.search(r'class="figure">(\d+) – (\d+) EUR', page)
    assert found
    assert 0 < int(found[1]) < int(found[2])
    amounts = dict(re.findall(r'<th scope="row">([^<]*)</th>\s*<td class="amount">([^<]*?) ?</td>', page))
    assert re.fullmatch(r"\d+ – \d+", amounts["Pins"]), "pins are whole ones"


def test_a_ballpark_names_each_field_that_is_wrong(client: FlaskClient) -> None:
    page = client.get("/ballpark", query_string={"length": "wide", "height": "90", "openings": "1.5"}).text
    assert {"length-problem", "height-problem", "openings-problem"} <= set(
        re.findall(r'id="([a-z]+-problem)"', page)
    )
    assert 'value="wide"' in page
    assert "SLATWRIGHT_PRICES" in client.get("/ballpark").text


def test_a_ballpark_goes_on_as_a_job_with_the_numbers_typed(app: Flask, client: FlaskClient) -> None:
    asked = {"length": "4,25", "height": "2.5125", "timber": "softwood", "openings": "2"}
    page = client.get("/ballpark", query_string=asked).text
    form = re.search(r'<form method="post" action="/jobs".*?</form>', page, re.DOTALL)
    assert form
    hidden = dict(re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', form[0]))
    sent = {**hidden, "what": re.findall(r'<button name="what" value="(\w+)"', form[0])[0]}
    kept = app.extensions[KEY].store.jobs
    went = client.post("/jobs", data=sent).headers["Location"]
    assert kept.get(went.split("/")[2]).document["wall"] == {"width_mm": 4250, "height_mm": 2512.5}
    survey = client.get(went).text
    assert re.search(r'name="wall.width_mm[^"]*" value="4250"', survey)
    wrong = client.post("/jobs", data={**sent, "height": "tall"})
    assert wrong.status_code == 422
    assert "is not accepted; expected a number from 0.3 to 12 metres" in wrong.text
