#!/bin/sh
# Remakes the lock files from pyproject.toml and static/package.json:
#
#     sh tests/lock.sh             keeps every pin that still fits
#     sh tests/lock.sh --upgrade   takes the newest Python packages (npm's are pinned in static/package.json)
#
# Needs the network, npm, and uv (taken from PATH, else into a throw-away environment).
# The locks hold versions and hashes, never an address: tests/test_house_locks.py looks.
set -eu

cd "$(dirname "$0")/.."

throwaway=.venv.lock
drop() { rm -rf "$throwaway"; }
trap drop EXIT
trap 'exit 130' INT TERM HUP

if command -v uv >/dev/null; then
    uv=uv
else
    drop
    python3 -m venv "$throwaway"
    "$throwaway/bin/python" -m pip install --quiet uv==0.13.9
    uv=$throwaway/bin/uv
fi

# One version for every Python and platform: the same pictures everywhere.
lock() { # FILE ARGUMENT...
    file=$1
    shift
    "$uv" pip compile --quiet --universal --fork-strategy fewest --python-version 3.11 \
        --generate-hashes --no-header --annotation-style line --output-file "$file" "$@"
}
lock viewer/requirements.lock "$@" pyproject.toml --group setup
lock viewer/node.lock "$@" --group node
lock tests/requirements.lock "$@" --group test --constraint viewer/requirements.lock

cd static
npm install --package-lock-only --no-audit --no-fund
# npm notes each author's donation page; nothing needs them
python3 - <<'PYTHON'
import json
from pathlib import Path

path = Path("package-lock.json")
lock = json.loads(path.read_text(encoding="utf-8"))
for package in lock["packages"].values():
    package.pop("funding", None)
path.write_text(json.dumps(lock, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")
PYTHON
