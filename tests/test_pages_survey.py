"""The survey form: every place of the schema has a field, walls go round corners, two states are shown."""

import json
from collections.abc import Iterator
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from viewer.demo import demo_bytes
from viewer.drawings.surveyed import surveyed_wall
from viewer.job.check import check_job, check_text
from viewer.job.schema import job_schema
from viewer.pages.fields import TYPED, document_with
from viewer.pages.survey_drawn import drawn_wall
from viewer.pages.survey_form import all_fields, walls_of
from viewer.pages.survey_lists import change_lists
from viewer.pages.survey_view import SurveyView, differences

DEMO = check_text(demo_bytes()).document
SECTIONS = ("wall", "openings", "zones", "next_walls")
"""The sections of the job file that hold what was measured on site."""
ONE_OF_EACH: dict[str, Any] = {
    **DEMO,
    "openings": [{"kind": "door"}],
    "zones": [{"kind": "access"}],
    "next_walls": [{"turns": "inside", "wall": {}, "openings": [{"kind": "window"}], "zones": [{}]}],
}


def leaves(node: dict[str, Any], path: str) -> Iterator[str]:
    """Paths of the schema at which a value stands; item 0 of every list of objects."""
    while "$ref" in node:
        node = job_schema()["$defs"][node["$ref"].rpartition("/")[2]]
    options = [one for one in node.get("anyOf", []) if one.get("type") != "null"]
    if options and any("$ref" in one for one in options):
        node = next(one for one in options if "$ref" in one)
        yield from leaves(node, path)
    elif "properties" in node:
        for key, inner in node["properties"].items():
            yield from leaves(inner, f"{path}.{key}")
    elif node.get("type") == "array" and "$ref" in node["items" if "items" in node else "type"]:
        yield from leaves(node["items"], f"{path}[0]")
    else:
        yield path


def test_every_place_of_the_survey_in_the_schema_has_a_field() -> None:
    wanted = [path for name in SECTIONS for path in leaves(job_schema()["properties"][name], name)]
    assert {"wall.flatness_mm", "openings[0].leaf.hinge", "next_walls[0].wall.left.post_mm"} <= set(wanted)
    assert "next_walls[0].zones[0].kind" in wanted
    offered = [field.path for field in all_fields(ONE_OF_EACH, {})]
    assert [path for path in wanted if path not in offered] == []
    assert len(offered) == len(set(offered))


def test_every_word_that_the_schema_accepts_can_be_chosen() -> None:
    from viewer.job.accepted import node_at
    from viewer.pages.places import steps_of

    for field in all_fields(ONE_OF_EACH, {}):
        accepted = (node_at(tuple(steps_of(field.path))) or {}).get("enum", [])
        words = {key for key, _words in field.choices} - {""}
        assert words == set(accepted), field.path


def test_what_the_form_shows_and_sends_back_unchanged_changes_nothing() -> None:
    view = SurveyView(DEMO, {}, ())
    boxes = [field for group in view.groups for field in group["fields"]]
    for wall in view.walls:
        boxes += [field for group in wall["groups"] for field in group["fields"]]
        boxes += [
            field for one in wall["lists"] for row in one["rows"] for field in (*row["fields"], *row["more"])
        ]
    sent = {
        box["path"]: field["chosen"] if field["choices"] else box["value"]
        for field in boxes
        for box in field["boxes"]
    }
    assert document_with(DEMO, all_fields(DEMO, sent), sent) == DEMO
    assert len(sent) > 50


def typed_into(document: dict[str, Any], **texts: str) -> dict[str, Any]:
    typed = {name.replace("__", "."): text for name, text in texts.items()}
    return document_with(document, all_fields(document, typed), typed)


def test_three_places_make_a_measured_length_and_one_a_number() -> None:
    one = typed_into(DEMO, wall__width_mm="4200")
    assert one["wall"]["width_mm"] == 4200
    three = typed_into(
        DEMO, **{"wall.width_mm": "4200", "wall.width_mm.middle": "13' 9\"", "wall.width_mm.ceiling": "4195"}
    )
    assert three["wall"]["width_mm"] == {"floor": 4200, "middle": 4191, "ceiling": 4195}
    assert three[TYPED] == {"wall.width_mm.middle": "13' 9\""}
    assert check_job(three).job is not None
    two = typed_into(DEMO, **{"wall.width_mm": "4200", "wall.width_mm.ceiling": "4195"})
    view = SurveyView(two, {}, check_job(two).problems)
    width = view.walls[0]["groups"][0]["fields"][0]
    assert width["problems"] == ["expected one place, or all three"]
    none = typed_into(DEMO, wall__width_mm="wide")
    view = SurveyView(none, {}, check_job(none).problems)
    width = view.walls[0]["groups"][0]["fields"][0]
    assert width["problems"] == ['expected a number from 100 to 60000 mm, not "wide"']


def test_flatness_takes_nine_numbers_the_top_row_first_and_names_the_one_that_is_missing() -> None:
    boxes = {
        f"wall.flatness_mm[{row}][{column}]": str(row * 3 + column) for row in range(3) for column in range(3)
    }
    made = typed_into(DEMO, **boxes)
    assert made["wall"]["flatness_mm"] == [[0, 1, 2], [3, 4, 5], [6, 7, 8]]
    field = next(one for one in all_fields(DEMO, {}) if one.holds == "grid")
    assert [words for _n, _p, words in field.named][:2] == ["top, left", "top, middle"]
    assert field.named[0][0] == "wall.flatness_mm[2][0]"
    lacking = typed_into(made, **{"wall.flatness_mm[1][1]": ""})
    view = SurveyView(lacking, {}, check_job(lacking).problems)
    (found,) = (one for group in view.walls[0]["groups"] for one in group["fields"] if one["holds"] == "grid")
    assert found["problems"][0].startswith("middle, middle: expected a number")
    assert [box["path"] for box in found["boxes"] if box["wrong"]] == ["wall.flatness_mm[1][1]"]
    none = typed_into(made, **dict.fromkeys(boxes, ""))
    assert "flatness_mm" not in none["wall"]


def test_studs_stand_in_one_box_and_a_leaf_goes_when_it_is_emptied() -> None:
    made = typed_into(DEMO, **{"wall.studs_mm": "400; 2' 7 1/2\"; 1200"})
    assert made["wall"]["studs_mm"] == [400, 800.1, 1200]
    assert made[TYPED] == {"wall.studs_mm": "400; 2' 7 1/2\"; 1200"}
    hung = typed_into(DEMO, **{"openings[0].leaf.hinge": "left", "openings[0].leaf.width_mm": "826"})
    assert hung["openings"][0]["leaf"] == {"hinge": "left", "width_mm": 826}
    gone = typed_into(hung, **{"openings[0].leaf.hinge": "", "openings[0].leaf.width_mm": ""})
    assert "leaf" not in gone["openings"][0]


def test_a_wall_goes_on_round_the_corner_and_is_taken_away_again() -> None:
    document = json.loads(json.dumps(DEMO))
    assert document["wall"]["right"]["meets"] == "open"
    assert change_lists(document, "add next_walls") == "next_walls"
    assert walls_of(document, {}) == ["", "next_walls[0]."]
    assert change_lists(document, "add next_walls[0].openings") == "next_walls-0-openings"
    assert check_job(document).problems == ()
    drawn = drawn_wall(document, "next_walls[0].", {})
    assert drawn is not None
    assert drawn.meets == ("inside_corner", "wall")
    assert [region.path for region in drawn.regions] == ["next_walls[0].openings[0]"]
    change_lists(document, "take next_walls 0")
    assert "next_walls" not in document


def test_inches_go_along_with_the_opening_that_they_were_typed_for() -> None:
    document = typed_into(DEMO, **{"openings[1].left_mm": "11' 1 1/2\""})
    change_lists(document, "take openings 0")
    assert document[TYPED] == {"openings[0].left_mm": "11' 1 1/2\""}
    change_lists(document, "take openings 0")
    assert TYPED not in document


def test_another_opening_stands_beside_the_last_one() -> None:
    document = dict(DEMO)
    change_lists(document, "add openings")
    before, added = document["openings"][-2:]
    assert added == {**before, "left_mm": before["left_mm"] + before["width_mm"] + 60}


def test_two_states_of_a_survey_are_shown_side_by_side_in_words() -> None:
    mine = typed_into(DEMO, **{"openings[1].left_mm": "3400", "wall.left.trim_mm": "5"})
    theirs = typed_into(DEMO, **{"openings[1].left_mm": "11' 2\""})
    assert differences(mine, theirs, {}) == [
        ("Left end: Trim", "5", ""),
        ("2 Socket: From the left", "3400", "11' 2\""),
    ]
    higher = typed_into(DEMO, **{"wall.skirting_mm": "99"})
    assert differences(higher, DEMO, {}) == [("The skirting: Its height", "99", "120")]


def test_a_field_typed_for_an_opening_that_is_gone_meanwhile_is_not_lost() -> None:
    fewer = {**DEMO, "openings": DEMO["openings"][:1]}
    made = typed_into(fewer, **{"openings[1].left_mm": "3400"})
    assert made["openings"][1] == {"left_mm": 3400}


@settings(max_examples=30)
@given(
    document=st.recursive(
        st.none() | st.booleans() | st.integers(-9, 9000) | st.text(max_size=5),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(
                st.sampled_from(
                    ["wall", "openings", "width_mm", "height_mm", "left_mm", "kind", "next_walls"]
                ),
                inner,
            )
        ),
        max_leaves=12,
    )
)
def test_any_document_can_be_shown_however_little_of_it_is_a_survey(document: Any) -> None:
    checked = check_job({"name": "x", "wall": document, "openings": document, "next_walls": document})
    view = SurveyView(checked.document, {}, checked.problems)
    assert view.walls
    drawn = drawn_wall(checked.document, "", {})
    if drawn:
        assert surveyed_wall(drawn, width_mm=93, height_mm=96).startswith("<svg")
