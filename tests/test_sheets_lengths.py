"""Numbers of slats as the sheets list them."""

from viewer.sheets.lengths import ranges


def test_slats_of_a_length_are_listed_as_ranges() -> None:
    assert ranges([3, 1, 2, 7, 9, 10]) == ["1–3", "7", "9–10"]
    assert ranges([5, 5]) == ["5", "5"]
    assert ranges([]) == []
