"""Names that a job takes from the catalogue: looked up last, the nearest known one offered."""

from collections.abc import Iterator, Mapping
from typing import Any

from viewer.job.accepted import listed, nearest, shown
from viewer.job.crosscheck import Parts
from viewer.job.reading import Problem

Names = Mapping[str, tuple[str, ...]]
"""The catalogue's names by kind."""


def _used(parts: Parts) -> Iterator[tuple[str, str, str]]:
    """(path, kind, name) of every catalogue name in the parts that parsed."""
    finishes: list[tuple[str, Any]] = [("finish", parts.values.get("finish"))]
    finishes += [(f"finishes[{place}]", finish) for place, finish in parts.placed("finishes")]
    for path, finish in finishes:
        if finish is not None:
            for kind in ("timber", "stain", "topcoat", "fabric", "sample"):
                yield f"{path}.{kind}", kind, getattr(finish, kind)
            if finish.own_tone is not None:
                for part in ("first", "second"):
                    yield f"{path}.own_tone.{part}", "stain", getattr(finish.own_tone, part)
    for place, lighting in parts.placed("lightings"):
        for number, lamp in enumerate(lighting.lamps):
            yield f"lightings[{place}].lamps[{number}].spectrum", "lamp", lamp.spectrum


def name_problems(parts: Parts, names: Names | None = None) -> list[Problem]:
    """Names that the catalogue does not have. An empty name means the first entry and is never a problem."""
    if names is None:
        from viewer.catalogue import catalogue_of, names_of  # files and numpy: read where they are needed

        names = names_of(catalogue_of(()))
    problems = []
    for path, kind, name in _used(parts):
        known = names.get(kind, ())
        if name and name not in known:
            close = nearest(name, known)
            offer = f"the nearest is {shown(close)}" if close else f"known: {listed(known) or 'none'}"
            problems.append((path, f"{shown(name)} is no {kind} of the catalogue; {offer}"))
    return problems + _unmixable(parts, names)


def _unmixable(parts: Parts, names: Names) -> list[Problem]:
    """Own tones of a tone that lies in the wood and one that lies on it: nobody can mix those."""
    finishes: list[tuple[str, Any]] = [("finish", parts.values.get("finish"))]
    finishes += [(f"finishes[{place}]", finish) for place, finish in parts.placed("finishes")]
    films, problems = names.get("film", ()), []
    for path, finish in finishes:
        if finish is None or finish.own_tone is None:
            continue
        pair = (finish.own_tone.first, finish.own_tone.second)
        if all(name in names.get("stain", ()) for name in pair) and (pair[0] in films) != (pair[1] in films):
            on, within = pair if pair[0] in films else pair[::-1]
            problems.append(
                (
                    f"{path}.own_tone",
                    f"{shown(on)} lies on the wood and {shown(within)} in it; mix two tones of the same kind",
                )
            )
    return problems
