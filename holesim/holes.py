"""Holes: their lines, numbered and turned the way they are played, with the tees and the green of each."""

import math
from collections import defaultdict
from dataclasses import dataclass, replace
from typing import Final, cast

from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from holesim.errors import InputError, suggest
from holesim.geojson import Piece, Reading
from holesim.units import YARD

FAR_FROM_LINE: Final = 60.0  # m, beyond which a tee or green belongs to another hole
SHORTEST: Final = 30 * YARD  # m, below which a line is no hole
SAME_LINE: Final = 20.0  # m, within which two lines are the same hole drawn twice
LONGEST: Final = (250 * YARD, 470 * YARD, 690 * YARD)
"""Lengths [m] of the longest par 3, 4 and 5: the middles of what the Rules of Handicapping (appendix F, for
men, from memory) leave to either par."""


@dataclass(frozen=True)
class Tee:
    """A teeing area: its name, its middle [m] and the hole's length from it [m] along the hole's line."""

    name: str
    x: float
    y: float
    length: float


@dataclass(frozen=True)
class Hole:
    """A hole: its line from the back tee to the pin [m, x east, y north], its tees and its green."""

    number: int
    par: int
    stroke_index: int | None
    line: LineString
    tees: tuple[Tee, ...]
    green: Polygon
    pin: tuple[float, float]


def holes_of(reading: Reading, pieces: list[Piece]) -> tuple[Hole, ...]:
    """Return the holes among the pieces of a course, in order.

    Raises
    ------
    InputError
        If one cannot be played: no tee, no green, or a number or par that is none.
    """
    drawn = defaultdict(list)
    for piece in pieces:
        drawn[piece.tags.get("golf")].append(piece)
    lines = {
        number: _from_the_tee(reading, line, drawn["tee"], drawn["green"])
        for number, line in _numbered(reading, drawn["hole"]).items()
    }
    tees: dict[int, list[Piece]] = defaultdict(list)
    greens: dict[int, list[Piece]] = defaultdict(list)
    for piece in drawn["tee"]:
        owner = _nearest(piece, lines)
        if owner is not None:
            tees[owner].append(piece)
    for piece in drawn["green"]:
        for number, line in lines.items():
            if piece.shape.distance(Point(line.shape.coords[-1])) < FAR_FROM_LINE:
                greens[number].append(piece)
    pins = [piece.shape for piece in drawn["pin"]]
    return tuple(
        _hole(reading, number, lines[number], tees[number], greens[number], pins=pins)
        for number in sorted(lines)
    )


def _numbered(reading: Reading, drawn: list[Piece]) -> dict[int, Piece]:
    """Return the lines of holes by number."""
    lines: dict[int, Piece] = {}
    for piece in (piece for piece in drawn if _states(reading, piece, "ref")):
        number = _whole(reading, piece, "ref", 1, 99)
        if number not in lines:
            lines[number] = piece
        elif piece.shape.hausdorff_distance(lines[number].shape) < SAME_LINE:
            reading.guess(piece.label, f"is hole {number} a second time, and was left out", "take one out")
        else:
            problem = f"is hole {number} a second time"
            raise InputError(reading.file, piece.label, problem, "give each hole its own ref")
    for piece in (piece for piece in drawn if "ref" not in piece.tags):
        number = next(number for number in range(1, len(drawn) + 1) if number not in lines)
        reading.guess(piece.label, f"has no number, and was taken for hole {number}", "add its ref")
        lines[number] = piece
    return lines


def _from_the_tee(reading: Reading, line: Piece, tees: list[Piece], greens: list[Piece]) -> Piece:
    """Return a hole's line as it is played, whichever way it was drawn."""
    start, end = Point(line.shape.coords[0]), Point(line.shape.coords[-1])

    def off(tee: Point, pin: Point) -> float:
        return sum(
            min((piece.shape.distance(point) for piece in pieces), default=0.0)
            for point, pieces in ((tee, tees), (pin, greens))
        )

    if off(end, start) + FAR_FROM_LINE > off(start, end):
        return line
    reading.guess(line.label, "runs from green to tee, and was turned round", "draw it from tee to pin")
    return replace(line, shape=line.shape.reverse())


def _nearest(tee: Piece, lines: dict[int, Piece]) -> int | None:
    """Return the hole whose line starts or runs nearest to a tee; by its own ref where it has one."""
    own = tee.tags.get("ref", "")
    if own.isdecimal() and len(own) <= 2 and int(own) in lines:
        return int(own)
    distance, number = min((line.shape.distance(tee.shape), number) for number, line in lines.items())
    return number if distance < FAR_FROM_LINE else None


def _hole(
    reading: Reading,
    number: int,
    line: Piece,
    tees: list[Piece],
    greens: list[Piece],
    *,
    pins: list[BaseGeometry],
) -> Hole:
    file = reading.file
    if line.shape.length < SHORTEST:
        raise InputError(file, line.label, "is shorter than 30 yd", "draw its line from tee to pin")
    if not tees:
        raise InputError(file, line.label, "has no tee", "draw a golf=tee area at the start of its line")
    if not greens:
        raise InputError(file, line.label, "has no green", "draw a golf=green area at the end of its line")
    end = Point(line.shape.coords[-1])
    green = min(greens, key=lambda piece: piece.shape.distance(end)).shape
    if not isinstance(green, Polygon):
        raise InputError(file, line.label, "has a green that is not an area", "draw it as a Polygon")
    pin = next((p for p in pins if isinstance(p, Point) and green.covers(p)), end)
    if not green.covers(pin):
        pin = green.representative_point()
    # Numbered from the back where they have no name, whatever their order in the file.
    ordered = sorted(tees, key=lambda tee: line.shape.project(tee.shape.centroid))
    placed: list[Tee] = []
    for tee in ordered:
        middle = tee.shape.centroid
        along = line.shape.project(middle)
        name = _tee_name(tee) or f"tee {len(placed) + 1}"
        placed.append(Tee(name, middle.x, middle.y, line.shape.length - along))
    if placed[0].length < SHORTEST:
        raise InputError(file, line.label, "is shorter than 30 yd", "draw its line from tee to pin")
    return Hole(
        number=number,
        par=_par(reading, line, placed[0].length),
        stroke_index=_whole(reading, line, "handicap", 1, 18) if "handicap" in line.tags else None,
        line=cast("LineString", line.shape),  # as _plane saw
        tees=tuple(placed),
        green=green,
        pin=(pin.x, pin.y),
    )


def _tee_name(tee: Piece) -> str | None:
    """Return a tee's name: a colour or a word; its ref may also be the number of its hole."""
    ref = tee.tags.get("ref", "")
    return tee.tags.get("tee") or (None if ref.isdecimal() else ref) or tee.tags.get("name")


def _par(reading: Reading, line: Piece, length: float) -> int:
    if _states(reading, line, "par"):
        return _whole(reading, line, "par", 3, 7)
    par = 3 + sum(length > most for most in LONGEST)
    reading.guess(line.label, f"has no par, and was taken for a par {par} by its length", "add its par")
    return par


def _states(reading: Reading, piece: Piece, key: str) -> bool:
    """Return whether a feature has a tag."""
    if key in piece.tags:
        return True
    meant = suggest(key, [tag for tag in piece.tags if tag not in ("golf", "handicap", "name", "tee")])
    if meant:
        raise InputError(reading.file, piece.label, f"has no {key}", f"is {meant!r} meant to be {key!r}?")
    return False


def _whole(reading: Reading, piece: Piece, key: str, low: int, high: int) -> int:
    try:
        value = float(piece.tags[key])
    except ValueError:
        value = math.nan
    if not (low <= value <= high and value == int(value)):
        problem = f"{key}={piece.tags[key]:.30} is not a number from {low} to {high}"
        raise InputError(reading.file, piece.label, problem, f"correct {key}")
    return int(value)
