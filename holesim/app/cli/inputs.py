"""A course and a player as most commands read them."""

from pathlib import Path
from typing import TYPE_CHECKING

from holesim.app.cli.feedback import say

if TYPE_CHECKING:
    from holesim.course.course import Course
    from holesim.player.player import Player


def read_both(course: Path, name: str | None, player: Path) -> "tuple[Course, Player]":
    """Read a course, by its name where a file holds several, and a player; say what was guessed."""
    from holesim.course.course_file import load_course  # noqa: PLC0415
    from holesim.shot.club_speeds import load_player  # noqa: PLC0415

    played, golfer = load_course(course, name=name), load_player(player)
    say("guessed", played.file, played.guesses)
    return played, golfer
