"""Numbers that a query or form says: read where they are places, refused without a fault where not."""

import pytest
from flask.testing import FlaskClient
from signoff_site import token

from viewer.pages.places import number_below, steps_of

ENDLESS = "9" * 4400
"""More digits than Python turns into a number (4,300, see ``sys.set_int_max_str_digits``)."""


@pytest.mark.parametrize(
    ("text", "number"),
    [("0", 0), ("11", 11), ("٣", 3), ("12", None), ("99999", None), ("-1", None), ("1.0", None), ("", None)],
)
def test_a_number_is_read_only_below_its_limit(text: str, number: int | None) -> None:
    assert number_below(text, 12) == number


def test_a_number_that_no_list_reaches_is_no_place() -> None:
    assert steps_of("next_walls[2].openings[10].left_mm") == ["next_walls", 2, "openings", 10, "left_mm"]
    assert steps_of(f"openings[{ENDLESS}]") == ["openings", ENDLESS]


@pytest.mark.parametrize(
    "address",
    [
        "/jobs/demo/?finish={endless}",
        "/jobs/demo/board?number=yes&finish={endless}&lighting={endless}",
        "/jobs/demo/finish?timber=x&coats={endless}",
        "/jobs/demo/set-out?slats.gap_mm={endless}",
        "/survey-sheet.pdf?walls={endless}",
    ],
)
def test_an_endless_number_in_an_address_is_as_good_as_none(client: FlaskClient, address: str) -> None:
    assert client.get(address.format(endless=ENDLESS)).status_code == 200


@pytest.mark.parametrize(
    ("page", "field", "said"),
    [
        ("survey", "wall.height_mm", ENDLESS),
        ("survey", "wall.height_mm", f"{ENDLESS}' {ENDLESS} 1/{ENDLESS}\""),
        ("survey", f"openings[{ENDLESS}].left_mm", "1"),
        ("survey", "openings[", "1"),
        ("survey", "list", f"openings {ENDLESS}"),
        ("survey", "do", f"take openings {ENDLESS}"),
        ("survey", "revision", ENDLESS),
        ("set-out", "do", f"let-go {ENDLESS}"),
        ("lightings", "do", f"take {ENDLESS}"),
        ("finish", "coats", ENDLESS),
    ],
)
def test_an_endless_number_in_a_form_breaks_nothing(
    client: FlaskClient, page: str, field: str, said: str
) -> None:
    address = f"/jobs/demo/{page}"
    kept = client.post(address, data={field: said, "form_token": token(client, address)})
    assert kept.status_code in (302, 422)
    shown = kept.headers.get("Location", address)
    assert client.get(shown).status_code == 200
