"""The command line: ``slatwright COMMAND``. JSON on stdout, a line a problem on stderr, exit 2 on a bad job.

``schema`` is to answer within a second, so whatever is heavy is imported inside the command that needs it.
"""

import os
import sys
from typing import Any

import click

from viewer.cli.refusal import BAD_INPUT, FAILED, NO_ACCESS, RefusedError, say


def _failure(error: Exception) -> int:
    """Keep an unexpected failure in a file and say in one line where it is."""
    from viewer.log import keep_failure
    from viewer.paths import state_home

    kept = keep_failure(error, state_home(os.environ))
    where = f"; the details are in {kept}" if kept else ""
    say([("slatwright", f"an unexpected fault of this program ({type(error).__name__}){where}")])
    return FAILED


def _usage(error: click.ClickException) -> tuple[str, str]:
    """A wrong argument as (where, message)."""
    if isinstance(error, click.NoSuchOption):
        return error.option_name, error.format_message()
    if isinstance(error, click.BadParameter) and error.param is not None:
        hint = error.param.get_error_hint(error.ctx) if error.ctx else error.param.human_readable_name
        return hint.replace("'", ""), error.message or error.format_message()
    return "slatwright", error.format_message()


def _os_error(error: OSError) -> tuple[str, str]:
    return str(error.filename or "slatwright"), error.strerror or str(error)


def invoke(arguments: list[str]) -> int:
    """Run one command and give its exit code; every error becomes lines on standard error."""
    from viewer.cli.commands import slatwright
    from viewer.job.check import JobError
    from viewer.settings import SettingsError

    try:
        result: Any = slatwright.main(arguments, prog_name="slatwright", standalone_mode=False)
        sys.stdout.flush()
    except (JobError, SettingsError) as error:
        say(error.problems)
        return BAD_INPUT
    except RefusedError as error:
        say(error.problems)
        return error.code
    except click.exceptions.Exit as error:
        return error.exit_code
    except (click.Abort, KeyboardInterrupt):
        return 130
    except click.ClickException as error:
        say([_usage(error)])
        return error.exit_code
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 141
    except OSError as error:
        say([_os_error(error)])
        return NO_ACCESS
    except Exception as error:
        return _failure(error)
    return result if isinstance(result, int) else 0


def main() -> None:
    """The console script."""
    try:
        code = invoke(sys.argv[1:])
    except KeyboardInterrupt:  # before the command began
        code = 130
    sys.exit(code)
