"""Whatever a file holds, a command answers with lines that name it: never a traceback, never half a file."""

import io
import json
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from viewer.cli import invoke
from viewer.demo import demo_bytes

DEMO = json.loads(demo_bytes())
KEYS = st.sampled_from([*DEMO, "next_walls", "_note", "width_mm", "kind"]) | st.text(max_size=4)
VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**6), 10**6)
    | st.floats()
    | st.sampled_from(["wall", "socket", "day", "slat", "", "\ud800"])
    | st.text(max_size=4),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=3),
    max_leaves=8,
)


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place in a job."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [path, *(place for key, item in inner for place in places(item, (*path, key)))]


def changed(path: tuple[Any, ...], value: Any) -> Any:
    """The demo job with one place holding something else."""
    if not path:
        return value
    job = json.loads(demo_bytes())
    at = job
    for step in path[:-1]:
        at = at[step]
    at[path[-1]] = value
    return job


def asked(data: bytes, monkeypatch: pytest.MonkeyPatch, *command: str) -> tuple[int, str]:
    """Exit code and standard error of a command that reads a job from standard input."""
    said = io.StringIO()
    with monkeypatch.context() as patch:
        patch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data)))
        patch.setattr(sys, "stdout", io.TextIOWrapper(io.BytesIO()))
        patch.setattr(sys, "stderr", said)
        return invoke([*command]), said.getvalue()


def assert_named(code: int, said: str) -> None:
    assert code in (0, 2), said
    assert bool(said) == (code == 2)
    assert "Traceback" not in said
    for line in said.splitlines():
        path, colon, message = line.partition(": ")
        assert path, line
        assert colon, line
        assert message, line


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.binary(max_size=60))
def test_any_bytes(data: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    code, said = asked(data, monkeypatch, "set-out", "-")
    assert code == 2
    assert_named(code, said)


@settings(max_examples=120, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(path=st.sampled_from(places(DEMO)), value=VALUES)
def test_the_demo_with_anything_anywhere(
    path: tuple[Any, ...], value: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = json.dumps(changed(path, value)).encode("utf-8", "surrogatepass")
    assert_named(*asked(job, monkeypatch, "set-out", "-"))


@pytest.mark.parametrize("command", ["still", "glb", "board"])
def test_a_bad_job_leaves_no_file(command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    ending = ".glb" if command == "glb" else ".png"
    bad = json.dumps({**DEMO, "slats": {"width_mm": -1}}).encode()
    code, said = asked(bad, monkeypatch, command, "-", "-o", str(tmp_path / f"out{ending}"))
    assert code == 2
    assert_named(code, said)
    assert list(tmp_path.iterdir()) == []
