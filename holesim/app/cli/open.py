"""`holesim open`: the window in a browser."""

import os
import sys
from pathlib import Path
from typing import Annotated

import typer

from holesim.app.cli.feedback import compiling


def open_window(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="Where courses and players lie; else this folder.")
    ] = Path(),
    *,
    demo: Annotated[bool, typer.Option("--demo", help="Offer the built-in course and players, too.")] = False,
    port: Annotated[
        int, typer.Option("--port", metavar="N", min=0, max=65535, help="Serve here; else on a free port.")
    ] = 0,
    browser: Annotated[
        bool, typer.Option("--browser/--no-browser", help="Open the page in the browser.")
    ] = True,
) -> None:
    """Open a window in the browser, on this machine alone.

    It prints the address of the page. Ctrl-C closes it.
    """
    from holesim.window.server import serve  # noqa: PLC0415

    def say(address: str) -> None:
        typer.echo(address)
        typer.echo("this window is open until Ctrl-C", err=True)
        sys.stdout.flush()

    with compiling():
        try:
            serve(folder, demo=demo, port=port, open_browser=browser, say=say)
        except SystemExit as stopped:
            # Python would take down compiled code for a second, and wait for threads that are still in it.
            sys.stdout.flush()
            sys.stderr.flush()
            os._exit(stopped.code if isinstance(stopped.code, int) else 0)


open_window.__name__ = "open"
