"""Course files and notes on disk."""

from collections.abc import Callable
from pathlib import Path

import pytest

from holesim.course.course import Course
from holesim.course.course_file import load_course
from tests.conftest import Write
from tests.course.noted_holes import Json, WriteNotes, text_of
from tests.files.drawn_courses import (
    Damage,
    sound,
)


@pytest.fixture
def read(course_file: Write) -> Callable[..., Course]:
    """Return a function that reads the sound course with changes made to it."""

    def from_disk(*changes: Damage) -> Course:
        content = sound()
        for change in changes:
            change(content)
        return load_course(course_file(content))

    return from_disk


@pytest.fixture(scope="module")
def write(tmp_path_factory: pytest.TempPathFactory) -> WriteNotes:
    """Return a function that writes notes from a text, or from their content."""
    path = tmp_path_factory.mktemp("notes") / "book.toml"

    def to_disk(content: str | Json) -> Path:
        path.write_text(content if isinstance(content, str) else text_of(content), encoding="utf-8")
        return path

    return to_disk
