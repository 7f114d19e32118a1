"""Long work in one worker process of low priority: its progress, its end, and what it leaves behind.

Run as `python -m holesim.window.jobs`, this module is that process: it reads one order and says, a line of
JSON each, how far it is. It ends by itself when the window that started it is gone.
"""

import asyncio
import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

from holesim.common.safe_files import UnwritableError, remove_leftovers, work_name
from holesim.errors import InputError
from holesim.window.faults import said
from holesim.window.folder import ChangedError, Folder, digest
from holesim.window.orders import KeptOrder, Order, read_order, unwritable
from holesim.window.threads import Worker

Tell = Callable[[dict[str, Any]], None]

_PACKAGE: Final = Path(__file__).parents[2]
_PATIENCE: Final = 1.5  # s, before a process that was told to end is killed
_NICE: Final = 10
_MADE: Final = "made"  # what the worker names the folder that it fills
_ANSWER: Final = "answer.json"  # what it leaves there for the page


class BusyError(InputError):
    """Other work is running."""


class NoJobError(InputError):
    """No such work is running."""


class Jobs:
    """The long work of a window, one piece at a time.

    Parameters
    ----------
    tell
        Hears of the progress and the end of each piece.
    """

    def __init__(self, folder: Folder, files: Worker, tell: Tell) -> None:
        self._folder, self._files, self._tell = folder, files, tell
        self._count = 0
        self._task: asyncio.Task[dict[str, Any]] | None = None
        self._process: asyncio.subprocess.Process | None = None
        self._cancelled = False
        self._wrote: dict[str, str] = {}

    async def start(self, order: Order) -> int:
        """Start a piece of work; return its number.

        Raises
        ------
        BusyError
            If other work is running.
        ChangedError
            If the folder to write to is there and holds other work than this window wrote.
        InputError
            If a name is refused, a file is missing, or an option makes no sense.
        """
        if self._task is not None and not self._task.done():
            raise BusyError("this window", "", "is still working", "wait for it, or stop it")
        if isinstance(order, KeptOrder):
            self._check_place(order)
        order.check(self._folder)
        self._count, self._cancelled = self._count + 1, False
        self._task = asyncio.create_task(self._run(self._count, order))
        return self._count

    async def cancel(self, number: int) -> bool:
        """End a piece of work and remove what it made; return False if it was just done.

        Raises
        ------
        NoJobError
            If it is not running.
        """
        if number != self._count or self._task is None or self._task.done():
            raise NoJobError("this window", "", f"has no work {number} that is running", "reload the page")
        self._cancelled = True
        await self._end()
        return "cancelled" in await asyncio.shield(self._task)

    async def close(self) -> None:
        """End the work that is running, as the window closes."""
        if self._task is not None and not self._task.done():
            self._cancelled = True
            await self._end()
            with suppress(asyncio.CancelledError):
                await self._task

    async def _end(self) -> None:
        process = self._process
        if process is None or process.returncode is not None:
            return
        with suppress(ProcessLookupError):
            process.terminate()
        try:
            await asyncio.wait_for(process.wait(), _PATIENCE)
        except TimeoutError:
            with suppress(ProcessLookupError):
                process.kill()
            await process.wait()

    async def _run(self, number: int, order: Order) -> dict[str, Any]:
        work: Path | None = None
        try:
            work = await self._files.run(self._make_room)
            end = await self._follow(number, order, work)
            if not self._cancelled and "error" not in end:
                end = await self._files.run(lambda: self._take(order, work / _MADE))
        except InputError as error:
            end = {"error": str(error)}
        except OSError as error:
            end = {"error": str(unwritable(order.title, error.strerror or "another window is saving"))}
        except Exception as error:  # noqa: BLE001 - told; the window goes on
            end = {"error": said(error)}
        finally:
            self._process = None
            if work is not None:
                shutil.rmtree(work, ignore_errors=True)
        if self._cancelled and not {"files", "answer"} & end.keys():
            end = {"cancelled": True}
        self._tell({"job": number, **end})
        return end

    async def _follow(self, number: int, order: Order, work: Path) -> dict[str, Any]:
        """Run the worker process, passing its progress on; return its last line."""
        request = {
            "order": order.model_dump(),
            "root": str(self._folder.root),
            "builtin": {name: str(path) for name, path in self._folder.builtin.items()},
            "made": str(work / _MADE),
        }
        process = self._process = await asyncio.create_subprocess_exec(
            sys.executable, "-m", __name__,
            cwd=_PACKAGE,  # where the package is found, not in a folder of the user's
            stdin=subprocess.PIPE, stdout=subprocess.PIPE,
            **_apart(),
        )  # fmt: skip
        assert process.stdin is not None  # noqa: S101 - for the type checker: it was asked for
        assert process.stdout is not None  # noqa: S101
        if self._cancelled:
            await self._end()
        last: dict[str, Any] = {"error": "this is a bug: the work ended without a word; see the terminal"}
        with suppress(ConnectionError):
            process.stdin.write(json.dumps(request).encode() + b"\n")
            await process.stdin.drain()
        while line := await process.stdout.readline():
            said = json.loads(line)
            if "done" in said:
                self._tell({"job": number, **said})
            else:
                last = said
        await process.wait()
        return last

    def _make_room(self) -> Path:
        remove_leftovers(self._folder.root)
        return Path(tempfile.mkdtemp(prefix=work_name(), dir=self._folder.root))

    def _take(self, order: Order, made: Path) -> dict[str, Any]:
        """Return what the page is told of work that is whole, after keeping what is to be kept."""
        if isinstance(order, KeptOrder):
            return {"files": self._keep(order, made)}
        return {"answer": json.loads((made / _ANSWER).read_text(encoding="utf-8"))}

    def _check_place(self, order: KeptOrder) -> Path:
        """Return where work goes, if nothing of others stands there."""
        name = order.name
        place = self._folder.path(name)
        if place.parent.is_file() or place.parent.parent.is_file():
            raise ChangedError(name, "", "lies in what is a file", "give another name")
        if place.exists() and not (place.is_dir() and not any(place.iterdir())):
            try:
                held = self._folder.read(f"{name}/{order.whole}")[1]
            except InputError:
                held = ""
            if not held or self._wrote.get(name) != held:
                problem = "is there already, and is not as this window wrote it"
                raise ChangedError(name, "", problem, "give another name")
        return place

    def _keep(self, order: KeptOrder, made: Path) -> list[str]:
        """Move work that is whole to its folder; return the names of its files."""
        name = order.name
        files = sorted(path.relative_to(made).as_posix() for path in made.rglob("*") if path.is_file())
        with self._folder.locked():
            place = self._check_place(order)
            wrote = digest((made / order.whole).read_bytes())
            place.parent.mkdir(parents=True, exist_ok=True)
            if place.exists():
                remove_stale(place, order, files)
                for file in sorted(files, key=lambda file: file == order.whole):  # it tells that all is there
                    (place / file).parent.mkdir(parents=True, exist_ok=True)
                    (made / file).replace(place / file)
            else:
                made.rename(place)
            self._wrote[name] = wrote
        return [f"{name}/{file}" for file in files]


def remove_stale(place: Path, order: KeptOrder, files: list[str]) -> None:
    """Remove what an earlier piece of work left in its folder that no longer belongs there."""
    for path in sorted(place.glob(order.stale)) if order.stale else ():
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        elif path.name not in files:
            path.unlink()


def _apart() -> dict[str, Any]:
    """Return how to start a process that neither slows the window nor hears its Ctrl-C."""
    if sys.platform == "win32":
        return {"creationflags": subprocess.BELOW_NORMAL_PRIORITY_CLASS | subprocess.CREATE_NEW_PROCESS_GROUP}
    return {"start_new_session": True}


# --- the worker process ---------------------------------------------------------------------------


def make(request: dict[str, Any], progress: Callable[[int, int], None]) -> None:
    """Do what was ordered, into the folder `made`.

    Raises
    ------
    InputError
        If a file or an option makes no sense.
    """
    folder = Folder(Path(request["root"]), {name: Path(path) for name, path in request["builtin"].items()})
    order, made = read_order(request["order"]), Path(request["made"])
    if isinstance(order, KeptOrder):
        try:
            order.make(folder, made, progress)
        except UnwritableError as error:  # which names the hidden folder
            raise unwritable(order.name, str(error.why)) from None
        return
    answer = order.answer(folder, progress)
    made.mkdir()
    (made / _ANSWER).write_text(json.dumps(answer), encoding="utf-8")


def _main() -> None:
    from threading import Thread  # noqa: PLC0415

    out, sys.stdout = sys.stdout, sys.stderr  # what a library prints is no progress
    if hasattr(os, "nice"):
        os.nice(_NICE)
    if hasattr(signal, "SIGINT"):
        signal.signal(signal.SIGINT, signal.SIG_IGN)

    def say(message: dict[str, Any]) -> None:
        out.write(json.dumps(message) + "\n")
        out.flush()

    def leave_with_window() -> None:
        sys.stdin.read()
        os._exit(1)  # the window is gone; nothing of ours is worth keeping

    request = json.loads(sys.stdin.readline())
    Thread(target=leave_with_window, daemon=True).start()
    try:
        make(request, lambda done, total: say({"done": done, "total": total}))
        say({"made": True})
    except Exception as error:  # noqa: BLE001 - told to the window
        say({"error": said(error)})


if __name__ == "__main__":
    _main()
