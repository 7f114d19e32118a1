"""Drawing a course from notes: the outlines of each hole along its line, and the holes side by side.

On a hole everything has two coordinates: how far `along` its line from the back tee, and how far `across` it
to the right [m]. Numbers in the notes are kept exactly: a hazard's ends are straight, and square to the way
to them from the back tee. What the notes leave open, such as the far shore of a pond or the bow of a bunker's
sides, comes from a random generator seeded with the hole and the note, so that the same notes give the same
course. Notes with left and right exchanged give the mirror image.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.affinity import translate
from shapely.geometry import Point, Polygon
from shapely.geometry.base import BaseGeometry

from holesim.course.course import NAMES, Ground
from holesim.course.geojson import Feature
from holesim.course.ground_words import TAGS
from holesim.course.mown_ground import MownGround
from holesim.course.note_shapes import (
    HOLE_MARGIN,
    Line,
    bean,
    beside,
    stations,
)
from holesim.course.noted_hazards import Edge, check_measures, share_of_way, square_band
from holesim.course.yardage_notes import (
    RIGHTWARD,
    Bunker,
    GreensideBunker,
    HoleNotes,
    Moat,
    Notes,
    Side,
    Stream,
    Strip,
    Unit,
)
from holesim.errors import InputError
from holesim.units import YARD

Floats = NDArray[np.float64]

# By eye; common practice, no source.
_TEE: Final = 9 * YARD  # square, its corners rounded
_BANK: Final = 40 * YARD  # of a stream beyond the fairway's edge
_RAGGED: Final = (0.3, 8 * YARD)  # a ragged far side falls short by this share of the width, this at most
_EVEN: Final = 12 * YARD  # of a ragged far side towards either end, over which it becomes straight
_BOW: Final = (0.03, 0.1)  # of a bunker's width, by which its sides are bowed inwards
_CROWN: Final = 8.0  # m across
_HEIGHT_STEP, _HEIGHT_BREADTH = 50 * YARD, 80 * YARD  # between points of known height: along, to a side
_SLIVER: Final = 0.5  # m or m²; what is smaller is not drawn, and no overlap


def draw_course(notes: Notes) -> list[Feature]:
    """Draw a course.

    Notes do not say where holes lie relative to one another. Each is drawn along its bearing, and the holes
    stand in rows with a `HOLE_MARGIN` around each, so that none comes into play on another. One boundary
    goes around them all.

    Raises
    ------
    InputError
        If a note contradicts another on the ground.

    Examples
    --------
    >>> from holesim.course.notes_file import load_notes
    >>> from holesim.data.examples import find
    >>> boundary, hole, *_ = draw_course(load_notes(find("notes/oxlip_warren.toml")))
    >>> boundary.name, hole.name, hole.tags["par"]
    ('Oxlip Warren', 'hole 1', '4')
    """
    drawn = [draw_hole(hole, file=notes.file, unit=notes.unit) for hole in notes.holes]
    margins = [line.shape.buffer(HOLE_MARGIN) for line, *_ in drawn]
    offsets = _offsets_in_rows([margin.bounds for margin in margins])
    placed = [
        feature._replace(shape=translate(feature.shape, *offset))
        for features, offset in zip(drawn, offsets, strict=True)
        for feature in features
    ]
    west, south, east, north = shapely.total_bounds(
        [translate(margin, *offset) for margin, offset in zip(margins, offsets, strict=True)]
    )
    boundary = shapely.box(west, south, east, north).buffer(HOLE_MARGIN / 4)
    tags = {"leisure": "golf_course", "name": notes.name} | _firmness(notes.firmness)
    return [Feature(notes.name, boundary, tags), *placed]


def draw_hole(hole: HoleNotes, *, file: str, unit: Unit) -> list[Feature]:
    """Draw one hole, its line first.

    Parameters
    ----------
    file
        What to call the notes in messages.
    unit
        In which messages give distances.

    Returns
    -------
    Features on a plane [m, x east, y north] with the middle of the back tee at the origin.

    Raises
    ------
    InputError
        If a note contradicts another on the ground.

    Examples
    --------
    >>> from holesim.course.notes_file import load_notes
    >>> from holesim.data.examples import find
    >>> notes = load_notes(find("notes/oxlip_warren.toml"))
    >>> line, tee, *_ = draw_hole(notes.holes[0], file=notes.file, unit=notes.unit)
    >>> line.name, line.shape.coords[0], tee.name
    ('hole 1', (0.0, 0.0), 'hole 1 white tee')
    """
    return [*_HoleDrawing(file, unit, hole, Line.of(hole)).features()]


@dataclass(frozen=True)
class _HoleDrawing:
    """A hole being drawn along its line."""

    file: str
    unit: Unit
    hole: HoleNotes
    line: Line

    @cached_property
    def mown(self) -> MownGround:
        """Its mown ground."""
        return MownGround(self.hole, self.line)

    def features(self) -> Iterator[Feature]:
        """Yield everything on the hole."""
        hole, name, ref = self.hole, f"hole {self.hole.number}", str(self.hole.number)
        self._check_folds()
        tees = {tee: self._tee(hole.length - length) for tee, length in hole.tees}
        sand = {bunker.label: self._bunker(bunker) for bunker in hole.bunkers}
        sand |= {bunker.label: self._greenside(bunker) for bunker in hole.greenside}
        strips = {strip.label: self._strip(strip) for strip in hole.strips}
        streams = {stream.label: self._stream(stream) for stream in hole.streams}
        moats = {} if hole.moat is None else {hole.moat.label: self._moat(hole.moat)}
        self._check_apart(
            sand | strips | streams | moats, {"green": self.mown.green} | {f"{t} tee": tees[t] for t in tees}
        )
        noted: tuple[Bunker | Strip | Stream, ...] = (*hole.bunkers, *hole.strips, *hole.streams)
        for hazard in noted:
            self._check_measures(hazard, (sand | strips | streams)[hazard.label])
        water = {s.label: strips[s.label] for s in hole.strips if s.ground <= Ground.YELLOW}
        self._check_apart(sand, water | moats)

        card = {"golf": "hole", "ref": ref, "par": str(hole.par)}
        card |= {} if hole.stroke_index is None else {"handicap": str(hole.stroke_index)}
        yield Feature(name, self.line.played.simplify(0.02), card)
        for tee, length in hole.tees:
            tags = {"golf": "tee", "tee": tee, "ref": ref} | self._ele(hole.length - length)
            yield Feature(f"{name} {tee} tee", tees[tee], tags)
        yield Feature(f"{name} rough", self.mown.rough, {"golf": "rough"})
        tags = {"golf": "fairway"} | _firmness(hole.fairway.firmness)
        yield Feature(f"{name} fairway", self.mown.fairway, tags)
        putting = {"golf": "green"} | _firmness(hole.green.firmness)
        yield Feature(f"{name} green", self.mown.green, putting | self._ele(hole.length))
        yield Feature(f"{name} pin", Point(self.line.at(hole.length, 0.0)[0]), {"golf": "pin"})
        for pit in sand.values():
            yield Feature(f"{name} bunker", pit, {"golf": "bunker"})
        for strip in hole.strips:
            tags = TAGS[strip.ground] | ({} if strip.height is None else {"height": f"{strip.height:.1f}"})
            for part in shapely.get_parts(strips[strip.label]):
                yield Feature(f"{name} {NAMES[strip.ground]}", part, tags)
        if hole.moat is not None:
            yield Feature(f"{name} moat", moats[hole.moat.label], TAGS[hole.moat.ground])
        for stream in hole.streams:
            yield Feature(f"{name} stream", streams[stream.label], TAGS[stream.ground] | {"water": "stream"})
        for x, y, height in self._heights():
            yield Feature(f"{name} height", Point(x, y), {"ele": f"{height:.1f}"})

    def _ele(self, along: float) -> dict[str, str]:
        """Return the tag for a height noted at that place, empty if there is none."""
        near = [height for at, height in self.hole.heights if abs(at - along) <= _SLIVER]
        return {"ele": f"{near[0]:.1f}"} if near else {}

    def _heights(self) -> Floats:
        """Return points with height (points, 3), some beside the hole: its neighbours must not tilt it."""
        if not self.hole.heights:
            return np.empty((0, 3))
        noted, heights = np.array(self.hole.heights).T
        steps = np.arange(0.0, self.hole.length + _HEIGHT_STEP, _HEIGHT_STEP)
        along = np.union1d(noted.round(3), steps.round(3))
        sides: tuple[tuple[int, Side], ...] = ((-1, "left"), (0, "right"), (1, "right"))
        rows = [
            np.column_stack(
                [
                    self.line.at(along, way * np.minimum(_HEIGHT_BREADTH, 0.9 * self.line.room(side, along))),
                    np.interp(along, noted, heights),
                ]
            )
            for way, side in sides
        ]
        return np.concatenate(rows)

    # --- tees, bunkers ---

    def _tee(self, along: float) -> Polygon:
        corners = shapely.box(-1, -1, 1, 1).buffer(0.5).exterior.coords[:-1]
        return self.line.area(*(np.array(corners) * _TEE / 3 + (along, 0)).T)

    def _bunker(self, bunker: Bunker) -> BaseGeometry:
        if bunker.side == "across" or bunker.off < 0:
            self._check_narrower(bunker)
        near = -bunker.wide / 2 if bunker.side == "across" else self._off_fairway(bunker)
        far = near + bunker.wide
        if far > self.line.room(bunker.side, stations(bunker.start, bunker.stop)).min():
            raise self._no_room(bunker.label, near)
        bow = bunker.wide * self._generator(bunker.label).uniform(*_BOW)
        first, last = self._share(bunker, near), self._share(bunker, far)
        return square_band(
            self.line,
            bunker.side,
            bunker.start,
            bunker.stop,
            lambda along: near + bow * np.sin(np.pi * first(along)) ** 2,
            lambda along: far - bow * np.sin(np.pi * last(along)) ** 2,
        )

    def _share(self, noted: Bunker | Strip, out: float) -> Edge:
        """Return `share_of_way` of a hazard, so far to its side."""
        return share_of_way(self.line, noted.start, noted.stop, RIGHTWARD.get(noted.side, 1.0) * out)

    def _off_fairway(self, bunker: Bunker) -> float:
        """Return how far from the line the near side of a bunker lies [m]."""
        near = 0.0
        for _ in range(3):  # its square ends may slant to the line, the more the farther off it lies
            ends = [
                end + float(self.line.lean(end, RIGHTWARD[bunker.side] * near))
                for end in (bunker.start, bunker.stop)
            ]
            near = bunker.off + float(self.mown.edge(stations(min(ends), max(ends))).max())
        return near

    def _greenside(self, bunker: GreensideBunker) -> Polygon:
        middle, half = self.hole.length, bunker.long / 2
        if bunker.side in ("left", "right"):
            outline = bean(0.15, self._generator(bunker.label).uniform(-0.2, 0.2))
            start, stop = middle - half, middle + half
            along, out = beside(outline, self.mown.green_edge, bunker.off, bunker.wide, start, stop)
            return self._greenside_area(bunker.label, along, RIGHTWARD[bunker.side] * out)
        way = 1 if bunker.side == "back" else -1

        def edge_along(across: Floats) -> Floats:
            depth, width = self.mown.half_green[::-way].T  # from that end on
            widest = int(width.argmax()) + 1
            edge: Floats = np.interp(abs(across), width[:widest], way * depth[:widest], right=0)
            return edge

        across, out = beside(bean(0.15, 0), edge_along, bunker.off, bunker.wide, -half, half)
        return self._greenside_area(bunker.label, middle + way * out, across)

    def _greenside_area(self, label: str, along: Floats, across: Floats) -> Polygon:
        rooms = (self.line.room(side, along) for side in ("left", "right"))
        if (abs(across) > np.where(across < 0, *rooms)).any():
            raise self._no_room(label, abs(across).min())
        return self.line.area(along, across)

    # --- strips, moats, streams ---

    def _strip(self, strip: Strip) -> BaseGeometry:
        line, ends = self.line, (strip.start, strip.stop)
        if strip.side == "across":
            half, most = strip.wide / 2, 0.25 * _RAGGED[0] * strip.wide
            left, right = (self._ragged(strip, most, out) for out in (-half, half))
            return square_band(
                line, "across", *ends, lambda along: left(along) - half, lambda along: half - right(along)
            )
        if strip.measured == "line":
            self._check_clear(strip, stations(*ends))
        edge: Edge = self.mown.edge if strip.measured == "edge" else np.zeros_like
        crowns = 0.1 * _CROWN if strip.ground is Ground.TREES else 0.0
        most = min(_RAGGED[0] * strip.wide, _RAGGED[1])
        ragged = self._ragged(strip, most, float(edge(np.array(ends)).mean()) + strip.off + strip.wide)
        area = square_band(
            line,
            strip.side,
            *ends,
            lambda along: edge(along) + strip.off + crowns * (1 - abs(np.sin(np.pi * along / _CROWN))),
            lambda along: edge(along) + strip.off + strip.wide - ragged(along),
        )
        if strip.measured == "edge":
            # The distance holds square to the line; where the fairway widens its edge is nearer on a slant.
            area = area.difference(self.mown.fairway.union(self.mown.green).buffer(strip.off))
        if area.is_empty:
            raise self._no_room(strip.label, strip.off + float(edge(np.array(ends))[0]))
        return area

    def _ragged(self, strip: Strip, most: float, out: float) -> Edge:
        """Return by how much a far side, so far out, falls short along a strip: by nothing at its ends."""
        if strip.ground in (Ground.OUT, Ground.ROUGH):
            return np.zeros_like
        phases = self._generator(strip.label).uniform(0, 2 * np.pi, (3, 1))
        share, even = self._share(strip, out), _EVEN / (strip.stop - strip.start)

        def ragged(along: Floats) -> Floats:
            waves = np.sin(2 * np.pi * along / np.array([[85.0], [47.0], [29.0]]) + phases).mean(axis=0)
            from_end = np.minimum(share(along), 1 - share(along))
            taken: Floats = most * (1 + waves) / 2 * np.clip(from_end / even, 0, 1)
            return taken

        return ragged

    def _moat(self, moat: Moat) -> BaseGeometry:
        return self.mown.green.buffer(moat.off + moat.wide).difference(self.mown.green.buffer(moat.off))

    def _stream(self, stream: Stream) -> BaseGeometry:
        bank = float(self.mown.edge((stream.start + stream.stop) / 2)[0]) + _BANK
        return square_band(
            self.line,
            "across",
            stream.start,
            stream.stop,
            lambda along: np.full(len(along), -bank),
            lambda along: np.full(len(along), bank),
        )

    def _generator(self, label: str) -> np.random.Generator:
        return np.random.default_rng([self.hole.number, *label.encode()])

    # --- contradictions on the ground ---

    def _error(self, label: str, problem: str, remedy: str) -> InputError:
        return InputError(self.file, f"hole {self.hole.number}, {label}", problem, remedy)

    def _no_room(self, label: str, off: float) -> InputError:
        problem = "lies too far from the hole to be in play"
        if off < 0.9 * HOLE_MARGIN:
            problem = f"has no room {self.unit.shown(round(off))} off the line, where the hole bends round"
        return self._error(label, problem, "take it out or reduce its off")

    def _check_folds(self) -> None:
        along = stations(0, self.hole.length)
        folded = self.mown.mown_edge(along) + _TEE / 2 > self.line.room("across", along)
        if folded.any():
            problem = f"fold the hole onto itself at {self.unit.shown(round(along[folded][0]))}"
            raise self._error("bends", problem, "turn less, or bend farther apart")

    def _check_apart(self, drawn: Mapping[str, BaseGeometry], others: Mapping[str, BaseGeometry]) -> None:
        for label, shape in drawn.items():
            for other, area in others.items():
                if shape.intersection(area).area > _SLIVER:
                    raise self._error(label, f"covers part of the {other}", "correct one of them")

    def _check_measures(self, noted: Bunker | Strip | Stream, area: BaseGeometry) -> None:
        """Check that a hazard begins and ends where it was noted."""
        start, stop = self.line.straight(noted.start), self.line.straight(noted.stop)
        try:
            check_measures(self.line.played, area, start, stop, self.unit)
        except InputError as error:
            raise self._error(noted.label, error.problem, error.remedy) from None

    def _check_narrower(self, bunker: Bunker) -> None:
        """Check that a bunker in the fairway is narrower than it."""
        fairway = self.hole.fairway
        start, stop = max(bunker.start, fairway.start), min(bunker.stop, fairway.stop)
        if start >= stop:
            return
        narrowest = self.mown.width(stations(start, stop)).min()
        taken = bunker.wide if bunker.side == "across" else -bunker.off
        if taken >= narrowest:
            problem = f"reaches {self.unit.shown(taken)} into a fairway {self.unit.shown(narrowest)} wide"
            raise self._error(bunker.label, problem, "correct one of them")

    def _check_clear(self, strip: Strip, along: Floats) -> None:
        """Check that a strip measured off the line does not overlap fairway or green."""
        mown = self.mown.mown_edge(along)
        worst = int(mown.argmax())
        if strip.off < mown[worst]:
            where, wide = (
                self.unit.shown(round(self.line.straight(along[worst]))),
                self.unit.shown(mown[worst]),
            )
            problem = (
                f"lies {self.unit.shown(strip.off)} off the line; fairway or green reach {wide} at {where}"
            )
            raise self._error(strip.label, problem, "correct off_line or the widths")


def _offsets_in_rows(boxes: Sequence[tuple[float, ...]]) -> list[tuple[float, float]]:
    """Return how far to move each box [east, north] so that they stand in rows from the north-west on."""
    columns = math.ceil(math.sqrt(len(boxes)))
    offsets, top = [], 0.0
    for first in range(0, len(boxes), columns):
        row = boxes[first : first + columns]
        left = 0.0
        for west, _, east, north in row:
            offsets.append((left - west, top - north))
            left += east - west
        top -= max(north - south for _, south, _, north in row)
    return offsets


def _firmness(firmness: str | None) -> dict[str, str]:
    return {} if firmness is None else {"firmness": firmness}
