"""The pack of one job: the same bytes wherever it is made, whole or not at all, and true to the set-out."""

import errno
import hashlib
import io
import json
import os
import re
import subprocess
import sys
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path

import openpyxl
import pytest
from paper_read import POINTS_PER_MM, segments, sizes, streams, words

from finishes.catalogue import load
from meshes.layout.rod import panel_rod, wall_rod
from viewer.answers.set_out import set_outs_of
from viewer.demo import PRICES_FILE
from viewer.drawings.figures import figure
from viewer.drawings.true_rod import SIDE
from viewer.job.check import check_text
from viewer.job.choices import chosen_finish, finish_label
from viewer.job.model import Job
from viewer.pack.files import CONTENTS, pack_files
from viewer.pack.folder import write_pack
from viewer.price_list import price_list_of

SMALL = {
    "name": "Hall, by hand",
    "revised": "2026-11-20",
    "wall": {
        "width_mm": 1200,
        "height_mm": 2400,
        "left": {"shadow_gap_mm": 10},
        "right": {"shadow_gap_mm": 10},
    },
    "openings": [{"kind": "socket", "left_mm": 400, "bottom_mm": 450, "width_mm": 86, "height_mm": 86}],
    "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 12},
}


def checked(document: dict[str, object]) -> tuple[Job, dict[str, object]]:
    result = check_text(json.dumps(document).encode())
    assert result.job is not None, result.problems
    return result.job, result.document


def packed(document: dict[str, object], **options: object) -> dict[str, bytes]:
    job, plain = checked(document)
    finish = chosen_finish(job)
    return pack_files(
        job=job,
        document=plain,
        finish=finish,
        label=finish_label(finish, 0),
        catalogue=load(),
        **options,  # type: ignore[arg-type]
    )


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    return packed(SMALL, prices=price_list_of(PRICES_FILE))


def test_it_is_the_same_bytes_in_two_processes_that_share_nothing(tmp_path: Path, checkout: Path) -> None:
    (tmp_path / "job.json").write_text(json.dumps(SMALL), encoding="utf-8")
    surroundings = (
        {"PYTHONHASHSEED": "1", "TZ": "Asia/Tokyo", "LANG": "C", "LC_ALL": "C"},
        {"PYTHONHASHSEED": "77", "TZ": "America/St_Johns", "LANG": "C.UTF-8"},
    )
    made = []
    for number, own in enumerate(surroundings):
        folder = tmp_path / f"from {number}"
        folder.mkdir()
        environment = {
            key: value for key, value in os.environ.items() if key not in ("LC_ALL", "LANGUAGE")
        } | own
        environment["SLATWRIGHT_PRICES"] = str(PRICES_FILE)
        code = "import sys; from viewer.cli import invoke; sys.exit(invoke(sys.argv[1:]))"
        done = subprocess.run(
            [sys.executable, "-c", code, "pack", "../job.json", "-o", "out"],
            cwd=folder,
            env=environment | {"PYTHONPATH": str(checkout)},
            capture_output=True,
            timeout=300,
            check=False,
        )
        assert (done.returncode, done.stderr.decode()) == (0, "")
        out = folder / "out"
        made.append(
            {
                str(path.relative_to(out)): hashlib.sha256(path.read_bytes()).hexdigest()
                for path in sorted(out.rglob("*"))
                if path.is_file()
            }
        )
    assert made[0] == made[1]
    listed = json.loads((tmp_path / "from 0/out" / CONTENTS).read_text(encoding="utf-8"))["files"]
    assert {name: entry["sha256"] for name, entry in listed.items()} == {
        name: digest for name, digest in made[0].items() if name != CONTENTS
    }


def test_every_mark_of_the_rod_stands_on_the_mark_list(files: dict[str, bytes], tmp_path: Path) -> None:
    read = words(files["workshop/workshop.pdf"], tmp_path)
    (wall,) = set_outs_of(checked(SMALL)[0])
    for mark in wall_rod(wall).marks:
        if mark.kind != "slat":
            continue
        row = re.search(rf"\bslat {mark.index + 1}\b(?:, loose)? +([\d.]+)", read)
        assert row, mark
        assert row[1] == figure(mark.at)


def test_every_board_and_cut_out_stands_on_its_panels_sheet(files: dict[str, bytes], tmp_path: Path) -> None:
    read = words(files["workshop/workshop.pdf"], tmp_path)
    (wall,) = set_outs_of(checked(SMALL)[0])
    for panel in wall.panels:
        assert f"Board {figure(panel.board.width)} × {figure(panel.board.height)} mm" in read
        for cut in panel.cutouts:
            own = panel.from_own_corner(cut)
            numbers = r"\s+".join(
                re.escape(figure(value)) for value in (own.left, own.bottom, own.width, own.height)
            )
            assert re.search(numbers, read)
        for point in panel.fixings:
            assert figure(point.y - panel.board.bottom) in read


def test_the_check_marks_measure_a_hundred_millimetres_in_the_pdfs_own_units(
    files: dict[str, bytes],
) -> None:
    pdf = files["workshop/rod-full-size.pdf"]
    (wall,) = set_outs_of(checked(SMALL)[0])
    pages = streams(pdf)
    assert len(pages) == len(wall.panels)
    hundred = 100 * POINTS_PER_MM
    for page in pages:
        along = [x2 - x1 for x1, y1, x2, y2 in segments(page) if y1 == y2]
        upward = [abs(y2 - y1) for x1, y1, x2, y2 in segments(page) if x1 == x2]
        # each end is rounded to a hundredth of a point: 0.0035 mm
        assert [length for length in along if abs(length - hundred) < 0.011]
        assert [length for length in upward if abs(length - hundred) < 0.011]


def test_the_full_size_rod_has_every_slat_at_its_place_on_a_page_as_long_as_the_panel(
    files: dict[str, bytes], tmp_path: Path
) -> None:
    pdf = files["workshop/rod-full-size.pdf"]
    (wall,) = set_outs_of(checked(SMALL)[0])
    for panel, page, (width, _height) in zip(wall.panels, streams(pdf), sizes(pdf, tmp_path), strict=True):
        assert width == pytest.approx((float(panel.board.width) + 2 * SIDE) * POINTS_PER_MM, abs=0.011)
        upright = [x1 for x1, y1, x2, y2 in segments(page) if x1 == x2]
        for mark in panel_rod(wall, panel).marks:
            if mark.kind == "slat":
                wanted = (SIDE + float(mark.at)) * POINTS_PER_MM
                assert min(abs(x - wanted) for x in upright) < 0.011


def test_it_says_that_paper_is_never_taped_into_a_run(files: dict[str, bytes], tmp_path: Path) -> None:
    for name in ("workshop/workshop.pdf", "workshop/rod-full-size.pdf"):
        assert "Never tape small sheets" in words(files[name], tmp_path)


def test_every_page_of_every_document_carries_the_title_block(
    files: dict[str, bytes], tmp_path: Path
) -> None:
    version = json.loads(files[CONTENTS])["version"]
    documents = {name: data for name, data in files.items() if name.endswith(".pdf")}
    assert len(documents) == 7
    for name, data in documents.items():
        count = len(sizes(data, tmp_path))
        for page in range(1, count + 1):
            read = words(data, tmp_path, page=page)
            for part in ("Hall, by hand", f"version {version}", "2026-11-20", f"page {page} of {count}"):
                assert part in read, (name, page)


def test_no_document_states_a_class_of_reaction_to_fire(files: dict[str, bytes], tmp_path: Path) -> None:
    """EN 13501-1 classes: A1, A2, B, C, D, E, F with s and d; none is known for this build-up."""
    for name, data in files.items():
        if name.endswith(".pdf"):
            read = words(data, tmp_path)
            assert not re.search(r"\b[A-F][12]?-s\d", read), name
            assert not re.search(r"\bclass [A-F]\b", read), name
    assert "Ask building control" in words(files["workshop/workshop.pdf"], tmp_path)


def test_a_missing_price_is_named_and_in_no_sum(tmp_path: Path) -> None:
    files = packed(SMALL)
    read = words(files["maker/estimate.pdf"], tmp_path)
    assert "all of it is without a price, in no sum" in read
    assert " 0.00" not in read
    assert "In all" not in read
    book = openpyxl.load_workbook(io.BytesIO(files["maker/estimate.xlsx"]))
    costs = [row[6].value for row in book["estimate"].iter_rows(min_row=2)]
    assert costs
    assert set(costs) == {None}


def test_the_client_gets_no_prices(files: dict[str, bytes], tmp_path: Path) -> None:
    assert "EUR" not in words(files["client/handover.pdf"], tmp_path)
    assert "EUR" in words(files["maker/comparison.pdf"], tmp_path)


def test_a_stock_that_gives_no_slats_is_said_and_the_rest_stands(tmp_path: Path) -> None:
    files = packed({**SMALL, "stock": {"section_mm": [20, 20]}})
    assert "does not give this wall" in words(files["workshop/workshop.pdf"], tmp_path)
    assert "gives no slat" in words(files["shop/shopping-list.pdf"], tmp_path)
    assert "data/csv/slats.csv" in files
    assert "data/csv/sections.csv" not in files


def test_letter_paper(tmp_path: Path) -> None:
    """ANSI/ASME Y14.1, size A: 8.5 × 11 in = 612 × 792 points."""
    found = set(sizes(packed(SMALL, paper="Letter")["workshop/workshop.pdf"], tmp_path))
    assert {(round(width), round(height)) for width, height in found} == {(612, 792), (792, 612)}


def test_a_second_pack_takes_away_what_the_first_left_and_nothing_else(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "pack"

    def listed(names: dict[str, bytes]) -> dict[str, bytes]:
        entries = {name: {"sha256": hashlib.sha256(data).hexdigest()} for name, data in names.items()}
        return {**names, CONTENTS: json.dumps({"files": entries}).encode()}

    write_pack(folder, listed({"a/one.txt": b"1", "a/two.txt": b"2", "three.txt": b"3"}))
    (folder / "mine.txt").write_bytes(b"not of the pack")
    (folder / "three.txt").write_bytes(b"changed by hand")
    write_pack(folder, listed({"a/one.txt": b"new"}))
    left = {str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file()}
    assert left == {"a/one.txt", CONTENTS, "mine.txt", "three.txt"}
    assert (folder / "a/one.txt").read_bytes() == b"new"


def test_a_pack_that_cannot_be_written_leaves_nothing(tmp_path: Path) -> None:
    folder = tmp_path / "pack"
    (folder / "b").mkdir(parents=True)
    (folder / "b" / "two.txt").mkdir()
    with pytest.raises(IsADirectoryError):
        write_pack(folder, {"a/one.txt": b"1", "b/two.txt": b"2"})
    assert sorted(path.name for path in folder.rglob("*")) == ["b", "two.txt"]


def test_a_folder_that_is_in_use_by_now_does_not_hide_what_went_wrong(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(contents: Mapping[Path, bytes]) -> None:
        (next(iter(contents)).parent / "somebody's.txt").write_bytes(b"")
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr("viewer.pack.folder.write_all", full)
    with pytest.raises(OSError, match="No space left"):
        write_pack(tmp_path / "pack", {"a/one.txt": b"1", "b/two.txt": b"2"})
    assert sorted(path.name for path in (tmp_path / "pack").iterdir()) == ["a"]


def test_a_contents_list_that_points_elsewhere_removes_nothing(tmp_path: Path) -> None:
    outside = tmp_path / "precious.txt"
    outside.write_bytes(b"1")
    folder = tmp_path / "pack"
    folder.mkdir()
    entry = {"sha256": hashlib.sha256(b"1").hexdigest()}
    names = {"../precious.txt": entry, str(outside): entry}
    (folder / CONTENTS).write_text(json.dumps({"files": names}), encoding="utf-8")
    write_pack(folder, {"one.txt": b"1"})
    assert outside.is_file()


def test_the_numbers_worked_by_hand_in_the_readme(checkout: Path) -> None:
    """README.md, "A wall worked by hand": each number there against the program's."""
    text = (checkout / "README.md").read_text(encoding="utf-8").partition("\n## A wall worked by hand\n")[2]
    section = text.partition("\n## ")[0]
    example = re.search(r"```json\n(.*?)```", section, re.DOTALL)
    assert example
    job, _document = checked(json.loads(example[1]))
    said = dict(re.findall(r"^\| ([^|]+?) \| [^|]+ \| ([^|]+?) \|$", section, re.MULTILINE))
    from viewer.answers.quantities import quantities

    needed = quantities(job, chosen_finish(job), load())
    (wall,), plan = needed.set_outs, needed.plan
    assert plan is not None
    assert plan.sheets is not None
    (timber,) = plan.timber
    assert said["run"] == f"{wall.run_length} mm"
    assert said["slats"] == str(len(wall.slats))
    assert said["gap"] == f"{wall.gap} mm = {float(wall.gap):.3f} mm"
    assert said["near edge of slat 12"] == f"{wall.slats[11].extent.left} mm"
    assert said["near edge of the last slat"] == f"{wall.slats[-1].extent.left} mm"
    assert said["boards"] == " and ".join(str(panel.board.width) for panel in wall.panels) + " mm wide"
    assert said["height of the boards"] == f"{wall.panels[0].board.height} mm"
    assert said["slats from a section"] == str(timber.rip.count)
    assert said["strips"] == str(sum(timber.demand.to_cut.values()))
    assert said["sections"] == " and ".join(
        f"{count} of {length} mm" for length, count in plan.sections.items()
    )
    assert said["sheets"] == str(plan.sheets.count)
    assert wall.gap == Fraction(130, 11)
