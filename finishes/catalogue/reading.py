"""Reading the files of a folder into entries; every problem is kept, none stops the reading."""

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from finishes.catalogue.block import did_you_mean
from finishes.catalogue.entry_block import EntryBlock
from finishes.catalogue.kinds import READERS
from finishes.lamps import measured_lamp


class Reading:
    """What has been read so far: ``found`` by kind and name, and the ``problems``, one line each."""

    def __init__(self, cache_dir: Path | None = None) -> None:
        self.found: dict[str, dict[str, Any]] = {kind: {} for kind in READERS}
        self.problems: list[str] = []
        self._origin: dict[tuple[str, str], Path] = {}
        self._cache_dir = cache_dir

    def read_folder(self, folder: Path) -> None:
        """All ``*.toml`` of a folder, by name; an entry replaces its namesake of an earlier folder."""
        if not folder.is_dir():
            self.problems.append(f"{folder}: is not a folder")
        for path in sorted(folder.glob("*.toml")):
            self._read_file(path)

    def from_folders(self, *, but: Path) -> dict[tuple[str, str], str]:
        """(kind, name) and file name of every entry that stands in another folder than ``but``."""
        return {key: path.name for key, path in self._origin.items() if path.parent != but}

    def _read_file(self, path: Path) -> None:
        try:
            document = tomllib.loads(path.read_text(encoding="utf-8"))
        except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
            self.problems.append(f"{path.name}: cannot be read as TOML: {error}")
            return
        sources = document.pop("sources", {})
        if not isinstance(sources, dict) or not all(isinstance(text, str) for text in sources.values()):
            self.problems.append(f"{path.name}: sources: must be a table of texts")
            sources = {}
        for kind, blocks in document.items():
            if kind not in READERS:
                near = did_you_mean(kind, READERS)
                self.problems.append(f"{path.name}: [[{kind}]] is not a kind of entry{near}")
            elif not isinstance(blocks, list) or not all(isinstance(block, dict) for block in blocks):
                self.problems.append(f"{path.name}: write each {kind} as a block of its own, [[{kind}]]")
            else:
                for number, table in enumerate(blocks, start=1):
                    self._read_block(path, kind, number, table, sources)

    def _read_block(
        self, path: Path, kind: str, number: int, table: Mapping[str, Any], sources: Mapping[str, str]
    ) -> None:
        name = table.get("name")
        shown = repr(name) if isinstance(name, str) and name else f"number {number}"
        where = f"{path.name}: {kind} {shown}"
        block = EntryBlock(where=where, table=table, sources=sources, problems=self.problems)
        name = block.text("name")
        before = self._origin.get((kind, name))
        if before is not None and before.parent == path.parent:
            block.problem("name", f"stands already in {before.name}; give it a name of its own")
        self._origin[(kind, name)] = path
        if kind == "lamp" and "csv" in table:
            block.table = {**table, "csv": self._csv(path, table, block)}
        self.found[kind][name] = READERS[kind](block, name)
        block.finish()

    def _csv(self, path: Path, table: Mapping[str, Any], block: EntryBlock) -> str:
        """The text of a lamp's measured file, which then stands in place of the file's name."""
        file = path.parent / str(table["csv"])
        try:
            text = file.read_text(encoding="utf-8")
            measured_lamp(str(table.get("name")), text, cache_dir=self._cache_dir)
        except OSError as error:
            block.problem("csv", f"{file.name} cannot be read: {error.strerror}")
        except UnicodeDecodeError:
            block.problem("csv", f"{file.name} cannot be read: it is not text in UTF-8")
        except ValueError as error:
            for line in str(error).splitlines():
                block.problem("csv", f"{file.name}: {line}")
        else:
            return text
        return ""
