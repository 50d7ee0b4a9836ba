"""A job with photos and records as one file: out and in again, and files that mean harm."""

import io
import json
import re
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from PIL import Image
from test_pages_forms import client, new_job
from werkzeug.test import TestResponse

from viewer import bundle
from viewer.answers.set_out import set_outs_of
from viewer.bundle import Bundle, BundleError, bundle_bytes, read_bundle
from viewer.clock import utc_now
from viewer.demo import demo_bytes
from viewer.job.check import check_text
from viewer.pages.photos import MOST_PHOTOS
from viewer.services import KEY, Services
from viewer.store.jobs import moment
from viewer.store.opening import Store
from viewer.store.photos import id_of_key

__all__ = ["client"]


def store_of(client: FlaskClient) -> Store:
    services: Services = client.application.extensions[KEY]
    return services.store


def jpeg(width: int = 120, height: int = 90, *, placed: bool = True) -> bytes:
    """A photo that says where it was taken, by EXIF 2.3, section 4.6.6 (GPS IFD)."""
    exif = Image.Exif()
    if placed:
        exif[0x8825] = {1: "N", 2: (52.0, 30.0, 0.0), 3: "E", 4: (13.0, 24.0, 0.0)}
    stream = io.BytesIO()
    Image.new("RGB", (width, height), (150, 140, 120)).save(stream, "JPEG", exif=exif)
    return stream.getvalue()


def sent(client: FlaskClient, address: str, name: str, data: bytes, **fields: str) -> TestResponse:
    field = "photo" if address.endswith("photos") else "file"
    answer: TestResponse = client.post(
        address, data={**fields, field: (io.BytesIO(data), name)}, content_type="multipart/form-data"
    )
    return answer


def zipped(parts: dict[str, bytes], change: Callable[[zipfile.ZipInfo], None] = lambda part: None) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as archive:
        for name, data in parts.items():
            part = zipfile.ZipInfo(name)
            part.compress_type = zipfile.ZIP_DEFLATED
            change(part)
            archive.writestr(part, data)
    return held.getvalue()


def test_a_photo_of_the_wall_before_loses_the_place_where_it_was_taken(client: FlaskClient) -> None:
    name = new_job(client)
    assert sent(client, f"/jobs/{name}/photos", "wall.jpg", jpeg()).status_code == 302
    (kept,) = store_of(client).photos.of_job(name, "before")
    assert not Image.open(io.BytesIO(kept.data)).getexif()
    page = client.get(f"/jobs/{name}/survey").text
    assert f"/jobs/{name}/photos/{kept.id}.jpg" in page
    small = client.get(f"/jobs/{name}/photos/{kept.id}.jpg?width=480")
    assert Image.open(io.BytesIO(small.data)).size == (120, 90)
    other = new_job(client)
    assert client.get(f"/jobs/{other}/photos/{kept.id}.jpg").status_code == 404
    client.post(f"/jobs/{name}/photos/{kept.id}/take-away")
    assert store_of(client).photos.of_job(name, "before") == ()


def test_what_is_no_photo_is_named_and_nothing_is_kept(client: FlaskClient) -> None:
    name = new_job(client)
    answer = sent(client, f"/jobs/{name}/photos", "plan.pdf", b"%PDF-1.7 no photo")
    assert answer.status_code == 422
    assert "<strong>plan.pdf</strong>: expected a picture as JPEG, PNG, WEBP" in answer.text
    assert store_of(client).photos.of_job(name, "before") == ()


def test_a_photo_that_is_sent_twice_with_its_key_is_kept_once(client: FlaskClient) -> None:
    name, other = new_job(client), new_job(client)
    for _again in range(2):
        assert sent(client, f"/jobs/{name}/photos", "a.jpg", jpeg(), key="7-1").status_code == 302
    sent(client, f"/jobs/{name}/photos", "b.jpg", jpeg(), key="7-2")
    sent(client, f"/jobs/{other}/photos", "a.jpg", jpeg(), key="7-1")
    photos = store_of(client).photos
    first, second = photos.of_job(name, "before")
    assert first.id != second.id
    assert len(photos.of_job(other, "before")) == 1
    assert photos.add(name, "before", b"", "image/jpeg", photo_id=first.id) == first


def test_photos_that_are_kept_already_take_no_room_when_they_are_sent_again(client: FlaskClient) -> None:
    name, photos = new_job(client), store_of(client).photos
    for _number in range(MOST_PHOTOS - 2):
        photos.add(name, "before", b"", "image/jpeg")
    photos.add(name, "before", b"", "image/jpeg", photo_id=id_of_key(name, "7-1 0"))
    both = [(io.BytesIO(jpeg()), "kept.jpg"), (io.BytesIO(jpeg()), "lost on the way.jpg")]
    answer = client.post(f"/jobs/{name}/photos", data={"key": "7-1", "photo": both})
    assert answer.status_code == 302
    assert len(photos.of_job(name, "before")) == MOST_PHOTOS


def test_a_job_goes_out_with_photos_and_record_and_comes_in_with_them(client: FlaskClient) -> None:
    name, store = new_job(client), store_of(client)
    sent(client, f"/jobs/{name}/photos", "wall.jpg", jpeg())
    store.records.append(name, stage="offer", at=moment(utc_now()), sections={"offer": {"maker": "invented"}})
    file = client.get(f"/jobs/{name}/job.zip")
    with zipfile.ZipFile(io.BytesIO(file.data)) as archive:
        assert archive.namelist() == ["job.json", "photos/before-01.jpg", "record.json"]
        assert json.loads(archive.read("job.json")) == store.jobs.get(name).document
        record = archive.read("record.json")
    answer = sent(client, "/jobs", "job.zip", file.data, what="file")
    assert answer.status_code == 302
    newest = store.jobs.page()[0]
    assert newest.id != name
    assert newest.document == store.jobs.get(name).document
    assert len(store.photos.of_job(newest.id, "before")) == 1
    (came,) = store.photos.of_job(newest.id, "record")
    assert came.data == record
    assert store.records.entries(newest.id) == (), "one record goes on in one place"
    assert "intact, signer not checked" in client.get(f"/jobs/{newest.id}/survey").text
    assert client.get(f"/jobs/{newest.id}/records/{came.id}.json").data == record
    with zipfile.ZipFile(io.BytesIO(client.get(f"/jobs/{newest.id}/job.zip").data)) as archive:
        assert archive.read("records/01.json") == record


def test_the_same_job_makes_the_same_file() -> None:
    job = Bundle(job=demo_bytes(), photos=(("before", jpeg()), ("snag", jpeg())))
    assert bundle_bytes(job) == bundle_bytes(job)


def problems_of(data: bytes) -> dict[str, str]:
    with pytest.raises(BundleError) as refused:
        read_bundle(data)
    return dict(refused.value.problems)


@pytest.mark.parametrize(
    "name",
    [
        "../job.json",
        "/etc/passwd",
        "photos/../../job.json",
        "C:\\job.json",
        "photos/before-01.jpg/",
        "photos/before-1.jpg",
        "photos/evil.jpg",
        "job.json\n",
        "JOB.JSON",
        "records/",
    ],
)
def test_a_name_that_is_none_of_ours_is_refused_before_anything_is_unpacked(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_given: Any) -> bytes:
        raise AssertionError("unpacked")

    monkeypatch.setattr(bundle, "_unpacked", never)
    (message,) = problems_of(zipped({"job.json": b"{}", name: b"x"})).values()
    assert message.startswith("unknown; known here")


def test_a_bomb_is_refused_by_its_ratio_its_size_and_its_parts(monkeypatch: pytest.MonkeyPatch) -> None:
    bomb = zipped({"job.json": b" " * 3_000_000})
    assert len(bomb) < 5_000
    assert problems_of(bomb) == {"job.json": "unpacks to more than 100 times its size"}
    many = {f"photos/before-{number:02}.jpg": b"x" for number in range(81)}
    assert problems_of(zipped({"job.json": b"{}", **many})) == {"file": "expected at most 80 parts"}
    monkeypatch.setattr(bundle, "MOST_BYTES", 1000)
    assert "file" in problems_of(zipped({"job.json": bytes(range(256)) * 8}))


def test_a_part_that_lies_about_its_size_is_not_read_beyond_it() -> None:
    honest = zipped({"job.json": b"{}" + b" " * 5000})
    # both heads say 5002 bytes: in the local file header and in the central directory (APPNOTE 4.3.7, 4.3.12)
    assert honest.count((5002).to_bytes(4, "little")) == 2
    lying = honest.replace((5002).to_bytes(4, "little"), (10).to_bytes(4, "little"))
    assert set(problems_of(lying)) <= {"job.json", "file"}


def test_a_part_twice_with_a_password_or_missing_is_refused() -> None:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as archive:
        archive.writestr("job.json", b"{}")
        with pytest.warns(UserWarning, match="Duplicate name"):
            archive.writestr("job.json", b"{}")
    assert problems_of(held.getvalue()) == {"job.json": "stands in the archive twice"}
    locked = bytearray(zipped({"job.json": b"{}"}))
    for start in (b"PK\x03\x04", b"PK\x01\x02"):
        locked[locked.index(start) + (6 if start.endswith(b"\x04") else 8)] |= 1
    assert "password" in problems_of(bytes(locked))["job.json"]
    assert problems_of(zipped({"record.json": b"{}"}))["job.json"].startswith("missing")
    assert "file" in problems_of(b"PK\x03\x04 and nothing more")


def test_a_photo_or_record_that_does_not_hold_keeps_the_whole_file_out(client: FlaskClient) -> None:
    parts = {"job.json": demo_bytes(), "photos/before-01.jpg": b"no picture", "record.json": b"{}"}
    answer = sent(client, "/jobs", "job.zip", zipped(parts), what="file")
    assert answer.status_code == 422
    assert "<strong>photos/before-01.jpg</strong>: expected a picture" in answer.text
    assert "<strong>record.json</strong>: altered: file: this is no record file" in answer.text
    assert store_of(client).jobs.page() == ()


def test_a_copy_has_the_photos_of_the_wall_before(client: FlaskClient) -> None:
    name = new_job(client)
    sent(client, f"/jobs/{name}/photos", "wall.jpg", jpeg())
    client.post(f"/jobs/{name}/copy")
    copied = next(one for one in store_of(client).jobs.page() if one.id != name)
    assert len(store_of(client).photos.of_job(copied.id, "before")) == 1


def test_a_larger_body_is_taken_where_files_are_taken_and_nowhere_else(client: FlaskClient) -> None:
    large = b"0" * 5_000_000
    (token, *_rest) = re.findall(r'name="form_token" value="([^"]+)"', client.get("/").text)
    parts = [
        ("form_token", "", token.encode()),
        ("what", "", b"file"),
        ("file", '; filename="job.zip"', large),
    ]
    body = b"".join(
        f'--x\r\nContent-Disposition: form-data; name="{name}"{more}\r\n\r\n'.encode() + data + b"\r\n"
        for name, more, data in parts
    )
    kind = {"content_type": "multipart/form-data; boundary=x", "headers": {}}
    assert client.post("/jobs", data=body + b"--x--\r\n", **kind).status_code == 422, "read, and no job"
    kind["content_type"] = "application/json"
    assert client.post("/api/check", data=large, **kind).status_code == 413


def test_the_list_shows_each_wall_in_the_colours_of_its_finish(client: FlaskClient, tmp_path: Path) -> None:
    demo, begun = new_job(client), new_job(client, "new")
    client.post(f"/jobs/{begun}/survey", data={"wall.width_mm": "wide", "revision": "1"})
    page = client.get("/").text
    assert "4200 × 2550 mm; 72 slats of 44 mm, gap 14.2 mm" in page.replace("\xa0", " ")
    assert "The survey is not finished." in page
    small = client.get(f"/jobs/{demo}/small.svg")
    assert small.mimetype == "image/svg+xml"
    job = check_text(demo_bytes()).job
    assert job is not None
    pieces = sum(len(slat.pieces) for one in set_outs_of(job) for slat in one.slats)
    assert pieces > 72, "openings cut slats in two"
    # the wall, all pieces of its slats at once, and the edge of the wall
    assert [path.count("M") for path in re.findall(r'<path d="([^"]+)"', small.text)] == [1, pieces, 1]
    assert client.get(f"/jobs/{begun}/small.svg").status_code == 404


def test_the_list_goes_on_where_there_are_many_jobs(client: FlaskClient) -> None:
    jobs = store_of(client).jobs
    for number in range(26):
        jobs.add({"name": f"Wall {number}"})
    first = client.get("/").text
    assert first.count("<li class=") == 24
    older = first.split('href="')[-1].split('"')[0].replace("&amp;", "&")
    rest = client.get(older).text
    assert rest.count("<li class=") == 2
    assert "Wall 0<" in rest
