"""Holes: their lines, numbered and directed as they are played, each with its tees and its green."""

import math
import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from operator import itemgetter
from typing import Final, Literal, cast

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Point, Polygon

from holesim.course.geojson import Piece, Reading
from holesim.course.layouts import number_of
from holesim.errors import InputError, suggest
from holesim.units import YARD

FAR_FROM_LINE: Final = 60.0  # m, beyond which a tee or green belongs to another hole
SHORTEST: Final = 30 * YARD  # m, the shortest hole
FARTHEST: Final = 1_500 * YARD  # m, the longest hole; the longest par 7s have some 1,100 yd (from memory)
_SAME_LINE: Final = 20.0  # m, within which two lines are one hole drawn twice, or a tee belongs to a line
PARS: Final = (3, 7)
STROKE_INDICES: Final = (1, 18)
ROUND: Final = 18  # holes; further lines without a number belong to a practice loop
_LONGEST_NAME: Final = 40  # letters kept of a tee's name
Sex = Literal["man", "woman"]
LONGEST: Final = (250 * YARD, 470 * YARD, 690 * YARD)
"""Lengths [m] of the longest par 3, 4 and 5: the middles of the ranges in which the Rules of Handicapping
allow either par (appendix F, for men, from memory)."""


@dataclass(frozen=True)
class Tee:
    """A teeing area: its name, its middle [m] and the hole's length from it [m] along the hole's line."""

    name: str
    x: float
    y: float
    length: float

    def bearing(self, x: float, y: float) -> float:
        """Return the bearing [rad] of a place [m] from the middle of the tee."""
        return math.atan2(x - self.x, y - self.y)


@dataclass(frozen=True)
class CardEntry:
    """A hole's par and stroke index as one sex has them; none where nothing says that they are its own."""

    par: int | None = None
    stroke_index: int | None = None


@dataclass(frozen=True)
class Hole:
    """A hole: its line from the back tee to the pin [m, x east, y north], its tees and its green.

    `par` and `stroke_index` hold for everyone, unless `men` or `women` have their own.
    """

    number: int
    par: int
    stroke_index: int | None
    line: LineString
    tees: tuple[Tee, ...]
    green: Polygon
    pin: tuple[float, float]
    men: CardEntry = CardEntry()
    women: CardEntry = CardEntry()

    @cached_property
    def line_points(self) -> NDArray[np.float64]:
        """Places along the line, a metre apart at most, shape (places, 2)."""
        return np.asarray(shapely.get_coordinates(shapely.segmentize(self.line, 1.0)))

    def own(self, sex: Sex) -> CardEntry:
        """Return what one sex has of its own."""
        return self.men if sex == "man" else self.women

    def par_of(self, sex: Sex) -> int:
        """Return the par of one sex."""
        return self.own(sex).par or self.par

    def stroke_index_of(self, sex: Sex) -> int | None:
        """Return the stroke index of one sex."""
        return self.own(sex).stroke_index or self.stroke_index


def read_holes(reading: Reading, pieces: list[Piece], own: Sequence[Piece]) -> tuple[Hole, ...]:
    """Return the holes of one course, in order.

    Parameters
    ----------
    pieces
        Everything in the file, including holes of other courses.
    own
        The lines of this course's holes.

    Raises
    ------
    InputError
        If a hole has no green, or its number or par makes no sense.
    """
    drawn = defaultdict(list)
    for piece in pieces:
        drawn[piece.tags.get("golf")].append(piece)
    if not drawn["green"]:
        raise InputError(reading.file, "", "has no greens", "export its areas too, not only its lines")
    turned = [
        _tee_to_green(reading, line, drawn["tee"], drawn["green"]) for line in _join_lines(reading, own)
    ]
    lines, loop = _number_lines(reading, turned)
    others = [line for line in drawn["hole"] if line not in own] + loop
    tees = _tees_by_hole(reading, drawn["tee"], drawn["driving_range"], lines, others)
    return tuple(
        _hole(
            reading,
            number,
            line,
            tees=tees[number] or _tees_near(reading, line, drawn["tee"]),
            greens=drawn["green"],
            pins=drawn["pin"],
        )
        for number, line in sorted(lines.items(), key=itemgetter(0))
    )


# --- lines ----------------------------------------------------------------------------------------


def _join_lines(reading: Reading, drawn: Sequence[Piece]) -> list[Piece]:
    """Return the lines of holes; one that was drawn in several lines is joined."""
    by_ref = defaultdict(list)
    for index, line in enumerate(drawn):
        by_ref[line.tags.get("ref") or index].append(line)
    return [line for parts in by_ref.values() for line in _join_if_they_meet(reading, parts)]


def _join_if_they_meet(reading: Reading, parts: list[Piece]) -> list[Piece]:
    """Return the lines of one number, joined if they meet end to end."""
    whole = shapely.line_merge(shapely.multilinestrings([part.shape for part in parts]))
    if len(parts) == 1 or not isinstance(whole, LineString):
        return parts
    # Two holes that share a tee meet too, but their ends lie close together.
    if Point(whole.coords[0]).distance(Point(whole.coords[-1])) < max(part.shape.length for part in parts):
        return parts
    label, tags = parts[0].label, {key: value for part in parts for key, value in part.tags.items()}
    reading.guess(label, f"is drawn in {len(parts)} lines, which were joined", "draw it as one")
    return [Piece(label, tags, whole)]


def _tee_to_green(reading: Reading, line: Piece, tees: list[Piece], greens: list[Piece]) -> Piece:
    """Return a hole's line from tee to green, whichever way it was drawn."""
    start, end = Point(line.shape.coords[0]), Point(line.shape.coords[-1])

    def off(tee: Point, pin: Point) -> float:
        return _distance_to_nearest(tee, tees) + _distance_to_nearest(pin, greens)

    if off(end, start) + FAR_FROM_LINE > off(start, end):
        return line
    reading.guess(line.label, "runs from green to tee, and was reversed", "draw it from tee to pin")
    return replace(line, shape=line.shape.reverse())


def _distance_to_nearest(point: Point, pieces: list[Piece]) -> float:
    """Return the distance to the nearest of the pieces [m], 0 if there are none."""
    return float(shapely.distance([piece.shape for piece in pieces], point).min()) if pieces else 0.0


def _number_lines(reading: Reading, drawn: list[Piece]) -> tuple[dict[int, Piece], list[Piece]]:
    """Return the lines of holes by number, and the lines left without a number."""
    lines: dict[int, Piece] = {}
    bare = []
    for piece in drawn:
        if not _has_tag(reading, piece, "ref"):
            bare.append(piece)
            continue
        number, _ = number_of(piece)
        if number is None:
            problem = f"ref={piece.tags['ref']:.30} is not a number from 1 to 99"
            raise InputError(reading.file, piece.label, problem, "correct ref")
        if number not in lines:
            lines[number] = piece
        elif _run_together(piece, lines[number]):
            reading.guess(piece.label, f"is hole {number} a second time, and was left out", "take one out")
        else:
            problem = f"is hole {number} a second time"
            raise InputError(reading.file, piece.label, problem, "give each hole its own ref")
    free = _free_numbers(lines)[: len(bare)]
    while bare and free:
        number, piece = _shortest_walk(lines, bare, free)
        reading.guess(piece.label, f"has no number, and was taken for hole {number}", "add its ref")
        lines[number] = piece
        bare.remove(piece)
        free.remove(number)
    for piece in bare:
        reading.guess(piece.label, "has no number, and was left out as none is free", "add its ref")
    return lines, bare


def _run_together(line: Piece, other: Piece) -> bool:
    """Return whether two lines stay close to one another all the way."""
    pairs = zip(_points_along(line), _points_along(other), strict=True)
    return all(spot.distance(beside) < _SAME_LINE for spot, beside in pairs)


def _points_along(line: Piece) -> list[Point]:
    return [line.shape.interpolate(along, normalized=True) for along in (0.0, 0.25, 0.5, 0.75, 1.0)]


def _free_numbers(lines: dict[int, Piece]) -> list[int]:
    """Return the numbers from 1 to 18 without a hole, those between known numbers first."""
    low, high = min(lines, default=0), max(lines, default=0)
    free = [number for number in range(1, ROUND + 1) if number not in lines]
    return sorted(free, key=lambda number: (not low < number < high, number))


def _shortest_walk(lines: dict[int, Piece], bare: list[Piece], free: list[int]) -> tuple[int, Piece]:
    """Return the free number and the line with the shortest walk to the holes before and after."""

    def walk(number: int, piece: Piece) -> float:
        before, after = lines.get(number - 1), lines.get(number + 1)
        steps = []
        if before is not None:
            steps.append(Point(before.shape.coords[-1]).distance(Point(piece.shape.coords[0])))
        if after is not None:
            steps.append(Point(piece.shape.coords[-1]).distance(Point(after.shape.coords[0])))
        return sum(steps) / len(steps) if steps else math.inf

    pairs = ((number, piece) for number in free for piece in bare)
    return min(pairs, key=lambda pair: walk(*pair))


# --- tees -----------------------------------------------------------------------------------------


def _tees_by_hole(
    reading: Reading, drawn: list[Piece], ranges: list[Piece], lines: dict[int, Piece], others: list[Piece]
) -> dict[int, list[Piece]]:
    """Return the tees by hole: a tee belongs to the holes in its ref, or else to the nearest line."""
    tees: dict[int, list[Piece]] = defaultdict(list)
    numbers = [*lines, *(number_of(line)[0] for line in others)]
    shapes = [line.shape for line in (*lines.values(), *others)]
    practice = shapely.union_all([piece.shape for piece in ranges])
    for tee in drawn:
        off = shapely.distance(shapes, tee.shape)
        stated = [number for number, _ in numbers_in(tee.tags.get("ref", "")) if number in lines]
        if stated:
            owners = [next(i for i in np.argsort(off) if numbers[i] == number) for number in stated]
        elif off.min() < FAR_FROM_LINE and not practice.covers(tee.shape.centroid):
            owners = [int(off.argmin())]
        else:
            where = (
                "lies on the driving range" if practice.covers(tee.shape.centroid) else "belongs to no hole"
            )
            remedy = "give it the ref of its hole, or take it out"
            reading.guess(tee.label, f"{where}, and was left out", remedy)
            continue
        for owner in owners:
            if owner < len(lines):  # else it is another course's
                tees[cast("int", numbers[owner])].append(tee)
    return tees


def _tees_near(reading: Reading, line: Piece, drawn: list[Piece]) -> list[Piece]:
    """Return tees for a hole without its own: another hole's near the start of its line, or the start."""
    start = Point(line.shape.coords[0])
    shared = [tee for tee in drawn if tee.shape.distance(start) < _SAME_LINE]
    if shared:
        reading.guess(line.label, "shares the tees of another hole", "list both in their ref: 1;10")
        return shared
    taken = "has no tee, and is played from the start of its line"
    reading.guess(line.label, taken, "draw its golf=tee areas")
    return [Piece(line.label, {}, start)]


def numbers_in(ref: str) -> list[tuple[int | None, str]]:
    """Return the hole numbers in the ref of a tee, each with the words beside it.

    Examples
    --------
    >>> numbers_in("1;10 white")
    [(1, ''), (10, 'white')]
    """
    found: list[tuple[int | None, str]] = []
    for part in _split(ref):
        match = re.fullmatch(r"(?:hole\W*)?0*(\d{1,2})(?:\W+(\D+))?", part, re.IGNORECASE)
        found.append((int(match[1]), match[2] or "") if match else (None, part))
    return found


def _tee_names(tee: Piece) -> list[str]:
    """Return a tee's names, colours or words; it has several if it serves as several tees."""
    keys = (tee.tags.get(key, "") for key in ("tee", "colour", "color"))
    named = next(filter(None, map(_split, keys)), None) or [
        word for _, word in numbers_in(tee.tags.get("ref", "")) if word
    ]
    return [name[:_LONGEST_NAME] for name in named or _split(tee.tags.get("name", ""))]


def _split(text: str) -> list[str]:
    return [part.strip() for part in re.split("[;,/]", text) if part.strip()]


def _place_tees(reading: Reading, number: int, line: Piece, tees: list[Piece]) -> tuple[Tee, ...]:
    """Return a hole's tees, the farthest first; those without a name are numbered."""
    placed: dict[str, Tee] = {}
    for tee in sorted(tees, key=lambda tee: line.shape.project(tee.shape.centroid)):
        middle = tee.shape.centroid
        length = line.shape.length - line.shape.project(middle)
        for name in _tee_names(tee) or [f"tee {len(placed) + 1}"]:
            if name in placed:
                taken = f"is the second {name} tee of hole {number}, and was left out"
                reading.guess(tee.label, taken, "give each its own name")
            else:
                placed[name] = Tee(name, middle.x, middle.y, length)
    return tuple(placed.values())


# --- the whole hole -------------------------------------------------------------------------------


def _hole(
    reading: Reading, number: int, line: Piece, *, tees: list[Piece], greens: list[Piece], pins: list[Piece]
) -> Hole:
    file, end = reading.file, Point(line.shape.coords[-1])
    if line.shape.length < SHORTEST:
        raise InputError(file, line.label, "is shorter than 30 yd", "draw its line from tee to pin")
    if line.shape.length > FARTHEST:
        problem = f"is {line.shape.length / YARD:,.0f} yd long, and no hole is longer than 1,500"
        raise InputError(file, line.label, problem, "correct its positions")
    green = cast("Polygon", min((piece.shape for piece in greens), key=end.distance))
    if end.distance(green) > FAR_FROM_LINE:
        raise InputError(file, line.label, "has no green", "draw a golf=green area at the end of its line")
    pin = next((cast("Point", piece.shape) for piece in pins if green.covers(piece.shape)), end)
    if not green.covers(pin):
        pin = green.representative_point()
    placed = _place_tees(reading, number, line, tees)
    if placed[0].length < SHORTEST:
        raise InputError(file, line.label, "is shorter than 30 yd", "draw its line from tee to pin")
    return Hole(
        number=number,
        par=_par(reading, number, line, placed[0].length),
        stroke_index=_number_if_tagged(reading, line, "handicap", *STROKE_INDICES),
        line=cast("LineString", line.shape),
        tees=placed,
        green=green,
        pin=(pin.x, pin.y),
        men=_card_entry(reading, line, "men"),
        women=_card_entry(reading, line, "women"),
    )


def _card_entry(reading: Reading, line: Piece, who: str) -> CardEntry:
    """Return the par and the stroke index that a hole's tags state for one sex."""
    par = _number_if_tagged(reading, line, f"par:{who}", *PARS)
    return CardEntry(par, _number_if_tagged(reading, line, f"handicap:{who}", *STROKE_INDICES))


def _par(reading: Reading, number: int, line: Piece, length: float) -> int:
    if _has_tag(reading, line, "par"):
        return _whole_number(reading, line, "par", *PARS)
    if "par:men" in line.tags:
        return _whole_number(reading, line, "par:men", *PARS)
    par = 3 + sum(length > most for most in LONGEST)
    place = f"hole {number} ({line.label})"
    reading.guess(place, f"has no par, and was taken for a par {par} by its length", "add its par")
    return par


def _has_tag(reading: Reading, piece: Piece, key: str) -> bool:
    """Return whether a feature has a tag; a misspelt one is an error."""
    if piece.tags.get(key):
        return True
    sound = ("golf", "handicap", "name", "tee")
    meant = suggest(key, [tag for tag in piece.tags if tag not in (*sound, key) and ":" not in tag])
    if meant:
        raise InputError(reading.file, piece.label, f"has no {key}", f"is {meant!r} meant to be {key!r}?")
    return False


def _number_if_tagged(reading: Reading, piece: Piece, key: str, low: int, high: int) -> int | None:
    return _whole_number(reading, piece, key, low, high) if key in piece.tags else None


def _whole_number(reading: Reading, piece: Piece, key: str, low: int, high: int) -> int:
    try:
        value = float(piece.tags[key])
    except ValueError:
        value = math.nan
    if not (low <= value <= high and value == int(value)):
        problem = f"{key}={piece.tags[key]:.30} is not a number from {low} to {high}"
        raise InputError(reading.file, piece.label, problem, f"correct {key}")
    return int(value)
