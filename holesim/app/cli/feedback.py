"""What a command says on standard error: its progress, what was guessed, and that kernels are compiled."""

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

import typer

from holesim.errors import printable

if TYPE_CHECKING:
    from holesim.errors import Guess

Progress = Callable[[int, int], None]
"""Called with the number of steps that are done, and of all."""


def tell(text: str, *, err: bool = False, nl: bool = True) -> None:
    """Print text; all that a command says goes through here, so that no file can command the terminal."""
    typer.echo("\n".join(map(printable, text.split("\n"))), err=err, nl=nl)


def say(what: str, file: str, guesses: "Sequence[Guess]") -> None:
    """Say what was guessed about a file, or is missing from it."""
    for guess in guesses:
        tell(f"holesim: {what}: {file}: {guess}", err=True)


@contextmanager
def working(what: str) -> Iterator[Progress]:
    """Show the progress of some work: a bar in a terminal, else one line as it begins."""
    with compiling():
        if sys.stderr.isatty():
            with _bar(what) as show:
                yield show
        else:
            yield lambda done, total: None if done else tell(f"{what}: {total} steps", err=True)


@contextmanager
def _bar(what: str) -> Iterator[Progress]:
    from rich.console import Console  # noqa: PLC0415 - only a terminal needs it
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn  # noqa: PLC0415
    from rich.progress import TimeRemainingColumn as Remaining  # noqa: PLC0415

    columns = TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), Remaining()
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(what, total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)


@contextmanager
def compiling() -> Iterator[None]:
    """Say so, once, if kernels must be compiled, as for a machine's first plan."""
    from holesim.common.kernel_cache import on_compiling  # noqa: PLC0415 - numba takes a while to import

    said = False

    def say_once() -> None:
        nonlocal said
        if not said:
            tell("compiling, once on this machine: about half a minute", err=True)
        said = True

    with on_compiling(say_once):
        yield
