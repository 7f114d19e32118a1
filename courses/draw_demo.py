"""Draw Vantle Skerry, an invented course in open ocean, and write it as demo.geojson beside this file.

Every hole is one record in yards and degrees, read as a yardage book is: `along` runs down the hole's line
from the back tee, `across` to the right of it. The functions below the table turn the records into natural
outlines. A seed for each hole keeps a change on one from redrawing the others' grass and sand.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from scipy.ndimage import gaussian_filter1d
from shapely.affinity import rotate, translate
from shapely.geometry import LineString, Point, Polygon
from shapely.ops import unary_union

from holesim.course.geojson import Feature, to_geojson
from holesim.units import YARD

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shapely.geometry.base import BaseGeometry

Floats: TypeAlias = NDArray[np.float64]

NAME = "Vantle Skerry"
SEED = 1729
LATITUDE, LONGITUDE = -41.5, -127.3
TEES = {"back": 0.0, "middle": 0.07, "forward": 0.2}
TAGS = {  # the first to claim a piece of ground keeps it
    "out of bounds": {"golf": "out_of_bounds"},
    "lake": {"golf": "water_hazard", "natural": "water"},
    "pond": {"golf": "lateral_water_hazard", "natural": "water"},
    "heath": {"natural": "scrub"},
    "wood": {"natural": "wood", "height": "15"},
}


class Fairway(NamedTuple):
    """Where the fairway starts and how wide it is: where drives land, and short of the green."""

    start: float
    landing: float
    approach: float
    collar: bool


class Green(NamedTuple):
    """A kidney, its length turned so far from the line of play."""

    length: float
    width: float
    turn: float


class Bunker(NamedTuple):
    """A bunker out on the hole."""

    along: float
    across: float
    turn: float = 0


class Strip(NamedTuple):
    """Ground of one kind between two distances along and two across, `gap` or more off mown grass."""

    kind: str
    start: float
    stop: float
    near: float
    far: float
    gap: float


class Turn(NamedTuple):
    """A bend in the hole, to the right where positive."""

    along: float
    degrees: float


@dataclass(frozen=True, kw_only=True)
class Hole:
    """One hole; `guards` are the bunkers about its green by the clock, 6 being short and 12 long."""

    ref: int
    par: int
    stroke_index: int
    length: float
    tee: tuple[float, float]
    heading: float
    note: str
    fairway: Fairway
    green: Green
    guards: tuple[float, ...]
    turns: tuple[Turn, ...] = ()
    bunkers: tuple[Bunker, ...] = ()
    strips: tuple[Strip, ...] = ()


# fmt: off
HOLES = (
    Hole(ref=1, par=4, stroke_index=13, length=385, tee=(-138, 7), heading=267,
         note="gentle opening hole, bunkers left of the landing",
         turns=(Turn(240, 14),), fairway=Fairway(145, 38, 28, True), green=Green(33, 20, 20), guards=(4, 8.5),
         bunkers=(Bunker(246, -28), Bunker(266, -27)), strips=(Strip("wood", 90, 330, 0, -80, 30),)),
    Hole(ref=2, par=5, stroke_index=9, length=548, tee=(-589, 2), heading=177,
         note="generous par 5, wide fairway and little trouble",
         turns=(Turn(255, -16), Turn(415, 22)), fairway=Fairway(150, 54, 32, False), green=Green(36, 21, -25),
         guards=(3.5, 8), bunkers=(Bunker(452, 25),)),
    Hole(ref=3, par=3, stroke_index=15, length=175, tee=(-468, -561), heading=120,
         note="par 3 to a green set across the line behind bunkers",
         fairway=Fairway(133, 24, 22, True), green=Green(34, 19, 60), guards=(5, 7.5, 11.5)),
    Hole(ref=4, par=4, stroke_index=1, length=425, tee=(-245, -654), heading=77,
         note="tight par 4, out of bounds hard on the right and trees on the left",
         turns=(Turn(330, -10),), fairway=Fairway(140, 25.5, 25, True), green=Green(31, 19, 10),
         guards=(3, 8),
         strips=(Strip("out of bounds", 150, 350, 0, 66, 11), Strip("wood", 160, 350, 0, -62, 14))),
    Hole(ref=5, par=4, stroke_index=7, length=405, tee=(215, -489), heading=111,
         note="dogleg left, trees inside the corner and bunkers through it",
         turns=(Turn(238, -44),), fairway=Fairway(140, 35, 27, False), green=Green(33, 19, -30),
         guards=(2.5, 7), bunkers=(Bunker(246, 25), Bunker(268, 22)),
         strips=(Strip("wood", 140, 315, 0, -85, 14),)),
    Hole(ref=6, par=4, stroke_index=11, length=312, tee=(603, -424), heading=324,
         note="short par 4 in reach of a long hitter, pond and bunkers about the green",
         turns=(Turn(200, 8),), fairway=Fairway(120, 33, 24, True), green=Green(30, 18, 25), guards=(1, 3, 5),
         bunkers=(Bunker(232, 22), Bunker(262, 19)), strips=(Strip("pond", 244, 334, -8, -66, 6),)),
    Hole(ref=7, par=3, stroke_index=5, length=222, tee=(353, -157), heading=219,
         note="long par 3, bunkers either side and trees beyond",
         fairway=Fairway(170, 26, 24, True), green=Green(37, 22, -10), guards=(3.5, 8),
         strips=(Strip("wood", 236, 282, -50, 46, 17),)),
    Hole(ref=8, par=5, stroke_index=3, length=532, tee=(142, -357), heading=246,
         note="par 5 with a forced carry over heath, then a dogleg right",
         turns=(Turn(255, 32),), fairway=Fairway(188, 43, 30, True), green=Green(35, 19, 35),
         guards=(4, 7.5, 10), bunkers=(Bunker(272, -30), Bunker(436, 24)),
         strips=(Strip("heath", 118, 190, -62, 58, 4),)),
    Hole(ref=9, par=4, stroke_index=6, length=445, tee=(-383, -323), heading=59,
         note="long par 4, bunkers on both sides of the landing",
         turns=(Turn(250, -10),), fairway=Fairway(150, 34, 28, False), green=Green(36, 21, 0),
         guards=(4.5, 8, 2), bunkers=(Bunker(238, -23), Bunker(276, 23)),
         strips=(Strip("wood", 170, 350, 0, 85, 30),)),
    Hole(ref=10, par=4, stroke_index=8, length=410, tee=(27, -35), heading=59,
         note="sharp dogleg right about a heath",
         turns=(Turn(235, 48),), fairway=Fairway(140, 36, 28, True), green=Green(34, 19, 40),
         guards=(3, 7, 9.5), bunkers=(Bunker(240, -27), Bunker(262, -27)),
         strips=(Strip("heath", 150, 305, 0, 82, 14),)),
    Hole(ref=11, par=4, stroke_index=2, length=460, tee=(463, 62), heading=3,
         note="longest par 4, bunkers staggered about the landing",
         turns=(Turn(270, 9),), fairway=Fairway(155, 36, 30, True), green=Green(38, 22, -15), guards=(4, 8.5),
         bunkers=(Bunker(258, 25), Bunker(288, -24), Bunker(402, 21)),
         strips=(Strip("heath", 200, 390, 0, 72, 26), Strip("wood", 120, 300, 0, -84, 30))),
    Hole(ref=12, par=3, stroke_index=18, length=150, tee=(485, 565), heading=305,
         note="short par 3 over water",
         fairway=Fairway(128, 24, 24, True), green=Green(34, 18, 75), guards=(1.5, 10.5, 8),
         strips=(Strip("lake", 42, 126, -44, 52, 6),)),
    Hole(ref=13, par=5, stroke_index=10, length=565, tee=(291, 645), heading=264,
         note="generous par 5, wide fairway and little trouble",
         turns=(Turn(280, 20), Turn(430, -14)), fairway=Fairway(155, 55, 34, True), green=Green(37, 21, 15),
         guards=(4, 8), bunkers=(Bunker(468, -26), Bunker(498, 24))),
    Hole(ref=14, par=4, stroke_index=4, length=418, tee=(-344, 647), heading=223,
         note="tight par 4, water hard on the left and bunkers on the right",
         turns=(Turn(325, 10),), fairway=Fairway(140, 25.5, 25, False), green=Green(32, 18, -20),
         guards=(3.5, 9), bunkers=(Bunker(221, 19), Bunker(244, 21, 25), Bunker(281, 19), Bunker(304, 22)),
         strips=(Strip("pond", 150, 350, 0, -70, 11),)),
    Hole(ref=15, par=4, stroke_index=12, length=400, tee=(-645, 262), heading=105,
         note="trees down both sides",
         turns=(Turn(255, -7),), fairway=Fairway(140, 31, 26, True), green=Green(32, 20, 30), guards=(4, 7.5),
         strips=(Strip("wood", 105, 365, 0, 78, 15), Strip("wood", 115, 358, 0, -74, 16))),
    Hole(ref=16, par=3, stroke_index=16, length=195, tee=(-220, 252), heading=351,
         note="par 3 to a long narrow green among bunkers",
         fairway=Fairway(148, 25, 24, False), green=Green(38, 18, 12), guards=(2.5, 5, 8.5)),
    Hole(ref=17, par=4, stroke_index=17, length=380, tee=(-186, 493), heading=100,
         note="cross bunkers on a slant over the fairway from 232 to 258 yards",
         turns=(Turn(275, -12),), fairway=Fairway(145, 36, 28, True), green=Green(33, 20, -35), guards=(5, 9),
         bunkers=(Bunker(232, -22, 66), Bunker(240, -7, 60), Bunker(249, 8, 60), Bunker(257, 23, 55))),
    Hole(ref=18, par=4, stroke_index=14, length=452, tee=(226, 351), heading=235,
         note="closing dogleg left, trees in the corner and a pond right of the approach",
         turns=(Turn(250, -28),), fairway=Fairway(150, 37, 28, True), green=Green(37, 22, 10),
         guards=(4.5, 8), bunkers=(Bunker(262, 24), Bunker(285, 22)),
         strips=(Strip("wood", 165, 300, 0, -70, 18), Strip("pond", 318, 398, 0, 58, 9))),
)
# fmt: on


def rightward(tangents: Floats) -> Floats:
    """Return the unit vectors square to the right of tangents."""
    normals: Floats = np.column_stack([tangents[:, 1], -tangents[:, 0]]) / np.hypot(*tangents.T)[:, None]
    return normals


@dataclass(frozen=True)
class Line:
    """The way a hole is played: straight legs to measure by, and a curve through them to draw by."""

    legs: LineString
    stations: Floats
    curve: Floats
    normals: Floats

    @classmethod
    def of(cls, hole: Hole) -> Line:
        """Lay out a hole's line, its curve running on straight past both ends."""
        marks = np.array([0, *(turn.along for turn in hole.turns), hole.length])
        headings = np.radians(hole.heading + np.cumsum([0, *(turn.degrees for turn in hole.turns)]))
        ways = np.column_stack([np.sin(headings), np.cos(headings)])
        vertices = np.vstack([hole.tee, hole.tee + np.cumsum(np.diff(marks)[:, None] * ways, axis=0)])
        stations = np.arange(-100, hole.length + 101)
        ends = np.vstack([vertices[0] - 200 * ways[0], *vertices[1:-1], vertices[-1] + 200 * ways[-1]])
        marks[[0, -1]] = -200, hole.length + 200
        corners = np.column_stack([np.interp(stations, marks, ends[:, axis]) for axis in (0, 1)])
        curve = gaussian_filter1d(corners, 18, axis=0)
        tangents = gaussian_filter1d(corners, 18, axis=0, order=1)
        return cls(LineString(vertices), stations, curve, rightward(tangents))

    def at(self, along: ArrayLike, across: ArrayLike) -> Floats:
        """Return the points so far along the curve and to the right of it."""
        along = np.atleast_1d(along)
        base, normal = (
            np.column_stack([np.interp(along, self.stations, column) for column in table.T])
            for table in (self.curve, self.normals)
        )
        points: Floats = base + normal * np.atleast_1d(across)[:, None]
        return points

    def band(self, start: float, stop: float, near: Floats | float, far: Floats | float) -> Polygon:
        """Return the ground between two edges along the hole, its ends rounded."""
        share = np.linspace(0, 1, max(60, np.size(near)))
        fullness = np.sqrt(1 - np.abs(2 * share - 1) ** max(2, (stop - start) / 12))
        middle, half = (far + near) / 2, (far - near) / 2
        along = start + (stop - start) * share
        sides = (self.at(along, middle - half * fullness), self.at(along, middle + half * fullness))
        return Polygon(np.vstack([sides[0], sides[1][::-1]]))


@dataclass(frozen=True)
class Ground:
    """What is mown and dug on one hole."""

    hole: Hole
    line: Line
    tees: dict[str, Polygon]
    green: Polygon
    fairway: Polygon
    bunkers: list[Polygon]

    @property
    def mown(self) -> BaseGeometry:
        """Tees, fairway and green."""
        return unary_union([*self.tees.values(), self.fairway, self.green])


def polygons(shape: BaseGeometry, least: float = 0) -> list[Polygon]:
    """Return a shape's polygons of at least so many square yards."""
    parts = shapely.get_parts(shape)
    return [part for part in parts if isinstance(part, Polygon) and part.area > least]


def largest(shape: BaseGeometry) -> Polygon:
    """Return the largest of a shape's polygons."""
    return max(polygons(shape), key=lambda part: part.area)


def wave(count: int, period: float, rng: np.random.Generator) -> Floats:
    """Return smooth noise within one of zero that closes on itself, swinging once in about `period` steps."""
    noise = gaussian_filter1d(rng.standard_normal(count), period / 5, mode="wrap")
    swung: Floats = np.tanh((noise - noise.mean()) / noise.std())
    return swung


def natural(shape: BaseGeometry, swing: float, period: float, rng: np.random.Generator) -> Polygon:
    """Return a shape's outline with its corners worn off and its edge swinging in and out."""
    ring = largest(shape).exterior
    count = max(24, round(ring.length / 5))
    step = ring.length / count
    edge = shapely.get_coordinates(shapely.line_interpolate_point(ring, step * np.arange(count)))
    edge = gaussian_filter1d(edge, 1, axis=0, mode="wrap")
    outward = rightward(np.roll(edge, -1, axis=0) - np.roll(edge, 1, axis=0))
    return largest(Polygon(edge + swing * wave(count, period / step, rng)[:, None] * outward).buffer(0))


def scalloped(shape: BaseGeometry, rng: np.random.Generator) -> Polygon:
    """Return a wood filling a shape, its edge the round crowns of its outermost trees."""
    heart = shape.buffer(-6)
    trunks = [
        ring.interpolate(distance)
        for part in polygons(heart)
        for ring in (part.exterior, *part.interiors)
        for distance in np.arange(0, ring.length, 8)
    ]
    crowns = shapely.buffer(trunks, rng.uniform(4.4, 7.4, len(trunks)), quad_segs=4)
    wood = unary_union([heart, *crowns]).buffer(1, quad_segs=2).buffer(-1, quad_segs=2)
    return largest(wood.simplify(0.4))


def blob(
    centre: ArrayLike, size: tuple[float, float], heading: float, bow: float, rng: np.random.Generator
) -> Polygon:
    """Return a rounded shape along a heading, its spine bowed through its centre by a share of its length."""
    length, width = size
    reach = np.linspace(-1, 1, 9)
    spine = LineString(np.column_stack([bow * length * reach**2, reach * (length - width) / 2]))
    shape = rotate(spine, -heading, origin=(0, 0)).buffer(width / 2)
    return natural(translate(shape, *np.ravel(centre)), 0.035 * length, 0.7 * length, rng)


def tee(line: Line, length: float, share: float, heading: float, rng: np.random.Generator) -> Polygon:
    """Return the tee that far up the hole; on a short hole it lies across the line, off the next tee."""
    spot = line.at(share * length, rng.uniform(-4, 4) if share else 0)
    if length > 250:
        shape = blob(spot, (17, 11), heading, 0, rng)
    else:
        shape = blob(spot, (16, 0.05 * length), heading + 90, 0, rng)
    # Cards measure the hole from the middle of the back tee.
    return shape if share else translate(shape, *(spot[0] - shapely.get_coordinates(shape.centroid)[0]))


def bunker(centre: ArrayLike, heading: float, rng: np.random.Generator) -> Polygon:
    """Return a lobed bunker lying along a heading."""
    length = rng.uniform(11, 17)
    size = length, rng.uniform(0.45, 0.6) * length
    body = blob(centre, size, heading, rng.uniform(-0.2, 0.2), rng)
    lobe = shapely.get_coordinates(body.centroid)[0] + rng.uniform(-0.3, 0.3, 2) * length
    return natural(body.union(Point(lobe).buffer(0.27 * length)), 0.3, 8, rng)


def fairway(hole: Hole, line: Line, green: Polygon, rng: np.random.Generator) -> Polygon:
    """Return the fairway up to the green, or on around it as a collar."""
    start, landing, approach, collar = hole.fairway
    along = np.linspace(start, hole.length - 6, 90)
    wide = (195, 312) if hole.par > 3 else (start + 6, hole.length - 6)
    width = np.interp(along, (start, *wide, hole.length), (0.8 * landing, landing, landing, approach))
    swing = 0.09 * (landing - 19)
    middle = 3 * swing * wave(along.size, 40, rng)
    strip = line.band(along[0], along[-1], middle - width / 2, middle + width / 2)
    shape = strip.union(green.buffer(5)) if collar else strip.difference(green.buffer(3))
    return natural(shape.buffer(6).buffer(-9).buffer(3), swing, 65, rng)


def lay_out(hole: Hole) -> Ground:
    """Draw what is mown and dug on a hole."""
    rng = np.random.default_rng([SEED, hole.ref])
    line = Line.of(hole)
    last = hole.heading + sum(turn.degrees for turn in hole.turns)
    tees = {name: tee(line, hole.length, share, hole.heading, rng) for name, share in TEES.items()}
    pin = np.array(line.legs.coords[-1])
    length, width, turn = hole.green
    green = blob(pin, (length, width), last + turn, rng.choice([-0.22, 0.22]), rng)
    bunkers = [bunker(line.at(*spot[:2]), hole.heading + spot.turn, rng) for spot in hole.bunkers]
    middle = shapely.get_coordinates(green.centroid)[0]
    for hour in hole.guards:
        bearing = np.radians(last + 30 * hour)
        ray = np.array([np.sin(bearing), np.cos(bearing)])
        reach = LineString([middle, middle + 60 * ray]).intersection(green).length
        sand = bunker(middle + (reach + 8) * ray, np.degrees(bearing) + 90, rng)
        bunkers.append(natural(sand.difference(green.buffer(2)).buffer(-1).buffer(1), 0.2, 8, rng))
    return Ground(hole, line, tees, green, fairway(hole, line, green, rng), bunkers)


def walks(grounds: list[Ground]) -> BaseGeometry:
    """Return the ways from each green to the next tee of its nine."""
    pairs = [pair for pair in pairwise(grounds) if pair[1].hole.ref != 10]
    return unary_union([LineString([a.line.legs.coords[-1], b.line.legs.coords[0]]) for a, b in pairs])


def hazards(grounds: list[Ground]) -> Iterator[Feature]:
    """Draw the strips of every hole, clear of all that is mown, of bunkers and of one another."""
    rng = np.random.default_rng([SEED, 100])
    taken = unary_union([walks(grounds), *(pit for ground in grounds for pit in ground.bunkers)])
    strips = [(ground, strip) for ground in grounds for strip in ground.hole.strips]
    for ground, strip in sorted(strips, key=lambda pair: list(TAGS).index(pair[1].kind)):
        crosses = strip.near < 0 < strip.far
        own = ground.mown if crosses else ground.mown.union(ground.line.legs)
        others = unary_union([other.mown.union(other.line.legs) for other in grounds if other is not ground])
        shape = natural(ground.line.band(*strip[1:5]), 11, 60, rng)
        free = shape.difference(unary_union([own.buffer(strip.gap), others.buffer(22), taken.buffer(4)]))
        shape = natural(free.buffer(-5).buffer(5), 1.6 if strip.kind == "wood" else 1.2, 35, rng)
        shape = scalloped(shape, rng) if strip.kind == "wood" else shape
        taken = taken.union(shape)
        yield Feature(f"hole {ground.hole.ref} {strip.kind}", shape, TAGS[strip.kind])


def wilds(grounds: list[Ground], boundary: Polygon, taken: BaseGeometry) -> Iterator[Feature]:
    """Scatter clumps of trees and heath over the ground that nothing else takes."""
    rng = np.random.default_rng([SEED, 200])
    room = [54 if ground.hole.fairway.landing > 50 else 34 for ground in grounds]
    open_ground = [
        ground.mown.union(ground.line.legs).buffer(yards) for ground, yards in zip(grounds, room, strict=True)
    ]
    filled = unary_union([*open_ground, walks(grounds).buffer(10), taken.buffer(9)])
    inside = boundary.buffer(-14)
    west, south, east, north = inside.bounds
    for _ in range(2000):
        kind = "wood" if rng.random() < 0.7 else "heath"
        width = rng.uniform(18, 64)
        length = width * rng.uniform(1.2, 2.2)
        spot = rng.uniform((west, south), (east, north))
        clump = blob(spot, (length, width), rng.uniform(0, 360), rng.uniform(0, 0.4), rng)
        clump = natural(clump, 0.1 * width, 45, rng)
        if inside.contains(clump) and not filled.intersects(clump):
            shape = scalloped(clump, rng) if kind == "wood" else clump
            filled = filled.union(shape.buffer(8))
            yield Feature(kind, shape, TAGS[kind])


def mown_rough(ground: Ground, grounds: list[Ground], taken: BaseGeometry) -> Iterator[Feature]:
    """Draw a hole's mown rough, off hazards and off what is mown on other holes."""
    rng = np.random.default_rng([SEED, 300, ground.hole.ref])
    approach = ground.line.band(-16, ground.hole.fairway.start + 20, -15.0, 15.0)
    spread = unary_union([ground.fairway.buffer(19), ground.green.buffer(18), approach])
    shape = natural(spread.buffer(12).buffer(-12), 3.5, 60, rng)
    others = unary_union([other.mown for other in grounds if other is not ground])
    free = shape.difference(taken.buffer(1)).difference(others.buffer(8)).buffer(-2.5).buffer(2.5)
    for part in polygons(free, 150):
        yield Feature(f"hole {ground.hole.ref} rough", part.simplify(0.2).segmentize(5), {"golf": "rough"})


def played(ground: Ground) -> Iterator[Feature]:
    """Name what is mown and dug on a hole, and its line and pin."""
    hole, ref = ground.hole, str(ground.hole.ref)
    card = {"ref": ref, "par": str(hole.par), "handicap": str(hole.stroke_index), "note": hole.note}
    yield Feature(f"hole {ref}", ground.line.legs, {"golf": "hole", **card})
    for name, shape in ground.tees.items():
        yield Feature(f"hole {ref} {name} tee", shape, {"golf": "tee", "tee": name, "ref": ref})
    yield Feature(f"hole {ref} fairway", ground.fairway, {"golf": "fairway"})
    yield Feature(f"hole {ref} green", ground.green, {"golf": "green"})
    yield Feature(f"hole {ref} pin", Point(ground.line.legs.coords[-1]), {"golf": "pin"})
    for pit in ground.bunkers:
        yield Feature(f"hole {ref} bunker", pit, {"golf": "bunker"})


def draw() -> list[Feature]:
    """Draw the whole course in yards from its middle."""
    grounds = [lay_out(hole) for hole in HOLES]
    bounds = list(hazards(grounds))
    taken = unary_union([feature.shape for feature in bounds])
    rough = [feature for ground in grounds for feature in mown_rough(ground, grounds, taken)]
    whole = unary_union([taken, *(feature.shape for feature in rough)])
    boundary = natural(whole.buffer(170).buffer(-115), 12, 260, np.random.default_rng([SEED, 400]))
    return [
        Feature(NAME, boundary, {"leisure": "golf_course", "name": NAME}),
        *(feature for ground in grounds for feature in played(ground)),
        *rough,
        *bounds,
        *wilds(grounds, boundary, whole),
    ]


def course() -> str:
    """Return the course file."""
    metres = [
        feature._replace(shape=shapely.transform(feature.shape, lambda yards: yards * YARD))
        for feature in draw()
    ]
    return to_geojson(metres, LATITUDE, LONGITUDE)


if __name__ == "__main__":
    Path(__file__).with_name("demo.geojson").write_text(course(), encoding="utf-8")
