"""What a command may do with bad input: answer, or print one line and leave no half-written file."""

import json
import re
import sys
from pathlib import Path


def command_line(*words: str) -> list[str]:
    """Return the words that run holesim in a process of its own."""
    return [sys.executable, "-m", "holesim", *words]


def check_line(text: str) -> None:
    """Check that an error or a guess is one line that any terminal prints."""
    assert text.isprintable()
    assert len(text) <= 500
    assert ": " in text
    assert "; " in text


def check_outcome(code: int, out: str, err: str) -> None:
    """Check that a command gave an answer, or one line with a remedy."""
    assert code in (0, 1, 2), (code, err)
    assert "Traceback" not in err
    if code == 2:
        assert out == ""
        last = err.splitlines()[-1]
        assert last.startswith("holesim: ")
        check_line(last.removeprefix("holesim: "))
        # What was guessed, before it was refused, and how far the work had come, are lines of their own.
        assert all(line.startswith(("holesim: guessed: ", "planning: ")) for line in err.splitlines()[:-1])


def is_whole(path: Path) -> bool:
    """Return whether a file of a plan was written to its end."""
    raw = path.read_bytes()
    if path.suffix in (".json", ".geojson"):
        return any(json.loads(raw).get(key) for key in ("tees", "features"))
    if path.suffix == ".csv":
        return raw.endswith(b"\n")
    return raw.endswith(b"%%EOF\n") if path.suffix == ".pdf" else raw.endswith(b"IEND\xaeB`\x82")


def whole_files_only(folder: Path) -> bool:
    """Return whether a folder holds only whole files of ours and, if any, hidden folders."""
    shown = [path for path in folder.iterdir() if not path.name.startswith(".")]
    known = re.compile(r"plan\.(json|csv)|finishes\.geojson|card\.pdf|(hole|next)-\d\d-[a-z0-9-]+\.png")
    return all(known.fullmatch(path.name) and is_whole(path) for path in shown)
