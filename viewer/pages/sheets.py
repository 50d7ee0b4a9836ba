"""The sheets page: every sheet of the pack drawn, printed or fetched, and all files of the pack."""

from gettext import gettext as _
from typing import Any

from flask import Blueprint, Response, abort, render_template, request, url_for
from markupsafe import Markup

from viewer.pack.archive import zip_bytes
from viewer.pack.documents import DOCUMENTS, Document, workshop
from viewer.pages.matters import chosen_paper, matter, packed
from viewer.pages.opened import opened
from viewer.pages.places import number_below
from viewer.sheets.book import Book
from viewer.sheets.paper import PAPER_SIZES

blueprint = Blueprint("sheets_page", __name__, url_prefix="/jobs/<name>")

TYPES = {
    "pdf": "application/pdf",
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "dxf": "image/vnd.dxf",
    "svg": "image/svg+xml",
    "json": "application/json",
    "glb": "model/gltf-binary",
}
"""Media types of the pack's files by the ending of their names."""


@blueprint.get("/sheets")
@blueprint.get("/sheets/<document>")
def sheets(name: str, document: str = DOCUMENTS[0].name) -> str:
    """One document of the pack, sheet by sheet."""
    on, shown = opened(name), _document(document)
    about = matter(name)
    book = shown.book(about)
    count = len(book.pages)
    only = number_below(request.args.get("sheet", ""), count)
    every = _address("sheets_page.sheets", name, document=document)
    page = {
        **on.heading("sheets_page.sheets"),
        "document": shown.words,
        "leaves": [
            {
                "svg": Markup(svg),
                "title": leaf.title,
                "lying": leaf.sheet.width > leaf.sheet.height,
                "long": (long := leaf.sheet.binder == "none"),  # a strip at true size, no sheet of the paper
                "words": _("Sheet {number} of {count} at full size").format(number=number + 1, count=count),
                "address": ""
                if long or only is not None
                else _address("sheets_page.sheets", name, document=document, sheet=str(number)),
            }
            for number, (svg, leaf) in enumerate(zip(book.screens(), book.pages, strict=True))
            if only in (None, number)
        ],
        "whole": {"words": _("Every sheet of this document"), "address": every} if only is not None else None,
        "groups": _groups(name, shown),
        "papers": [
            (paper, url_for("sheets_page.sheets", name=name, document=document, paper=paper))
            for paper in PAPER_SIZES
        ],
        "paper": about.paper,
        "finish": about.label,
        "stamp": about.stamp.words,
        "pdf": _address("sheets_page.pdf", name, document=document),
        "workshop": _address("sheets_page.workshop_pdf", name),
        "archive": _address("sheets_page.archive", name),
        "files": url_for("sheets_page.files", name=name),
        "changes": url_for("changes_page.changes", name=name),
        "cutting": url_for("cutting_page.cutting", name=name),
    }
    return render_template("sheets.html", page=page)


def _groups(name: str, shown: Document) -> list[dict[str, Any]]:
    """The documents by who reads them."""
    return [
        {
            "words": words,
            "documents": [
                (one.words, _address("sheets_page.sheets", name, document=one.name), one is shown)
                for one in DOCUMENTS
                if one.reader == reader
            ],
        }
        for reader, words in _readers().items()
    ]


def _readers() -> dict[str, str]:
    return {
        "workshop": _("For the workshop"),
        "shop": _("For the shop"),
        "client": _("For the client"),
        "maker": _("For the maker only"),
    }


def _folders() -> dict[str, str]:
    """The folders of the pack, in words: what people read before what machines read."""
    return _readers() | {
        "": _("About the pack"),
        "data": _("For programs: job, set-out, take-off, model"),
        "data/csv": _("For programs: tables"),
        "data/dxf": _("For programs: drawings to cut by"),
        "data/svg": _("For programs: drawings to look at"),
    }


def _address(endpoint: str, name: str, **values: str) -> str:
    """An address that keeps the size of paper."""
    paper = chosen_paper() if "paper" in request.args else None
    return url_for(endpoint, name=name, paper=paper, **values)  # type: ignore[arg-type] # values are path parts


def _document(name: str) -> Document:
    found = next((one for one in DOCUMENTS if one.name == name), None)
    return found or abort(404)


@blueprint.get("/sheets/<document>.pdf")
def pdf(name: str, document: str) -> Response:
    """One document on paper."""
    return _paper(_document(document).book(matter(name)), document)


@blueprint.get("/workshop.pdf")
def workshop_pdf(name: str) -> Response:
    """All the workshop's sheets as one document."""
    return _paper(workshop(matter(name)), "workshop")


def _paper(book: Book, name: str) -> Response:
    response = Response(book.pdf(), mimetype="application/pdf")
    response.headers["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    return response


@blueprint.get("/pack.zip")
def archive(name: str) -> Response:
    """Every file of the pack in one archive."""
    version = matter(name).stamp.version
    response = Response(zip_bytes(packed(name), folder=f"pack-{version}"), mimetype="application/zip")
    response.headers["Content-Disposition"] = f'attachment; filename="pack-{version}.zip"'
    return response


@blueprint.get("/files")
def files(name: str) -> str:
    """Every file of the pack by its folder."""
    on = opened(name)
    known, folders = _folders(), dict[str, list[dict[str, str]]]()
    order = {folder: place for place, folder in enumerate(known)}
    split = {path: path.rpartition("/")[::2] for path in packed(name)}
    for path, data in sorted(
        packed(name).items(), key=lambda item: (order.get(split[item[0]][0], len(order)), split[item[0]])
    ):
        folder, file = split[path]
        folders.setdefault(known.get(folder, folder), []).append(
            {
                "name": file,
                "address": _address("sheets_page.file", name, path=path),
                "size": _("%(kb).0f kB") % {"kb": max(1, len(data) / 1000)},
            }
        )
    page = {
        **on.heading("sheets_page.sheets"),
        "folders": folders,
        "sheets": _address("sheets_page.sheets", name),
        "archive": _address("sheets_page.archive", name),
    }
    return render_template("files.html", page=page)


@blueprint.get("/files/<path:path>")
def file(name: str, path: str) -> Response:
    """One file of the pack; the path is looked up in the pack, never on a disk."""
    data = packed(name).get(path)
    if data is None:
        abort(404)
    ending = path.rpartition(".")[2]
    response = Response(data, mimetype=TYPES.get(ending, "application/octet-stream"))
    response.headers["Content-Disposition"] = f'attachment; filename="{path.rpartition("/")[2]}"'
    return response
