"""Rules of the room: who may import what, no clock, and quick to start."""

import ast
import subprocess
import sys
from pathlib import Path

ROOM = Path(__file__).parent.parent / "finishes"
FILES = sorted(ROOM.rglob("*.py"))


def imports(file: Path) -> set[str]:
    """Top names of every import in a file, those inside functions included."""
    found = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {name.name.split(".")[0] for name in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module.split(".")[0])
    return found


def test_only_one_module_imports_colour_science() -> None:
    assert [file.name for file in FILES if "colour" in imports(file)] == ["cie.py"]


def test_the_room_knows_neither_meshes_nor_viewer_nor_a_web_framework() -> None:
    for file in FILES:
        assert not imports(file) & {"meshes", "viewer", "flask", "trimesh"}, file.name


def test_nothing_reads_a_clock() -> None:
    for file in FILES:
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Attribute):
                assert node.attr not in ("now", "today", "utcnow", "perf_counter"), file.name
        assert "time" not in imports(file), file.name


def test_a_colour_needs_no_heavy_library_once_the_weights_are_kept(tmp_path: Path) -> None:
    code = (
        "import sys; from pathlib import Path; from finishes.catalogue import load; "
        "from finishes.appearance import appearance; from finishes.choice import Finish; "
        "c = load(cache_dir=Path(sys.argv[1])); appearance(Finish(), c); "
        "print(' '.join(m for m in ('colour', 'PIL', 'scipy') if m in sys.modules))"
    )
    first, second = (
        subprocess.run(
            [sys.executable, "-c", code, str(tmp_path)], capture_output=True, text=True, check=True
        )
        for _ in range(2)
    )
    assert "colour" in first.stdout.split()
    assert second.stdout.strip() == ""


def test_importing_the_room_costs_next_to_nothing() -> None:
    code = "from time import perf_counter as t; a = t(); import finishes; print(t() - a)"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    # 0.15 s is asked for; the bench measures each module beside numpy
    assert float(run.stdout) < 0.15
