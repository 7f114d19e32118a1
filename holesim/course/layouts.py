"""Layouts: the courses in a file, separated by their outlines and by the tags of their holes."""

import re
from collections import defaultdict
from dataclasses import dataclass, replace
from pathlib import Path

import shapely

from holesim.course.geojson import Piece
from holesim.errors import InputError, rather


@dataclass(frozen=True)
class Layout:
    """One course of a file: its name, which may be empty, its outlines and the lines of its holes."""

    name: str
    outlines: tuple[Piece, ...]
    lines: tuple[Piece, ...]

    @property
    def numbers(self) -> set[int]:
        """The numbers of its holes, as far as they have one."""
        return {number for line in self.lines if (number := number_of(line)[0]) is not None}

    def joined(self, other: "Layout") -> "Layout":
        """Return both as one course."""
        outlines, lines = self.outlines + other.outlines, self.lines + other.lines
        return Layout(self.name or other.name, outlines, lines)


def number_of(line: Piece) -> tuple[int | None, str]:
    """Return the number in a hole's ref and the words beside it; refs are "Hole 1", "01", "1 - North"."""
    ref = line.tags.get("ref", "")
    words = re.sub(r"\W+", " ", re.sub(r"\d+|hole", " ", ref, flags=re.IGNORECASE)).strip()
    try:
        value = float(ref)
    except ValueError:
        found = re.search(r"(?<![\d.])\d{1,2}(?![\d.])", ref)
        value = float(found[0]) if found else 0.0
    return (int(value) if value in range(1, 100) else None), words


def find_layouts(lines: list[Piece], outlines: list[Piece]) -> list[Layout]:
    """Return the courses that holes belong to.

    A hole belongs to the smallest outline that contains it. Outlines are one course if they have the same
    name, or one of them has none, and no hole number occurs twice. Within an outline, holes are separated by
    ``golf:course:name`` or, where a number occurs twice, by the words in their ref.
    """
    if not outlines:
        return _split(Layout("", (), tuple(lines)))
    home = defaultdict(list)
    for line in lines:
        home[_outline_around(line, outlines)].append(line)
    layouts: list[Layout] = []
    # Outlines with a name come first, so that those without join them.
    for index in sorted(home, key=lambda i: not _name_of(outlines[i])):
        new = Layout(_name_of(outlines[index]), (outlines[index],), tuple(home[index]))
        kin = (old for old in layouts if _may_be_one(old, new) and not old.numbers & new.numbers)
        _add(layouts, next(kin, None), new)
    alone = len(layouts) == 1
    for index, outline in enumerate(outlines):
        new = Layout(_name_of(outline), (outline,), ())
        same = (old for old in layouts if _may_be_one(old, new) and (alone or old.name == new.name))
        old = None if index in home else next(same, None)
        if old is not None:  # otherwise it is the outline of a neighbouring course
            _add(layouts, old, new)
    return [part for layout in layouts for part in _split(layout)]


def _name_of(outline: Piece) -> str:
    return outline.tags.get("name", "").strip()


def _outline_around(line: Piece, outlines: list[Piece]) -> int:
    """Return the index of a hole's outline: the smallest that contains half of it, else the nearest."""
    shapes = [outline.shape for outline in outlines]
    inside = shapely.length(shapely.intersection(shapes, line.shape))
    holding = [i for i, length in enumerate(inside) if length > line.shape.length / 2]
    if holding:
        return min(holding, key=lambda i: shapes[i].area)
    return int(shapely.distance(shapes, line.shape).argmin())


def _may_be_one(old: Layout, new: Layout) -> bool:
    return old.name == new.name or not old.name or not new.name


def _add(layouts: list[Layout], old: Layout | None, new: Layout) -> None:
    if old is None:
        layouts.append(new)
    else:
        layouts[layouts.index(old)] = old.joined(new)


def _split(layout: Layout) -> list[Layout]:
    """Return the courses within the outlines of one layout."""
    stated = {line.tags.get("golf:course:name") for line in layout.lines}
    by_name, words = defaultdict(list), defaultdict(set)
    for line in layout.lines:
        number, word = number_of(line)
        named = line.tags.get("golf:course:name") if len(stated) > 1 else word
        by_name[named or layout.name].append(line)
        words[number].add(named)
    twice = any(len(names) > 1 for number, names in words.items() if number is not None)
    if not twice and len(stated - {None}) < 2:
        return [layout]
    return [replace(layout, name=name, lines=tuple(lines)) for name, lines in by_name.items()]


def name_layouts(file: str, layouts: list[Layout]) -> dict[str, Layout]:
    """Return the courses of a file by name; one that has no name is given one."""
    by_name: dict[str, Layout] = {}
    for number, layout in enumerate(layouts, 1):
        own = layout.name or (Path(file).stem if len(layouts) == 1 else f"course {number}")
        own = f"{own} ({number})" if own in by_name else own
        by_name[own] = replace(layout, name=own)
    return by_name


def choose_layout(file: str, layouts: list[Layout], name: str | None) -> Layout:
    """Return the course of that name, or the only course of the file.

    Raises
    ------
    InputError
        If no course has the name, or no name is given and the file has several courses.
    """
    by_name = name_layouts(file, layouts)
    names = ", ".join(by_name)
    if name is None:
        if len(layouts) == 1:
            return next(iter(by_name.values()))
        raise InputError(file, "", f"holds {len(layouts)} courses ({names})", "choose one with --course NAME")
    chosen = {own.casefold(): own for own in by_name}.get(name.strip().casefold())
    if chosen is None:
        remedy = rather(name, by_name, f"it holds {names}")
        raise InputError(file, "", f"holds no course {name}", remedy)
    return by_name[chosen]
