"""Days and times that people read: in the zone of the settings, or else of the machine."""

import datetime
from pathlib import Path

import pytest

from viewer import local_time
from viewer.app import make
from viewer.settings import SettingsError, load
from viewer.zones import machine_zone

LATE = datetime.datetime(2026, 3, 28, 23, 30, tzinfo=datetime.UTC)
"""Half past midnight in Berlin, in the night in which its clocks go forward."""


def test_a_zone_that_is_none_is_refused_with_the_nearest() -> None:
    with pytest.raises(SettingsError) as refused:
        load({"SLATWRIGHT_TIME_ZONE": "Europe/Lundon"})
    ((name, message),) = refused.value.problems
    assert name == "SLATWRIGHT_TIME_ZONE"
    assert message.startswith(
        "Europe/Lundon is no time zone; the nearest is Europe/London; expected: IANA zone"
    )
    for odd in ("../../etc/passwd", "", "/etc/localtime"):
        with pytest.raises(SettingsError):
            load({"SLATWRIGHT_TIME_ZONE": odd})


def test_the_machine_says_its_zone_by_variable_or_link_or_not_at_all(tmp_path: Path) -> None:
    link = tmp_path / "localtime"
    assert machine_zone({}, link) == "UTC"
    link.symlink_to("/usr/share/zoneinfo/Europe/Berlin")
    assert machine_zone({}, link) == "Europe/Berlin"
    assert machine_zone({"TZ": ":Asia/Tokyo"}, link) == "Asia/Tokyo"
    assert machine_zone({"TZ": "CET-1CEST"}, link) == "Europe/Berlin"
    assert load({"TZ": "Asia/Tokyo"}).time_zone == "Asia/Tokyo"
    assert load({"TZ": "Asia/Tokyo", "SLATWRIGHT_TIME_ZONE": "Europe/Berlin"}).time_zone == "Europe/Berlin"


def test_days_and_moments_are_those_of_the_setting(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(local_time, "utc_now", lambda: LATE)
    app = make(load({"HOME": str(tmp_path), "SLATWRIGHT_TIME_ZONE": "Europe/Berlin"}))
    with app.app_context():
        assert local_time.today() == datetime.date(2026, 3, 29)
        assert local_time.local_day("2026-03-28T23:30:00.000000Z") == "2026-03-29"
        assert local_time.local_moment("2026-03-28T22:59:00Z") == "2026-03-28 23:59 Europe/Berlin"
        assert local_time.local_moment("2026-03-29T01:30:00Z") == "2026-03-29 03:30 Europe/Berlin"
    board = app.test_client().get("/jobs/demo/board").text
    assert 'name="start" value="2026-03-29"' in board
    assert "Days are counted in the time zone Europe/Berlin." in board
