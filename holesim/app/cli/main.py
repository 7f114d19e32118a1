"""The commands, by who uses them; a mistake of the user is one line and exit code 2."""

import errno
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from io import TextIOWrapper
from itertools import chain
from typing import Annotated, Any, Final, NoReturn

import typer
from typer.core import TyperGroup

from holesim._version import __version__
from holesim.app.cli.batch import batch
from holesim.app.cli.bench import bench
from holesim.app.cli.card import card
from holesim.app.cli.check import check
from holesim.app.cli.draw import draw
from holesim.app.cli.feedback import tell
from holesim.app.cli.measure import measure
from holesim.app.cli.open import SHARED, open_window
from holesim.app.cli.options import as_option
from holesim.app.cli.plan import demo, plan
from holesim.app.cli.practice import practice
from holesim.app.cli.progress import progress
from holesim.app.cli.review import review
from holesim.app.cli.shot import shot
from holesim.app.cli.team import team
from holesim.app.cli.tipping import tipping
from holesim.app.cli.weekend import weekend
from holesim.errors import InputError, inputs_kept

_CAUTION: Final = (
    "Change a swing only with a qualified coach and warm up; hit only when the landing area is clear; leave "
    "the course for lightning. Plan before the round: Rule 4.3a bars a device that recommends a line of play "
    "or a club during it. The committee's local rules prevail."
)

_FULL: Final = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)
"""Faults of the device that is written to."""

_PANELS: Final[dict[str, tuple[Callable[..., None], ...]]] = {
    "Before a round": (demo, open_window, plan, card, check),
    "For a coach": (measure, progress, tipping, practice, review, shot),
    "For a captain": (team, weekend, batch),
    "For course files and developers": (draw, bench),
}
"""The commands by who uses them."""


class _ByReader(TyperGroup):
    """A group whose help lists the commands by who uses them, in plain text: panels take twice as long."""

    def format_commands(self, ctx: Any, formatter: Any) -> None:  # noqa: ANN401, ARG002 - typer's own
        """Write the commands, a section for each panel."""
        for panel, commands in _PANELS.items():
            names = [command.__name__ for command in commands]
            room = formatter.width - 12
            with formatter.section(panel):
                formatter.write_dl([(name, self.commands[name].get_short_help_str(room)) for name in names])

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:  # noqa: ANN401 - typer's own
        """Return a command and its words; an option that may stand alone gets what it stands for then."""
        name, command, words = super().resolve_command(ctx, args)
        return name, command, [SHARED.get(word, word) for word in words] if name == "open" else words


app = typer.Typer(
    name="holesim",
    cls=_ByReader,
    rich_markup_mode=None,
    help="Hit up or down on the driver, and where to aim: a golfer's own drives over the real hole.",
    epilog=_CAUTION,
    pretty_exceptions_enable=False,
)
for _command in chain(*_PANELS.values()):
    app.command(_command.__name__, epilog=_CAUTION)(_command)


@app.callback(invoke_without_command=True)
def _main(
    context: typer.Context,
    *,
    version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False,
) -> None:
    if version:
        tell(f"holesim {__version__}")
    elif context.invoked_subcommand is None:
        tell(context.get_help())


def main() -> None:
    """Run the command line; a mistake of the user is one line and exit code 2."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")  # a name may hold what the terminal's encoding does not
    with _stoppable() as stopped:
        try:
            with inputs_kept():
                code = app(standalone_mode=False)
        except InputError as error:
            _fail(*map(as_option, error.faults))
        except typer.TyperException as error:
            _fail(_usage(error))
        except typer.Abort:
            sys.exit(130)
        except BrokenPipeError:
            sys.exit(1)
        except Exception as error:  # noqa: BLE001 - our bug, said as such
            if not stopped:
                _tell(error)
    if stopped:
        sys.exit(128 + stopped[0])
    sys.exit(code if isinstance(code, int) else 0)


@contextmanager
def _stoppable() -> Iterator[list[int]]:
    """Leave through every `finally` when told to stop, so that nothing half-written stays.

    Yields the signals that came: compiled code may swallow an exception raised while it calls back, or turn
    it into another.
    """
    stopped: list[int] = []

    def stop(number: int, _: object) -> None:
        stopped.append(number)
        sys.unraisablehook = lambda _: None
        if len(stopped) == 1:  # another signal must not break off the clearing up
            sys.exit(128 + number)

    hook = sys.unraisablehook
    before = {number: signal.signal(number, stop) for number in (signal.SIGINT, signal.SIGTERM)}
    try:
        yield stopped
    finally:
        sys.unraisablehook = hook
        for number, handler in before.items():
            signal.signal(number, handler)


def _usage(error: typer.TyperException) -> str:
    message = " ".join(str(getattr(error, "format_message", lambda: error)()).split())
    message = message.replace("Value error, ", "")  # a library's own words
    return f"{message.rstrip('.')}. See holesim --help."


def _tell(error: Exception) -> NoReturn:
    """Say that the device that is written to is full, or else that this is a bug, and exit."""
    if isinstance(error, OSError) and error.errno in _FULL:
        why = str(error.strerror).lower()
        _fail(f"output: cannot be written ({why}); make room there, or print elsewhere")
    tell(f"holesim: this is a bug: {type(error).__name__}: {error}", err=True)
    sys.exit(70)


def _fail(*messages: str) -> NoReturn:
    with suppress(OSError):  # where not even this can be written
        for message in messages:
            tell(f"holesim: {message}", err=True)
    sys.exit(2)
