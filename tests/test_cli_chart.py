"""The chart as a command, and the README's sentence about how much of the catalogue is indicative."""

from pathlib import Path

import pytest
from PIL import Image

from finishes.catalogue import load
from finishes.catalogue.count import count
from viewer.cli import invoke

CHECKOUT = Path(__file__).parents[1]
ONE_CELL = ["--timber", "European ash", "--stain", "walnut"]


def run(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    """Exit code and what was said on standard error."""
    code = invoke(["chart", *arguments])
    return code, capsys.readouterr().err


@pytest.mark.parametrize(("ending", "kind"), [("png", "PNG"), ("jpg", "JPEG")])
def test_the_chart_is_written(
    ending: str, kind: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / f"chart.{ending}"
    assert run([*ONE_CELL, "-o", str(path)], capsys) == (0, "")
    with Image.open(path) as picture:
        assert picture.format == kind
        # a stained board stands in the picture: something that is neither the grey surround nor ink
        red, _, blue = (
            picture.convert("RGB").resize((60, 40)).crop((35, 15, 55, 28)).resize((1, 1)).getpixel((0, 0))
        )
        assert red > blue + 20


def test_unknown_names_are_all_named_and_nothing_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "chart.png"
    code, said = run(["--timber", "Scots pin", "--stain", "walnutt", "-o", str(path)], capsys)
    assert code == 2
    assert said.splitlines() == [
        '--timber: "Scots pin" is unknown; the nearest is "Scots pine"',
        '--stain: "walnutt" is unknown; the nearest is "walnut"',
    ]
    assert not path.exists()


def test_another_ending_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, said = run([*ONE_CELL, "-o", str(tmp_path / "chart.gif")], capsys)
    assert (code, said) == (2, "--output: chart.gif has another ending; expected .png or .jpg\n")


def test_readme_says_how_much_is_indicative() -> None:
    readme = " ".join((CHECKOUT / "README.md").read_text(encoding="utf-8").split())
    assert count(load()).sentence in readme
