"""The list of OWASP ASVS in DEVELOPERS.md names tests that exist; forms that write carry their token."""

import re
from pathlib import Path

import pytest

CHAPTERS = {
    1: "Encoding and sanitization",
    2: "Validation and business logic",
    3: "Web frontend",
    4: "API and web service",
    5: "File handling",
    6: "Authentication",
    7: "Session management",
    8: "Authorization",
    9: "Self-contained tokens",
    10: "OAuth and OIDC",
    11: "Cryptography",
    12: "Secure communication",
    13: "Configuration",
    14: "Data protection",
    15: "Secure coding",
    16: "Logging and error handling",
    17: "WebRTC",
}
"""The chapters of OWASP ASVS 5.0.0, shortened."""
TOKEN = '<input type="hidden" name="form_token" value="{{ form_token() }}"'
TEMPLATES = sorted((Path(__file__).parent.parent / "viewer" / "templates").glob("*.html"))


def rows(checkout: Path) -> list[list[str]]:
    text = (checkout / "DEVELOPERS.md").read_text(encoding="utf-8")
    part = text.partition("\n## Safety of people's data\n")[2].partition("\n## ")[0]
    lines = [line for line in part.splitlines() if line.startswith("| V")]
    return [[cell.strip() for cell in line.strip("|").split(" | ")] for line in lines]


def test_every_chapter_has_its_line(checkout: Path) -> None:
    found = [row[0].partition(" ")[::2] for row in rows(checkout)]
    assert found == [(f"V{number}", name) for number, name in CHAPTERS.items()]


def test_every_line_names_tests_that_exist(checkout: Path) -> None:
    for chapter, holds, falls_short, shown_by in rows(checkout):
        named = re.findall(r"`(tests/test_\w+\.py)`", shown_by)
        assert bool(named) == (holds != "not used"), chapter
        assert falls_short, chapter
        for path in named:
            assert "def test_" in (checkout / path).read_text(encoding="utf-8"), path


def test_no_test_of_access_or_signing_is_left_out(checkout: Path) -> None:
    named = "".join(row[3] for row in rows(checkout))
    left_out = [
        file.name for file in sorted((checkout / "tests").glob("test_access_*.py")) if file.name not in named
    ]
    assert left_out == []


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: path.name)
def test_every_form_that_posts_carries_its_token(template: Path) -> None:
    text = template.read_text(encoding="utf-8")
    for form in re.findall(r"<form\b.*?</form>", text, re.DOTALL):
        opening = form.partition(">")[0]
        if re.search(r'method="?post', opening, re.IGNORECASE):
            by_id = re.search(r'\bid="([\w-]+)"', opening)
            beside = f'{TOKEN} form="{by_id[1]}">' if by_id else None
            assert f"{TOKEN}>" in form or (beside and beside in text), opening
        assert "formmethod" not in form
