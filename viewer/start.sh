#!/bin/sh
# sh viewer/start.sh              sets this checkout up if needed, then opens the demo job in the web
#                                 application and prints its address
# sh viewer/start.sh COMMAND ...  the same set-up, then `slatwright COMMAND ...`; nothing else on stdout
#
# It works from any folder: paths among the arguments are the caller's.
set -eu

root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd -P)
. "$root/viewer/setup.sh"

set_up run
[ $# -gt 0 ] || set -- run --demo
exec "$venv/bin/slatwright" "$@"
