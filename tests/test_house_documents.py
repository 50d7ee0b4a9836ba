"""README.md and DEVELOPERS.md against the program: what it has is described, and nothing else is.

A failure here means that a document must follow; the message names the one.
"""

import json
import re
import tomllib
from pathlib import Path

import pytest
import stages

from finishes.catalogue import CHOICES, load
from finishes.surfaces import SURFACES
from viewer import create_app
from viewer.cli import refusal
from viewer.cli.commands import slatwright
from viewer.job.check import check_text
from viewer.settings import Settings, variable


@pytest.fixture(scope="module")
def readme(checkout: Path) -> str:
    return (checkout / "README.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def developers(checkout: Path) -> str:
    return (checkout / "DEVELOPERS.md").read_text(encoding="utf-8")


def first_cells(text: str, above: str) -> list[str]:
    """The first column of the first table after a line, without its head and rule."""
    section = text.partition(f"\n{above}\n")[2]
    rows = re.search(r"(?:^\|.*\n)+", section, re.MULTILINE)
    assert rows, above
    return [row.split("|")[1].strip() for row in rows[0].splitlines()[2:]]


def test_the_readme_opens_with_the_job_then_a_picture_then_the_commands(readme: str) -> None:
    title, paragraph, picture = readme.split("\n\n")[:3]
    assert title == "# slatwright"
    assert not re.match(r"[#!\-|`]", paragraph)
    assert picture.startswith("![")
    commands = re.findall(r"^sh \S+", readme.split("\n\n")[5], re.MULTILINE)
    assert commands == ["sh viewer/start.sh", "sh tests/run.sh"]


def test_the_readmes_picture_is_there(checkout: Path, readme: str) -> None:
    for picture in re.findall(r"!\[[^]]*\]\(([^)]+)\)", readme):
        assert (checkout / picture).is_file(), (
            f"{picture} is to be made by the command that DEVELOPERS.md names"
        )


def test_the_readmes_job_can_be_used(readme: str) -> None:
    example = re.search(r"```json\n(.*?)```", readme, re.DOTALL)
    assert example
    catalogue = load()
    names = {kind: tuple(catalogue.entries(kind)) for kind in CHOICES}
    assert check_text(example[1].encode(), names=names).problems == ()


def test_every_command_is_described(readme: str) -> None:
    described = [cell.strip("`").split()[1] for cell in first_cells(readme, "## Commands")]
    assert sorted(described) == sorted(slatwright.commands), "README.md, Commands"


def test_every_setting_is_described(readme: str) -> None:
    described = [cell.strip("`") for cell in first_cells(readme, "## Settings")]
    assert sorted(described) == sorted(variable(name) for name in Settings.model_fields), (
        "README.md, Settings"
    )


def test_every_name_of_the_catalogue_is_listed(readme: str) -> None:
    catalogue = load()
    section = readme.partition("\n## The catalogue\n")[2]
    listed = dict(re.findall(r"^\| (\w+) \| (.+) \|$", section, re.MULTILINE))
    for kind in CHOICES:
        assert listed[kind].split(" · ") == list(catalogue.entries(kind)), f"README.md, The catalogue, {kind}"


def test_every_exit_code_is_described(checkout: Path, readme: str) -> None:
    script = (checkout / "viewer/setup.sh").read_text(encoding="utf-8")
    used = {0, refusal.NO_ACCESS, refusal.BAD_INPUT, refusal.FAILED}
    used |= {int(code) for code in re.findall(r"\bstop (\d+) ", script)}
    assert {int(code) for code in first_cells(readme, "## Exit codes")} == used


def test_every_address_is_described(developers: str) -> None:
    has = {
        f"{method} {rule.rule}"
        for rule in create_app().url_map.iter_rules()
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}
    }
    described = [cell.strip("`") for cell in first_cells(developers, "## Addresses")]
    assert sorted(has - set(described)) == [], "missing in DEVELOPERS.md, Addresses"
    assert sorted(described) == sorted(has), "DEVELOPERS.md, Addresses: gone, or there twice"


def test_every_library_says_why_it_is_here(checkout: Path, developers: str) -> None:
    project = tomllib.loads((checkout / "pyproject.toml").read_text(encoding="utf-8"))
    front = json.loads((checkout / "static/package.json").read_text(encoding="utf-8"))
    asked = [
        *project["project"]["dependencies"],
        *(item for group in project["dependency-groups"].values() for item in group),
        *(item for group in project["project"]["optional-dependencies"].values() for item in group),
    ]
    names = {re.split(r"[<>=;~! ]", item)[0] for item in asked} | set(front["dependencies"])
    names |= set(front["devDependencies"])
    section = developers.partition("\n## Libraries\n")[2].partition("\n## ")[0]
    assert (
        sorted(name for name in names if not re.search(rf"(?<![\w/]){re.escape(name)}(?![\w/])", section))
        == []
    )


def test_the_glossary_has_the_surface_words_and_one_line_a_word(developers: str) -> None:
    section = developers.partition("\n## Words\n")[2].partition("\n## ")[0]
    assert [word for word in SURFACES if word not in section] == []
    words = [word for cell in first_cells(developers, "## Words") for word in cell.split(", ")]
    assert len(words) == len(set(words))


def test_every_stage_is_described(developers: str) -> None:
    described = " ".join(first_cells(developers, "## Working on it"))
    assert re.findall(r"`([a-z]+)`", described) == list(stages.STAGES)


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_files_that_a_document_names_exist(checkout: Path, name: str) -> None:
    text = (checkout / name).read_text(encoding="utf-8")
    named = set(
        re.findall(r"\b(?:viewer|meshes|finishes|static|tests)/[\w./]+\.(?:py|sh|toml|lock|json|md)\b", text)
    )
    assert sorted(path for path in named if not (checkout / path).is_file()) == []
