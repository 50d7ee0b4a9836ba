"""Text into plain data: JSON as RFC 8259 has it, with everything a hand-written file can get wrong named.

What JSON readers usually let pass (a key given twice, NaN, endless nesting) is kept visible here so that
``check_job`` can report it by its path together with every other problem.
"""

import json
import math
import re
from dataclasses import dataclass, field
from typing import Any

MAX_BYTES = 4_000_000
"""A job of 2,000 openings is about 250 kB; anything beyond this is not a job file."""
MAX_DEPTH = 32
"""The deepest place the job file knows is six levels down."""

Problem = tuple[str, str]
"""(path, message): where in the job, and what would be accepted there."""


class Members(dict[str, Any]):
    """A JSON object that remembers which of its keys were written more than once."""

    repeated: tuple[str, ...] = ()


def _members(pairs: list[tuple[str, Any]]) -> Members:
    members = Members(pairs)
    if len(members) != len(pairs):
        seen: set[str] = set()
        members.repeated = tuple(
            dict.fromkeys(key for key, _ in pairs if key in seen or seen.add(key))  # type: ignore[func-returns-value]
        )
    return members


def _integer(digits: str) -> int | float:
    # beyond 2**53 JSON readers disagree about integers; no length or count of a job comes near it
    return int(digits) if len(digits) <= 16 else float(digits)


class NotJSONError(ValueError):
    """The text is not JSON; the message says where (line and column, from 1) and what was expected."""


def _depth(text: str) -> int:
    deepest = depth = 0
    for mark in re.finditer(r'"(?:[^"\\]|\\.)*"?|[\[{]|[\]}]', text, re.DOTALL):
        sign = mark.group()[0]
        if sign in "[{":
            depth += 1
            deepest = max(deepest, depth)
        elif sign in "]}":
            depth -= 1
    return deepest


def _decoded(source: bytes) -> str:
    try:
        return source.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = source[: error.start]
        line, column = before.count(b"\n") + 1, error.start - before.rfind(b"\n")
        raise NotJSONError(f"line {line}, column {column}: expected text in UTF-8") from None


def read_json(source: bytes | str) -> Any:
    """Plain data (``Members`` for objects) from the bytes or text of a JSON file.

    Raises ``NotJSONError``. Non-finite numbers and repeated keys come through, to be named by path later.
    """
    if len(source) > MAX_BYTES:
        raise NotJSONError(f"larger than the {MAX_BYTES // 1_000_000} MB that a job file may have")
    text = _decoded(source) if isinstance(source, bytes) else source
    if not text.strip():
        raise NotJSONError("line 1, column 1: the file is empty; expected a JSON object")
    if _depth(text) > MAX_DEPTH:
        raise NotJSONError(f"nested deeper than {MAX_DEPTH} levels")
    try:
        return json.loads(text, object_pairs_hook=_members, parse_int=_integer)
    except json.JSONDecodeError as error:
        reason = error.msg[:1].lower() + error.msg[1:]
        raise NotJSONError(f"line {error.lineno}, column {error.colno}: not JSON; {reason}") from None


@dataclass(slots=True)
class _Walk:
    problems: list[Problem] = field(default_factory=list)

    def text(self, value: str, path: str) -> str:
        if any("\ud800" <= sign <= "\udfff" for sign in value):
            self.problems.append((path, "expected whole characters; half of a surrogate pair stands here"))
            return value.encode("utf-8", "replace").decode()
        return value

    def number(self, value: float, path: str) -> int | float:
        try:
            as_float = float(value)
        except OverflowError:
            as_float = math.inf
        if not math.isfinite(as_float):
            self.problems.append((path, "expected a finite number; NaN, infinity and overflow are not JSON"))
            return 0
        # 2.0 and 2 are one number to JSON, and to the canonical form that records are signed over
        return int(as_float) if as_float.is_integer() and abs(as_float) < 2**53 else as_float

    def plain(self, value: Any, path: str, depth: int) -> Any:
        if depth > MAX_DEPTH:
            self.problems.append((path or "job", f"nested deeper than {MAX_DEPTH} levels"))
            return None
        if value is None or isinstance(value, bool):
            return value
        if isinstance(value, str):
            return self.text(value, path or "job")
        if isinstance(value, int | float):
            return self.number(value, path or "job")
        if isinstance(value, list | tuple):
            return [self.plain(item, f"{path}[{index}]", depth + 1) for index, item in enumerate(value)]
        if isinstance(value, dict):
            return self.members(value, path, depth)
        self.problems.append(
            (path or "job", "expected JSON: an object, list, text, number, true, false or null")
        )
        return None

    def members(self, value: dict[Any, Any], path: str, depth: int) -> dict[str, Any]:
        for key in getattr(value, "repeated", ()):
            self.problems.append((joined(path, key), "this key stands here more than once; keep one of them"))
        plain = {}
        for key, item in value.items():
            name = self.text(str(key), joined(path, str(key)))
            plain[name] = self.plain(item, joined(path, name), depth + 1)
        return plain


def joined(path: str, key: str) -> str:
    """The path one key further down; a key that is not a plain word is quoted: ``finish["a b"]``."""
    if not re.fullmatch(r"[A-Za-z_][A-Za-z0-9_]*", key):
        return f"{path}[{json.dumps(key)}]"
    return f"{path}.{key}" if path else key


def plain_data(value: object) -> tuple[Any, tuple[Problem, ...]]:
    """Ordinary dicts, lists, texts and finite numbers, and what was not JSON about the value, by path."""
    walk = _Walk()
    return walk.plain(value, "", 0), tuple(walk.problems)
