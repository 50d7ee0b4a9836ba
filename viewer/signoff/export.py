"""A record as one file: canonical JSON that proves itself, with personal data apart and erasable."""

import base64
from collections.abc import Mapping, Sequence
from typing import Any

from viewer.job.canonical import canonical
from viewer.signoff.chain import Entry
from viewer.signoff.keys import Signer, fingerprint
from viewer.signoff.personal import Personal, as_json

FORMAT = 1
KIND = "slatwright record"


def export(entries: Sequence[Entry], personal: Mapping[str, Personal], signer: Signer) -> bytes:
    """The bytes of a record file. The seal covers the whole chain: no entry can be left off its end."""
    head = entries[-1].hash if entries else ""
    return canonical(
        {
            "format": FORMAT,
            "kind": KIND,
            "key": {
                "ed25519": base64.b64encode(signer.public).decode(),
                "fingerprint": fingerprint(signer.public),
            },
            "entries": [entry.as_json() for entry in entries],
            "personal": as_json(personal),
            "seal": base64.b64encode(signer.sign(canonical(sealed(len(entries), head)))).decode(),
        }
    )


def sealed(count: int, head: str) -> dict[str, Any]:
    """What the seal signs: how many entries there are and the hash of the last."""
    return {"entries": count, "head": head}
