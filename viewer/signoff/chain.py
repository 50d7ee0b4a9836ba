"""The record of one job as a chain: each entry holds the hash of the one before and its own signature.

::

    entry 0 (offer)  <--previous--  entry 1 (signature)  <--previous--  entry 2 (handover)
        |                               |                                   |
        hash, Ed25519                   hash, Ed25519                       hash, Ed25519

What is hashed and signed is canonical JSON (RFC 8785). An entry is never edited: a later one supersedes it.
"""

import base64
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from viewer.job.canonical import canonical, digest
from viewer.signoff.keys import Signer

Stage = Literal["offer", "signature", "deposit", "remeasure", "variation", "handover", "withdrawn"]
STAGES: tuple[Stage, ...] = (
    "offer",
    "signature",
    "deposit",
    "remeasure",
    "variation",
    "handover",
    "withdrawn",
)
FIRST_PREVIOUS = "0" * 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One step of the record.

    ``at`` is UTC as ISO 8601 with a Z; ``sections`` are plain JSON by name (job, offer, choice, pictures, …);
    ``supersedes`` is the place of the entry that this one replaces, or None.
    """

    place: int
    stage: Stage
    at: str
    previous: str
    sections: Mapping[str, Any]
    supersedes: int | None
    signature: bytes

    def unsigned(self) -> dict[str, Any]:
        """What is signed: everything but the signature, each section by its hash as well."""
        return unsigned(
            place=self.place,
            stage=self.stage,
            at=self.at,
            previous=self.previous,
            sections=self.sections,
            supersedes=self.supersedes,
        )

    @property
    def hash(self) -> str:
        """What the next entry's ``previous`` must be; covers the signature too."""
        return digest(self.as_json())

    def as_json(self) -> dict[str, Any]:
        """The entry as it stands in a file."""
        return {**self.unsigned(), "signature": base64.b64encode(self.signature).decode()}


def unsigned(
    *,
    place: int,
    stage: str,
    at: str,
    previous: str,
    sections: Mapping[str, Any],
    supersedes: int | None,
) -> dict[str, Any]:
    """The part of an entry that is signed, as plain JSON."""
    return {
        "place": place,
        "stage": stage,
        "at": at,
        "previous": previous,
        "sections": dict(sections),
        "hashes": {name: digest(section) for name, section in sections.items()},
        "supersedes": supersedes,
    }


def append(
    entries: Sequence[Entry],
    signer: Signer,
    *,
    stage: Stage,
    at: str,
    sections: Mapping[str, Any],
    supersedes: int | None = None,
) -> tuple[Entry, ...]:
    """The chain with one more entry. Time may not run backwards: a clock set back keeps the last time.

    Raises ``ValueError`` when ``supersedes`` names no earlier entry.
    """
    if supersedes is not None and not 0 <= supersedes < len(entries):
        raise ValueError(f"supersedes: {supersedes} names none of the {len(entries)} earlier entries")
    previous = entries[-1].hash if entries else FIRST_PREVIOUS
    at = max(at, entries[-1].at) if entries else at
    body = unsigned(
        place=len(entries),
        stage=stage,
        at=at,
        previous=previous,
        sections=sections,
        supersedes=supersedes,
    )
    entry = Entry(
        place=len(entries),
        stage=stage,
        at=at,
        previous=previous,
        sections=dict(sections),
        supersedes=supersedes,
        signature=signer.sign(canonical(body)),
    )
    return (*entries, entry)
