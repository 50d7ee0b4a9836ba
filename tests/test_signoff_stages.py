"""After the signature: what moved is said, small moves are as built, large ones are signed again."""

import copy
import subprocess
from pathlib import Path
from typing import Any

from flask import Flask
from flask.testing import FlaskClient
from signoff_site import make_offer, sign_offer, signature, token

from viewer.pages.standing import standing_of
from viewer.services import KEY
from viewer.signoff.standing import Standing
from viewer.signoff.verify import verify
from viewer.store.opening import Store


def move(store: Store, section: str, **values: Any) -> None:
    """Save the job with some values of a section changed."""
    job = store.jobs.get("demo")
    document = copy.deepcopy(dict(job.document))
    part = document[section][0] if isinstance(document[section], list) else document[section]
    part.update(values)
    store.jobs.save("demo", document, revision=job.revision)


def stands(app: Flask, store: Store) -> Standing:
    services = app.extensions[KEY]
    checked = services.check(dict(store.jobs.get("demo").document))
    with app.test_request_context():
        found = standing_of("demo", checked.job)
    assert found is not None
    return found


def add(client: FlaskClient, stage: str, **more: Any) -> tuple[int, str]:
    form = {"stage": stage, "form_token": token(client, "/jobs/demo/offers"), **more}
    answer = client.post("/jobs/demo/stages", data=form)
    return answer.status_code, answer.text


def test_what_moved_is_said_in_words(app: Flask, client: FlaskClient, store: Store) -> None:
    sign_offer(app, client)
    assert stands(app, store).sentence.endswith(", as it stands")
    move(store, "openings", left_mm=1483)
    found = stands(app, store)
    assert found.holds
    assert found.sentence.endswith("as built: socket 1 from the left 1480 → 1483 mm (agreed ± 5)")
    move(store, "slats", gap_mm=17)
    found = stands(app, store)
    assert not found.holds
    # run 4176, slat 44: 72 slats leave 1008/71 = 14.197 mm, 69 slats leave 1140/68 = 16.765 mm
    assert found.sentence == (
        f"signed on {found.signed_on}: gap 14.197 → 16.765 mm (agreed ± 1); slats 72 → 69 (agreed ± 1)"
    )
    assert "gap 14.197 → 16.765 mm (agreed ± 1)" in client.get("/jobs/demo/offers").text


def test_a_job_that_was_not_signed_has_no_standing(app: Flask, client: FlaskClient, store: Store) -> None:
    make_offer(app, client)
    checked = app.extensions[KEY].check(dict(store.jobs.get("demo").document))
    with app.test_request_context():
        assert standing_of("demo", checked.job) is None
    status, text = add(client, "deposit", amount="500 EUR")
    assert status == 422
    assert "nothing is signed yet" in text


def test_every_stage_on_one_record(app: Flask, client: FlaskClient, store: Store) -> None:
    sign_offer(app, client)
    assert add(client, "deposit", amount="500.00 EUR", words="by transfer")[0] == 302
    move(store, "openings", left_mm=1483)
    assert add(client, "remeasure")[0] == 302
    move(store, "slats", gap_mm=17)
    status, text = add(client, "handover", name="B. Client (invented)")
    assert status == 422
    assert "the client has yet to sign what changed: gap" in text
    sign_offer(app, client)  # the variation
    assert (
        add(client, "handover", name="B. Client (invented)", snags="a scratch, slat 4\n\nplate loose")[0]
        == 302
    )
    entries = store.records.entries("demo")
    assert [entry.stage for entry in entries] == [
        "offer",
        "signature",
        "deposit",
        "remeasure",
        "offer",
        "variation",
        "handover",
    ]
    assert entries[5].supersedes == 1
    assert entries[2].sections["noted"] == {"words": "by transfer", "amount": "500.00 EUR"}
    assert entries[3].sections["noted"]["as_built"] == ["socket 1 from the left 1480 → 1483 mm (agreed ± 5)"]
    assert entries[6].sections["noted"]["snags"] == ["a scratch, slat 4", "plate loose"]
    assert stands(app, store).handed_over
    assert verify(store.records.export("demo")).intact
    page = client.get("/jobs/demo/offers").text
    for words in ("deposit noted", "measured again", "variation signed", "handed over", "superseded"):
        assert words in page


def test_bad_stages_say_everything(app: Flask, client: FlaskClient, store: Store) -> None:
    sign_offer(app, client)
    before = store.records.entries("demo")
    for stage, more in (
        ("deposit", {"amount": "much"}),
        ("handover", {"name": ""}),
        ("handover", {"name": "B", "drawn": "data:image/png;base64,AAAA"}),
        ("variation", {}),
        ("", {}),
        ("deposit", {"amount": "5", "words": "x" * 2001}),
    ):
        assert add(client, stage, **more)[0] == 422
    assert store.records.entries("demo") == before


def test_the_sheet_says_how_it_stands(app: Flask, client: FlaskClient, store: Store, tmp_path: Path) -> None:

    def words(paper: str = "") -> str:
        data = client.get(f"/offers/{offer}/client/sheet.pdf{paper}").data
        (tmp_path / "sheet.pdf").write_bytes(data)
        read = ["pdftotext", "-layout", str(tmp_path / "sheet.pdf"), "-"]
        return subprocess.run(read, capture_output=True, check=True, text=True).stdout

    offer = make_offer(app, client)
    unsigned = words()
    pages = unsigned.count("not signed ·")
    assert pages == unsigned.count("page ") == 4
    assert "Record entry" not in unsigned
    for found in ("3480.00 EUR, tax included", "Electrical work", "Off-cut number", "4200", "± 1 mm"):
        assert found in unsigned
    for never in ("litre", " l ", "tins", "sheets to buy", "kerf"):
        assert never not in unsigned
    address = f"/offers/{offer}/client/"
    form = {**signature(), "form_token": token(client, address)}
    client.post(f"{address}sign", data=form)
    signed = words()
    day = form["signed_on"]
    assert signed.count(f"signed on {day} ·") == 4
    entry = store.records.entries("demo")[-1]
    assert entry.hash in signed
    assert signed.index(entry.hash) > signed.index("page 3 of 4")
    assert "B. Client (invented)" in signed
    move(store, "slats", gap_mm=17)
    changed = words("?paper=letter")
    assert changed.count(f"changed since it was signed on {day} ·") == 4
    assert "gap 14.197 to 16.765 mm (agreed ± 1)" in changed
