"""Checking a job: every problem at once, each as (path, what would be accepted), sorted by path.

Every top-level section is parsed by itself; each room's cross-checks then run on the parts that parsed, and
names are looked up in the catalogue last. The same list is the command's stderr, HTTP 422's ``errors`` and
the form's messages.
"""

import json
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from itertools import count
from typing import Annotated, Any, get_origin

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from viewer.job.accepted import Path, accepted, known_keys, listed, nearest, node_at, path_text, shown
from viewer.job.accepted import sort_key as path_order
from viewer.job.crosscheck import Parts, cross_checks
from viewer.job.model import Job
from viewer.job.names import Names, name_problems
from viewer.job.reading import NotJSONError, Problem, plain_data, read_json
from viewer.job.trial import set_out_problems
from viewer.job.versions import upgraded


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckResult:
    """``job`` is None when there are problems. ``document`` is the plain data, ``_`` keys included."""

    job: Job | None
    problems: tuple[Problem, ...]
    document: dict[str, Any]


class JobError(ValueError):
    """A job that cannot be used, with all its problems."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(f"{path}: {message}" for path, message in self.problems))


@cache
def _section(name: str) -> TypeAdapter[Any]:
    field = Job.model_fields[name]
    annotation: Any = field.annotation
    return TypeAdapter(Annotated[annotation, *field.metadata] if field.metadata else annotation)


def _without_notes(value: Any) -> Any:
    """The job without keys that start with ``_``: they are kept in the document and ignored here."""
    if isinstance(value, dict):
        return {key: _without_notes(item) for key, item in value.items() if not key.startswith("_")}
    if isinstance(value, list):
        return [_without_notes(item) for item in value]
    return value


def _place(section: str, data: Any, loc: tuple[str | int, ...]) -> Path:
    """Pydantic's location below a section, without the names it gives to the branches of a union."""
    path: list[str | int] = [section]
    for number, step in enumerate(loc):
        if isinstance(data, dict) and isinstance(step, str):
            last = number == len(loc) - 1
            if step in data or (last and step in known_keys(tuple(path))):
                path.append(step)
                data = data.get(step)
        elif isinstance(data, list) and isinstance(step, int):
            path.append(step)
            data = data[step] if step < len(data) else None
    return tuple(path)


def _at(data: Any, path: Path) -> Any:
    for step in path:
        data = data[step]
    return data


_LIMITS = {"greater_than", "greater_than_equal", "less_than", "less_than_equal"}
_OWN_WORDS = {"value_error", "assertion_error"}


def _message(data: Any, path: Path, error: ErrorDetails) -> str:
    kind = error["type"]
    if kind == "missing":
        return f"missing; expected {accepted(path)}"
    value = _at(data, path)
    if kind in _OWN_WORDS:
        return error["msg"].partition(", ")[2] or error["msg"]
    numeric = isinstance(value, int | float) and not isinstance(value, bool)
    node = node_at(path)
    if numeric and node is not None and (kind in _LIMITS or kind == "length"):
        return f"{shown(value)} is not accepted; expected {accepted(path)}"
    if isinstance(value, str) and node is not None and "enum" in node:
        close = nearest(value, (word for word in node["enum"] if isinstance(word, str)))
        offer = f"; the nearest is {close}" if close else ""
        return f"{shown(value)} is unknown; expected {accepted(path)}{offer}"
    if node is None:
        return error["msg"]
    return f"expected {accepted(path)}, not {shown(value)}"


MOST_EXPLAINED = 50
"""Unknown keys of a section that are each compared with every known one, which takes its time."""


def unknown_key(path: Path, number: int) -> str:
    """What to say of a key that the job file does not know: the nearest known one, or all of them.

    ``number`` counts such keys of a section from 0.
    """
    if number >= MOST_EXPLAINED:
        return "unknown key (keys that start with _ are kept and ignored)"
    known = known_keys(path[:-1])
    close = nearest(str(path[-1]), known)
    if close:
        return f"unknown key; the nearest known one is {close} (keys that start with _ are kept and ignored)"
    return (
        f"unknown key; known here: {listed(known, last='and')} (keys that start with _ are kept and ignored)"
    )


def _parsed(name: str, data: Any) -> tuple[Any, list[Problem]]:
    """One section as its value, or None and its problems. One problem a place: a union reports several."""
    try:
        # through JSON, for strict parsing then takes lists for tuples and nothing else for numbers
        return _section(name).validate_json(json.dumps(data), strict=True), []
    except ValidationError as error:
        found: dict[Path, str] = {}
        unknown = count()
        for detail in error.errors(include_url=False, include_context=False, include_input=False):
            path = _place(name, data, detail["loc"])
            if detail["type"] == "extra_forbidden":
                found.setdefault(path, unknown_key(path, next(unknown)))
            else:
                found.setdefault(path, _message({name: data}, path, detail))
        around = {path[:length] for path in found for length in range(len(path))}
        return None, [(path_text(path), found[path]) for path in found if path not in around]


def _too_long(name: str, data: Any) -> list[Problem]:
    """Of a list with too many items that alone is said: of openings each is held against each, and 4 MB hold
    40,000."""
    most = (node_at((name,)) or {}).get("maxItems")
    if most is None or not isinstance(data, list) or len(data) <= most:
        return []
    return [(name, f"expected {accepted((name,))}, not {shown(data)}")]


def _items_that_parse(name: str, data: Any) -> tuple[tuple[int, Any], ...]:
    """Of a list that did not parse as a whole: the items that do by themselves, with their places."""
    if not isinstance(data, list) or get_origin(Job.model_fields[name].annotation) is not tuple:
        return ()
    tried = ((place, _section(name), json.dumps([item])) for place, item in enumerate(data))
    items = []
    for place, adapter, text in tried:
        with suppress(ValidationError):  # named already, with its own path
            items.append((place, adapter.validate_json(text, strict=True)[0]))
    return tuple(items)


def _sections(data: dict[str, Any]) -> tuple[Parts, list[Problem]]:
    problems = []
    parts: dict[str, Any] = {}
    items: dict[str, tuple[tuple[int, Any], ...]] = {}
    unknown = (key for key in data if key not in Job.model_fields)
    for number, key in enumerate(unknown):
        problems.append((path_text((key,)), unknown_key((key,), number)))
    for name, field in Job.model_fields.items():
        if name in data and (found := _too_long(name, data[name])):
            parts[name] = None
            problems += found
        elif name in data:
            parts[name], found = _parsed(name, data[name])
            problems += found
            if found:
                items[name] = _items_that_parse(name, data[name])
        elif field.is_required():
            parts[name] = None
            problems.append((name, f"missing; expected {accepted((name,))}"))
        else:
            parts[name] = field.get_default(call_default_factory=True, validated_data={})
    given = frozenset(data) & frozenset(Job.model_fields)
    return Parts(values=parts, items=items, given=given), problems


def _ordered(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    return tuple(sorted(dict.fromkeys(problems), key=lambda problem: (path_order(problem[0]), problem[1])))


def check_job(data: object, *, names: Names | None = None) -> CheckResult:
    """The job in plain data, or everything that is wrong with it. Never raises for bad data.

    ``names`` are the catalogue's names by kind; left out, the catalogue that came with the program.
    """
    document, found = plain_data(data)
    problems = list(found)
    if not isinstance(document, dict):
        problems.append(("job", f"expected {accepted(())}, not {shown(document)}"))
        return CheckResult(job=None, problems=_ordered(problems), document={})
    document, refused = upgraded(document)
    if refused:
        return CheckResult(job=None, problems=_ordered([*problems, refused]), document=document)
    parts, faults = _sections(_without_notes(document))
    problems += faults
    problems += cross_checks(parts)
    problems += name_problems(parts, names)
    if not problems:
        job = Job.model_construct(_fields_set=set(parts.given), **parts.values)
        problems = set_out_problems(job)
        if not problems:
            return CheckResult(job=job, problems=(), document=document)
    return CheckResult(job=None, problems=_ordered(problems), document=document)


def check_text(source: bytes | str, *, names: Names | None = None) -> CheckResult:
    """``check_job`` for the bytes or text of a file; what is not JSON is one problem of the job itself."""
    try:
        data = read_json(source)
    except NotJSONError as error:
        return CheckResult(job=None, problems=(("job", str(error)),), document={})
    return check_job(data, names=names)
