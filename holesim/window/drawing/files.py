"""What the folder keeps of a drawing: the file, its journal, ten earlier versions, and where pictures lie."""

import json
import os
from collections.abc import Mapping, Sequence
from contextlib import suppress
from typing import Annotated, Any, Final

from pydantic import Field

from holesim.common.toml_tables import Table, checked
from holesim.errors import InputError
from holesim.window.drawing.drawing import Drawing
from holesim.window.drawing.plane import Plane
from holesim.window.drawing.steps import History, Move, saved_line
from holesim.window.folder import ChangedError, Folder, MissingError, digest
from holesim.window.guard import PICTURES
from holesim.window.versions import Versions, flat_name

_BETWEEN: Final = 300.0  # s between two versions that are kept
_PLACED: Final = ".placed.json"


class MarkTable(Table):
    """A point of a picture [px from its upper left corner], and where it lies."""

    pixel: Annotated[list[float], Field(min_length=2, max_length=2)]
    at: Annotated[list[float], Field(min_length=2, max_length=2)]


class PictureTable(Table):
    """A picture under the drawing, placed by two of its points."""

    name: str
    marks: Annotated[list[MarkTable], Field(min_length=2, max_length=2)]


class _PlacedTable(Table):
    """Where a picture lies: the course that it is of, and two of its points by longitude and latitude."""

    course: str
    marks: Annotated[list[MarkTable], Field(min_length=2, max_length=2)]


class DrawingFiles:
    """The files of one drawing.

    Parameters
    ----------
    name
        Of the course file.
    """

    def __init__(self, folder: Folder, name: str) -> None:
        self._folder, self.name = folder, name
        self._journal = folder.beside("journals", f"{flat_name(name)}.jsonl")
        self.versions = Versions(folder, name, between=_BETWEEN)
        self.saved = ""
        self._in_journal = False

    def read(self) -> Drawing:
        """Return the drawing as the disk has it, with what its journal knows beyond.

        Raises
        ------
        InputError
            If the file cannot be read or is no map.
        """
        raw, self.saved = self._folder.read(self.name)
        lines = self._lines()
        self._in_journal = saved_line(self.saved) in lines
        history, later = History.read(lines, self.saved)
        drawing = Drawing(self.name, raw, history)
        try:
            drawing.catch_up(later)
        except InputError:
            drawing = Drawing(self.name, raw)
        return drawing

    def _lines(self) -> list[str]:
        try:
            return self._journal.read_text(encoding="utf-8").splitlines()
        except (OSError, UnicodeDecodeError):
            return []

    def write(self, drawing: Drawing) -> None:
        """Save the drawing, the steps that led to it, and now and then the version before.

        Raises
        ------
        ChangedError
            If the disk holds another file than the one that was read or saved last.
        InputError
            If nothing can be written.
        """
        raw = drawing.text().encode("utf-8")
        sha256 = digest(raw)
        if sha256 == self.saved and not drawing.history.unwritten:
            return
        self._check_unchanged()
        self.versions.keep()
        lines = [*drawing.history.unwritten, saved_line(sha256)]
        if not self._in_journal:
            lines.insert(0, saved_line(self.saved))
        try:
            self._journal.parent.mkdir(parents=True, exist_ok=True)
            with self._journal.open("a", encoding="utf-8") as file:
                file.write("".join(f"{line}\n" for line in lines))
                file.flush()
                os.fsync(file.fileno())
        except OSError as error:
            problem = f"cannot be saved ({error.strerror})"
            raise InputError(self.name, "", problem, "make room, or check who may write there") from None
        drawing.history.unwritten.clear()
        self._in_journal = True
        self.saved = self._folder.write(self.name, raw, self.saved)

    def _check_unchanged(self) -> None:
        try:
            _, held = self._folder.read(self.name)
        except MissingError:
            held = ""
        if held != self.saved:
            what = "was changed outside this window" if held else "was removed outside this window"
            remedy = "keep yours under another name, or read it anew"
            raise ChangedError(self.name, "", what, remedy)

    # --- pictures ---

    def pictures(self, plane: Plane) -> list[dict[str, Any]]:
        """Return the pictures under the drawing, their marks on its plane."""
        found = []
        for name, placed in self._placed():
            marks = [
                {"pixel": mark.pixel, "at": list(plane.point_to_plane(*mark.at))} for mark in placed.marks
            ]
            found.append({"name": name, "marks": marks})
        return found

    def _placed(self) -> list[tuple[str, _PlacedTable]]:
        """Return the pictures that are placed under this drawing, by name."""
        found = []
        for name in self._folder.names():
            if not name.endswith(_PLACED):
                continue
            with suppress(InputError, ValueError):
                content = json.loads(self._folder.read(name)[0])
                placed = checked(content, _PlacedTable, file=name, kind="placement")
                if placed.course == self.name:
                    found.append((name.removesuffix(_PLACED), placed))
        return found

    def place_pictures(self, pictures: Sequence[PictureTable], plane: Plane) -> None:
        """Write where each picture lies, beside it, and forget the place of the others.

        Raises
        ------
        InputError
            If there is no such picture, or its two points are one.
        """
        for picture in pictures:
            self._folder.check_there(picture.name)
            if not picture.name.lower().endswith(PICTURES):
                raise InputError(picture.name, "", "is not a picture", f"give {', '.join(PICTURES)}")
            one, other = picture.marks
            if one.pixel == other.pixel or one.at == other.at:
                raise InputError(picture.name, "", "is placed by one point", "choose two that are apart")
        marks = {
            picture.name: [
                {"pixel": mark.pixel, "at": list(plane.point_to_earth(*mark.at))} for mark in picture.marks
            ]
            for picture in pictures
        }
        self._place(marks)
        for name, _ in self._placed():
            if name not in marks:
                self._folder.path(name + _PLACED).unlink(missing_ok=True)

    def move_pictures(self, move: Move) -> None:
        """Move the pictures with the drawing."""
        marks = {}
        before, after = Plane(move.start), Plane(move.goal)
        for name, placed in self._placed():
            points = {"type": "MultiPoint", "coordinates": [mark.at for mark in placed.marks]}
            places = before.moved(points, after, move.turn)["coordinates"]
            marks[name] = [
                {"pixel": mark.pixel, "at": place} for mark, place in zip(placed.marks, places, strict=True)
            ]
        self._place(marks)

    def _place(self, marks: Mapping[str, list[dict[str, Any]]]) -> None:
        for name, placed in marks.items():
            content = {"course": self.name, "marks": placed}
            raw = (json.dumps(content, indent=1) + "\n").encode()
            try:
                _, seen = self._folder.read(name + _PLACED)
            except MissingError:
                seen = ""
            self._folder.write(name + _PLACED, raw, seen or None)
