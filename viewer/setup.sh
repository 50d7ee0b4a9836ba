# The set-up of a checkout: Python packages in .venv, three.js and the typefaces in static/node_modules,
# the system's EGL and OpenGL. Sourced by viewer/start.sh and tests/run.sh with $root set; POSIX sh.
#
# What was set up is held by a stamp, a hash over everything it depends on. An equal stamp is the fast
# path: no Python is started for it and no network is used.
#
# Exit codes: 3 a system package is missing and may not be installed here, 4 a download failed,
# 5 no usable Python.

venv=$root/.venv
node_env=$root/.venv.node
needs_network="A network is needed for the first start only."

say() { printf 'slatwright: %s\n' "$*" >&2; }
stop() { # CODE SENTENCE
    code=$1
    shift
    say "$@"
    exit "$code"
}

# --- what is already there

# The hash that stands for one state of the set-up; WHAT is run or test.
fingerprint() { # WHAT
    {
        cat "$root/viewer/setup.sh" "$root/viewer/requirements.lock" "$root/viewer/node.lock" \
            "$root/static/package-lock.json"
        # the dependencies and the command's entry point, not the tools' settings
        sed -n '/^\[project/,/^\[tool/p' "$root/pyproject.toml"
        [ "$1" = run ] || cat "$root/tests/requirements.lock"
        # an environment does not move, and belongs to one interpreter
        echo "$root"
        readlink -f "$venv/bin/python3" || echo "no interpreter"
    } | sha256sum
}

is_stamped() { # WHAT
    [ -f "$venv/stamp-$1" ] && read -r stamp <"$venv/stamp-$1" && [ "$stamp" = "$(fingerprint "$1")" ]
}

is_ready() { [ -d "$root/static/node_modules/three" ] && is_stamped "$1"; } # WHAT

# --- one step at a time, quiet unless it fails

log=""
scrap() {
    [ -z "$log" ] || rm -f "$log"
    [ -z "${setting_up:-}" ] || rm -rf "$root/slatwright.egg-info"
}
logged() { # COMMAND...: its output goes to the log, which is shown only on failure
    "$@" >"$log" 2>&1 </dev/null
}
show_log() { tail -n 15 "$log" | sed 's/^/    /' >&2; }

# Byte code is left to the first import of each module: compiling all of it takes as long as the download.
pip() { # ARGUMENT...: into the environment whose python is $python
    logged "$python" -m pip install --quiet --disable-pip-version-check --no-input --retries 2 \
        --no-deps --no-compile "$@" && return
    show_log
    if grep -q 'DO NOT MATCH THE HASHES' "$log"; then
        stop 4 "A downloaded package is not the one that the lock file names; nothing of it was installed."
    fi
    stop 4 "The Python packages could not be downloaded. $needs_network"
}

# --- the system

find_python() {
    for system_python in python3 python3.14 python3.13 python3.12 python3.11; do
        if "$system_python" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
            return
        fi
    done
    stop 5 "Python 3.11 or newer is needed (Debian and Ubuntu: apt-get install python3 python3-venv)."
}

loads() { # LIBRARY...: can the dynamic linker find them all?
    "$system_python" -c 'import ctypes, sys; [ctypes.CDLL(name) for name in sys.argv[1:]]' "$@" 2>/dev/null
}

may_install() { [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; }

apt_install() { # PACKAGE...
    say "installing the system packages $* ..."
    logged apt-get update && DEBIAN_FRONTEND=noninteractive logged apt-get install --yes --no-install-recommends "$@"
}

# Pictures are drawn through EGL: on a machine without a display by Mesa's software driver,
# which comes with libgl1.
system_packages() {
    missing=""
    loads libEGL.so.1 libGL.so.1 || missing="libegl1 libgl1"
    "$system_python" -c 'import ensurepip, venv' 2>/dev/null || missing="$missing python3-venv"
    missing=${missing# }
    [ -n "$missing" ] || return 0
    if may_install; then
        # shellcheck disable=SC2086 # several names
        apt_install $missing || {
            show_log
            stop 4 "The system packages $missing could not be installed. $needs_network"
        }
    elif command -v apt-get >/dev/null; then
        say "Missing system packages: $missing. Ask an administrator to run"
        say "    apt-get install --no-install-recommends $missing"
        stop 3 "and then start again. Nothing was downloaded or changed."
    else
        say "Missing: EGL and OpenGL (libEGL.so.1, libGL.so.1) with Mesa's software driver, and Python's venv."
        stop 3 "Install them with this system's package manager, then start again. Nothing was downloaded."
    fi
}

# What only tests use. Where it may not be installed, the tests that need it say so.
test_tools() {
    missing=""
    command -v chromium-headless-shell >/dev/null || missing="chromium-headless-shell"
    command -v pdftoppm >/dev/null || missing="$missing poppler-utils"
    ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1 || missing="$missing postgresql"
    # what the Node that playwright brings is linked to
    loads libatomic.so.1 || missing="$missing libatomic1"
    missing=${missing# }
    [ -n "$missing" ] || return 0
    # shellcheck disable=SC2086 # several names
    if may_install; then
        apt_install $missing || show_log
    fi
}

# --- Python packages, three.js

make_venv() {
    say "installing the Python packages ..."
    rm -rf "$venv"
    python=$venv/bin/python3
    logged "$system_python" -m venv "$venv" || {
        show_log
        stop 5 "No Python environment could be made in $venv."
    }
    pip --require-hashes --only-binary :all: -r "$root/viewer/requirements.lock"
    # setuptools is in the lock: building needs no isolation and no network
    pip --no-index --no-build-isolation --editable "$root"
}

add_test_packages() {
    say "installing the test packages ..."
    python=$venv/bin/python3
    pip --require-hashes --only-binary :all: -r "$root/tests/requirements.lock"
}

has_node() { # WHAT: eslint wants a recent Node, npm alone is content with an old one
    command -v npm >/dev/null && command -v node >/dev/null || return 1
    [ "$1" = run ] || node -e 'const [major, minor] = process.versions.node.split(".").map(Number);
        process.exit(major > 22 || (major === 22 && minor >= 13) || (major === 20 && minor >= 19) ? 0 : 1)'
}

make_node() {
    node_stamp=$(sha256sum <"$root/viewer/node.lock")
    if [ -f "$node_env/stamp" ] && [ "$(cat "$node_env/stamp")" = "$node_stamp" ]; then
        return
    fi
    say "installing Node for the front end ..."
    rm -rf "$node_env"
    "$system_python" -m venv "$node_env"
    python=$node_env/bin/python3
    pip --require-hashes --only-binary :all: -r "$root/viewer/node.lock"
    echo "$node_stamp" >"$node_env/stamp"
}

# The lock and WHAT stand in node_modules, so that a new Python lock does not fetch three.js again.
# "test" holds all that "run" does.
front_end() { # WHAT
    fetched=$root/static/node_modules/.fetched
    wanted=$(sha256sum <"$root/static/package-lock.json")
    if [ -f "$fetched" ]; then
        case $(cat "$fetched") in "test $wanted" | "$1 $wanted") return ;; esac
    fi
    has_node "$1" || make_node
    say "fetching three.js and the typefaces ..."
    omit=""
    [ "$1" = test ] || omit="--omit=dev"
    (
        cd "$root/static"
        has_node "$1" || PATH=$node_env/bin:$PATH
        # shellcheck disable=SC2086 # absent or one word
        logged npm ci --no-audit --no-fund $omit
    ) || {
        show_log
        stop 4 "three.js could not be downloaded. $needs_network"
    }
    echo "$1 $wanted" >"$fetched"
    # 205 MB that only tests use again
    [ "$1" = test ] || rm -rf "$node_env"
}

# --- the whole

set_up() { # WHAT: run, or test
    is_ready "$1" && return
    # two starts at once: the second waits, and then finds everything done
    exec 9<"$root/viewer/setup.sh"
    if command -v flock >/dev/null && ! flock -n 9; then
        say "another start is setting this checkout up; waiting for it ..."
        flock 9
    fi
    if ! is_ready "$1"; then
        setting_up=yes
        log=$(mktemp)
        trap scrap EXIT
        trap 'exit 130' INT
        trap 'exit 143' TERM HUP
        find_python
        system_packages
        is_stamped run || make_venv
        if [ "$1" = test ]; then
            test_tools
            add_test_packages
        fi
        front_end "$1"
        # last of all, and by rename: a set-up that was cut short has no stamp
        for what in run "$1"; do
            fingerprint "$what" >"$venv/stamp.new"
            mv "$venv/stamp.new" "$venv/stamp-$what"
        done
        scrap
        trap - EXIT INT TERM HUP
    fi
    exec 9<&-
}
