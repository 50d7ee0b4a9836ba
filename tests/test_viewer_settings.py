"""Settings and paths: from the environment only, wrong values named, secrets masked."""

from pathlib import Path

import pytest

from viewer.paths import cache_home, data_home, state_home
from viewer.settings import Settings, SettingsError, load, shown, variable


def test_defaults_need_no_environment() -> None:
    settings = load({"HOME": "/home/someone"})
    assert (settings.host, settings.port) == ("127.0.0.1", 8517)
    assert settings.data_dir == Path("/home/someone/.local/share/slatwright")
    assert settings.prices is None


@pytest.mark.parametrize(
    ("variables", "problems"),
    [
        ({"SLATWRIGHT_PORT": "eighty"}, [("SLATWRIGHT_PORT", "expected a whole number from 0 to 65535")]),
        ({"SLATWRIGHT_PORT": "70000"}, [("SLATWRIGHT_PORT", "expected a whole number from 0 to 65535")]),
        (
            {"SLATWRIGHT_LOG_LEVEL": "loud"},
            [("SLATWRIGHT_LOG_LEVEL", "expected one of debug, info, warning, error")],
        ),
        (
            {"SLATWRIGHT_SECRET_KEY": "short", "SLATWRIGHT_PROT": "1"},
            [
                ("SLATWRIGHT_PROT", "no such setting; the nearest is SLATWRIGHT_PORT"),
                (
                    "SLATWRIGHT_SECRET_KEY",
                    "shorter than the 32 characters that a key needs; expected: key that signs cookies; "
                    "without one, a key made once in the data folder",
                ),
            ],
        ),
        (
            {"SLATWRIGHT_PRICES": "/no/such/file"},
            [
                (
                    "SLATWRIGHT_PRICES",
                    "/no/such/file is no file; expected: price list; without one, prices are named as "
                    "missing",
                )
            ],
        ),
    ],
)
def test_wrong_values_are_named_all_at_once(
    variables: dict[str, str], problems: list[tuple[str, str]]
) -> None:
    with pytest.raises(SettingsError) as refused:
        load(variables)
    assert list(refused.value.problems) == problems


def test_a_wrong_secret_is_not_repeated_in_the_message() -> None:
    with pytest.raises(SettingsError) as refused:
        load({"SLATWRIGHT_SECRET_KEY": "hunter2"})
    assert "hunter2" not in str(refused.value)


def test_folders_of_catalogues_are_separated_by_colons(tmp_path: Path) -> None:
    one, two = tmp_path / "one", tmp_path / "two"
    one.mkdir()
    two.mkdir()
    assert load({"SLATWRIGHT_CATALOGUE": f"{one}:{two}"}).catalogue == (one, two)


def test_every_setting_is_shown_and_secrets_are_masked() -> None:
    key = "0123456789abcdef0123456789abcdef"
    environment = {"SLATWRIGHT_SECRET_KEY": key, "SLATWRIGHT_PORT": "0"}
    table = shown(load(environment), environment)
    assert set(table) == {variable(name) for name in Settings.model_fields}
    assert table["SLATWRIGHT_SECRET_KEY"]["value"] == "********"
    assert key not in str(table)
    assert (table["SLATWRIGHT_PORT"]["value"], table["SLATWRIGHT_PORT"]["set"]) == (0, True)
    assert all(row["meaning"] for row in table.values())


def test_other_programs_variables_are_none_of_ours() -> None:
    assert load({"PORT": "x", "SLATWRIGHTPORT": "x", "XSLATWRIGHT_PORT": "x"}).port == 8517


@pytest.mark.parametrize(
    ("home", "variable_name", "below_home"),
    [
        (data_home, "XDG_DATA_HOME", ".local/share"),
        (cache_home, "XDG_CACHE_HOME", ".cache"),
        (state_home, "XDG_STATE_HOME", ".local/state"),
    ],
)
def test_folders_follow_the_xdg_specification(home, variable_name: str, below_home: str) -> None:  # type: ignore[no-untyped-def]
    assert home({"HOME": "/h"}) == Path(f"/h/{below_home}/slatwright")
    assert home({"HOME": "/h", variable_name: "/x"}) == Path("/x/slatwright")
    # XDG Base Directory Specification: relative paths are invalid and to be ignored
    assert home({"HOME": "/h", variable_name: "x"}) == Path(f"/h/{below_home}/slatwright")
