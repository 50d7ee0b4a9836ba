"""``slatwright record`` and ``verify``: an altered byte is found without a database."""

import json
from pathlib import Path

import pytest

from viewer.cli import invoke
from viewer.clock import utc_now
from viewer.signoff.keys import fingerprint
from viewer.store.opening import open_store


@pytest.fixture
def recorded(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[Path, str]:
    """A record file and its key's fingerprint, exported by the command; the data folder is then gone."""
    monkeypatch.setenv("SLATWRIGHT_DATA_DIR", str(tmp_path / "data"))
    store = open_store(tmp_path / "data", None, utc_now)
    job = store.jobs.add({"name": "Wall (invented)"})
    store.records.append(job.id, stage="offer", at="2026-11-21T18:30:00Z", sections={"job": {"gap_mm": 14}})
    key = fingerprint(store.records.signer.public)
    store.close()
    assert invoke(["record", job.id, "-o", str(tmp_path / "r.json")]) == 0
    assert invoke(["record", "no-such-job", "-o", str(tmp_path / "none.json")]) == 2
    assert not (tmp_path / "none.json").exists()
    monkeypatch.setenv("SLATWRIGHT_DATA_DIR", str(tmp_path / "elsewhere"))
    return tmp_path / "r.json", key


def test_a_record_verifies_without_the_database(
    recorded: tuple[Path, str], capsysbinary: pytest.CaptureFixture[bytes]
) -> None:
    file, key = recorded
    capsysbinary.readouterr()
    for arguments, words in ((["--key", key], "signed by the given key"), ([], "signer not checked")):
        assert invoke(["verify", str(file), *arguments]) == 0
        answer = json.loads(capsysbinary.readouterr().out)
        assert answer["verdict"] == f"intact, {words}"
        assert (answer["fingerprint"], answer["entries"], answer["altered"]) == (key, 1, [])
    assert not (file.parent / "elsewhere").exists()


def test_an_altered_one_is_named_and_exits_with_2(
    recorded: tuple[Path, str], capsysbinary: pytest.CaptureFixture[bytes]
) -> None:
    file, key = recorded
    file.write_bytes(file.read_bytes().replace(b'"gap_mm":14', b'"gap_mm":15'))
    capsysbinary.readouterr()
    assert invoke(["verify", str(file), "--key", key]) == 2
    answer = json.loads(capsysbinary.readouterr().out)
    assert "entries[0] (offer).sections.job: not what was signed" in answer["altered"]
    assert not answer["intact"]


def test_another_key_is_an_altered_record(recorded: tuple[Path, str]) -> None:
    assert invoke(["verify", str(recorded[0]), "--key", "0000-0000"]) == 2
    assert invoke(["verify", str(recorded[0].with_name("missing"))]) == 1
