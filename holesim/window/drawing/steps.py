"""Steps of a drawing: what each changed in the text of the course file, forwards and backwards."""

import json
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from holesim.course.collection_text import splice


class Edit(NamedTuple):
    """A change of a feature's text: `at` a letter `out` becomes `put`; without `at` it comes or goes."""

    place: int
    at: int | None
    out: str | None
    put: str | None

    @classmethod
    def between(cls, place: int, before: str | None, after: str | None) -> "Edit":
        """Return the edit that makes one text of another; None is no feature."""
        if before is None or after is None:
            return cls(place, None, before, after)
        return cls(place, *splice(before, after))

    def inverse(self) -> "Edit":
        """Return the edit that takes this one back."""
        return Edit(self.place, self.at, self.put, self.out)

    def changed(self, text: str | None) -> str | None:
        """Return what becomes of a feature's text."""
        if self.at is None:
            return self.put
        out, put = self.out or "", self.put or ""
        if text is None or text[self.at : self.at + len(out)] != out:
            raise ValueError("this edit belongs to another text")
        return text[: self.at] + put + text[self.at + len(out) :]


class Move(NamedTuple):
    """A move from one longitude and latitude to another [°], turned clockwise about it [°]."""

    start: tuple[float, float]
    goal: tuple[float, float]
    turn: float

    def inverse(self) -> "Move":
        """Return the move back."""
        return Move(self.goal, self.start, -self.turn)


@dataclass(frozen=True)
class Step:
    """What one gesture changed, and what it is called.

    Attributes
    ----------
    frame
        The text around the features, before and after, where it changed.
    move
        How the drawing was moved, if it was.
    """

    says: str
    edits: tuple[Edit, ...]
    frame: tuple[tuple[str, str], tuple[str, str]] | None = None
    move: Move | None = None

    def inverse(self) -> "Step":
        """Return the step that takes this one back."""
        return Step(
            self.says,
            tuple(edit.inverse() for edit in reversed(self.edits)),
            None if self.frame is None else (self.frame[1], self.frame[0]),
            None if self.move is None else self.move.inverse(),
        )

    def to_dict(self) -> dict[str, Any]:
        """Return it for the journal."""
        return {"says": self.says, "edits": self.edits, "frame": self.frame, "move": self.move}

    @classmethod
    def from_dict(cls, content: dict[str, Any]) -> "Step":
        """Return a step of the journal; raise an error if it is none."""
        frame, move = content["frame"], content["move"]
        return cls(
            str(content["says"]),
            tuple(Edit(*edit) for edit in content["edits"]),
            None if frame is None else (tuple(frame[0]), tuple(frame[1])),
            None if move is None else Move(tuple(move[0]), tuple(move[1]), float(move[2])),
        )


@dataclass
class History:
    """The steps of a drawing, how many of them hold, and what of that is not in the journal yet."""

    steps: list[Step] = field(default_factory=list)
    position: int = 0
    unwritten: list[str] = field(default_factory=list)

    @property
    def undone(self) -> Step | None:
        """The step that would be taken back next."""
        return self.steps[self.position - 1] if self.position else None

    @property
    def redone(self) -> Step | None:
        """The step that would be done again next."""
        return self.steps[self.position] if self.position < len(self.steps) else None

    def add(self, step: Step) -> None:
        """Add a step that was done."""
        self._do({"step": step.to_dict()})

    def undo(self) -> None:
        """Note that the last step was taken back."""
        self._do({"undo": True})

    def redo(self) -> None:
        """Note that the next step was done again."""
        self._do({"redo": True})

    def _do(self, line: dict[str, Any]) -> None:
        self._follow(line)
        self.unwritten.append(json.dumps(line, separators=(",", ":")))

    def _follow(self, line: dict[str, Any]) -> Step:
        """Take over a line of the journal, and return the step that leads on from the text before it."""
        if "step" in line:
            step = Step.from_dict(line["step"])
            del self.steps[self.position :]
            self.steps.append(step)
            self.position += 1
            return step
        if line.get("undo") and self.undone is not None:
            step = self.undone.inverse()
            self.position -= 1
            return step
        if line.get("redo") and self.redone is not None:
            self.position += 1
            return self.steps[self.position - 1]
        raise ValueError("no line of a journal")

    @classmethod
    def read(cls, journal: Iterable[str], sha256: str) -> "tuple[History, list[Step]]":
        """Return the history of a file with this digest, and the steps after it that were not saved.

        A journal of another file, or one that makes no sense, gives a history without steps.
        """
        lines = [*journal]
        saved = [place for place, line in enumerate(lines) if _saved(line) == sha256]
        history = cls()
        try:
            for line in lines[: saved[-1] if saved else 0]:
                if _saved(line) is None:
                    history._follow(json.loads(line))
            unsaved = [line for line in lines[saved[-1] :] if _saved(line) is None] if saved else []
            later = [history._follow(json.loads(line)) for line in unsaved]
        except (ValueError, KeyError, TypeError, IndexError):
            return cls(), []
        return history, later


def _saved(line: str) -> str | None:
    """Return the digest of the file that was saved at a line of the journal."""
    return line[10:-2] if line.startswith('{"saved":"') else None


def saved_line(sha256: str) -> str:
    """Return the line that says which file the lines before it lead to."""
    return f'{{"saved":"{sha256}"}}'
