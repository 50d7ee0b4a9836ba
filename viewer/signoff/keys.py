"""The installation's Ed25519 key (RFC 8032): made once, kept in the data folder, private to its owner."""

import base64
import hashlib
import os
from dataclasses import dataclass
from pathlib import Path

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat, PublicFormat

FILE_NAME = "record-key"


class KeyFileError(Exception):
    """The key file cannot be used; the message names the file and says what would be accepted."""


@dataclass(frozen=True, slots=True)
class Signer:
    """Signs records. ``private`` never leaves this object but for its own file."""

    private: Ed25519PrivateKey

    @property
    def public(self) -> bytes:
        """The 32 bytes of the public key."""
        return self.private.public_key().public_bytes(Encoding.Raw, PublicFormat.Raw)

    def sign(self, message: bytes) -> bytes:
        """The 64 bytes of the signature."""
        return self.private.sign(message)


def fingerprint(public: bytes) -> str:
    """SHA-256 of a public key as ten groups of four, short enough to print on a sheet and to read out.

    160 bits of the hash: a second key with the same fingerprint is out of reach.
    """
    text = hashlib.sha256(public).hexdigest()[:40]
    return "-".join(text[at : at + 4] for at in range(0, 40, 4))


def signed_by(public: bytes, signature: bytes, message: bytes) -> bool:
    """Whether ``signature`` is that of ``public`` over ``message``."""
    try:
        Ed25519PublicKey.from_public_bytes(public).verify(signature, message)
    except (InvalidSignature, ValueError):
        return False
    return True


def load_or_make(folder: Path) -> Signer:
    """The key of a data folder, made on first use. Two first uses at once agree on one key.

    Raises ``KeyFileError`` when the file is there but holds no key: a new key would disown every old record.
    """
    path = folder / FILE_NAME
    if not path.exists():
        _make(path)
    try:
        seed = base64.b64decode(path.read_bytes().strip(), validate=True)
        return Signer(Ed25519PrivateKey.from_private_bytes(seed))
    except ValueError as error:
        raise KeyFileError(
            f"{path} holds no record key; put back the file from a backup (a new key could not vouch for old "
            "records)"
        ) from error


def _make(path: Path) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    seed = Ed25519PrivateKey.generate().private_bytes(Encoding.Raw, PrivateFormat.Raw, NoEncryption())
    waiting = path.with_name(f".{path.name}.{os.getpid()}.part")
    descriptor = os.open(waiting, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(base64.b64encode(seed) + b"\n")
            file.flush()
            os.fsync(file.fileno())
        try:
            os.link(waiting, path)  # fails if another process was first: its key is the one that counts
        except FileExistsError:
            return
    finally:
        waiting.unlink()
