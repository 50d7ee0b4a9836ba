"""The offer as one file: it asks nobody, its policy allows it alone, and it stays small enough for mail."""

import base64
import hashlib
import html
import io
import re

import numpy as np
import pytest
from flask import Flask
from flask.testing import FlaskClient
from markupsafe import Markup
from PIL import Image
from signoff_site import make_offer

from viewer.offline_view import OfflineView
from viewer.pages import offer_file
from viewer.pages.offer_copies import copy_of


@pytest.fixture
def text(app: Flask, client: FlaskClient, plain_view: None) -> str:
    answer = client.get(f"/offers/{make_offer(app, client)}/client/offer.html")
    assert answer.headers["Content-Disposition"] == 'attachment; filename="offer.html"'
    return answer.text


def test_the_file_for_e_mail_asks_nobody_for_anything(text: str) -> None:
    assert text.count('src="data:image/jpeg;base64,') == 8
    assert 'href="data:application/pdf;base64,' in text
    addresses = re.findall(r'(?:src|href|action)="(.{0,6})|url\((.{0,6})', text)
    assert {src or url for src, url in addresses} == {"data:i", "data:a"}
    for words in ("Honey on pine", "3480.00 EUR", "Electrical work", "To sign: print the sheet", "turns"):
        assert words in text


def test_its_policy_allows_its_own_style_by_hash_and_no_network(text: str) -> None:
    found = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', text)
    assert found
    policy = dict(part.strip().split(" ", 1) for part in html.unescape(found[1]).split(";"))
    style = re.search(r"<style>(.*?)</style>", text, re.DOTALL)
    assert style
    digest = base64.b64encode(hashlib.sha256(style[1].encode()).digest()).decode()
    assert policy == {
        "default-src": "'none'",
        "base-uri": "'none'",
        "form-action": "'none'",
        "img-src": "data:",
        "style-src": f"'sha256-{digest}'",
        "script-src": "blob:",
    }
    assert ' style="' not in text


def test_lightings_that_do_not_fit_leave_the_turning_view(
    app: Flask, client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = []

    def view(*, lightings: tuple[object, ...], **_given: object) -> OfflineView:
        asked.append(len(lightings))
        return OfflineView(html=Markup(""), policy="", size=4_000_000 * len(lightings))

    monkeypatch.setattr(offer_file, "offline_view", view)
    offer = make_offer(app, client)
    assert client.get(f"/offers/{offer}/client/offer.html").status_code == 200
    assert asked == [2, 1]


def test_a_copy_keeps_the_light_of_fine_slats() -> None:
    """One pixel dark, one bright: their mean in light is half the bright one's, 188 of 255 in sRGB."""
    slats = np.zeros((40, 60, 3), np.uint8)
    slats[:, ::2] = 255
    kept = io.BytesIO()
    Image.fromarray(slats).save(kept, "PNG")
    made = Image.open(io.BytesIO(copy_of(kept.getvalue(), width=30, quality=95)))
    assert made.size == (30, 20)
    assert np.asarray(made).mean() == pytest.approx(188, abs=1)
