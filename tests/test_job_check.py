"""Checking a job: every problem at once, by path, in words that say what would be accepted."""

import json
from time import process_time
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from viewer.job.accepted import sort_key
from viewer.job.check import CheckResult, check_job, check_text

NAMES = {
    "timber": ("pine", "ash", "white oak"),
    "stain": ("clear", "mid oak"),
    "topcoat": ("oil",),
    "fabric": ("black felt",),
    "lamp": ("D65", "LED-B1"),
}
SMALL: dict[str, Any] = {
    "name": "Hall",
    "wall": {"width_mm": 3000, "height_mm": 2400},
    "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 14},
}


def check(**changes: Any) -> CheckResult:
    return check_job({**SMALL, **changes}, names=NAMES)


def test_three_sections_are_enough() -> None:
    result = check()
    assert result.problems == ()
    assert result.job is not None
    assert result.job.panels.thickness_mm == 12
    assert result.job.model_fields_set == {"name", "wall", "slats"}


def test_all_problems_come_at_once_sorted_by_path() -> None:
    result = check(
        wall={"width_mm": 50, "hieght_mm": 2400, "left": {"meets": "wal"}},
        slats={"width_mm": -4, "depth_mm": True, "gap_mm": "14"},
        openings=[
            {"kind": "socket", "left_mm": 1, "bottom_mm": 1, "width_mm": 90},
            {"kind": "plug", "left_mm": 1, "bottom_mm": 1, "width_mm": 90, "height_mm": 90},
        ],
        finish={"timber": "oka", "coats": 2.5},
        stock={"section_mm": [4]},
        lightings=[
            {
                "name": "day",
                "lamps": [
                    {
                        "name": "window",
                        "centre_mm": [1, 2, 3],
                        "size_mm": [1, 2, 3],
                        "faces": "sideways",
                        "lumens": 0,
                    },
                ],
            }
        ],
    )
    assert result.job is None
    assert [f"{path}: {message}" for path, message in result.problems] == [
        "finish.coats: expected a whole number from 0 to 6, not 2.5",
        "lightings[0].lamps[0].faces: expected one of down, up, left, right, wall or room or a list of 3 "
        'values, each a number from -1 to 1, not "sideways"',
        "lightings[0].lamps[0].lumens: 0 is not accepted; expected a number above 0 and at most 1000000 lm",
        "lightings[0].lamps[0].size_mm: expected a list of 2 values, each a number from 1 to 60000 mm, "
        "not a list of 3",
        "openings[0].height_mm: missing; expected a number from 0 to 60000 mm",
        'openings[1].kind: "plug" is unknown; expected one of socket, switch, data, thermostat, vent, '
        "radiator, window, door or bracket",
        "slats.depth_mm: expected a number from 3 to 300 mm, not true",
        'slats.gap_mm: expected a number from 0 to 500 mm, not "14"',
        "slats.width_mm: -4 is not accepted; expected a number from 3 to 300 mm",
        "stock.section_mm[0]: 4 is not accepted; expected a number from 5 to 500 mm",
        "stock.section_mm[1]: missing; expected a number from 5 to 500 mm",
        "wall.height_mm: missing; expected a number from 300 to 12000 mm or an object with left, middle and "
        "right",
        "wall.hieght_mm: unknown key; the nearest known one is height_mm (keys that start with _ are "
        "kept and ignored)",
        'wall.left.meets: "wal" is unknown; expected one of wall, open, inside_corner or outside_corner; the '
        "nearest is wall",
        "wall.width_mm: 50 is not accepted; expected a number from 100 to 60000 mm or an object with floor, "
        "middle and ceiling",
    ]


def test_missing_sections_say_what_they_need() -> None:
    assert check_job({}, names=NAMES).problems == (
        ("name", "missing; expected text of 1 to 200 characters"),
        ("slats", "missing; expected an object with width_mm, depth_mm and gap_mm"),
        ("wall", "missing; expected an object with width_mm and height_mm"),
    )


@pytest.mark.parametrize("data", [None, 3, "job", [], [SMALL], True])
def test_a_job_is_an_object(data: object) -> None:
    ((path, message),) = check_job(data, names=NAMES).problems
    assert path == "job"
    assert message.startswith("expected an object with name, wall and slats, not ")


@pytest.mark.parametrize("given", ["coarse", 8, None, [16]])
def test_a_number_of_a_few_is_refused_with_those_few(given: object) -> None:
    ((path, message),) = check(slats={**SMALL["slats"], "rod_parts_of_inch": given}).problems
    assert path == "slats.rod_parts_of_inch"
    assert "16 or 32" in message


def test_notes_are_kept_and_ignored_at_every_depth() -> None:
    result = check(_note="by hand", wall={**SMALL["wall"], "_who": {"anything": [1]}})
    assert result.problems == ()
    assert result.document["_note"] == "by hand"
    assert result.document["wall"]["_who"] == {"anything": [1]}


def test_an_own_tone_of_a_film_and_a_stain_cannot_be_mixed() -> None:
    from viewer.catalogue import catalogue_of, names_of

    recipe = {"first": "walnut", "second": "milk white"}
    document = {**SMALL, "finishes": [{"own_tone": {**recipe, "second": "honey"}}, {"own_tone": recipe}]}
    assert check_job(document, names=names_of(catalogue_of(()))).problems == (
        (
            "finishes[1].own_tone",
            '"milk white" lies on the wood and "walnut" in it; mix two tones of the same kind',
        ),
    )


def test_unknown_names_offer_the_nearest() -> None:
    result = check(
        finish={"timber": "white oka"},
        finishes=[{"stain": "mid-oak"}, {"fabric": "zzz"}],
        lightings=[
            {
                "name": "day",
                "lamps": [
                    {
                        "name": "w",
                        "centre_mm": [1500, 1200, 2000],
                        "size_mm": [5, 5],
                        "faces": "wall",
                        "lumens": 5,
                        "spectrum": "LED-B9",
                    }
                ],
            }
        ],
    )
    assert result.problems == (
        ("finish.timber", '"white oka" is no timber of the catalogue; the nearest is "white oak"'),
        ("finishes[0].stain", '"mid-oak" is no stain of the catalogue; the nearest is "mid oak"'),
        ("finishes[1].fabric", '"zzz" is no fabric of the catalogue; known: black felt'),
        ("lightings[0].lamps[0].spectrum", '"LED-B9" is no lamp of the catalogue; the nearest is "LED-B1"'),
    )


def test_two_lightings_or_finishes_of_one_name_cannot_be_told_apart() -> None:
    result = check(finishes=[{"name": "A"}, {"name": "B"}, {"name": "A"}, {}, {}])
    assert result.problems == (("finishes[2].name", '"A" already names finishes[0]; expected another name'),)


def test_a_date_must_exist() -> None:
    assert check(revised="2026-02-30").problems == (
        ("revised", '"2026-02-30" is no date; expected YYYY-MM-DD'),
    )
    ((path, message),) = check(revised="30.2.2026").problems
    assert path == "revised"
    assert "YYYY-MM-DD" in message


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (b"", "line 1, column 1: the file is empty; expected a JSON object"),
        (b'{"name": "x",\n "wall": }', "line 2, column 10: not JSON; expecting value"),
        (b'{"name": "x"\n "wall": 3}', "line 2, column 2: not JSON; expecting ',' delimiter"),
        (b'{\n  "name": "\xff"}', "line 2, column 12: expected text in UTF-8"),
        (b"[" * 100_000, "nested deeper than 32 levels"),
        (b'{"a":' * 100_000, "nested deeper than 32 levels"),
        (b'"' + b"a" * 5_000_000, "larger than the 4 MB that a job file may have"),
    ],
)
def test_what_is_not_json_is_said_with_line_and_column(text: bytes, message: str) -> None:
    assert check_text(text, names=NAMES).problems == (("job", message),)


def test_what_json_readers_let_pass_is_a_problem_by_path() -> None:
    text = json.dumps({**SMALL, "zones": []})
    text = text.replace('"gap_mm": 14', '"gap_mm": NaN, "gap_mm": 1e999, "_a": -Infinity')
    text = text.replace('"name": "Hall"', '"name": "\\ud800"')
    assert check_text(text, names=NAMES).problems == (
        ("name", "expected whole characters; half of a surrogate pair stands here"),
        ("slats._a", "expected a finite number; NaN, infinity and overflow are not JSON"),
        ("slats.gap_mm", "expected a finite number; NaN, infinity and overflow are not JSON"),
        ("slats.gap_mm", "this key stands here more than once; keep one of them"),
    )


def test_a_byte_order_mark_and_whole_floats_are_no_problem() -> None:
    text = "\ufeff" + json.dumps({**SMALL, "finish": {"coats": 2.0}})
    result = check_text(text.encode(), names=NAMES)
    assert result.job is not None
    assert result.job.finish.coats == 2


def test_decimals_mean_what_was_typed() -> None:
    result = check(slats={"width_mm": 40.1, "depth_mm": 18, "gap_mm": 0.3})
    assert result.job is not None
    assert result.job.slats.width_mm * 10 == 401
    assert result.job.slats.gap_mm * 10 == 3


def test_paths_sort_by_number() -> None:
    paths = ["openings[10].left_mm", "openings[2].width_mm", "openings[2].left_mm", "name", 'wall["a b"]']
    assert sorted(paths, key=sort_key) == [
        "name",
        "openings[2].left_mm",
        "openings[2].width_mm",
        "openings[10].left_mm",
        'wall["a b"]',
    ]


KEYS = st.sampled_from(
    ["name", "wall", "slats", "openings", "lightings", "lamps", "faces", "finish", "stock", "width_mm", "_x"]
) | st.text(max_size=5)
ANYTHING = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.integers(10**390, 10**400)
    | st.floats()
    | st.text(st.characters(codec=None), max_size=8),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=5),
    max_leaves=25,
)


@settings(max_examples=200, deadline=None)
@given(ANYTHING)
def test_any_data_gives_problems_and_never_an_exception(data: object) -> None:
    result = check_job(data, names=NAMES)
    assert result.job is None
    assert result.problems
    assert all(path and message and "\n" not in message for path, message in result.problems)


@settings(max_examples=200, deadline=None)
@given(
    st.sampled_from(["wall", "slats", "openings", "zones", "stock", "lightings", "room", "finish"]), ANYTHING
)
def test_any_section_in_a_good_job_never_raises(section: str, data: object) -> None:
    result = check(**{section: data})
    assert (result.job is None) == bool(result.problems)


@pytest.mark.parametrize("section", ["", "wall"])
def test_of_many_unknown_keys_all_are_named_and_the_first_explained(section: str) -> None:
    keys = {f"hieght{number:02}_mm": 1 for number in range(60)}
    wall = {"width_mm": 3000, "height_mm": 2500}
    found = dict(check(**({"wall": {**wall, **keys}} if section else keys)).problems)
    paths = [f"{section}.{key}" if section else key for key in keys]
    assert list(found) == paths
    assert all(found[path].startswith("unknown key; ") for path in paths[:50])
    assert {found[path] for path in paths[50:]} == {
        "unknown key (keys that start with _ are kept and ignored)"
    }


@pytest.mark.timed
def test_ten_times_as_many_unknown_keys_take_no_hundred_times_as_long() -> None:
    """Within one run; twice what ten times the keys should take is left to a busy machine."""
    check()

    def seconds(count: int) -> float:
        wall = {"width_mm": 3000, "height_mm": 2500, **{f"key{number}": 1 for number in range(count)}}
        begun = process_time()
        assert len(check(wall=wall).problems) == count
        return process_time() - begun

    assert seconds(10_000) < 20 * seconds(1_000)


def test_rooms_judge_the_parts_that_parsed_and_name_their_places_in_the_job() -> None:
    socket = {"kind": "socket", "bottom_mm": 100, "width_mm": 90, "height_mm": 90}
    result = check(
        openings=[
            {**socket, "left_mm": "here"},
            {**socket, "left_mm": 200},
            {**socket, "left_mm": 250},
            {**socket, "left_mm": 3100},
        ],
        slats={"width_mm": 4000},
        panels={"thickness_mm": 0, "colour": "red"},
    )
    found = dict(result.problems)
    assert found["openings[2]"].startswith("socket overlaps openings[1] (socket)")
    assert found["openings[3].left_mm"] == "3100 lies beyond the wall's 3000; give less than 3000"
    assert "openings[0].left_mm" in found
    assert "panels.thickness_mm" not in found, "panels did not parse, so the room was not asked about them"


def test_slats_wider_than_the_run_are_told_what_fits() -> None:
    result = check(
        slats={"width_mm": 300, "depth_mm": 18, "gap_mm": 5}, wall={"width_mm": 250, "height_mm": 2400}
    )
    assert result.problems == (("slats.width_mm", "300 is wider than the run of 250; give at most 250"),)


def test_an_object_with_other_keys_is_told_by_them() -> None:
    ((path, message),) = check(
        wall={**SMALL["wall"], "height_mm": {"left_mm": 2400, "right_mm": 2500}}
    ).problems
    assert path == "wall.height_mm"
    assert message.endswith("an object with left, middle and right, not an object with left_mm and right_mm")


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        (
            {"finishes": [{"name": "A", "coats": 9}] * 13},
            ("finishes", "expected a list of at most 12, each an object, not a list of 13"),
        ),
        (
            {"slats": {**SMALL["slats"], "pattern": {"widths_mm": [40] * 13}}},
            (
                "slats.pattern.widths_mm",
                "expected a list of at most 12, each a number from 3 to 300 mm, not a list of 13",
            ),
        ),
        (
            {"lightings": [{"name": "day", "lamps": []}]},
            (
                "lightings[0].lamps",
                "expected a list of at least 1 and at most 100, each an object with name, centre_mm, "
                "size_mm, faces and lumens, not an empty list",
            ),
        ),
    ],
)
def test_the_length_of_a_list_is_told_by_its_limit(
    changes: dict[str, Any], expected: tuple[str, str]
) -> None:
    assert expected in check(**changes).problems


def test_of_a_list_that_is_too_long_the_items_are_not_held_against_each_other() -> None:
    socket = {"kind": "socket", "left_mm": 200, "bottom_mm": 100, "width_mm": 90, "height_mm": 90}
    ((path, message),) = check(openings=[socket] * 501).problems
    assert path == "openings"
    assert message.startswith("expected a list of at most 500, ")
