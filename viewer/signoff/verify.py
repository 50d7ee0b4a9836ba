"""Whether a record file still says what was signed: no database, no network, only the file and its key."""

import base64
import binascii
import hashlib
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from viewer.job.canonical import canonical, digest
from viewer.job.reading import NotJSONError, read_json
from viewer.signoff.chain import FIRST_PREVIOUS, STAGES
from viewer.signoff.export import FORMAT, KIND, sealed
from viewer.signoff.keys import fingerprint, signed_by

ENTRY_KEYS = {"place", "stage", "at", "previous", "sections", "hashes", "supersedes", "signature"}
FILE_KEYS = {"format", "kind", "key", "entries", "personal", "seal"}
TIME = re.compile(r"\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d{1,6})?Z")


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What was found: ``altered`` names every place that does not hold; ``erased`` values are no fault."""

    altered: tuple[str, ...]
    signer_checked: bool
    fingerprint: str
    entries: int
    erased: tuple[str, ...]

    @property
    def intact(self) -> bool:
        return not self.altered

    @property
    def words(self) -> str:
        """One line for a person."""
        if self.altered:
            return "altered: " + "; ".join(self.altered)
        return "intact, signed by the given key" if self.signer_checked else "intact, signer not checked"


def verify(data: bytes, *, key: str | None = None) -> Verdict:
    """Check the bytes of a record file, and its signer against a ``key`` fingerprint if one is given."""
    try:
        document = read_json(data)
    except NotJSONError as error:
        return _broken(f"file: {error}")
    if not isinstance(document, dict) or set(document) != FILE_KEYS or document.get("kind") != KIND:
        return _broken("file: this is no record file")
    if document["format"] != FORMAT:
        shown = json.dumps(document["format"])
        return _broken(f"format: {shown} is not known here; this program reads format {FORMAT}")
    try:
        same = canonical(document) == data
    except ValueError as error:
        return _broken(f"file: {error}")
    faults = [] if same else ["file: not the canonical bytes that were written (RFC 8785)"]
    public = _decoded(document["key"].get("ed25519") if isinstance(document["key"], dict) else None, 32)
    found = fingerprint(public) if public else ""
    if public is None or document["key"] != {
        "ed25519": base64.b64encode(public).decode(),
        "fingerprint": found,
    }:
        faults.append("key: its fingerprint does not belong to it")
    if key is not None and key.strip().lower().replace("-", "") != found.replace("-", ""):
        faults.append(f"key: signed by {found or 'nobody'}, not by {key}")
    entries = document["entries"] if isinstance(document["entries"], list) else []
    if entries is not document["entries"]:
        faults.append("entries: expected a list")
    faults += _chain(entries, public or b"")
    seal = _decoded(document["seal"], 64)
    head = digest(entries[-1]) if entries else ""
    if seal is None or not signed_by(public or b"", seal, canonical(sealed(len(entries), head))):
        faults.append("seal: the list of entries is not the one that was sealed")
    personal, erased = _personal(document["personal"], entries)
    return Verdict(
        altered=tuple(dict.fromkeys([*faults, *personal])),
        signer_checked=key is not None,
        fingerprint=found,
        entries=len(entries),
        erased=tuple(erased),
    )


def _broken(fault: str) -> Verdict:
    return Verdict(altered=(fault,), signer_checked=False, fingerprint="", entries=0, erased=())


def _decoded(text: Any, length: int) -> bytes | None:
    """Base64 of exactly ``length`` bytes in its one canonical spelling, or None."""
    if not isinstance(text, str):
        return None
    try:
        raw = base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError):
        return None
    return raw if len(raw) == length and base64.b64encode(raw).decode() == text else None


def _chain(entries: list[Any], public: bytes) -> Iterator[str]:
    previous, last_time = FIRST_PREVIOUS, ""
    for place, entry in enumerate(entries):
        if not isinstance(entry, dict) or set(entry) != ENTRY_KEYS or entry["stage"] not in STAGES:
            yield f"entries[{place}]: this is no entry of a record"
            previous = digest(entry)
            continue
        where = f"entries[{place}] ({entry['stage']})"
        yield from _entry(entry, where, place, public)
        if entry["previous"] != previous:
            yield f"{where}.previous: does not follow the entry before it"
        if not isinstance(entry["at"], str) or not TIME.fullmatch(entry["at"]) or entry["at"] < last_time:
            yield f"{where}.at: no time at or after the entry before it"
        else:
            last_time = entry["at"]
        previous = digest(entry)


def _entry(entry: Mapping[str, Any], where: str, place: int, public: bytes) -> Iterator[str]:
    if entry["place"] != place:
        yield f"{where}.place: {entry['place']} stands at {place}"
    sections, hashes = entry["sections"], entry["hashes"]
    if not isinstance(sections, dict) or not isinstance(hashes, dict):
        yield f"{where}.sections: expected sections and their hashes by name"
        return
    for name in sorted(set(sections) | set(hashes)):
        if name not in sections or name not in hashes or digest(sections[name]) != hashes[name]:
            yield f"{where}.sections.{name}: not what was signed"
    body = {name: value for name, value in entry.items() if name != "signature"}
    signature = _decoded(entry["signature"], 64)
    if signature is None or not signed_by(public, signature, canonical(body)):
        yield f"{where}: its signature does not hold"


def _references(value: Any) -> Iterator[str]:
    """Every ``{"personal": reference}`` inside the sections."""
    if isinstance(value, dict):
        if set(value) == {"personal"} and isinstance(value["personal"], str):
            yield value["personal"]
        else:
            for item in value.values():
                yield from _references(item)
    elif isinstance(value, list):
        for item in value:
            yield from _references(item)


def _personal(values: Any, entries: list[Any]) -> tuple[list[str], list[str]]:
    """Faults among the personal values, and the references whose values were erased."""
    referred = list(dict.fromkeys(_references(entries)))
    if not isinstance(values, dict):
        return ["personal: expected salts and values by reference"], referred
    faults = []
    for reference, one in values.items():
        if not isinstance(one, dict) or set(one) != {"salt", "value"}:
            faults.append(f"personal.{reference}: expected a salt and a value")
        elif hashlib.sha256(canonical(one)).hexdigest() != reference:
            faults.append(f"personal.{reference}: not the value that was signed")
        elif reference not in referred:
            faults.append(f"personal.{reference}: belongs to no entry")
    return faults, [reference for reference in referred if reference not in values]
