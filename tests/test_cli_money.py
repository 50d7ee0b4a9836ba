"""Money by command: a ballpark from four numbers, and a price list to fill in."""

import json
from pathlib import Path

import pytest

from viewer.answers.ballpark import ballpark_answer
from viewer.answers.quantities import quantities
from viewer.catalogue import catalogue_of
from viewer.cli import invoke
from viewer.demo import JOB_FILE
from viewer.job.check import check_job
from viewer.price_list import price_list_of

PRICES = JOB_FILE.with_name("prices.toml")
WALL = ["ballpark", "--length", "4.2", "--height", "2,55", "--timber", "hardwood", "--openings", "2"]


def test_the_demos_estimate_lies_in_its_ballpark(capsys: pytest.CaptureFixture[str]) -> None:
    assert invoke([*WALL, "--prices", str(PRICES)]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["is_offer"] is False
    assert found["words"].startswith(f"Between {found['low']} and {found['high']} EUR: a ballpark")
    # both ends are the lines' sums with tax, rounded outward to 50
    for end, name in ((0, "low"), (1, "high")):
        paid = 1.2 * sum(line["cost"][end] for line in found["lines"])
        assert abs(found[name] - paid) <= 50
        assert (found[name] <= paid) if name == "low" else (found[name] >= paid)
    assert invoke(["take-off", str(JOB_FILE), "--prices", str(PRICES), "--prove", "0"]) == 0
    estimate = json.loads(capsys.readouterr().out)["price"]["total"]
    assert found["low"] <= estimate <= found["high"]


@pytest.mark.parametrize(
    ("wall", "slats", "finish", "timber"),
    [
        ((3000, 2550), (30, 25, 18), {"timber": "European ash", "topcoat": "matt"}, "hardwood"),
        ((5400, 2400), (40, 16, 12), {"timber": "European oak", "topcoat": "none", "coats": 2}, "hardwood"),
        ((1800, 2300), (35, 20, 10), {"timber": "Scots pine", "topcoat": "oil", "coats": 2}, "softwood"),
    ],
)
def test_estimates_of_other_walls_lie_in_their_ballpark(
    wall: tuple[int, int], slats: tuple[int, int, int], finish: dict[str, object], timber: str
) -> None:
    job = check_job(
        {
            "name": "n",
            "wall": dict(zip(("width_mm", "height_mm"), wall, strict=True)),
            "slats": dict(zip(("width_mm", "depth_mm", "gap_mm"), slats, strict=True)),
            "finish": {"stain": "walnut", **finish},
        }
    ).job
    assert job is not None
    prices = price_list_of(PRICES)
    needed = quantities(job, job.finish, catalogue_of(()), prices)
    given = {"length": str(wall[0] / 1000), "height": str(wall[1] / 1000), "timber": timber}
    answer, problems = ballpark_answer(given, prices)
    assert problems == ()
    assert answer is not None
    assert needed.priced is not None
    total = needed.priced.estimate.total
    assert total is not None
    assert answer["low"] <= total <= answer["high"]
    # a range so wide that it says nothing would hold everything
    assert answer["high"] <= 2.5 * answer["low"]


def test_without_prices_nothing_is_said_but_what_is_missing(capsys: pytest.CaptureFixture[str]) -> None:
    assert invoke(WALL) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["low"], found["high"]) == (None, None)
    assert found["missing"][0] == "section: hardwood"
    assert {line["cost"] for line in found["lines"]} == {None}


def test_every_wrong_number_is_named_at_once(capsys: pytest.CaptureFixture[str]) -> None:
    wrong = ["--length", "four", "--height", "99", "--timber", "hardwod", "--openings", "1.5"]
    assert invoke(["ballpark", *wrong]) == 2
    assert capsys.readouterr().err.splitlines() == [
        '--length: "four" is not accepted; expected a number from 0.1 to 60 metres',
        '--height: "99" is not accepted; expected a number from 0.3 to 12 metres',
        "--openings: 1.5 is no whole number",
        '--timber: "hardwod" is unknown; expected softwood, hardwood or board; the nearest is hardwood',
    ]


@pytest.mark.parametrize("openings", ["-1", "201", "nan", "1e400"])
def test_openings_have_limits(openings: str) -> None:
    given = {"length": "4", "height": "2.4", "timber": "softwood", "openings": openings}
    answer, problems = ballpark_answer(given, None)
    assert answer is None
    assert [field for field, _ in problems] == ["openings"]


def test_a_form_may_leave_out_openings() -> None:
    given = {"length": " 4 ", "height": "2.4", "timber": "board", "openings": ""}
    answer, problems = ballpark_answer(given, None)
    assert problems == ()
    assert answer is not None


def test_a_bad_price_list_is_named_by_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "p.csv").write_text("currency,EUR\nitem,of,per,pack,length_mm,price\nsheet,,,,,12,5o\n")
    assert invoke([*WALL, "--prices", str(tmp_path / "p.csv")]) == 2
    assert capsys.readouterr().err.startswith("line 3: has 7 cells under 6 headings")


def test_a_price_list_to_fill_in_names_what_is_missing_and_reads_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    empty, filled = tmp_path / "empty.csv", tmp_path / "filled.csv"
    assert invoke(["prices", str(JOB_FILE), "-o", str(empty)]) == 0
    priced = ["take-off", str(JOB_FILE), "--prove", "0", "--prices"]
    capsys.readouterr()
    assert invoke([*priced, str(empty)]) == 0
    price = json.loads(capsys.readouterr().out)["price"]
    assert price["total"] is None
    named = [line.split(",")[0] for line in empty.read_text().splitlines()[3:]]
    assert [missing.partition(":")[0].partition(",")[0] for missing in price["missing"]] == named
    # every price 1: the sum then counts every line
    lines = empty.read_text().splitlines()
    filled.write_text("\n".join([*lines[:3], *(f"{line[:-3]},1,," for line in lines[3:])]) + "\n")
    assert invoke([*priced, str(filled)]) == 0
    assert json.loads(capsys.readouterr().out)["price"]["missing"] == []
    assert invoke(["prices", str(JOB_FILE), "-o", str(empty)]) == 2
    assert "is there already; expected a new name" in capsys.readouterr().err
    assert empty.read_text().splitlines() == lines
    assert invoke(["prices", str(JOB_FILE), "-o", str(tmp_path / "p.xlsx")]) == 2
    assert "expected .csv" in capsys.readouterr().err
