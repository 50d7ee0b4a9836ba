"""Static files by an allow-list."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from viewer import create_app
from viewer.pages.static_files import bare, served


@pytest.fixture(scope="module")
def client() -> Iterator[FlaskClient]:
    with create_app().test_client() as client:
        yield client


@pytest.mark.parametrize(
    "path",
    [
        "package.json",
        "package-lock.json",
        "node_modules/three/build/three.module.js",
        "node_modules/three/package.json",
        "vendor/three/package.json",
        "vendor/../package.json",
        "js/../package.json",
        "js/..%2fpackage.json",
        "%2e%2e/pyproject.toml",
        "//etc/passwd",
        "js",
        "js/",
        "css/booth.css/",
        "css/booth.css%00.js",
        ".npmrc",
    ],
)
def test_what_is_not_on_the_list_is_not_there(client: FlaskClient, path: str) -> None:
    answer = client.get(f"/static/{path}")
    # werkzeug folds // and the answer then leads to an address that is not there either
    assert answer.status_code in (404, 308)
    if answer.status_code == 308:
        assert client.get(answer.headers["Location"]).status_code == 404


def test_our_own_files_are_served_with_their_type_and_an_etag(client: FlaskClient) -> None:
    answer = client.get("/static/css/booth.css")
    assert (answer.status_code, answer.content_type) == (200, "text/css; charset=utf-8")
    again = client.get("/static/css/booth.css", headers={"If-None-Match": answer.headers["ETag"]})
    assert again.status_code == 304


def test_the_list_holds_our_files_and_three_js_only() -> None:
    for address, file in served().items():
        assert address.startswith(("css/", "js/", "vendor/three.", "vendor/fonts/")), address
        assert file.suffix in (".css", ".js", ".svg", ".woff2"), address


def test_all_our_javascript_is_at_most_80_kb_before_compression(client: FlaskClient) -> None:
    sizes = {one: len(client.get(f"/static/{one}").data) for one in served() if one.startswith("js/")}
    assert len(sizes) > 10
    assert sum(sizes.values()) <= 80_000, sizes


def test_a_module_is_served_without_its_comments_and_is_still_one(client: FlaskClient) -> None:
    text = client.get("/static/js/wall_scene.js").text
    assert "/**" not in text
    assert text.startswith("import {")
    assert "export class WallScene" in text


def test_code_after_a_type_at_the_start_of_a_line_is_served(tmp_path: Path) -> None:
    module = tmp_path / "module.js"
    module.write_text(
        "/** One. */\nlet a;\n/** @type {X} */ (a).b = 1;\nlet c;\n  /** Two,\n   * on. */\nlet d;\n"
    )
    assert bare(module) == "let a;\n(a).b = 1;\nlet c;\nlet d;\n"


def test_what_our_styles_and_pages_name_is_served_and_a_typeface_is_kept(client: FlaskClient) -> None:
    named = {
        address
        for one in served()
        if one.endswith(".css")
        for address in re.findall(r'url\("([^"]+)"\)', client.get(f"/static/{one}").text)
    }
    early = re.findall(r'<link rel="preload"[^>]* href="([^"]+)"', client.get("/ballpark").text)
    assert len(early) == 2
    assert set(early) < named, (
        "a browser takes what it was told to fetch early for the face of the same address"
    )
    for address in named:
        answer = client.get(address)
        assert (answer.status_code, answer.content_type) == (200, "font/woff2"), address
        assert answer.headers["Cache-Control"] == "public, max-age=2592000"
    assert client.get("/static/css/faces.css").headers["Cache-Control"] == "no-cache"
