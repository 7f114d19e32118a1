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
from typing import Annotated, Any, Final, Literal

from pydantic import Field

from holesim.common.safe_files import remove_leftovers, work_name
from holesim.common.toml_tables import Table
from holesim.errors import InputError
from holesim.plan.round_options import RoundOptions
from holesim.window.faults import said
from holesim.window.folder import ChangedError, Folder, digest
from holesim.window.threads import Worker

Tell = Callable[[dict[str, Any]], None]

_PACKAGE: Final = Path(__file__).parents[2]
_PATIENCE: Final = 1.5  # s, before a process that was told to end is killed
_NICE: Final = 10
_PLAN: Final = "plan.json"
_MADE: Final = "made"  # what the worker names the folder that it fills


class Order(Table):
    """A plan to make and to save in a folder of that name."""

    kind: Literal["plan"]
    name: Annotated[str, Field(min_length=1)]
    course: str
    layout: str | None = None
    player: str
    options: dict[str, Any] = Field(default_factory=dict)
    tees: list[str] | None = None
    metric: bool = False


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
            If the folder to write to is there and holds another plan than this window wrote.
        InputError
            If a name is refused, a file is missing, or an option makes no sense.
        """
        if self._task is not None and not self._task.done():
            raise BusyError("this window", "", "is still working", "wait for it, or stop it")
        self._check_place(order.name)
        for name in (order.course, order.player):
            self._folder.check_there(name)
        RoundOptions(**order.options)
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
                place = work / _MADE
                end = {"files": await self._files.run(lambda: self._keep(order.name, place))}
        except InputError as error:
            end = {"error": str(error)}
        except OSError as error:
            end = {"error": str(_unwritable(order.name, error.strerror or "another window is saving"))}
        except Exception as error:  # noqa: BLE001 - told; the window goes on
            end = {"error": said(error)}
        finally:
            self._process = None
            if work is not None:
                shutil.rmtree(work, ignore_errors=True)
        if self._cancelled and "files" not in end:
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

    def _check_place(self, name: str) -> Path:
        """Return where a plan goes, if nothing of others stands there."""
        place = self._folder.path(name)
        if place.parent.is_file() or place.parent.parent.is_file():
            raise ChangedError(name, "", "lies in what is a file", "give another name")
        if place.exists() and not (place.is_dir() and not any(place.iterdir())):
            try:
                held = self._folder.read(f"{name}/{_PLAN}")[1]
            except InputError:
                held = ""
            if not held or self._wrote.get(name) != held:
                problem = "is there already, and is not as this window wrote it"
                raise ChangedError(name, "", problem, "give another name")
        return place

    def _keep(self, name: str, made: Path) -> list[str]:
        """Move a plan that is whole to its folder; return the names of its files."""
        files = sorted(path.name for path in made.iterdir())
        with self._folder.locked():
            place = self._check_place(name)
            wrote = digest((made / _PLAN).read_bytes())
            place.parent.mkdir(parents=True, exist_ok=True)
            if place.exists():
                for file in sorted(
                    files, key=lambda file: file == _PLAN
                ):  # plan.json tells that all is there
                    (made / file).replace(place / file)
            else:
                made.rename(place)
            self._wrote[name] = wrote
        return [f"{name}/{file}" for file in files]


def _unwritable(name: str, why: str) -> InputError:
    return InputError(name, "", f"cannot be written ({why})", "make room, or check who may write there")


def _apart() -> dict[str, Any]:
    """Return how to start a process that neither slows the window nor hears its Ctrl-C."""
    if sys.platform == "win32":
        return {"creationflags": subprocess.BELOW_NORMAL_PRIORITY_CLASS | subprocess.CREATE_NEW_PROCESS_GROUP}
    return {"start_new_session": True}


# --- the worker process ---------------------------------------------------------------------------


def make(request: dict[str, Any], progress: Callable[[int, int], None]) -> None:
    """Make the plan that was ordered, as `holesim plan --out` does, into the folder `made`.

    Raises
    ------
    InputError
        If a file or an option makes no sense.
    """
    from holesim.handouts.plan_folder import write_plan  # noqa: PLC0415
    from holesim.plan.plan import make_plan  # noqa: PLC0415
    from holesim.window.inputs import read_course, read_golfer  # noqa: PLC0415

    order = Order.model_validate(request["order"])
    folder = Folder(Path(request["root"]), {name: Path(path) for name, path in request["builtin"].items()})
    course, player = read_course(folder, order.course, order.layout), read_golfer(folder, order.player)
    options = RoundOptions(**order.options)
    plan = make_plan(course, player, options, tees=order.tees, progress=progress)
    try:
        write_plan(plan, Path(request["made"]), metric=order.metric)
    except InputError as error:
        raise _unwritable(order.name, error.problem.rpartition(" (")[2].rstrip(")")) from None


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
