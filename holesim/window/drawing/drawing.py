"""A course file while it is being drawn: its features, the steps that changed them, and its text."""

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Final

from holesim.course.collection_text import CollectionText, split_collection, with_members
from holesim.course.geojson import feature_labels, feature_tags, read_features
from holesim.course.holes import numbers_in
from holesim.errors import InputError
from holesim.window.drawing.kinds import kind_of, tags_of
from holesim.window.drawing.plane import Geometry, Plane, positions
from holesim.window.drawing.steps import Edit, History, Move, Step

NOWHERE: Final = (-127.3, -41.5)
"""Longitude and latitude of the template [°], in the open ocean: for a course whose place is not known."""

_NEAR_NOWHERE: Final = 0.5  # °
_OWN: Final = ("guessed", "noted")  # properties that say how a feature was drawn


Texts = Mapping[int, str | None]
"""Texts of features by their numbers; None for one that is taken out."""


class StaleError(InputError):
    """The drawing has gone on since the page last saw it."""


@dataclass(frozen=True)
class DrawnFeature:
    """A feature of a drawing: a number that it keeps, its text in the file, and what that says."""

    number: int
    text: str

    @cached_property
    def content(self) -> dict[str, Any]:
        """The feature as the file has it."""
        content: dict[str, Any] = json.loads(self.text)
        return content

    @property
    def geometry(self) -> Geometry | None:
        """Its geometry in longitude and latitude."""
        found = self.content.get("geometry")
        return found if isinstance(found, dict) else None

    @property
    def properties(self) -> dict[str, Any]:
        """Its properties as the file has them."""
        return self.content.get("properties") or {}

    @cached_property
    def tags(self) -> dict[str, str]:
        """Its tags as text."""
        tags = feature_tags(self.content)
        return {key: value for key, value in tags.items() if key not in _OWN}

    @property
    def kind(self) -> str:
        """What it is."""
        return kind_of(self.tags, self.geometry)

    @property
    def hole(self) -> int | None:
        """The number of the hole that it says it belongs to."""
        noted = self.noted
        if noted is not None:
            return noted.get("hole")
        stated = numbers_in(self.tags.get("ref", "")) if self.kind in ("line", "tee") else []
        return next((number for number, _ in stated if number is not None), None)

    @property
    def noted(self) -> dict[str, Any] | None:
        """The numbers that it was drawn by."""
        noted = self.properties.get("noted")
        return noted if isinstance(noted, dict) else None

    def changed(
        self, *, geometry: Geometry | None = None, properties: Mapping[str, Any] | None = None
    ) -> str:
        """Return its text with another geometry or other properties; None takes a property away."""
        members: dict[str, Any] = {}
        if geometry is not None:
            members["geometry"] = geometry
        if properties:
            members["properties"] = _merged(self.properties, properties)
        return with_members(self.text, members)


def _merged(before: dict[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    """Return properties with changes, which go to the table of tags where a file has one."""
    tags = before.get("tags")
    if isinstance(tags, dict):
        inside = {key: value for key, value in changes.items() if key not in _OWN}
        before = before | {"tags": _kept(tags | inside)}
        changes = {key: value for key, value in changes.items() if key in _OWN}
    return _kept(before | dict(changes))


def _kept(table: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in table.items() if value is not None}


Follow = Callable[["Drawing"], Texts]


class Drawing:
    """A course file being drawn.

    Parameters
    ----------
    name
        Of the file.
    raw
        Its content.
    history
        Its steps so far.

    Raises
    ------
    InputError
        If it is no GeoJSON FeatureCollection.
    """

    def __init__(self, name: str, raw: bytes, history: History | None = None) -> None:
        read_features(name, raw)
        parts = split_collection(raw.decode("utf-8"))
        self.name, self.history, self.revision = name, history or History(), 0
        self._frame = parts.head, parts.tail
        self._count = 0
        self._flat: dict[int, tuple[DrawnFeature, Plane, Geometry | None]] = {}
        self.features = [self._new(text) for text in parts.features]
        self.plane = Plane(_middle(self.features))

    def _new(self, text: str) -> DrawnFeature:
        self._count += 1
        return DrawnFeature(self._count, text)

    # --- what it says ---

    def text(self) -> str:
        """Return the text of the file."""
        head, tail = self._frame
        return CollectionText(head, tuple(feature.text for feature in self.features), tail).joined()

    @property
    def title(self) -> str:
        """The name of the course."""
        names = [one.tags.get("name", "") for one in self.features if one.kind == "boundary"]
        return next(filter(None, names), self.name.rpartition("/")[2].rpartition(".")[0])

    @property
    def nowhere(self) -> bool:
        """Whether it lies where the template lies."""
        return all(abs(a - b) < _NEAR_NOWHERE for a, b in zip(self.plane.origin, NOWHERE, strict=True))

    def labels(self) -> dict[int, str]:
        """Return what messages call each feature, by its number."""
        named = feature_labels([feature.content for feature in self.features])
        return {feature.number: label for feature, label in zip(self.features, named, strict=True)}

    def to_plane(self, feature: DrawnFeature) -> Geometry | None:
        """Return a feature's geometry on the plane; None if it has none of use."""
        known = self._flat.get(feature.number)
        if known is None or known[0] is not feature or known[1] is not self.plane:
            known = feature, self.plane, self._to_plane(feature)
            self._flat[feature.number] = known
        return known[2]

    def _to_plane(self, feature: DrawnFeature) -> Geometry | None:
        if feature.geometry is None:
            return None
        try:
            return self.plane.to_plane(feature.geometry)
        except ValueError:
            return None

    def to_dicts(self, numbers: Iterable[int] | None = None) -> list[dict[str, Any]]:
        """Return features as the page draws them, all if no numbers are given."""
        wanted = None if numbers is None else set(numbers)
        if wanted is not None and not wanted:
            return []
        labels = self.labels()
        return [
            {
                "id": one.number,
                "label": labels[one.number],
                "kind": one.kind,
                "hole": one.hole,
                "tags": one.tags,
                "geometry": self.to_plane(one),
                "guessed": one.properties.get("guessed"),
                "noted": one.noted,
            }
            for one in self.features
            if wanted is None or one.number in wanted
        ]

    def steps_dict(self) -> dict[str, Any]:
        """Return how far the drawing is, and what can be taken back and done again."""
        undone, redone = self.history.undone, self.history.redone
        return {
            "revision": self.revision,
            "can_undo": undone is not None,
            "can_redo": redone is not None,
            "undo_says": undone.says if undone else None,
            "redo_says": redone.says if redone else None,
        }

    def find(self, number: int) -> DrawnFeature:
        """Return the feature of a number; raise an `InputError` if it is gone."""
        found = next((feature for feature in self.features if feature.number == number), None)
        if found is None:
            raise InputError(self.name, f"feature {number}", "is gone", "reload the page")
        return found

    # --- changes ---

    def check(self, revision: int) -> None:
        """Make sure that a page has seen the newest revision; raise a `StaleError` if not."""
        if revision != self.revision:
            problem = "was drawn on in another window"
            raise StaleError(self.name, "", problem, "look at what is new, then draw on")

    def change(
        self, says: str, texts: Texts, added: Sequence[str] = (), then: Follow = lambda _: {}
    ) -> dict[str, Any]:
        """Change the texts of features (None takes one out) and add others, as one step.

        Parameters
        ----------
        then
            Returns which texts change besides, once the drawing is so far.

        Returns
        -------
        What changed, for the page.
        """
        step = Step(says, self._edits(texts, added))
        answer = self._follow(step)
        try:
            more = Step(says, self._edits(then(self)))
        except InputError:
            self._follow(step.inverse())
            raise
        besides = self._follow(more)
        gone = {*answer["removed"], *besides["removed"]}
        changed = {
            one["id"]: one for one in (*answer["features"], *besides["features"]) if one["id"] not in gone
        }
        self.history.add(Step(says, step.edits + more.edits))
        return {"features": [*changed.values()], "removed": sorted(gone)} | self.steps_dict()

    def _edits(self, texts: Texts, added: Sequence[str] = ()) -> tuple[Edit, ...]:
        edits = []
        for index in reversed(range(len(self.features))):
            feature = self.features[index]
            after = texts.get(feature.number, feature.text)
            if after != feature.text:
                edits.append(Edit.between(index, feature.text, after))
        end = len(self.features) - sum(edit.put is None for edit in edits)
        edits += [Edit.between(end + k, None, text) for k, text in enumerate(self._spaced(added))]
        return tuple(edits)

    def _spaced(self, added: Sequence[str]) -> list[str]:
        """Return the texts of new features, each on a line of its own or as the last one stands."""
        last = self.features[-1].text if self.features else "\n"
        before = last[: len(last) - len(last.lstrip())] or "\n"
        return [before + text for text in added]

    def do(self, step: Step) -> dict[str, Any]:
        """Do a step, and return what changed."""
        answer = self._follow(step)
        self.history.add(step)
        return answer | self.steps_dict()

    def undo(self) -> dict[str, Any]:
        """Take the last step back, and return what changed."""
        step = self.history.undone
        if step is None:
            return self._follow(Step("", ())) | self.steps_dict()
        answer = self._follow(step.inverse())
        self.history.undo()
        return answer | self.steps_dict()

    def redo(self) -> dict[str, Any]:
        """Do the next step again, and return what changed."""
        step = self.history.redone
        if step is None:
            return self._follow(Step("", ())) | self.steps_dict()
        answer = self._follow(step)
        self.history.redo()
        return answer | self.steps_dict()

    def catch_up(self, steps: Iterable[Step]) -> None:
        """Do steps that the history has already."""
        for step in steps:
            self._follow(step)

    def _follow(self, step: Step) -> dict[str, Any]:
        """Change the features as a step says, all or none."""
        features, count, frame = [*self.features], self._count, self._frame
        changed: set[int] = set()
        removed: set[int] = set()
        try:
            for edit in step.edits:
                if edit.at is None and edit.out is None:
                    features.insert(edit.place, self._new(edit.put or ""))
                elif edit.at is None:
                    removed.add(features.pop(edit.place).number)
                    continue
                else:
                    feature = features[edit.place]
                    text = edit.changed(feature.text) or ""
                    features[edit.place] = replace(feature, text=text)
                _ = features[edit.place].content
                changed.add(features[edit.place].number)
        except (ValueError, IndexError):
            self._count = count
            raise InputError(self.name, "", "cannot take this step", "reload the page") from None
        if step.frame is not None:
            frame = step.frame[1]
        self.features, self._frame = features, frame
        if step.move is not None:
            self.plane = Plane(step.move.goal)
        self.revision += bool(step.edits)
        return {"features": self.to_dicts(changed - removed), "removed": sorted(removed)}

    # --- whole steps ---

    def new_text(self, kind: str, geometry: Geometry, properties: Mapping[str, Any]) -> str:
        """Return the text of a new feature of a kind from its geometry on the plane."""
        return self.tagged_text(geometry, {**tags_of(kind, geometry), **properties})

    def tagged_text(self, geometry: Geometry, properties: Mapping[str, Any]) -> str:
        """Return the text of a new feature from its geometry on the plane and all its properties."""
        feature = {
            "type": "Feature",
            "properties": _kept(dict(properties)),
            "geometry": self.plane.to_earth(geometry),
        }
        return json.dumps(feature, separators=(",", ":"), ensure_ascii=False)

    def moved(self, start: tuple[float, float], goal: tuple[float, float], turn: float) -> dict[str, Any]:
        """Move the whole drawing, so that a point of the plane lies at a longitude and latitude."""
        move = Move(self.plane.point_to_earth(*start), goal, turn)
        before, after = Plane(move.start), Plane(goal)
        texts: dict[int, str | None] = {}
        for feature in self.features:
            if self.to_plane(feature) is not None and feature.geometry is not None:
                try:
                    texts[feature.number] = feature.changed(
                        geometry=before.moved(feature.geometry, after, turn)
                    )
                except ValueError:
                    continue
        edits = [
            Edit.between(index, feature.text, texts[feature.number])
            for index, feature in enumerate(self.features)
            if feature.number in texts
        ]
        return self.do(Step("moved to where it belongs", tuple(edits), move=move))

    def restored(self, raw: bytes, says: str) -> dict[str, Any]:
        """Put another text in the place of this one, as one step."""
        read_features(self.name, raw)
        parts = split_collection(raw.decode("utf-8"))
        edits = [
            Edit(index, None, self.features[index].text, None)
            for index in reversed(range(len(self.features)))
        ]
        edits += [Edit(index, None, None, text) for index, text in enumerate(parts.features)]
        return self.do(Step(says, tuple(edits), frame=(self._frame, (parts.head, parts.tail))))


def _middle(features: Sequence[DrawnFeature]) -> tuple[float, float]:
    """Return the longitude and latitude in the middle of the holes, else of all that is drawn."""
    lines = [one.geometry for one in features if one.kind == "line" and one.geometry]
    for geometries in (lines, [one.geometry for one in features if one.geometry]):
        bounds = [box for geometry in geometries if (box := _bounds(geometry)) is not None]
        if bounds:
            west, south, east, north = (
                pick(column)
                for pick, column in zip((min, min, max, max), zip(*bounds, strict=True), strict=True)
            )
            return round((west + east) / 2, 6), round((south + north) / 2, 6)
    return NOWHERE


def _bounds(geometry: Geometry) -> tuple[float, float, float, float] | None:
    """Return the bounds of a geometry in longitude and latitude; None if it has none of use."""
    try:
        places = [place for place in positions(geometry) if abs(place[0]) <= 180 and abs(place[1]) <= 90]
    except ValueError:
        return None
    if not places:
        return None
    longitudes, latitudes = [place[0] for place in places], [place[1] for place in places]
    return min(longitudes), min(latitudes), max(longitudes), max(latitudes)
