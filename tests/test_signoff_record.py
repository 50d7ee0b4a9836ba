"""The record: RFC 8032 vectors, every altered byte found, erasure that leaves the chain whole."""

import json
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from hypothesis import given, settings
from hypothesis import strategies as st

from viewer.job.canonical import canonical
from viewer.signoff.chain import append
from viewer.signoff.export import export
from viewer.signoff.keys import FILE_NAME, KeyFileError, Signer, fingerprint, load_or_make, signed_by
from viewer.signoff.personal import conceal
from viewer.signoff.verify import verify

# RFC 8032, section 7.1: secret key, public key, message, signature of TEST 1 to 3
RFC_8032 = [
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46b"
        "d25bf5f0595bbe24655141438e7a100b",
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c"
        "387b2eaeb4302aeeb00d291612bb0c00",
    ),
    (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc659"
        "4a7c15e9716ed28dc027beceea1ec40a",
    ),
]
SIGNER = Signer(Ed25519PrivateKey.from_private_bytes(bytes.fromhex(RFC_8032[0][0])))
CLIENT = conceal("A. Client (invented)")


def record() -> bytes:
    entries = append((), SIGNER, stage="offer", at="2026-11-20T09:00:00Z", sections={"job": {"gap_mm": 14}})
    entries = append(
        entries,
        SIGNER,
        stage="signature",
        at="2026-11-21T18:30:00Z",
        sections={"choice": {"finish": "A"}, "client": {"name": {"personal": CLIENT.reference}}},
    )
    return export(entries, {CLIENT.reference: CLIENT}, SIGNER)


RECORD = record()
FINGERPRINT = fingerprint(SIGNER.public)


@pytest.mark.parametrize(("secret", "public", "message", "signature"), RFC_8032)
def test_rfc_8032_section_7_1(secret: str, public: str, message: str, signature: str) -> None:
    signer = Signer(Ed25519PrivateKey.from_private_bytes(bytes.fromhex(secret)))
    assert signer.public.hex() == public
    assert signer.sign(bytes.fromhex(message)).hex() == signature
    assert signed_by(signer.public, bytes.fromhex(signature), bytes.fromhex(message))


def test_an_untouched_record_is_intact() -> None:
    assert verify(RECORD).words == "intact, signer not checked"
    assert verify(RECORD, key=FINGERPRINT).words == "intact, signed by the given key"
    assert verify(RECORD, key=FINGERPRINT.upper().replace("-", "")).intact


def test_another_key_is_named() -> None:
    other = fingerprint(bytes(32))
    assert verify(RECORD, key=other).altered == (f"key: signed by {FINGERPRINT}, not by {other}",)


@given(place=st.integers(0, len(RECORD) - 1), change=st.integers(1, 255))
@settings(max_examples=600, deadline=None)
def test_any_altered_byte_is_found(place: int, change: int) -> None:
    altered = bytearray(RECORD)
    altered[place] ^= change
    assert not verify(bytes(altered)).intact


@given(place=st.integers(0, len(RECORD)), length=st.integers(1, 40))
@settings(max_examples=200, deadline=None)
def test_a_cut_or_a_repeat_is_found(place: int, length: int) -> None:
    piece = RECORD[place : place + length]
    if piece:
        assert not verify(RECORD[:place] + RECORD[place + length :]).intact
        assert not verify(RECORD[: place + length] + piece + RECORD[place + length :]).intact


def test_what_was_altered_is_named() -> None:
    document = json.loads(RECORD)
    document["entries"][0]["sections"]["job"]["gap_mm"] = 17
    altered = verify(json.dumps(document, separators=(",", ":"), sort_keys=True).encode()).altered
    assert "entries[0] (offer).sections.job: not what was signed" in altered
    assert "entries[0] (offer): its signature does not hold" in altered
    assert "entries[1] (signature).previous: does not follow the entry before it" in altered


def test_an_entry_left_off_the_end_breaks_the_seal() -> None:
    document = json.loads(RECORD)
    del document["entries"][1]
    document["personal"] = {}
    altered = verify(json.dumps(document, separators=(",", ":"), sort_keys=True).encode()).altered
    assert altered == ("seal: the list of entries is not the one that was sealed",)


def test_erased_personal_data_leaves_the_chain_whole() -> None:
    document = json.loads(RECORD)
    del document["personal"][CLIENT.reference]
    erased = canonical(document)
    assert b"A. Client" not in erased
    verdict = verify(erased, key=FINGERPRINT)
    assert verdict.intact
    assert verdict.erased == (CLIENT.reference,)


def test_a_clock_set_back_never_reorders_the_record() -> None:
    entries = append((), SIGNER, stage="offer", at="2026-11-20T09:00:00Z", sections={})
    entries = append(entries, SIGNER, stage="deposit", at="2026-11-19T09:00:00Z", sections={})
    assert entries[1].at == "2026-11-20T09:00:00Z"
    assert verify(export(entries, {}, SIGNER)).intact


def test_superseding_names_an_earlier_entry() -> None:
    with pytest.raises(ValueError, match="supersedes: 3 names none of the 0 earlier entries"):
        append((), SIGNER, stage="offer", at="2026-11-20T09:00:00Z", sections={}, supersedes=3)


@pytest.mark.parametrize(
    "data",
    [b"", b"{", b"[]", b'{"format":1}', b"\xff\xfe", b"null", RECORD.replace(b"14", b"9007199254740993")],
)
def test_what_is_no_record_is_said_so(data: bytes) -> None:
    assert not verify(data).intact


def test_a_newer_format_is_named() -> None:
    newer = RECORD.replace(b'"format":1', b'"format":2')
    assert verify(newer).altered == ("format: 2 is not known here; this program reads format 1",)


def test_the_key_is_made_once_and_kept_private(tmp_path: Path) -> None:
    first = load_or_make(tmp_path)
    assert load_or_make(tmp_path).public == first.public
    assert (tmp_path / FILE_NAME).stat().st_mode & 0o777 == 0o600
    assert [path.name for path in tmp_path.iterdir()] == [FILE_NAME]


def test_a_broken_key_file_is_refused_not_replaced(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).write_text("not a key")
    with pytest.raises(KeyFileError, match="holds no record key"):
        load_or_make(tmp_path)
    assert (tmp_path / FILE_NAME).read_text() == "not a key"
