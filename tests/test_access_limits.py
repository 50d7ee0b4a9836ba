"""Limits hold over every process of one store, count by network, and begin again when their time is over."""

import datetime
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from flask import Flask
from signoff_site import PASSWORD, PUBLIC, browser, reachable_site, token

from viewer.clock import utc_now
from viewer.limits import network_of
from viewer.pages.sign_in import wrong_sign_ins
from viewer.services import KEY
from viewer.store.opening import Store, open_store


@pytest.fixture
def kept(database_url: str, tmp_path: Path) -> Iterator[Store]:
    """A store on each of the databases."""
    opened = open_store(tmp_path, database_url, utc_now)
    yield opened
    opened.close()


def at_once(count: int, do: Callable[[], object]) -> list[object]:
    """What ``count`` threads get that begin together."""
    got: list[object] = []
    barrier = threading.Barrier(count)

    def go() -> None:
        barrier.wait()
        got.append(do())

    threads = [threading.Thread(target=go) for _one in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return got


def test_wrong_passwords_are_limited_over_two_processes(reachable: Flask, tmp_path: Path) -> None:
    other = reachable_site(tmp_path)  # the same data folder, as a second process has it
    answers = []
    for number in range(13):
        client = browser((reachable, other)[number % 2])
        form = {"name": "maker", "password": "wrong", "form_token": token(client, "/sign-in")}
        answers.append(client.post("/sign-in", data=form).status_code)
    assert answers == [422] * wrong_sign_ins.count + [429] * 3
    form = {"name": "maker", "password": PASSWORD, "form_token": token(client, "/sign-in")}
    assert client.post("/sign-in", data=form).status_code == 429
    elsewhere = {"REMOTE_ADDR": "198.51.100.7"}
    assert client.post("/sign-in", data=form, environ_overrides=elsewhere).status_code == 302
    other.extensions[KEY].close()


def test_the_right_password_begins_the_count_again(reachable: Flask) -> None:
    for password in ["wrong"] * (wrong_sign_ins.count - 1) + [PASSWORD] + ["wrong"] * wrong_sign_ins.count:
        client = browser(reachable)
        form = {"name": "maker", "password": password, "form_token": token(client, "/sign-in")}
        assert client.post("/sign-in", data=form).status_code != 429


def test_of_tries_at_one_moment_no_more_than_allowed_pass(kept: Store) -> None:
    passed = at_once(8, lambda: kept.tries.take("one", most=3, per_s=600))
    assert sorted(map(bool, passed)) == [False] * 5 + [True] * 3


def test_of_phones_with_one_code_at_one_moment_one_gets_in(kept: Store) -> None:
    kept.accounts.set_password("maker", PASSWORD)
    code = kept.accounts.new_code()
    tokens = at_once(4, lambda: kept.accounts.sign_in_by_code(code))
    (token,) = [one for one in tokens if one is not None]
    assert kept.accounts.signed_in(str(token))


def test_a_count_begins_again_after_its_time_and_leaves_nothing_behind(tmp_path: Path) -> None:
    now = [utc_now()]
    store = open_store(tmp_path, None, lambda: now[0])
    assert [store.tries.take("one", most=2, per_s=60) for _try in range(3)] == [True, True, False]
    assert store.tries.take("another", most=2, per_s=60)
    now[0] += datetime.timedelta(seconds=61)
    assert store.tries.take("another", most=2, per_s=60)
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM tries").scalar() == 1
    assert store.tries.take("one", most=2, per_s=60)
    store.close()


def test_a_clock_set_back_locks_nobody_out_for_long(tmp_path: Path) -> None:
    now = [utc_now() + datetime.timedelta(days=400)]
    store = open_store(tmp_path, None, lambda: now[0])
    assert [store.tries.take("one", most=1, per_s=60) for _try in range(2)] == [True, False]
    now[0] -= datetime.timedelta(days=400)
    assert store.tries.take("one", most=1, per_s=60)
    store.close()


@pytest.mark.parametrize(
    ("address", "network"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"),
        ("2001:db8:1:2:ffff::", "2001:db8:1:2::/64"),
        ("", ""),
    ],
)
def test_an_address_counts_by_the_network_it_may_move_in(address: str, network: str) -> None:
    assert network_of(address) == network


def test_who_asks_is_kept_by_hash_alone(reachable: Flask) -> None:
    client = browser(reachable)
    form = {"name": "maker", "password": "wrong", "form_token": token(client, "/sign-in")}
    client.post("/sign-in", data=form, environ_overrides={"REMOTE_ADDR": "198.51.100.7"})
    with reachable.extensions[KEY].store.engine.connect() as connection:
        driver = connection.connection.driver_connection
        assert driver is not None
        dump = "\n".join(driver.iterdump())
    assert "198.51.100.7" not in dump
    assert PUBLIC not in dump
