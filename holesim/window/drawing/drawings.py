"""The drawings that are open in a window: changed one step at a time, saved and checked soon after."""

import asyncio
import json
from collections.abc import Callable, Mapping
from contextlib import suppress
from functools import partial
from typing import Any, Final, TypeVar

from holesim.course.course import Course
from holesim.errors import InputError, printable
from holesim.window.drawing.checks import Checked, Snapshot, check_drawing
from holesim.window.drawing.drawing import Drawing
from holesim.window.drawing.files import DrawingFiles, PictureTable
from holesim.window.drawing.steps import Step
from holesim.window.faults import said
from holesim.window.folder import ChangedError, Folder, NameRefusedError
from holesim.window.threads import Worker

T = TypeVar("T")
Tell = Callable[[dict[str, Any]], None]
Answer = dict[str, Any]

_SAVED_AFTER: Final = 2.0  # s after the first change that is not saved
_LOOKED_EVERY: Final = 1.0  # s, at the files on disk
_LONGEST_TITLE: Final = 80


class _Open:
    """A drawing that is open, and how far it is saved and checked."""

    def __init__(self, files: DrawingFiles, stamp: object) -> None:
        self.files, self.stamp = files, stamp
        self.drawing = files.read()
        self.saved = self.drawing.revision
        self.clash: str | None = None
        self.checked: Checked | None = None
        self.saving: asyncio.Task[None] | None = None
        self.checking: asyncio.Task[None] | None = None

    @property
    def unsaved(self) -> bool:
        """Whether there are steps that are not on disk."""
        return self.drawing.revision != self.saved or bool(self.drawing.history.unwritten)

    def to_dict(self, *, builtin: bool = False) -> Answer:
        """Return all of the drawing, for a page that opens it."""
        drawing = self.drawing
        return {
            "name": drawing.name,
            "title": drawing.title,
            "nowhere": drawing.nowhere,
            "features": drawing.to_dicts(),
            "pictures": self.files.pictures(drawing.plane),
            "versions": self.files.versions.to_list(),
            "saved": not self.unsaved,
            "clash": self.clash,
            "builtin": builtin,
        } | drawing.steps_dict()


class Drawings:
    """All drawings of a window.

    Parameters
    ----------
    tell
        Sends every page a message.
    """

    def __init__(self, folder: Folder, tell: Tell) -> None:
        self._folder, self._tell = folder, tell
        self._worker, self._checker = Worker("drawing"), Worker("checks")
        self._open: dict[str, _Open] = {}
        self._watching: asyncio.Task[None] | None = None

    async def create(self, name: str, title: str) -> None:
        """Write a course file without holes; raise a `ChangedError` if there is such a file."""
        place = printable(title).strip()[:_LONGEST_TITLE] or name.rpartition("/")[2].rpartition(".")[0]
        boundary = {
            "type": "Feature",
            "properties": {"leisure": "golf_course", "name": place},
            "geometry": None,
        }
        text = (
            '{"type":"FeatureCollection","features":[\n' + json.dumps(boundary, ensure_ascii=False) + "\n]}\n"
        )
        await self._worker.run(lambda: self._folder.write(_course_name(name), text.encode("utf-8"), None))

    async def show(self, name: str) -> Answer:
        """Return all of a drawing, which is opened if it is not."""

        def opened() -> Answer:
            if name not in self._open:
                stamp = self._folder.stamp(_course_name(name))
                self._open[name] = _Open(DrawingFiles(self._folder, name), stamp)
            return self._open[name].to_dict(builtin=name in self._folder.builtin)

        answer = await self._worker.run(opened)
        if self._watching is None:
            self._watching = asyncio.create_task(self._watch())
        self._follow_up(self._open[name])
        return answer

    async def change(self, name: str, revision: int, change: Callable[[Drawing], Answer]) -> Answer:
        """Return what a change of a drawing changed; it is saved and checked soon after.

        Raises
        ------
        StaleError
            If the page has not seen the newest revision.
        InputError
            If the change makes no sense.
        """
        found = self._found(name)
        if name in self._folder.builtin:
            problem = "comes with holesim and cannot be changed"
            raise NameRefusedError(name, "", problem, "copy it under another name, and draw on that")

        def work() -> Answer:
            found.drawing.check(revision)
            return change(found.drawing)

        answer = await self._worker.run(work)
        self._tell({"drawing": name, "revision": found.drawing.revision})
        self._follow_up(found)
        return answer

    async def change_whole(self, name: str, revision: int, change: Callable[[Drawing], object]) -> Answer:
        """Return all of a drawing after a change of many features or of its place."""

        def work(drawing: Drawing) -> Answer:
            change(drawing)
            return found.to_dict()

        found = self._found(name)
        return await self.change(name, revision, work)

    async def restore(self, name: str, revision: int, stamp: str) -> Answer:
        """Return all of a drawing after an earlier version was put in its place."""
        raw = await self._worker.run(lambda: self._found(name).files.versions.read(stamp))
        return await self.change_whole(
            name, revision, lambda drawing: drawing.restored(raw, f"back to {stamp.replace('T', ', ')}")
        )

    async def place_pictures(self, name: str, pictures: list[PictureTable]) -> list[dict[str, Any]]:
        """Write where pictures lie, and return them."""
        found = self._found(name)

        def work() -> list[dict[str, Any]]:
            found.files.place_pictures(pictures, found.drawing.plane)
            return found.files.pictures(found.drawing.plane)

        return await self._worker.run(work)

    async def undo(self, name: str, revision: int) -> Answer:
        """Return what changed when the last step was taken back."""
        step = self._found(name).drawing.history.undone
        answer = await self.change(name, revision, Drawing.undo)
        return answer | await self._moved(name, None if step is None else step.inverse())

    async def redo(self, name: str, revision: int) -> Answer:
        """Return what changed when the next step was done again."""
        step = self._found(name).drawing.history.redone
        return await self.change(name, revision, Drawing.redo) | await self._moved(name, step)

    async def move(self, name: str, revision: int, change: Callable[[Drawing], object]) -> Answer:
        """Return all of a drawing after it was moved to where it belongs, with its pictures."""
        answer = await self.change_whole(name, revision, change)
        return answer | await self._moved(name, self._found(name).drawing.history.undone)

    async def _moved(self, name: str, step: Step | None) -> Answer:
        """Move the pictures as a step moved the drawing, and return where they lie."""
        move = None if step is None else step.move
        if move is None:
            return {}
        found = self._found(name)

        def work() -> list[dict[str, Any]]:
            found.files.move_pictures(move)
            return found.files.pictures(found.drawing.plane)

        return {"pictures": await self._worker.run(work)}

    async def copy(self, name: str, other: str) -> None:
        """Write what is drawn under another name; after a clash, the file is read anew when next shown."""
        found = self._found(name)

        def work() -> None:
            raw = found.drawing.text().encode("utf-8")
            self._folder.write(_course_name(other), raw, None)
            if found.clash is not None:
                self._open.pop(name, None)

        await self._worker.run(work)

    async def forget(self, name: str) -> Answer:
        """Give up what is not saved after a clash, and return the drawing as the disk has it."""
        await self._worker.run(lambda: self._open.pop(name, None))
        return await self.show(name)

    def content(self, name: str) -> bytes | None:
        """Return a drawing's text as it is now; None if it is not open."""
        found = self._open.get(name)
        return None if found is None else found.drawing.text().encode("utf-8")

    def course(self, name: str, layout: str | None) -> Course | None:
        """Return the course of a drawing as it is now, if the checker has it."""
        found = self._open.get(name)
        if found is None or found.checked is None:
            return None
        if found.checked.snapshot.revision != found.drawing.revision:
            return None
        courses = found.checked.courses
        if layout is None:
            return next(iter(courses.values())) if len(courses) == 1 else None
        return courses.get(layout)

    async def close(self) -> None:
        """Save what is not saved."""
        if self._watching is not None:
            self._watching.cancel()
        for found in [*self._open.values()]:
            await self._save(found)

    def _found(self, name: str) -> _Open:
        if name not in self._open:
            raise InputError(name, "", "is not open for drawing", "open it first")
        return self._open[name]

    # --- soon after ---

    def _follow_up(self, found: _Open) -> None:
        if found.unsaved and (found.saving is None or found.saving.done()):
            found.saving = asyncio.create_task(self._save_soon(found))
        if found.checking is None or found.checking.done():
            found.checking = asyncio.create_task(self._check(found))

    async def _save_soon(self, found: _Open) -> None:
        await asyncio.sleep(_SAVED_AFTER)
        await self._save(found)

    async def _save(self, found: _Open) -> None:
        """Save a drawing, unless the disk holds another file than it came from."""
        name = found.drawing.name
        if not found.unsaved or found.clash is not None or self._open.get(name) is not found:
            return

        def work() -> int:
            revision = found.drawing.revision
            found.files.write(found.drawing)
            found.stamp = self._folder.stamp(name)
            return revision

        try:
            found.saved = await self._worker.run(work)
        except ChangedError as error:
            found.clash = str(error)
            self._tell({"drawing": name, "clash": found.clash})
        except Exception as error:  # noqa: BLE001 - told, and tried again after the next change
            self._tell({"drawing": name, "unsaved": said(error)})
        else:
            self._tell({"drawing": name, "saved": found.saved})

    async def _check(self, found: _Open) -> None:
        """Check a drawing until its newest revision is checked."""
        while found.checked is None or found.checked.snapshot.revision != found.drawing.revision:
            snapshot = await self._worker.run(partial(Snapshot.of, found.drawing))
            try:
                found.checked = await self._checker.run(partial(check_drawing, snapshot))
            except Exception as error:  # noqa: BLE001 - told
                found.checked = Checked.failed(snapshot, said(error))
        self._tell({"drawing": found.drawing.name, **found.checked.answer})

    async def _watch(self) -> None:
        """Notice what happens to the files on disk."""
        while True:
            await asyncio.sleep(_LOOKED_EVERY)
            for name, found in [*self._open.items()]:
                with suppress(InputError):
                    await self._look(name, found)

    async def _look(self, name: str, found: _Open) -> None:
        def work() -> Mapping[str, Any] | None:
            stamp = self._folder.stamp(name)
            if stamp == found.stamp or self._open.get(name) is not found:
                return None
            found.stamp = stamp
            _, held = self._folder.read(name)
            if held == found.files.saved:
                return None
            if found.unsaved:
                found.clash = (
                    f"{name}: was changed outside this window; keep yours under another name, or read it anew"
                )
                return {"clash": found.clash}
            anew = _Open(found.files, stamp)
            anew.drawing.revision = anew.saved = found.drawing.revision + 1
            self._open[name] = anew
            return {"revision": anew.drawing.revision, "outside": True}

        news = await self._worker.run(work)
        if news is not None:
            self._tell({"drawing": name, **news})
            self._follow_up(self._open[name])


def _course_name(name: str) -> str:
    if not name.lower().endswith((".geojson", ".json")):
        raise InputError(name, "", "is not the name of a course file", "end it in .geojson")
    return name
