"""How a command says no: one line a problem on standard error, a stated exit code, never a traceback."""

import sys
from collections.abc import Iterable

BAD_INPUT = 2
"""The job, a setting or an argument cannot be used."""
NO_ACCESS = 1
"""A file or an address could not be used."""
FAILED = 70
"""A fault of this program (EX_SOFTWARE of sysexits.h)."""


class RefusedError(Exception):
    """Something the user gave cannot be used; (where, what would be accepted) pairs."""

    def __init__(self, problems: Iterable[tuple[str, str]], *, code: int = BAD_INPUT) -> None:
        self.problems = tuple(problems)
        self.code = code
        super().__init__("; ".join(f"{path}: {message}" for path, message in self.problems))


def one_line(text: str) -> str:
    """The text without line breaks or other control signs, for a line that people and scripts read."""
    return "".join(sign if sign.isprintable() else " " for sign in text).strip()


def say(problems: Iterable[tuple[str, str]]) -> None:
    """Print ``path: message`` lines on standard error."""
    for path, message in problems:
        print(f"{one_line(path)}: {one_line(message)}", file=sys.stderr)
