"""Tolerances: a change inside them is as built, one outside is said in words; whatever moved is found."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from finishes.choice import Finish
from viewer.answers.set_out import set_outs_of
from viewer.job.model import Job
from viewer.signoff.agreed import Fact, Tolerances, changes, fact_from_json
from viewer.signoff.chain import Entry
from viewer.signoff.facts import agreed_facts
from viewer.signoff.standing import Standing, standing

FINISH = Finish(timber="pine", stain="walnut", coats=2, topcoat="oil", fabric="black felt")
PRICE = (Decimal("1840.00"), "EUR")


def facts(
    gap_mm: int = 14,
    *,
    socket_mm: int = 1480,
    finish: Finish = FINISH,
    price: Decimal = PRICE[0],
    turns: Sequence[str] = (),
) -> tuple[Fact, ...]:
    job = Job.model_validate(
        {
            "name": "Wall",
            "wall": {"width_mm": 4176, "height_mm": 2550},
            "openings": [
                {"kind": "socket", "left_mm": socket_mm, "bottom_mm": 450, "width_mm": 146, "height_mm": 86}
            ],
            "slats": {"width_mm": 44, "depth_mm": 16, "gap_mm": gap_mm},
            "next_walls": [{"turns": turn, "wall": {"width_mm": 2000, "height_mm": 2550}} for turn in turns],
        }
    )
    return agreed_facts(job, set_outs_of(job), finish, Tolerances(), price=(price, "EUR"))


def sentences(now: tuple[Fact, ...], *, within: bool) -> list[str]:
    return [change.sentence for change in changes(facts(), now) if change.within == within]


def test_an_unchanged_job_has_no_changes() -> None:
    assert changes(facts(), facts()) == ()


def test_a_gap_outside_its_tolerance_is_said_in_words() -> None:
    outside = sentences(facts(17), within=False)
    # run 4176, slat 44: 72 slats leave 1008/71 = 14.197 mm, 69 slats leave 1140/68 = 16.765 mm
    assert outside == ["gap 14.197 → 16.765 mm (agreed ± 1)", "slats 72 → 69 (agreed ± 1)"]


def test_a_socket_moved_by_a_little_is_as_built() -> None:
    assert sentences(facts(socket_mm=1484), within=True) == [
        "socket 1 from the left 1480 → 1484 mm (agreed ± 5)"
    ]
    assert sentences(facts(socket_mm=1486), within=False) == [
        "socket 1 from the left 1480 → 1486 mm (agreed ± 5)"
    ]


def test_words_and_price_have_no_tolerance() -> None:
    other = FINISH.model_copy(update={"stain": "charcoal"})
    assert sentences(facts(finish=other), within=False) == ["stain walnut → charcoal (agreed as it was)"]
    assert sentences(facts(price=Decimal("1840.01")), within=False) == [
        "price 1840 → 1840.01 EUR (agreed as fixed)"
    ]


def corners(found: Sequence[Fact]) -> list[tuple[str, str, object]]:
    return [(fact.name, fact.words, fact.value) for fact in found if fact.name.endswith(".turns")]


def test_a_corner_is_named_where_a_wall_goes_on_round_it_and_nowhere_else() -> None:
    assert corners(facts()) == []
    assert corners(facts(turns=("inside", "outside"))) == [
        ("wall_1.turns", "wall 2: goes on round", "inside corner"),
        ("wall_2.turns", "wall 3: goes on round", "outside corner"),
    ]


def signed_before(found: Sequence[Fact], turns: Sequence[str]) -> Entry:
    """A signature as records of before have it: every wall says how it turns, the first one too."""
    kept = [fact for fact in found if not fact.name.endswith(".turns")]
    for number, turn in enumerate(("first", *turns)):
        kept.append(Fact(name=f"wall_{number}.turns", words="turns", value=turn, unit="", tolerance=None))
    sections = {
        "facts": [fact.as_json() for fact in kept],
        "choice": {"signed_on": "2026-03-01", "finish": "Honey"},
    }
    return Entry(
        place=0,
        stage="signature",
        at="2026-03-01T09:00:00Z",
        previous="0" * 64,
        sections=sections,
        supersedes=None,
        signature=b"",
    )


@pytest.mark.parametrize("turns", [(), ("inside",), ("outside", "inside")])
def test_a_record_that_named_corners_otherwise_still_holds(turns: tuple[str, ...]) -> None:
    found = standing([signed_before(facts(turns=turns), turns)], facts(turns=turns))
    assert isinstance(found, Standing)
    assert (found.outside, found.within) == ((), ())


def test_another_corner_than_that_of_an_older_record_is_outside() -> None:
    now = facts(turns=("outside",))
    found = standing([signed_before(facts(turns=("inside",)), ("inside",))], now)
    assert isinstance(found, Standing)
    assert "wall_1.turns" in {change.name for change in found.outside}


def test_facts_that_come_or_go_are_outside() -> None:
    signed = facts()
    assert [change.within for change in changes(signed, signed[:-1])] == [False]
    assert [change.within for change in changes(signed[:-1], signed)] == [False]


@given(st.fractions(min_value=-3, max_value=3, max_denominator=1000))
def test_the_tolerance_itself_still_counts_as_agreed(moved: Fraction) -> None:
    signed = Fact(name="g", words="gap", value=Fraction(14), unit="mm", tolerance=Fraction(1))
    now = Fact(name="g", words="gap", value=14 + moved, unit="mm", tolerance=Fraction(1))
    found = changes([signed], [now])
    assert bool(found) == (moved != 0)
    assert all(change.within == (abs(moved) <= 1) for change in found)


@pytest.mark.parametrize("fact", facts(), ids=lambda fact: fact.name)
def test_facts_survive_the_record_exactly(fact: Fact) -> None:
    assert fact_from_json(fact.as_json()) == fact
