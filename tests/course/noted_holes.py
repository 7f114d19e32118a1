"""Notes for tests: as TOML, of one plain hole, and the course that they draw."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pyproj import Geod

from holesim.course.course import Course
from holesim.course.course_file import load_course
from holesim.course.draw_from_notes import draw_course
from holesim.course.geojson import to_geojson
from holesim.course.notes_file import load_notes
from holesim.data.examples import find

Json = dict[str, Any]
Floats = NDArray[np.float64]
WriteNotes = Callable[[str | Json], Path]

EXAMPLE = find("notes/oxlip_warren.toml")
GEOD = Geod(ellps="WGS84")


def toml(value: object) -> str:
    """Return a value as TOML writes it on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {toml(part)}" for key, part in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    return json.dumps(value) if isinstance(value, str) else str(value)


def text_of(content: Json) -> str:
    return "\n".join(f"{key} = {toml(value)}" for key, value in content.items())


def plain_hole() -> Json:
    return {
        "number": 7,
        "par": 4,
        "length": 400,
        "bearing": 90,
        "fairway": {"from": 150, "wide": 30},
        "green": {"wide": 24, "deep": 30},
    }


def plain_notes(**more: object) -> Json:
    return {"name": "A Course", "at": [10, 20], "holes": [plain_hole() | more]}


def read_back(path: Path) -> Course:
    """Return the course that notes draw, as it is read from its file."""
    booklet = load_notes(path)
    drawn = path.with_suffix(".geojson")
    drawn.write_text(to_geojson(draw_course(booklet), booklet.latitude, booklet.longitude), encoding="utf-8")
    return load_course(drawn)
