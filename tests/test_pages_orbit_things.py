"""Grey things in the orbit view: grids over their faces, in the light that the stills give them."""

import re

import numpy as np
import pytest
from flask.testing import FlaskClient
from hand_built import rect, upright

from meshes.light.lamps import Lamp, Lighting
from meshes.light.props import prop_values
from meshes.light.room import Room
from meshes.light.transport import solve_lighting
from meshes.solids.props import Extras
from meshes.solids.scene import Scene, build, prop_boxes
from meshes.surfaces import PROP_ID, SURFACES
from viewer.demo import demo_bytes
from viewer.job.check import check_text
from viewer.pages import parts
from viewer.pages.orbit_figure import figure_bytes
from viewer.pages.orbit_geometry import facings, geometry
from viewer.pages.orbit_light import kept
from viewer.pages.orbit_things import CELL_M, thing_geometry, thing_light
from viewer.things import things_in

PANEL = Lighting(
    name="evening",
    lamps=(Lamp(name="p", centre_mm=(300, 2490, 1500), size_mm=(600, 600), faces="down", lumens=3000),),
)
ROOM = Room(depth_mm=3000)


def furnished(**extras: object) -> Scene:
    return build([upright(count=12)], ROOM, extras=Extras(**extras))  # type: ignore[arg-type]


def test_without_things_nothing_more_is_handed_over() -> None:
    bare, full = furnished(), furnished(hidden=((rect(100, 0, 500, 500),),), figure=True, card=True)
    assert thing_geometry(bare) == {}
    assert len(figure_bytes(bare, [None])) < len(figure_bytes(full, [None]))
    one, other = geometry(bare), geometry(full)
    assert one.keys() == other.keys()
    for name, array in one.items():
        np.testing.assert_array_equal(array, other[name])
    assert {paint for _normal, paint, _wall in facings(full)} <= set(range(len(SURFACES)))


def test_grids_cover_all_of_a_block_but_what_it_stands_with() -> None:
    """A sofa: seat 420 mm high, back 650; only the back of the seat lies against anything."""
    block = rect(100, 0, 500, 650)
    made = thing_geometry(furnished(hidden=((block,),)))
    cells = made["thing_faces"].astype(int)
    starts = np.concatenate([[0], np.cumsum((cells + 1).prod(axis=1))])
    assert starts[-1] == len(made["thing_corners"])
    area = 0.0
    for (rows, columns), start, end in zip(cells, starts, starts[1:], strict=False):
        grid = made["thing_corners"][start:end].reshape(rows + 1, columns + 1, 3)
        first, second = np.diff(grid, axis=0), np.diff(grid, axis=1)
        assert np.linalg.norm(first, axis=2).max() <= CELL_M + 1e-9
        assert np.linalg.norm(second, axis=2).max() <= CELL_M + 1e-9
        area += float(np.linalg.norm(np.cross(first[:, :-1], second[:-1]), axis=2).sum())
    seat = 2 * 0.5 * 0.42 + 2 * 0.7 * 0.42 + 0.5 * 0.7
    back = 2 * 0.5 * 0.65 + 2 * (0.2 - 1e-4) * 0.65 + 0.5 * (0.2 - 1e-4)
    assert area == pytest.approx(seat + back)


def test_light_at_the_crossings_is_what_the_still_has_there() -> None:
    scene = furnished(figure=True, card=True)
    transport = solve_lighting(scene.set_outs, ROOM, PANEL, prop_boxes(scene))
    places, made = thing_geometry(scene), thing_light(scene, transport)
    assert transport.props is not None
    assert len(made["things.table"]) == len(places["thing_corners"])
    columns = np.random.default_rng(3).uniform(0.5, 1, transport.props.mix.shape[1])
    light = made["things.table"].astype(float) @ (made["things.mix"] @ columns)
    # the white card's front, away from its edges
    card = scene.faces.surfaces == PROP_ID["card_white"]
    front = scene.faces.corners[card & (scene.faces.normals[:, 2] > 0.9)][0]
    low, high = front.min(axis=0), front.max(axis=0)
    at = places["thing_corners"]
    inside = ((at[:, :2] > low[:2] + 0.01) & (at[:, :2] < high[:2] - 0.01)).all(axis=1)
    rows = np.flatnonzero(inside & (np.abs(at[:, 2] - high[2]) < 1e-9))
    assert len(rows) == 3 * 4
    found = prop_values(
        transport.props,
        transport.site,
        np.full(len(rows), PROP_ID["card_white"], np.uint8),
        at[rows],
        np.tile([0.0, 0.0, 1.0], (len(rows), 1)),
    )
    expected = sum(values @ (mix @ columns) for values, mix in found)
    np.testing.assert_allclose(light[rows], expected, rtol=2e-3)


def test_grid_lines_beside_a_thing_are_all_kept() -> None:
    lines = np.linspace(0, 10, 101)
    chosen = lines[kept(lines, 2, [(3.0, 4.0)])]
    assert set(lines[(lines >= 3) & (lines <= 4)]) <= set(chosen)
    assert len(chosen) == len(kept(lines, 2)) + 5


def test_a_part_asked_for_with_things_has_them(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    address = "/jobs/demo/figure.bin"
    bare, full = client.get(address).data, client.get(f"{address}?with=person&with=card").data
    assert b"thing_corners" not in bare
    assert b"thing_corners" in full
    assert client.get(f"{address}?with=piano").data == bare
    asked: list[tuple[str, ...]] = []
    monkeypatch.setattr(parts, "made_at_once", lambda *given: asked.append(given[-1]) or b"")
    client.get("/jobs/demo/still?with=card&with=furniture")
    assert asked == [("furniture", "card")]


def test_the_page_offers_what_its_job_can_show_and_ticks_what_is_asked_for(client: FlaskClient) -> None:
    text = client.get("/jobs/demo/?with=person").text
    boxes = re.findall(r'name="with" value="(\w+)"( checked)?', text)
    assert boxes == [("furniture", ""), ("person", " checked"), ("card", ""), ("steps", "")]
    assert re.search(r'src="[^"]*/still\?[^"]*with=person[^"]*" alt', text)
    job = check_text(demo_bytes()).job
    assert job is not None
    assert things_in(job.model_copy(update={"zones": ()})) == ("person", "card", "steps")
