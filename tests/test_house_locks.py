"""The lock files: exact, hashed, in step with each other and with what they lock, and without an address."""

import json
import re
import tomllib
from pathlib import Path

import pytest

PYTHON_LOCKS = ("viewer/requirements.lock", "viewer/node.lock", "tests/requirements.lock")
LOCKS = (*PYTHON_LOCKS, "static/package-lock.json")


def canonical(requirement: str) -> str:
    """The name that a requirement asks for, as PEP 503 writes it."""
    name = re.match(r"[A-Za-z0-9._-]+", requirement)
    assert name, requirement
    return re.sub(r"[-_.]+", "-", name[0]).lower()


def pins(lock: Path) -> dict[str, tuple[str, int]]:
    """Version and number of hashes of every package in a Python lock."""
    found = {}
    for entry in re.split(r"\n(?=[a-z0-9])", lock.read_text(encoding="utf-8")):
        pinned = re.match(r"([a-z0-9.-]+)==([^ ;\\\n]+)", entry)
        assert pinned, f"{lock.name}: {entry.splitlines()[0]} is not pinned"
        found[pinned[1]] = (pinned[2], len(re.findall(r"--hash=sha256:[0-9a-f]{64}\b", entry)))
    return found


@pytest.mark.parametrize("name", LOCKS)
def test_a_lock_holds_no_address(checkout: Path, name: str) -> None:
    text = (checkout / name).read_text(encoding="utf-8")
    assert "://" not in text
    assert '"resolved"' not in text
    assert "--index-url" not in text
    assert "--find-links" not in text


@pytest.mark.parametrize("name", PYTHON_LOCKS)
def test_every_python_package_is_pinned_with_hashes(checkout: Path, name: str) -> None:
    found = pins(checkout / name)
    assert found
    assert [package for package, (_, hashes) in found.items() if not hashes] == []


def test_the_locks_hold_what_the_project_asks_for(checkout: Path) -> None:
    project = tomllib.loads((checkout / "pyproject.toml").read_text(encoding="utf-8"))
    groups = project["dependency-groups"]
    asked = {
        "viewer/requirements.lock": project["project"]["dependencies"] + groups["setup"],
        "viewer/node.lock": groups["node"],
        "tests/requirements.lock": groups["test"],
    }
    for name, requirements in asked.items():
        assert {canonical(requirement) for requirement in requirements} <= set(pins(checkout / name)), name


def test_a_package_in_two_locks_has_one_version(checkout: Path) -> None:
    run, test = (pins(checkout / name) for name in ("viewer/requirements.lock", "tests/requirements.lock"))
    assert {name: run[name][0] for name in run.keys() & test} == {
        name: test[name][0] for name in run.keys() & test
    }


def test_what_is_dropped_on_purpose_stays_out(checkout: Path) -> None:
    # scipy, pyglet and imageio are asked for by pyrender and colour-science and reached by neither here;
    # the path tracer is an extra
    dropped = {"scipy", "pyglet", "imageio", "mitsuba"}
    for name in ("viewer/requirements.lock", "tests/requirements.lock"):
        assert dropped.isdisjoint(pins(checkout / name)), name


def test_every_npm_package_has_a_hash_and_the_asked_version(checkout: Path) -> None:
    packages = json.loads((checkout / "static/package-lock.json").read_text(encoding="utf-8"))["packages"]
    asked = json.loads((checkout / "static/package.json").read_text(encoding="utf-8"))
    root = packages.pop("")
    for kind in ("dependencies", "devDependencies"):
        assert root[kind] == asked[kind]
        for name, version in asked[kind].items():
            assert packages[f"node_modules/{name}"]["version"] == version
    assert [
        name for name, package in packages.items() if not package["integrity"].startswith("sha512-")
    ] == []


def test_npm_is_told_to_write_no_address(checkout: Path) -> None:
    assert "omit-lockfile-registry-resolved=true" in (checkout / "static/.npmrc").read_text().splitlines()
