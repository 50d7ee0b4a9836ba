"""Every job path is signed or does not matter, and moving it does to the facts what the list says."""

import copy
import fnmatch
import itertools
import json
import re
from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest
from signoff_moves import BASE, MOVES, STILL, WALL_MOVES, WALL_STILL

from viewer.answers.set_out import set_outs_of
from viewer.job.check import check_job
from viewer.job.choices import chosen_finish
from viewer.job.model import Job
from viewer.job.schema import job_schema
from viewer.signoff.agreed import Fact, Tolerances, changes
from viewer.signoff.facts import agreed_facts
from viewer.signoff.scope import AS_IT_WAS, AT_A_CORNER, NOT_MATTERING, SIGNED, pattern_of


def with_value(job: dict[str, Any], path: str, value: Any) -> dict[str, Any]:
    """A copy of a job with one place set; objects on the way are made."""
    job = copy.deepcopy(job)
    steps = [int(step) if step.isdigit() else step for step in re.findall(r"[^.\[\]]+", path)]
    at: Any = job
    for step, following in itertools.pairwise(steps):
        if isinstance(at, dict) and at.get(step) is None:
            at[step] = [] if isinstance(following, int) else {}
        at = at[step]
    at[steps[-1]] = value
    return job


def facts(job: dict[str, Any]) -> tuple[Fact, ...]:
    return facts_of_text(json.dumps(job))


@cache
def facts_of_text(text: str) -> tuple[Fact, ...]:
    """Facts of a job as JSON: most moves start from one of two jobs."""
    checked = check_job(json.loads(text))
    assert checked.job is not None, checked.problems
    return agreed_facts(
        checked.job, set_outs_of(checked.job), chosen_finish(checked.job), Tolerances(), price=None
    )


def before_and_after(
    path: str, value: Any, context: dict[str, Any], base: dict[str, Any]
) -> tuple[tuple[Fact, ...], tuple[Fact, ...]]:
    for place, given in context.items():
        base = with_value(base, place, given)
    return facts(base), facts(with_value(base, path, value))


def round_the_corner(moves: list[tuple[str, Any, dict[str, Any]]]) -> list[tuple[str, Any, dict[str, Any]]]:
    prefix = "next_walls[0]."
    # what the left end of a next wall meets is said by the corner itself
    moves = [move for move in moves if move[0] not in AT_A_CORNER]
    return [
        (
            prefix + path,
            value,
            {
                (prefix + at if at.startswith(("wall", "openings", "zones")) else at): v
                for at, v in more.items()
            },
        )
        for path, value, more in moves
    ]


CORNER = {
    **{name: part for name, part in BASE.items() if name not in ("openings", "zones")},
    "wall": {"width_mm": 1000, "height_mm": 2550},
    "next_walls": [{"turns": "inside", **{name: BASE[name] for name in ("wall", "openings", "zones")}}],
}


def covered(moves: list[tuple[str, Any, dict[str, Any]]]) -> set[str]:
    """The listed paths that a table of moves tries, those inside a moved object included."""
    found: set[str] = set()
    for path, value, _context in moves:
        pattern = pattern_of(path)
        found.add(pattern)
        found |= {f"{pattern}{rest}" for rest in leaves(value)}
    return found


def leaves(value: Any) -> set[str]:
    if isinstance(value, dict):
        return {f".{name}{rest}" for name, item in value.items() for rest in leaves(item) | {""}}
    if isinstance(value, list):
        return {f"[]{rest}" for item in value for rest in leaves(item) | {""}}
    return set()


def job_paths() -> tuple[str, ...]:
    """Every path of the job file's schema, lists as ``[]``; a tuple of fixed length is one path."""
    return tuple(dict.fromkeys(_walk(job_schema(), "")))


def _walk(node: dict[str, Any], path: str) -> Iterator[str]:
    while "$ref" in node:
        node = job_schema()["$defs"][node["$ref"].rpartition("/")[2]]
    branches = node.get("anyOf") or node.get("oneOf")
    if branches:
        for branch in branches:
            yield from _walk(branch, path)
    elif "properties" in node:
        for name, member in node["properties"].items():
            yield from _walk(member, f"{path}.{name}" if path else name)
    elif node.get("type") == "array" and isinstance(node.get("items"), dict):
        yield from _walk(node["items"], f"{path}[]")
    else:
        yield path


def test_no_path_is_in_neither_list_and_none_is_stale() -> None:
    paths = set(job_paths())
    assert paths - set(SIGNED) - set(NOT_MATTERING) == set()
    assert set(SIGNED) | set(NOT_MATTERING) == paths
    assert set(SIGNED) & set(NOT_MATTERING) == set()


def test_tolerances_named_in_the_list_exist() -> None:
    assert {tolerance for _, tolerance in SIGNED.values()} <= {AS_IT_WAS, *Tolerances.model_fields}
    assert all(reason for reason in NOT_MATTERING.values())


def test_every_path_is_moved_by_a_test() -> None:
    moved = covered(MOVES) | covered(round_the_corner(WALL_MOVES)) | {"finish.sample"}
    assert set(SIGNED) - moved == set()
    still = covered(STILL) | covered(round_the_corner(WALL_STILL))
    # the format has one value, and a next wall whose left end is no corner is refused
    still |= {"format"} | {f"next_walls[].{path}" for path in AT_A_CORNER}
    assert set(NOT_MATTERING) - still == set()


def test_a_measured_sample_is_signed() -> None:
    # no catalogue of the tests holds a sample, so the job is parsed without looking names up
    base = with_value(BASE, "finish.sample", "")
    before, after = (
        agreed_facts(job, set_outs_of(job), job.finish, Tolerances(), price=None)
        for job in (Job.model_validate(base), Job.model_validate(with_value(base, "finish.sample", "S1")))
    )
    assert [change.name for change in changes(before, after)] == ["finish.sample"]


@pytest.mark.parametrize(
    ("path", "value", "context"), MOVES, ids=lambda part: part if isinstance(part, str) else ""
)
def test_moving_a_signed_path_moves_its_fact(path: str, value: Any, context: dict[str, Any]) -> None:
    signed(path, value, context, CORNER if path.startswith("next_walls") else BASE)


@pytest.mark.parametrize(
    ("path", "value", "context"),
    round_the_corner(WALL_MOVES),
    ids=lambda part: part if isinstance(part, str) else "",
)
def test_walls_round_a_corner_are_signed_alike(path: str, value: Any, context: dict[str, Any]) -> None:
    signed(path, value, context, CORNER)


def signed(path: str, value: Any, context: dict[str, Any], base: dict[str, Any]) -> None:
    fact, tolerance = SIGNED[pattern_of(path)]
    before, after = before_and_after(path, value, context, base)
    moved = {change.name.removeprefix("wall_0.").removeprefix("wall_1.") for change in changes(before, after)}
    assert fnmatch.filter(moved, fact), (sorted(moved), fact)
    if tolerance != AS_IT_WAS:
        expected = getattr(Tolerances(), tolerance)
        held = [one.tolerance for one in (*before, *after) if fnmatch.fnmatch(one.name, f"*.{fact}")]
        assert set(held) == {expected}


@pytest.mark.parametrize(
    ("path", "value", "context"), STILL, ids=lambda part: part if isinstance(part, str) else ""
)
def test_what_does_not_matter_changes_nothing(path: str, value: Any, context: dict[str, Any]) -> None:
    before, after = before_and_after(path, value, context, BASE)
    assert changes(before, after) == ()


@pytest.mark.parametrize(("path", "value", "context"), round_the_corner(WALL_STILL))
def test_nor_round_a_corner(path: str, value: Any, context: dict[str, Any]) -> None:
    before, after = before_and_after(path, value, context, CORNER)
    assert changes(before, after) == ()


def test_a_change_of_json_order_or_notes_is_no_change() -> None:
    turned = json.loads(json.dumps(BASE, sort_keys=True))
    assert changes(facts(BASE), facts({**turned, "_note": "seen"})) == ()
