"""What would be accepted at a place in the job file, in plain words, read off the JSON Schema."""

import difflib
import json
import re
from collections.abc import Iterable
from typing import Any

from viewer.job.schema import job_schema, unit_of

Path = tuple[str | int, ...]


def path_text(path: Path) -> str:
    """``("openings", 0, "left_mm")`` as people read it: ``openings[0].left_mm``; the job itself: ``job``."""
    text = ""
    for step in path:
        if isinstance(step, int):
            text += f"[{step}]"
        elif re.fullmatch(r"[A-Za-z_][A-Za-z0-9_]*", step):
            text += f".{step}" if text else step
        else:
            text += f"[{json.dumps(step)}]"
    return text or "job"


def sort_key(path: str) -> tuple[tuple[int, int, str], ...]:
    """Order of paths: by key, and by number inside brackets (``openings[2]`` before ``openings[10]``)."""
    parts = re.findall(r'\[(\d+)\]|\["((?:[^"\\]|\\.)*)"\]|([^.\[]+)', path)
    return tuple((0, int(number), "") if number else (1, 0, quoted or word) for number, quoted, word in parts)


def nearest(given: str, known: Iterable[str]) -> str | None:
    """The known word that looks most like the given one, or None when none comes near."""
    folded = {word.casefold(): word for word in known}
    close = difflib.get_close_matches(given.casefold(), folded, n=1, cutoff=0.5)
    return folded[close[0]] if close else None


def listed(words: Iterable[str], *, last: str = "or") -> str:
    """``a, b or c``."""
    words = list(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}" if len(words) > 1 else "".join(words)


def shown(value: Any, *, limit: int = 40) -> str:
    """A given value as it stands in the job, shortened to one line."""
    if isinstance(value, dict):
        keys = listed((str(key) for key in value), last="and")
        return (
            f"an object with {keys if len(keys) <= limit else f'{keys[: limit - 1]}…'}"
            if keys
            else "an empty object"
        )
    if isinstance(value, list):
        return f"a list of {len(value)}" if value else "an empty list"
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= limit else f"{text[: limit - 1]}…"


def _resolved(node: dict[str, Any]) -> dict[str, Any]:
    while "$ref" in node:
        node = job_schema()["$defs"][node["$ref"].rpartition("/")[2]]
    return node


def _branches(node: dict[str, Any]) -> list[dict[str, Any]]:
    node = _resolved(node)
    for key in ("anyOf", "oneOf"):
        if key in node:
            return [branch for option in node[key] for branch in _branches(option)]
    return [node]


def _step(node: dict[str, Any], step: str | int) -> dict[str, Any] | None:
    for branch in _branches(node):
        if isinstance(step, str) and step in branch.get("properties", {}):
            found: dict[str, Any] = branch["properties"][step]
            return found
        if isinstance(step, int) and branch.get("type") == "array":
            items: list[dict[str, Any]] = branch.get("prefixItems", [])
            if step < len(items):
                return items[step]
            if isinstance(branch.get("items"), dict):
                return dict(branch["items"])
    return None


def node_at(path: Path) -> dict[str, Any] | None:
    """The schema of a place in the job file, or None where the schema knows no such place."""
    node: dict[str, Any] | None = job_schema()
    for step in path:
        node = _step(node, step) if node is not None else None
    return node


def known_keys(path: Path) -> list[str]:
    """The keys that the object at this place may have."""
    node = node_at(path)
    return [key for branch in _branches(node) for key in branch.get("properties", {})] if node else []


def _unit(path: Path) -> str:
    units = (unit_of(step) for step in reversed(path) if isinstance(step, str))
    return next((unit for unit in units if unit), "")


def limits(node: dict[str, Any], unit: str) -> str:
    """``from 100 to 60000 mm``, ``above 0 and at most 1000000 lm``, or nothing."""
    low, high = node.get("minimum"), node.get("maximum")
    above = node.get("exclusiveMinimum")
    tail = f" {unit}" if unit else ""
    if low is not None and high is not None:
        return f" from {_figure(low)} to {_figure(high)}{tail}"
    parts = []
    if low is not None:
        parts.append(f"at least {_figure(low)}")
    if above is not None:
        parts.append(f"above {_figure(above)}")
    if high is not None:
        parts.append(f"at most {_figure(high)}")
    return f" {' and '.join(parts)}{tail}" if parts else tail and f" in{tail}"


def _figure(value: float) -> str:
    return f"{value:.0f}" if float(value).is_integer() else f"{value:g}"


def _list_words(node: dict[str, Any], unit: str) -> str:
    items = node.get("prefixItems")
    if items:
        each = [_words(item, unit) for item in items]
        if len(set(each)) == 1:
            return f"a list of {len(each)} values, each {each[0]}"
        return f"a list of {len(each)} values: {listed(each, last='and')}"
    least, most = node.get("minItems", 0), node.get("maxItems")
    if least == most:
        length = f" of {most}"
    else:
        bounds = [f"at least {least}"] if least else []
        bounds += [f"at most {most}"] if most is not None else []
        length = f" of {' and '.join(bounds)}" if bounds else ""
    return f"a list{length}, each {_words(node.get('items', {}), unit)}"


def _words(node: dict[str, Any], unit: str) -> str:
    branches = _branches(node)
    if len(branches) > 1:
        return listed(_words(branch, unit) for branch in branches)
    node = branches[0]
    if "enum" in node:
        return f"one of {listed(map(str, node['enum']))}"
    if "const" in node:
        return shown(node["const"])
    match node.get("type"):
        case "number":
            return f"a number{limits(node, unit)}"
        case "integer":
            return f"a whole number{limits(node, unit)}"
        case "boolean":
            return "true or false"
        case "null":
            return "null"
        case "array":
            return _list_words(node, unit)
        case "object":
            keys = [key for key in node.get("properties", {}) if key in node.get("required", ())]
            return f"an object with {listed(keys, last='and')}" if keys else "an object"
        case "string" if "pattern" in node:
            return f"text: {node.get('description', node['pattern']).rstrip('.')}"
        case "string" if "maxLength" in node:
            return f"text of {node.get('minLength', 0)} to {node['maxLength']} characters"
        case "string":
            return "text"
    return "a JSON value"


def accepted(path: Path) -> str:
    """What would be accepted at this place: ``a number from 100 to 60000 mm``."""
    node = node_at(path)
    return _words(node, _unit(path)) if node is not None else "nothing"
