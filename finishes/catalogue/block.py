"""Reading one block of a catalogue file; every problem is kept with file, entry and field."""

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar, cast

from finishes.tagged import TAGS, Number, Range, Tag

Word = TypeVar("Word", bound=str)


@dataclass(slots=True, kw_only=True)
class Block:
    """A TOML table being read. Fields asked for are remembered, so that the rest can be reported.

    Nothing raises: what is wrong joins ``problems`` under the field's name, and a value of the right kind
    stands in for it, so that reading goes on to the next.
    """

    where: str
    table: Mapping[str, Any]
    sources: Mapping[str, str]
    problems: list[str]
    asked: set[str] = field(default_factory=set)

    def problem(self, name: str, text: str) -> None:
        self.problems.append(f"{self.where}: {name}: {text}")

    def raw(self, name: str, *, required: bool) -> Any:
        """The value as TOML gave it; None where it is left out, a problem if it is ``required``."""
        self.asked.add(name)
        if name not in self.table and required:
            self.problem(name, "is missing")
        return self.table.get(name)

    def text(self, name: str, default: str | None = None) -> str:
        """Without white space round it; may be left out or empty only where there is a ``default``."""
        value = self.raw(name, required=default is None)
        if value is None:
            return default or ""
        if not isinstance(value, str) or (default is None and not value.strip()):
            self.problem(name, f"is {value!r}; a text is needed")
            return ""
        return value.strip()

    def flag(self, name: str, default: bool) -> bool:
        """Only true and false themselves; ``default`` where it is left out or wrong."""
        value = self.raw(name, required=False)
        if value is None:
            return default
        if not isinstance(value, bool):
            self.problem(name, f"is {value!r}; true or false is needed")
            return default
        return value

    def whole(self, name: str, lowest: int, highest: int, default: int) -> int:
        """From ``lowest`` to ``highest``, both included; ``default`` where it is left out or wrong."""
        value = self.raw(name, required=False)
        if value is None:
            return default
        if isinstance(value, bool) or not isinstance(value, int) or not lowest <= value <= highest:
            self.problem(name, f"is {value!r}; a whole number from {lowest} to {highest} is needed")
            return default
        return value

    def whole_numbers(self, name: str) -> tuple[int, ...]:
        """Rising and each once, from 1 to 1,000,000; none where they are left out or one is wrong."""
        value = self.raw(name, required=False)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(type(v) is int and 0 < v <= 1_000_000 for v in value):
            self.problem(name, f"is {value!r}; a list of whole numbers from 1 to 1000000 is needed")
            return ()
        return tuple(sorted(set(value)))

    def word(self, name: str, allowed: tuple[Word, ...], default: Word | None = None) -> Word:
        """One of ``allowed``, whose first stands in for a wrong one; required without a ``default``."""
        value = self.raw(name, required=default is None)
        if value is None:
            return default if default is not None else allowed[0]
        if value not in allowed:
            self.problem(name, f"is {value!r}; use one of {', '.join(allowed)}")
            return allowed[0]
        return cast(Word, value)

    def origin(self, name: str, table: Mapping[str, Any]) -> tuple[str, Tag]:
        """Source and tag of one field; a source without a blank is a key of the file's [sources]."""
        source, tag = table.get("source"), table.get("tag")
        if not isinstance(source, str) or not source.strip():
            self.problem(f"{name}.source", "is missing; say where the number comes from")
            source = ""
        elif " " not in source.strip():
            if source not in self.sources:
                self.problem(
                    f"{name}.source",
                    f"{source!r} is not in the file's [sources]{did_you_mean(source, self.sources)}; only "
                    "a text of several words stands for itself",
                )
            source = self.sources.get(source, "")
        if tag not in TAGS:
            self.problem(f"{name}.tag", f"is {tag!r}; use one of {', '.join(TAGS)}")
            tag = "judgement"
        return source, cast(Tag, tag)

    def inner(self, name: str, *, required: bool) -> Mapping[str, Any] | None:
        """A table within the block, None where it is left out or, a problem, no table."""
        value = self.raw(name, required=required)
        if value is None:
            return None
        if not isinstance(value, dict):
            self.problem(name, f"is {value!r}; a table with its own source and tag is needed")
            return None
        return value

    def known(self, name: str, table: Mapping[str, Any], allowed: Iterable[str]) -> None:
        """Every key of an inner table that is not ``allowed`` is a problem, with the nearest that is."""
        names = tuple(allowed)
        for key in table:
            if key not in names:
                self.problem(f"{name}.{key}", f"is not known{did_you_mean(key, names)}")

    def value(self, name: str, value: object, lowest: float, highest: float) -> float:
        """A number that was read already, ``lowest`` to ``highest``; ``lowest`` stands in for a wrong one."""
        if isinstance(value, bool) or not isinstance(value, int | float) or not lowest <= value <= highest:
            shown = "is missing" if value is None else f"is {value!r}"
            self.problem(name, f"{shown}; a number from {lowest:g} to {highest:g} is needed")
            return lowest
        return float(value)

    def number(self, name: str, lowest: float, highest: float) -> Number:
        """As ``optional_number``, but required; ``lowest``, as a judgement, stands in where it is missing."""
        return self.optional_number(name, lowest, highest, required=True) or Number(
            value=lowest, source="", tag="judgement"
        )

    def optional_number(
        self, name: str, lowest: float, highest: float, *, required: bool = False
    ) -> Number | None:
        """A table of ``value`` and perhaps ``spread``, with source and tag; None where there is none."""
        table = self.inner(name, required=required)
        if table is None:
            return None
        self.known(name, table, ("value", "spread", "source", "tag"))
        value = self.value(f"{name}.value", table.get("value"), lowest, highest)
        spread = table.get("spread")
        if spread is not None:
            spread = self.value(f"{name}.spread", spread, 0, highest)
        source, tag = self.origin(name, table)
        return Number(value=value, spread=spread, source=source, tag=tag)

    def optional_range(
        self, name: str, lowest: float, highest: float, *, required: bool = False
    ) -> Range | None:
        """A table of ``low``, ``likely`` and ``high``, which may not fall, with source and tag; or None."""
        table = self.inner(name, required=required)
        if table is None:
            return None
        self.known(name, table, ("low", "likely", "high", "source", "tag"))
        before = len(self.problems)
        values = [
            self.value(f"{name}.{key}", table.get(key), lowest, highest) for key in ("low", "likely", "high")
        ]
        if len(self.problems) == before and not values[0] <= values[1] <= values[2]:
            self.problem(name, f"low {values[0]:g}, likely {values[1]:g}, high {values[2]:g} do not rise")
        source, tag = self.origin(name, table)
        return Range(low=values[0], likely=values[1], high=values[2], source=source, tag=tag)

    def finish(self) -> None:
        """Report every field that nobody asked for."""
        for key in self.table:
            if key not in self.asked:
                self.problem(key, f"is not known{did_you_mean(key, self.asked)}")


def did_you_mean(name: str, names: Iterable[str]) -> str:
    """``; did you mean 'x'?`` for the nearest of the names, or nothing when none is near."""
    near = difflib.get_close_matches(name, tuple(names), n=1, cutoff=0.6)
    return f"; did you mean {near[0]!r}?" if near else ""
