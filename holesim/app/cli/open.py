"""`holesim open`: the window in a browser."""

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final, Literal, cast

import typer

from holesim.app.cli.feedback import compiling, tell
from holesim.errors import InputError

if TYPE_CHECKING:
    from holesim.window.share import Share

SHARED: Final = {"--share": "--share=read"}
"""What the option stands for where nothing is said after it."""


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
    share: Annotated[
        str,
        typer.Option(
            "--share",
            metavar="[=all]",
            help="Also answer devices of this network, that read and enter rounds; =all: that change files.",
        ),
    ] = "",
) -> None:
    """Open a window in the browser, on this machine alone unless it is shared.

    It prints the address of the page. Ctrl-C closes it.
    """
    from holesim.window.server import serve  # noqa: PLC0415

    if share not in {"", "read", "all"}:
        raise InputError("--share", "", f"{share:.40} is no way to share", "write --share or --share=all")

    def say(address: str, shared: "Share | None") -> None:
        tell(address)
        if shared is not None:
            tell(f"shared at http://{shared.host.decode()}: the page's Share button shows the code")
            for line in shared.words:
                tell(line, err=True)
        tell("this window is open until Ctrl-C", err=True)
        sys.stdout.flush()

    how = cast("Literal['read', 'all']", share) if share else None
    with compiling():
        try:
            serve(folder, demo=demo, port=port, open_browser=browser, share=how, say=say)
        except SystemExit as stopped:
            # Python would take down compiled code for a second, and wait for threads that are still in it.
            sys.stdout.flush()
            sys.stderr.flush()
            os._exit(stopped.code if isinstance(stopped.code, int) else 0)


open_window.__name__ = "open"
