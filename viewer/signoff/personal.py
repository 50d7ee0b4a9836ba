"""Personal data apart from the record: the chain holds salted hashes, salt and value stand beside it.

Erasing a value breaks nothing: the chain still verifies, and nobody can tell from a hash with a lost 128-bit
salt whose name it was.
"""

import hashlib
import secrets
from collections.abc import Mapping
from dataclasses import dataclass

from viewer.job.canonical import canonical


@dataclass(frozen=True, slots=True, kw_only=True)
class Personal:
    """One value that belongs to a person, with the salt that hides it."""

    salt: str
    value: str

    @property
    def reference(self) -> str:
        """What stands in the chain instead of the value: SHA-256 over the canonical JSON of both."""
        return hashlib.sha256(canonical({"salt": self.salt, "value": self.value})).hexdigest()


def conceal(value: str) -> Personal:
    """A value with a fresh salt of 128 bits."""
    return Personal(salt=secrets.token_hex(16), value=value)


def as_json(values: Mapping[str, Personal]) -> dict[str, dict[str, str]]:
    """References to salts and values, as they stand beside the chain in an exported file."""
    return {reference: {"salt": one.salt, "value": one.value} for reference, one in values.items()}
