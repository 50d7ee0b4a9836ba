"""Cross-checks on the parts of a job that parsed: each room judges its own values."""

import datetime
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from viewer.job.reading import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """The sections of a job by name: parsed values (None where a section did not parse) and raw data."""

    values: dict[str, Any]
    raw: dict[str, Any]

    @property
    def given(self) -> set[str]:
        return set(self.raw) & set(self.values)


def _doubled(path: str, names: Iterable[str]) -> list[Problem]:
    """Names that must tell things apart, given twice."""
    first: dict[str, int] = {}
    problems = []
    for index, name in enumerate(names):
        if name and name in first:
            problems.append(
                (
                    f"{path}[{index}].name",
                    f'"{name}" already names {path}[{first[name]}]; expected another name',
                )
            )
        first.setdefault(name, index)
    return problems


def _own_checks(parts: Parts) -> list[Problem]:
    problems = []
    revised = parts.values.get("revised")
    if revised:
        try:
            datetime.date.fromisoformat(revised)
        except ValueError:
            problems.append(("revised", f'"{revised}" is no date; expected YYYY-MM-DD'))
    for section in ("finishes", "lightings"):
        problems += _doubled(section, (value.name for value in parts.values.get(section) or ()))
    return problems


def _touches_unparsed(path: str, parts: Parts) -> bool:
    section = re.match(r"[A-Za-z_]*", path)
    name = section.group() if section else ""
    return name in parts.values and parts.values[name] is None


def cross_checks(parts: Parts) -> list[Problem]:
    """What the rooms say about values that parsed each by itself but do not go together."""
    problems = _own_checks(parts)
    return [problem for problem in problems if not _touches_unparsed(problem[0], parts)]
