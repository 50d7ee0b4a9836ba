#!/bin/sh
# sh tests/run.sh            sets the checkout up for tests if needed, then runs every stage
# sh tests/run.sh STAGE ...  only these; `sh tests/run.sh --help` lists them
#
# Ends with the time of each stage, the skips by reason, and one line of the tests passed and failed.
# Under CI=true a skip or a missing tool is a failure.
set -eu

root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd -P)
. "$root/viewer/setup.sh"

set_up test
[ ! -d "$node_env" ] || PATH=$node_env/bin:$PATH
PATH=$venv/bin:$PATH
export PATH
cd "$root"
exec "$venv/bin/python3" tests/stages.py "$@" </dev/null
