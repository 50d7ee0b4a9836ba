"""From the first coat to the day for fixing, and words for the bench."""

from datetime import date

import pytest
from measured_jobs import AN_OFF_CUT

from finishes.catalogue import Catalogue
from finishes.choice import Finish, OffCut, Recipe
from finishes.schedule import UnknownZoneError, schedule, zone
from finishes.workshop import ageing, sample_board_recipe, sign_off_words


def test_coats_waits_and_weekend_to_the_first_day_for_fixing(catalogue: Catalogue) -> None:
    # Friday 20 November 2026: 20 m2 take 3 h 20 a coat at 6 m2/h; oil-borne stain waits 16 h, oil 16 h and
    # 120 h
    finish = Finish(stain="walnut", coats=2, between_coats="dried", topcoat="oil")
    found = schedule(finish, catalogue, start=date(2026, 11, 20), zone_name="Europe/London", area_m2=20)
    days = [(step.starts.strftime("%a %d %H:%M"), step.ends.strftime("%H:%M")) for step in found.steps]
    assert days == [
        ("Fri 20 08:00", "11:20"),
        ("Mon 23 08:00", "11:20"),
        ("Tue 24 08:00", "11:20"),
        ("Wed 25 08:00", "11:20"),
    ]
    assert found.steps[-1].ready.strftime("%a %d %H:%M") == "Mon 30 11:20"
    assert found.fit_on == date(2026, 11, 30)
    assert any("Rags with drying oil" in note for note in found.notes)
    assert any("dried seals the wood" in note for note in found.notes)
    assert any("Cuts made at openings" in note for note in found.notes)
    seven_days = schedule(
        finish, catalogue, start=date(2026, 11, 20), zone_name="Europe/London", area_m2=20, weekends=True
    )
    assert seven_days.fit_on == date(2026, 11, 28)


def test_waits_run_in_real_hours_through_a_change_of_clocks(catalogue: Catalogue) -> None:
    # Clocks in London go back on 25 October 2026: 16 h after Saturday 17:00 is Sunday 08:00, not 09:00
    finish = Finish(stain="walnut", coats=1, topcoat="matt")
    found = schedule(
        finish, catalogue, start=date(2026, 10, 24), zone_name="Europe/London", area_m2=54, weekends=True
    )
    assert found.steps[0].ends.strftime("%a %H:%M %z") == "Sat 17:00 +0100"
    assert found.steps[0].ready.strftime("%a %H:%M %z") == "Sun 08:00 +0000"


def test_coats_wet_on_wet_are_one_piece_of_work(catalogue: Catalogue) -> None:
    finish = Finish(stain="walnut", coats=2, topcoat="none")
    found = schedule(finish, catalogue, start=date(2026, 11, 16), zone_name="UTC", area_m2=12)
    (step,) = found.steps
    # Wood Handbook FPL-GTR-190 ch. 16: 20-60 minutes
    assert step.work == "stain, 2 coats wet on wet, 20 to 60 minutes apart: walnut"
    assert step.ends.strftime("%H:%M") == "12:00"


def test_bare_slats_wait_for_nothing(catalogue: Catalogue) -> None:
    bare = schedule(
        Finish(coats=0, topcoat="none"), catalogue, start=date(2026, 11, 28), zone_name="UTC", area_m2=0
    )
    # 28 November 2026 is a Saturday
    assert (bare.steps, bare.fit_on, bare.notes) == ((), date(2026, 11, 30), ())


def test_more_coats_never_come_earlier(catalogue: Catalogue) -> None:
    for topcoat in catalogue.topcoat:
        days = [
            schedule(
                Finish(coats=n, topcoat=topcoat, between_coats="dried"),
                catalogue,
                start=date(2026, 11, 16),
                zone_name="UTC",
                area_m2=25,
            ).fit_on
            for n in range(5)
        ]
        assert days == sorted(days)


def test_an_unknown_zone_and_a_negative_area_are_refused(catalogue: Catalogue) -> None:
    with pytest.raises(UnknownZoneError, match="'Europe/Lundon' is not a known time zone"):
        zone("Europe/Lundon")
    with pytest.raises(UnknownZoneError, match="not a known time zone"):
        zone("../etc/passwd")
    with pytest.raises(ValueError, match="area_m2 is -1"):
        schedule(Finish(), catalogue, start=date(2026, 11, 16), zone_name="UTC", area_m2=-1)


def test_words_for_the_bench_name_the_finish(catalogue: Catalogue) -> None:
    finish = Finish(
        timber="Scots pine",
        own_tone=Recipe(first="walnut", second="light oak", second_parts=2),
        coats=2,
        topcoat="oil",
        sorting="clear",
    )
    recipe = " ".join(sample_board_recipe(finish, catalogue))
    assert "Mix by volume: 1 part walnut + 2 parts light oak" in recipe
    assert "2 coats, each while the one before is wet" in recipe
    assert "What is agreed is the off-cut" in recipe
    assert sign_off_words(finish, catalogue) == (
        "Timber Scots pine, tone 1 part walnut + 2 parts light oak, 2 coats, faces planed, sides sawn, "
        "topcoat oil. Boards sorted free of knots on the faces that show."
    )
    assert len(ageing(finish, catalogue)) == 2
    measured = finish.model_copy(update={"off_cut": OffCut.model_validate(AN_OFF_CUT)})
    assert sign_off_words(measured, catalogue).endswith(" Off-cut 3, measured on 2026-11-20.")


def test_cull_rates_grow_with_how_strictly_boards_are_sorted(catalogue: Catalogue) -> None:
    culls = {name: entry.cull_percent.likely for name, entry in catalogue.sorting.items()}
    assert culls["all knots"] < culls["small sound knots"] < culls["clear"]
