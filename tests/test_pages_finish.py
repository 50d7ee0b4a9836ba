"""The finish page, asked as a browser asks: what is tried on, what moves and why, own tones."""

import base64
import json
import re

import numpy as np
import pytest
from flask.testing import FlaskClient
from signoff_site import application

from viewer.answers.set_out import set_outs_of
from viewer.services import KEY, Services

TRIED = "/jobs/demo/finish/tried"
PRICES = """currency,EUR
tax_percent,20
item,of,per,pack,length_mm,price
section,47 x 100 European ash,piece,,5100,60
section,47 x 100 European oak,piece,,5100,90
"""


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> FlaskClient:
    folder = tmp_path_factory.mktemp("finish")
    (folder / "prices.csv").write_text(PRICES, encoding="utf-8")
    environment = {
        f"SLATWRIGHT_{name}_DIR": str(folder / name.lower()) for name in ("DATA", "CACHE", "STATE")
    }
    return application(environment | {"SLATWRIGHT_PRICES": str(folder / "prices.csv")}).test_client()


def test_a_finish_that_is_tried_on_brings_spectra_figure_and_readings_at_once(client: FlaskClient) -> None:
    asked = {"timber": "European oak", "stain": "charcoal", "coats": "2"}
    made = client.get(TRIED, query_string=asked).get_json()
    one = made["candidate"]
    page = client.get("/jobs/demo/finish").text
    known = json.loads(re.findall(r'id="orbit-data">(.*?)</script>', page, re.DOTALL)[0])["candidates"]
    assert one.keys() - {"stems", "asked"} == known[0].keys(), "put on as the job's own candidates are"
    assert one["asked"]["timber"] == "European oak"
    services: Services = client.application.extensions[KEY]
    assert services.demo.job is not None
    slats = sum(len(wall.slats) for wall in set_outs_of(services.demo.job))
    stems = np.frombuffer(base64.b64decode(one["stems"]), "<f4")
    assert len(stems) == 16 * slats, "sixteen numbers a slat, as the shader reads them"
    assert "European oak, charcoal in 2 coats" in made["reading"]


def test_another_name_is_another_key_and_the_same_finish_the_same(client: FlaskClient) -> None:
    keys = [
        client.get(TRIED, query_string={"stain": stain}).get_json()["candidate"]["key"]
        for stain in ("honey", "charcoal", "honey")
    ]
    assert keys[0] == keys[2] != keys[1]


def test_what_moves_is_said_with_its_reason_and_a_missing_price_is_named(client: FlaskClient) -> None:
    more = client.get(TRIED, query_string={"stain": "walnut", "coats": "2"}).get_json()["reading"]
    assert re.search(r"Stain walnut: [\d.]+ l became [\d.]+ l \([^)]*coat", more)
    assert "no price for" in more, "the list has no price for board, cloth and paint"
    same = client.get(TRIED, query_string={"stain": "walnut"}).get_json()["reading"]
    assert "What moves" not in same


def test_an_own_tone_is_a_recipe_and_its_tins_are_those_of_its_parts(client: FlaskClient) -> None:
    asked = {"stain": "", "first": "walnut", "first_parts": "2", "second": "honey", "second_parts": "1"}
    page = client.get("/jobs/demo/finish", query_string=asked).text
    assert "2 : 1 of walnut and honey" in page
    reading = client.get(TRIED, query_string=asked).get_json()["reading"]
    assert "2 : 1 of walnut and honey" in reading


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"first_parts": "none"}, "first_parts</strong>: expected parts of volume"),
        ({"second_parts": "-1"}, "second_parts</strong>: expected parts of volume"),
        ({"second": "nothing"}, "second</strong>: expected a tone of the catalogue"),
        ({"second": "milk white"}, "expected two tones of the same kind"),
    ],
)
def test_an_own_tone_that_cannot_be_is_named_at_its_field(
    client: FlaskClient, asked: dict[str, str], words: str
) -> None:
    whole = {"stain": "", "first": "walnut", "first_parts": "1", "second": "honey", "second_parts": "1"}
    made = client.get(TRIED, query_string=whole | asked).get_json()
    assert made["candidate"] is None
    assert words in made["reading"]


def test_the_bands_of_the_tones_are_those_of_the_timber_that_is_tried(client: FlaskClient) -> None:
    piece = client.get("/jobs/demo/finish/tones", query_string={"timber": "Scots pine"}).text
    assert "Tones on Scots pine" in piece
    bands = re.findall(r'src="([^"]+)"', piece)
    assert len(bands) == piece.count('name="stain"')
    assert all("timber=Scots+pine" in band for band in bands)


def test_a_still_of_what_is_tried_on_can_be_asked_for(client: FlaskClient) -> None:
    page = client.get("/jobs/demo/finish", query_string={"stain": "honey"}).text
    (address,) = re.findall(r'<img src="([^"]+)"[^>]* data-still', page)
    assert "stain=honey" in address
