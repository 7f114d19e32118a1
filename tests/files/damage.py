"""Ways to damage a course or a player file; each follows from its number, so that it can be repeated."""

import copy
import json
import random
import re
from typing import TYPE_CHECKING, Any

from tests.files.drawn_courses import Json
from tests.files.small_course import COURSE, PLAYER, small_course

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

Values = list[tuple[Any, Any]]  # where a value stands: in what, under what key or number

ODD: tuple[Any, ...] = (
    None, True, False, 0, -1, 4, 90.5, -181, 1e308, -1e-308, float("nan"), float("inf"), 10**400, "", " ",
    "1", "NaN", "four", "\n", "\0", "\x1b[2J", "\ud800", "\u202e", "<script>alert(1)</script>", "9" * 5000,
    "hole", "tee", "fareway", "Point", "Polygon", "GeometryCollection", [], {}, [[]], [0, 0], [None],
    [[0, 0]], [[[0, 0]]], {"type": "Point", "coordinates": [0, 0]}, {"golf": "hole"},
)  # fmt: skip
NUMBERS = (
    "NaN", "Infinity", "-Infinity", "nan", "inf", "-inf", "1e999", "1e-999", "-0", "9" * 5000, "0x1F",
    "1_000", "+5", "007", '"12"', "'12'", "null", "true", "[1]", "{}", "1.", ".5", "1e400", "1979-05-27",
)  # fmt: skip
WORDS = (
    "", " ", "\u00e9", "a" * 300, "\U0001f3cc", "\u202eabc", "e\u0301" * 40, "<b>", "../..", "$^_{}", "type",
)  # fmt: skip
ENCODINGS = ("utf-16", "utf-16-le", "utf-32", "latin-1", "utf-8-sig", "cp500", "utf-7")


# --- ways to damage a text ------------------------------------------------------------------------


def cut_short(rng: random.Random, text: str) -> bytes:
    return text.encode()[: rng.randrange(len(text))]


def bytes_flipped(rng: random.Random, text: str) -> bytes:
    raw = bytearray(text.encode())
    for _ in range(rng.choice([1, 2, 20])):
        raw[rng.randrange(len(raw))] ^= 1 << rng.randrange(8)
    return bytes(raw)


def bytes_put_in(rng: random.Random, text: str) -> bytes:
    raw, at_ = text.encode(), rng.randrange(len(text))
    junk = rng.choice([b"\0", b"\xff", b"\xed\xa0\x80", b"[" * 2000, b"{" * 2000, b'"', b"]", b"\r", b"\x1b"])
    return raw[:at_] + junk + raw[at_:]


def stretch_taken_out(rng: random.Random, text: str) -> bytes:
    start = rng.randrange(len(text))
    return (text[:start] + text[start + rng.randrange(1, 200) :]).encode()


def stretch_twice(rng: random.Random, text: str) -> bytes:
    start = rng.randrange(len(text))
    end = start + rng.randrange(1, 200)
    return (text[:end] + text[start:]).encode()


def other_encoding(rng: random.Random, text: str) -> bytes:
    return text.encode(rng.choice(ENCODINGS))


def number_replaced(rng: random.Random, text: str) -> bytes:
    spot = rng.choice([*re.finditer(r"-?\d+(\.\d+)?", text)])
    return (text[: spot.start()] + rng.choice(NUMBERS) + text[spot.end() :]).encode()


def word_replaced(rng: random.Random, text: str) -> bytes:
    spot = rng.choice([*re.finditer(r"\w+", text)])
    return (text[: spot.start()] + rng.choice(WORDS) + text[spot.end() :]).encode()


def lines_shuffled(rng: random.Random, text: str) -> bytes:
    lines = re.split(r"(?<=[\n,])", text)
    first = rng.randrange(len(lines))
    part = lines[first : first + rng.randrange(2, 12)]
    rng.shuffle(part)
    lines[first : first + len(part)] = part
    return "".join(lines).encode()


TO_TEXT = (
    cut_short, bytes_flipped, bytes_put_in, stretch_taken_out, stretch_twice, other_encoding, number_replaced,
    word_replaced, lines_shuffled,
)  # fmt: skip


# --- ways to damage a course ----------------------------------------------------------------------


def places(value: object) -> Values:
    """Return where each value within a value stands."""
    steps: Iterable[tuple[Any, Any]] = (
        value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    )
    return [found for step, inner in steps for found in ((value, step), *places(inner))]


def value_replaced(rng: random.Random, course: Json) -> None:
    for _ in range(rng.choice([1, 1, 2, 5])):
        inside, step = rng.choice(places(course))
        inside[step] = copy.deepcopy(rng.choice(ODD))


def tag_replaced(rng: random.Random, course: Json) -> None:
    tags = rng.choice(course["features"])["properties"]
    tags[rng.choice([*tags, "ref", "par", "handicap", "width", "name", "tee", "tags"])] = rng.choice(ODD)


def member_renamed(rng: random.Random, course: Json) -> None:
    inside, step = rng.choice([place for place in places(course) if isinstance(place[1], str)])
    inside[rng.choice([f"{step}s", step.upper(), step[:-1], step[::-1], ""])] = inside.pop(step)


def member_taken_out(rng: random.Random, course: Json) -> None:
    inside, step = rng.choice(places(course))
    del inside[step]


def features_taken_out(rng: random.Random, course: Json) -> None:
    course["features"] = rng.sample(course["features"], rng.randrange(len(course["features"]) + 1))


def features_doubled(rng: random.Random, course: Json) -> None:
    course["features"] += copy.deepcopy(rng.sample(course["features"], rng.randrange(1, 6)))
    if rng.random() < 0.5:
        rng.shuffle(course["features"])


def positions_of(course: Json) -> Values:
    return [
        (inside, step)
        for inside, step in places(course)
        if isinstance(inside[step], list) and inside[step] and isinstance(inside[step][0], float)
    ]


def coordinates_swapped(rng: random.Random, course: Json) -> None:
    spots = positions_of(course)
    for inside, step in spots if rng.random() < 0.5 else rng.sample(spots, 3):
        inside[step].reverse()


def coordinates_moved(rng: random.Random, course: Json) -> None:
    for inside, step in rng.sample(positions_of(course), rng.choice([1, 3, 30])):
        by = rng.choice([1e-6, 1e-4, 1e-3, 0.1, 60.0])
        inside[step] = [value + rng.uniform(-by, by) for value in inside[step]]


def coordinates_scaled(rng: random.Random, course: Json) -> None:
    by = rng.choice([1e5, 1e-5, 1.0000001, 0.0, -1.0, 1e300])
    for inside, step in positions_of(course):
        inside[step] = [value * by for value in inside[step]]


def positions_as_text(rng: random.Random, course: Json) -> None:
    for inside, step in rng.sample(positions_of(course), 2):
        inside[step] = rng.choice(
            [[str(v) for v in inside[step]], ",".join(map(str, inside[step])), inside[step][:1]]
        )


def lines_of(course: Json) -> list[list[Any]]:
    """Return the lists of positions in a course."""
    return [inside for inside, step in positions_of(course) if step == 1 and isinstance(inside, list)]


def line_cut(rng: random.Random, course: Json) -> None:
    line = rng.choice(lines_of(course))
    del line[rng.randrange(len(line)) :]


def line_scrambled(rng: random.Random, course: Json) -> None:
    rng.shuffle(rng.choice(lines_of(course)))


def nested_deep(rng: random.Random, course: Json) -> None:
    deep: object = 1
    wrapped: list[Callable[[object], object]] = [
        lambda inner: [inner],
        lambda inner: {"tags": inner},
        lambda inner: {"type": "GeometryCollection", "geometries": [inner]},
    ]
    wrap = rng.choice(wrapped)
    for _ in range(rng.choice([3, 50, 400])):
        deep = wrap(deep)
    inside, step = rng.choice(places(course))
    inside[step] = deep


def ids_doubled(rng: random.Random, course: Json) -> None:
    for one in course["features"]:
        one["id"] = rng.choice(["way/1", 1, None, [], -0.0])


def geometry_swapped(rng: random.Random, course: Json) -> None:
    one, other = rng.sample(course["features"], 2)
    one["geometry"], other["geometry"] = other["geometry"], one["geometry"]


def kind_changed(rng: random.Random, course: Json) -> None:
    kinds = [
        "Point",
        "LineString",
        "Polygon",
        "MultiPoint",
        "MultiLineString",
        "MultiPolygon",
        "GeometryCollection",
    ]
    rng.choice(course["features"])["geometry"]["type"] = rng.choice([*kinds, "Feature", "", None])


TO_COURSE = (
    value_replaced, tag_replaced, member_renamed, member_taken_out, features_taken_out, features_doubled,
    coordinates_swapped, coordinates_moved, coordinates_scaled, positions_as_text, line_cut, line_scrambled,
    nested_deep, ids_doubled, geometry_swapped, kind_changed,
)  # fmt: skip


def damaged_course(seed: int) -> bytes:
    """Return the small course, damaged once in one way or, now and then, twice."""
    rng = random.Random(seed)  # noqa: S311
    if seed % 3 == 0:
        return rng.choice(TO_TEXT)(rng, COURSE)
    course = small_course()
    rng.choice(TO_COURSE)(rng, course)
    text = json.dumps(course, ensure_ascii=rng.random() < 0.5)
    if seed % 3 == 1:
        return text.encode("utf-8", "surrogatepass")
    twice = text.encode("utf-8", "replace").decode()
    # A key that comes twice: the later counts.
    return twice.replace('"golf": ', f'"golf": "{rng.choice(["tee", "hole", ""])}", "golf": ', 1).encode()


def damaged_player(seed: int) -> bytes:
    rng = random.Random(seed)  # noqa: S311
    return rng.choice(TO_TEXT)(rng, PLAYER)
