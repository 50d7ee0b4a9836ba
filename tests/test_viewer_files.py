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


@pytest.mark.parametrize("refused", ["a", "b", "c"])
def test_what_was_there_stands_again_when_one_of_several_cannot_be_replaced(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, refused: str
) -> None:
    write(tmp_path / "a", b"before")
    replace = Path.replace

    def refusing(self: Path, target: Path) -> Path:
        if target.name == refused and self.read_bytes() == b"after":
            raise PermissionError(1, "Operation not permitted", str(target))
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", refusing)
    with pytest.raises(OSError, match=f"not permitted.*{refused}"):
        write_all(dict.fromkeys((tmp_path / name for name in "abc"), b"after"))
    assert [(found.name, found.read_bytes()) for found in tmp_path.iterdir()] == [("a", b"before")]


def test_what_cannot_be_put_back_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(tmp_path / "a", b"before")
    replace = Path.replace

    def once(self: Path, target: Path) -> Path:
        monkeypatch.setattr(Path, "replace", refusing)
        return replace(self, target)

    def refusing(_self: Path, target: Path) -> Path:
        raise PermissionError(1, "Operation not permitted", str(target))

    monkeypatch.setattr(Path, "replace", once)
    with pytest.raises(PermissionError) as caught:
        write_all({tmp_path / "a": b"after", tmp_path / "b": b"after"})
    assert caught.value.__notes__ == [
        f"{tmp_path / 'a'} is already the new one and could not be put back: Operation not permitted"
    ]


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
