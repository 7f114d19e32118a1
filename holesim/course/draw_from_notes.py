"""Drawing a course from notes: the outlines of each hole along its line, and the holes side by side.

On a hole everything has two coordinates: how far `along` its line from the back tee, and how far `across` it
to the right [m]. Numbers in the notes are kept exactly. What they leave open, such as the far shore of a
pond or the bow of a bunker, comes from a random generator seeded with the hole and the note, so that the same
notes give the same course. Notes with left and right exchanged give the mirror image.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from scipy.interpolate import PchipInterpolator
from shapely.affinity import translate
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from holesim.course.course import NAMES, Ground
from holesim.course.geojson import Feature
from holesim.course.note_shapes import (
    HOLE_MARGIN,
    POINTS,
    Line,
    bean,
    beside,
    between,
    egg,
    rounded,
    stations,
)
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
_CORNER: Final = 12 * YARD  # of water, trees and scrub
_END: Final = 8 * YARD  # over which a fairway is rounded
_TEE: Final = 9 * YARD  # square, its corners rounded
_BANK: Final = 40 * YARD  # of a stream beyond the fairway's edge
_RAGGED: Final = (0.3, 8 * YARD)  # a ragged far side falls short by this share of the width, this at most
_CROWN: Final = 8.0  # m across
_HEIGHT_STEP, _HEIGHT_BREADTH = 50 * YARD, 80 * YARD  # between points of known height: along, to a side
_MOWN: Final = 25 * YARD  # width of mown rough around fairway, green and the line to them
_SEAM: Final = 2.0  # m, half of the widest gap that is closed
_SLIVER: Final = 0.5  # m or m²; what is smaller is not drawn, and no overlap

_TAGS: Final = {
    Ground.OUT: {"golf": "out_of_bounds"},
    Ground.RED: {"golf": "lateral_water_hazard", "natural": "water"},
    Ground.YELLOW: {"golf": "water_hazard", "natural": "water"},
    Ground.TREES: {"natural": "wood"},
    Ground.HEAVY_ROUGH: {"natural": "scrub"},
}
_STREAM_TAGS: Final = {
    Ground.RED: {"waterway": "stream"},
    Ground.YELLOW: {"golf": "water_hazard", "waterway": "stream"},
}


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
    drawings = [_HoleDrawing(notes.file, notes.unit, hole, Line.of(hole)) for hole in notes.holes]
    margins = [drawing.line.played.buffer(HOLE_MARGIN) for drawing in drawings]
    offsets = _offsets_in_rows([margin.bounds for margin in margins])
    placed = [
        feature._replace(shape=translate(feature.shape, *offset))
        for drawing, offset in zip(drawings, offsets, strict=True)
        for feature in drawing.features()
    ]
    west, south, east, north = shapely.total_bounds(
        [translate(margin, *offset) for margin, offset in zip(margins, offsets, strict=True)]
    )
    boundary = shapely.box(west, south, east, north).buffer(HOLE_MARGIN / 4)
    tags = {"leisure": "golf_course", "name": notes.name} | _firmness(notes.firmness)
    return [Feature(notes.name, boundary, tags), *placed]


@dataclass(frozen=True)
class _HoleDrawing:
    """A hole being drawn along its line."""

    file: str
    unit: Unit
    hole: HoleNotes
    line: Line

    def features(self) -> Iterator[Feature]:
        """Yield everything on the hole."""
        hole, name, ref = self.hole, f"hole {self.hole.number}", str(self.hole.number)
        self._check_folds()
        tees = {tee: self._tee(hole.length - length) for tee, length in hole.tees}
        sand = {bunker.label: self._bunker(bunker) for bunker in hole.bunkers}
        sand |= {bunker.label: self._greenside(bunker) for bunker in hole.greenside}
        strips = {strip.label: self._strip(strip) for strip in hole.strips}
        streams = {stream.label: self._stream(stream) for stream in hole.streams}
        wet = {s.label: streams[s.label].buffer(s.wide / 2) for s in hole.streams}
        moats = {} if hole.moat is None else {hole.moat.label: self._moat(hole.moat)}
        self._check_apart(
            sand | strips | wet | moats, {"green": self._green} | {f"{t} tee": tees[t] for t in tees}
        )
        water = {s.label: strips[s.label] for s in hole.strips if s.ground <= Ground.YELLOW}
        self._check_apart(sand, water | moats)

        card = {"golf": "hole", "ref": ref, "par": str(hole.par)}
        card |= {} if hole.stroke_index is None else {"handicap": str(hole.stroke_index)}
        yield Feature(name, self.line.played.simplify(0.02), card)
        for tee, length in hole.tees:
            tags = {"golf": "tee", "tee": tee, "ref": ref} | self._ele(hole.length - length)
            yield Feature(f"{name} {tee} tee", tees[tee], tags)
        yield Feature(f"{name} rough", self._rough, {"golf": "rough"})
        tags = {"golf": "fairway"} | _firmness(hole.fairway.firmness)
        yield Feature(f"{name} fairway", self._fairway, tags)
        putting = {"golf": "green"} | _firmness(hole.green.firmness)
        yield Feature(f"{name} green", self._green, putting | self._ele(hole.length))
        yield Feature(f"{name} pin", Point(self.line.at(hole.length, 0.0)[0]), {"golf": "pin"})
        for pit in sand.values():
            yield Feature(f"{name} bunker", pit, {"golf": "bunker"})
        for strip in hole.strips:
            tags = _TAGS[strip.ground] | ({} if strip.height is None else {"height": f"{strip.height:.1f}"})
            for part in shapely.get_parts(strips[strip.label]):
                yield Feature(f"{name} {NAMES[strip.ground]}", part, tags)
        if hole.moat is not None:
            yield Feature(f"{name} moat", moats[hole.moat.label], _TAGS[hole.moat.ground])
        for stream in hole.streams:
            tags = _STREAM_TAGS[stream.ground] | {"width": f"{stream.wide:.1f}"}
            yield Feature(f"{name} stream", streams[stream.label], tags)
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
        along = np.union1d(noted, np.arange(0.0, self.hole.length + _HEIGHT_STEP, _HEIGHT_STEP))
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

    # --- mown ground ---

    @cached_property
    def _widths(self) -> PchipInterpolator:
        """The fairway's width: smooth through the widths noted, between them in value, constant beyond."""
        along, wide = np.array(self.hole.fairway.widths).T
        return PchipInterpolator(
            np.concatenate([[along[0] - HOLE_MARGIN], along, [along[-1] + HOLE_MARGIN]]),
            np.pad(wide, 1, "edge"),
        )

    def _width(self, along: ArrayLike) -> Floats:
        widths: Floats = self._widths(np.clip(along, self._widths.x[0], self._widths.x[-1]))
        return widths

    @cached_property
    def _half_green(self) -> Floats:
        """The right half of the green from front to back: along from its middle, and across."""
        green = self.hole.green
        right = egg(0.12)[: POINTS // 2 + 1]
        return right * (green.deep / 2, green.wide / 2)

    def _green_edge(self, along: ArrayLike) -> Floats:
        from_middle = np.subtract(np.atleast_1d(along), self.hole.length)
        depth, width = self._half_green.T
        edge: Floats = np.interp(from_middle, depth, width, left=0, right=0)
        return edge

    @property
    def _green(self) -> Polygon:
        along, across = self._half_green.T
        along = self.hole.length + np.concatenate([along, along[-2:0:-1]])
        return self.line.area(along, np.concatenate([across, -across[-2:0:-1]]))

    def _edge(self, along: ArrayLike) -> Floats:
        """Return how far from the line the edge lies from which distances off the fairway are measured.

        It is the green's edge where that is wider, and before and after the fairway goes on as wide as there.
        """
        return np.maximum(self._width(along) / 2, self._green_edge(along))

    def _mown_edge(self, along: Floats) -> Floats:
        """Return how far from the line fairway and green extend."""
        fairway = self.hole.fairway
        on = (along >= fairway.start) & (along <= fairway.stop)
        return np.maximum(np.where(on, self._width(along) / 2, 0), self._green_edge(along))

    @property
    def _fairway(self) -> Polygon:
        fairway = self.hole.fairway
        along = stations(fairway.start, fairway.stop)
        within = [at for at, _ in fairway.widths if fairway.start < at < fairway.stop]
        half = self._width(along) / 2
        for end, away in ((fairway.start, along - fairway.start), (fairway.stop, fairway.stop - along)):
            noted = min((abs(at - end) for at in within), default=math.inf)
            depth = min(_END, noted, (fairway.stop - fairway.start) / 2)
            half = half * np.sqrt(1 - (1 - np.clip(away / depth, 0, 1)) ** 2)
        return self.line.area(*between(along, -half, half))

    @property
    def _rough(self) -> BaseGeometry:
        """The mown rough."""
        return shapely.union_all([self.line.played, self._fairway, self._green]).buffer(_MOWN)

    def _tee(self, along: float) -> Polygon:
        corners = shapely.box(-1, -1, 1, 1).buffer(0.5).exterior.coords[:-1]
        return self.line.area(*(np.array(corners) * _TEE / 3 + (along, 0)).T)

    # --- bunkers ---

    def _bunker_area(self, label: str, along: Floats, across: Floats) -> Polygon:
        rooms = (self.line.room(side, along) for side in ("left", "right"))
        if (abs(across) > np.where(across < 0, *rooms)).any():
            raise self._no_room(label, abs(across).min())
        return self.line.area(along, across)

    def _bunker(self, bunker: Bunker) -> Polygon:
        if bunker.side == "across":
            self._check_narrower(bunker)
            along, across = egg(0.1).T
            middle, half = (bunker.start + bunker.stop) / 2, (bunker.stop - bunker.start) / 2
            return self._bunker_area(bunker.label, middle + half * along, bunker.wide / 2 * across)
        if bunker.off < 0:
            self._check_narrower(bunker)
        bow, lean = self._generator(bunker.label).uniform((-0.3, -0.2), (0.3, 0.2))
        along, out = beside(bean(bow, lean), self._edge, bunker.off, bunker.wide, bunker.start, bunker.stop)
        return self._bunker_area(bunker.label, along, RIGHTWARD[bunker.side] * out)

    def _greenside(self, bunker: GreensideBunker) -> Polygon:
        middle, half = self.hole.length, bunker.long / 2
        if bunker.side in ("left", "right"):
            outline = bean(0.15, self._generator(bunker.label).uniform(-0.2, 0.2))
            start, stop = middle - half, middle + half
            along, out = beside(outline, self._green_edge, bunker.off, bunker.wide, start, stop)
            return self._bunker_area(bunker.label, along, RIGHTWARD[bunker.side] * out)
        way = 1 if bunker.side == "back" else -1

        def edge_along(across: Floats) -> Floats:
            depth, width = self._half_green[::-way].T  # from that end on
            widest = int(width.argmax()) + 1
            edge: Floats = np.interp(abs(across), width[:widest], way * depth[:widest], right=0)
            return edge

        across, out = beside(bean(0.15, 0), edge_along, bunker.off, bunker.wide, -half, half)
        return self._bunker_area(bunker.label, middle + way * out, across)

    # --- strips, moats, streams ---

    def _strip(self, strip: Strip) -> BaseGeometry:
        along = stations(strip.start, strip.stop)
        if strip.side == "across":
            return self._across(strip, along)
        if strip.measured == "line":
            self._check_clear(strip, along)
        near = strip.off + (self._edge(along) if strip.measured == "edge" else np.zeros(len(along)))
        far = np.minimum(near + strip.wide, self.line.room(strip.side, along))
        if strip.ground is not Ground.OUT:
            ragged = min(_RAGGED[0] * strip.wide, _RAGGED[1]) * self._wave(strip, along)
            far = np.minimum(far, near + strip.wide - ragged)
            along, near, far = rounded(along, near, far, _CORNER)
        if strip.ground is Ground.TREES:
            near = near + 0.1 * _CROWN * (1 - abs(np.sin(np.pi * along / _CROWN)))
        area = self._area_between(strip.side, along, near, far)
        if strip.measured == "edge":
            # The distance holds square to the line; where the fairway widens its edge is nearer on a slant.
            area = area.difference(self._fairway.union(self._green).buffer(strip.off))
        if area.is_empty:
            raise self._no_room(strip.label, near.min())
        return area

    def _across(self, strip: Strip, along: Floats) -> Polygon:
        half = 1 - 0.5 * _RAGGED[0] * self._wave(strip, along)
        along, _, half = rounded(along, -half, half, math.inf)
        half = np.minimum(half / half.max() * strip.wide / 2, self.line.room("across", along))
        return self.line.area(*between(along, -half, half))

    def _area_between(self, side: Side, along: Floats, near: Floats, far: Floats) -> BaseGeometry:
        """Return the area between two distances off the line, without gaps inside a bend."""
        rungs = np.stack([self.line.at(along, RIGHTWARD[side] * out) for out in (near, far)], axis=1)
        corners = np.concatenate([rungs[:-1], rungs[1:]], axis=1)
        drawn = far - near > _SLIVER
        pieces = shapely.convex_hull(shapely.multipoints(corners[drawn[:-1] & drawn[1:]]))
        return shapely.union_all(pieces).buffer(_SEAM, join_style="mitre").buffer(-_SEAM, join_style="mitre")

    def _wave(self, strip: Strip, along: Floats) -> Floats:
        """Return smooth noise along a strip, from 0 to 1."""
        phases = self._generator(strip.label).uniform(0, 2 * np.pi, 3)
        swings = np.sin(2 * np.pi * along / np.array([[85.0], [47.0], [29.0]]) + phases[:, None]).sum(axis=0)
        wave: Floats = (swings - swings.min()) / max(np.ptp(swings), 1e-9)
        return wave

    def _moat(self, moat: Moat) -> BaseGeometry:
        return self._green.buffer(moat.off + moat.wide).difference(self._green.buffer(moat.off))

    def _stream(self, stream: Stream) -> LineString:
        bank = min(self._edge(stream.at)[0] + _BANK, 0.95 * self.line.room("across", stream.at)[0])
        across = np.linspace(-bank, bank, 41)
        bow = self._generator(stream.label).choice([-3.0, 3.0])
        return LineString(self.line.at(stream.at + bow * (1 - np.cos(across / 9)), across))

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
        folded = self._mown_edge(along) + _TEE / 2 > self.line.room("across", along)
        if folded.any():
            problem = f"fold the hole onto itself at {self.unit.shown(round(along[folded][0]))}"
            raise self._error("bends", problem, "turn less, or bend farther apart")

    def _check_apart(self, drawn: Mapping[str, BaseGeometry], others: Mapping[str, BaseGeometry]) -> None:
        for label, shape in drawn.items():
            for other, area in others.items():
                if shape.intersection(area).area > _SLIVER:
                    raise self._error(label, f"covers part of the {other}", "correct one of them")

    def _check_narrower(self, bunker: Bunker) -> None:
        """Check that a bunker in the fairway is narrower than it."""
        fairway = self.hole.fairway
        start, stop = max(bunker.start, fairway.start), min(bunker.stop, fairway.stop)
        if start >= stop:
            return
        narrowest = self._width(stations(start, stop)).min()
        taken = bunker.wide if bunker.side == "across" else -bunker.off
        if taken >= narrowest:
            problem = f"reaches {self.unit.shown(taken)} into a fairway {self.unit.shown(narrowest)} wide"
            raise self._error(bunker.label, problem, "correct one of them")

    def _check_clear(self, strip: Strip, along: Floats) -> None:
        """Check that a strip measured off the line does not overlap fairway or green."""
        mown = self._mown_edge(along)
        worst = int(mown.argmax())
        if strip.off < mown[worst]:
            where, wide = self.unit.shown(round(along[worst])), self.unit.shown(mown[worst])
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
