"""One thread for numpy's products in every process of the program, unless its starter says otherwise."""

import os
import subprocess
import sys

import pytest

THREADS = "import os, viewer; print(os.environ['OPENBLAS_NUM_THREADS'])"


@pytest.mark.parametrize(("given", "found"), [(None, "1"), ("3", "3")])
def test_numpy_gets_one_thread_unless_told(given: str | None, found: str) -> None:
    around = {name: value for name, value in os.environ.items() if name != "OPENBLAS_NUM_THREADS"}
    around |= {} if given is None else {"OPENBLAS_NUM_THREADS": given}
    done = subprocess.run(
        [sys.executable, "-c", THREADS], env=around, capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == found


def test_the_package_brings_no_numpy_before_it_says_so() -> None:
    code = "import sys, viewer; print('numpy' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
