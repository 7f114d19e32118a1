"""The notes of one hole as they are read: under which words they stand, and what was taken for their gaps."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any, Final

from holesim.course.course import Ground
from holesim.course.ground_words import find_meaning
from holesim.course.notes_tables import HoleTable
from holesim.course.yardage_notes import Unit
from holesim.errors import Guess, InputError

SLACK: Final = 1e-3
"""By how much a place may lie past the end of a hole [m]."""

_TABLES: Final = {
    (Ground.RED, "stream"): "streams",
    (Ground.RED, "strip"): "water",
    (Ground.YELLOW, "strip"): "water",
    (Ground.BUNKER, "bunker"): "bunkers",
    (Ground.OUT, "strip"): "out_of_bounds",
    (Ground.TREES, "strip"): "trees",
    (Ground.HEAVY_ROUGH, "strip"): "scrub",
    (Ground.ROUGH, "strip"): "rough",
}


@dataclass(frozen=True)
class Page:
    """The notes of one hole; `words` are those that its notes were found under, by table and place there."""

    file: str
    unit: Unit
    height_unit: Unit
    name: str
    table: HoleTable
    words: dict[tuple[str, int], str]
    guesses: list[Guess] = field(default_factory=list)

    def word(self, key: str, index: int) -> str:
        """Return the word that a note of a table was found under."""
        return self.words.get((key, index), key)

    def label(self, key: str, index: int) -> str:
        """Return what to call a note of a table: its word, and its place among those of that word."""
        return in_own_words(f"{key} {index + 1}", self.words)

    def given(self, key: str, value: float | None, default: float, unit: Unit | None = None) -> float:
        """Return a value in metres, or else the default [m], and list the gap."""
        unit = unit or self.unit
        if value is not None:
            return value * unit.size
        self.add_gap(f"no {key}, taken as {unit.shown(default)}")
        return default

    def add_gap(self, taken: str) -> None:
        """List a gap by what was taken for it."""
        gap = Guess(self.name, taken, "note it")
        if gap not in self.guesses:
            self.guesses.append(gap)

    def shown(self, metres: float) -> str:
        """Return a distance [m] as the player would write it."""
        return self.unit.shown(metres)

    def error(self, key: str, problem: str, remedy: str) -> InputError:
        """Return the error of a note of this hole."""
        return InputError(self.file, f"{self.name}, {key}" if key else self.name, problem, remedy)


def check_ascending(page: Page, place: str, stations: Sequence[float]) -> None:
    """Check that distances go from tee to green, each once."""
    for before, after in pairwise(stations):
        if before == after:
            raise page.error(place, f"two are at {page.shown(after)}", "take one out")
        if before > after:
            problem = f"{page.shown(after)} comes after {page.shown(before)}"
            raise page.error(place, problem, "go from tee to green")


def check_run(page: Page, place: str, start: float, stop: float, end: float) -> None:
    """Check that something starts before it stops, and stops no later than `end`."""
    if start >= stop:
        problem = f"runs from {page.shown(start)} to {page.shown(stop)}"
        raise page.error(place, problem, "give the distance nearer the back tee first")
    if stop > end + SLACK:
        problem = f"ends at {page.shown(stop)}, past the end of the hole at {page.shown(end)}"
        raise page.error(place, problem, "give distances straight from the back tee")


def in_tables(content: dict[str, Any]) -> tuple[dict[str, Any], dict[tuple[str, int], str], dict[str, str]]:
    """Return a hole's notes under the keys of its table.

    Besides them stand what each note was called, by its key and its place there, and what was taken for words
    that may mean something else.
    """
    tables: dict[str, Any] = {}
    words: dict[tuple[str, int], str] = {}
    judged: dict[str, str] = {}
    for word, value in content.items():
        found = None if word in HoleTable.model_fields else find_meaning(word)
        key = word if found is None else _TABLES.get((found.ground, found.form), word)
        if key not in _TABLES.values() or not isinstance(value, dict | list):
            tables[key] = value
            continue
        notes = [*value] if isinstance(value, list) else [value]
        if found is not None:
            stakes = {"marked": "yellow"} if found.ground is Ground.YELLOW else {}
            side = {} if found.side is None else {"side": found.side}
            notes = [stakes | side | note if isinstance(note, dict) else note for note in notes]
            judged |= {word: found.judged} if found.judged else {}
        before = tables.setdefault(key, [])
        words |= {(key, len(before) + index): word for index in range(len(notes))}
        before += notes
    return tables, words, judged


def in_own_words(place: str, words: dict[tuple[str, int], str]) -> str:
    """Return a place in a hole's table in the words of its notes."""
    for (key, index), word in words.items():
        first = min(i for (k, i), w in words.items() if (k, w) == (key, word))
        place = re.sub(rf"\b{key} {index + 1}\b", f"{word} {index - first + 1}", place)
    return place
