"""Sheets on a screen: the same sheets, words and lines as on paper, as well-formed SVG."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from paper_read import words
from test_sheets_labels import matter

from viewer.drawings.pen import FAMILY
from viewer.pack.documents import DOCUMENTS, Document
from viewer.sheets.matter import Matter
from viewer.sheets.screen import FAMILIES

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def one() -> Matter:
    return matter()


def said(sheets: tuple[str, ...]) -> list[str]:
    """Every word of the sheets, titles of drawings left out."""
    texts = [
        "".join(element.itertext())
        for sheet in sheets
        for element in ElementTree.fromstring(sheet).iter(f"{SVG}text")
    ]
    return sorted(re.findall(r"[\w.]+", " ".join(texts)))


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda document: document.name)
def test_page_and_paper_say_the_same_words(document: Document, one: Matter, tmp_path: Path) -> None:
    sheets = document.book(one).screens()
    paper = words(document.book(one).pdf(), tmp_path)
    # a reader of PDFs may split or join words that stand close: signs are compared, not gaps
    assert sorted("".join(said(sheets))) == sorted("".join(re.findall(r"[\w.]+", paper)))
    assert len(sheets) == len(document.book(one).pages)


def test_a_sheet_has_papers_size_and_nothing_from_elsewhere(one: Matter) -> None:
    for document in DOCUMENTS:
        book = document.book(one)
        for sheet, page in zip(book.screens(), book.pages, strict=True):
            root = ElementTree.fromstring(sheet)
            assert root.get("viewBox") == f"0 0 {page.sheet.width:g} {page.sheet.height:g}"
            assert root.get("aria-label") == page.title
            kinds = {element.tag.removeprefix(SVG) for element in root.iter()}
            assert kinds <= {"svg", "g", "text", "tspan", "line", "rect", "path", "circle", "title", "desc"}
            assert not re.search(r"(href|src|style|on\w+)=", sheet)


def test_drawings_and_words_are_set_in_the_faces_of_the_page() -> None:
    assert FAMILIES["condensed"] == FAMILY
