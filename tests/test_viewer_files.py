"""Files appear whole or not at all."""

import os
from pathlib import Path

import pytest

from viewer.files import write, write_all


def test_several_files_appear_together(tmp_path: Path) -> None:
    write_all({tmp_path / "a": b"1", tmp_path / "b": b"2"})
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"a": b"1", "b": b"2"}


def test_a_failure_leaves_none_of_them_and_nothing_beside(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="no/such"):
        write_all({tmp_path / "a": b"1", tmp_path / "no/such/b": b"2"})
    assert list(tmp_path.iterdir()) == []


def test_what_was_there_stays_when_writing_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a"
    write(path, b"before")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        write(path, b"after")
    assert [(found.name, found.read_bytes()) for found in tmp_path.iterdir()] == [("a", b"before")]


def test_what_was_there_is_replaced(tmp_path: Path) -> None:
    path = tmp_path / "a"
    write(path, b"before, and longer")
    write(path, b"after")
    assert path.read_bytes() == b"after"


def test_a_folder_of_that_name_is_no_place_for_a_file(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    with pytest.raises(OSError, match="Is a directory"):
        write_all({tmp_path / "b": b"1", tmp_path / "a": b"2"})
    assert [path.name for path in tmp_path.iterdir()] == ["a"]
