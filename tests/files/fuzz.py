"""Files of every kind and messages of the page, damaged by their structure: read, or refused in one line.

A case follows from its kind and its number alone, so that it can be repeated:

    python -m tests.files.fuzz 100000            so many cases, shared among all kinds
    python -m tests.files.fuzz 1 --kind team --first 4711
"""

import argparse
import copy
import csv
import faulthandler
import io
import json
import random
import resource
import sys
import time
import tomllib
import warnings
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final

from holesim.course.course_file import load_course
from holesim.course.draw_from_notes import draw_course
from holesim.course.ground_map import map_ground
from holesim.course.notes_file import load_notes
from holesim.data.examples import find
from holesim.errors import InputError
from holesim.handouts.batch_jobs import load_jobs
from holesim.handouts.handout import write_handout
from holesim.measure.drives_table import load_drives, look_at_columns
from holesim.plan.plan import make_plan
from holesim.plan.plan_file import load_plan, load_plans
from holesim.plan.round_options import RoundOptions
from holesim.reports.check_text import course_text, notes_text, player_text, team_text
from holesim.reports.columns_text import columns_text
from holesim.shot.club_speeds import load_player
from holesim.study.round_file import load_round
from holesim.team.team_file import load_team
from holesim.team.weekend_file import load_weekend
from holesim.window.folder import Folder
from holesim.window.inputs import check_content
from holesim.window.planning.asks import Opened, open_files
from holesim.window.planning.questions import OpenAsked, read_question
from tests.files.command_outcomes import check_line
from tests.files.damage import ODD, TO_COURSE, TO_TEXT, places
from tests.files.small_course import COURSE, PLAYER

LONGEST: Final = 20.0  # s that a case may take
MOST_MEMORY: Final = 2e6  # kB that this process may come to
_TEXT_SHARE, _DRAWN_SHARE = 0.25, 0.05  # of cases damaged as text; of courses drawn, plans printed
_SCALES: Final = (0.0, -1.0, 1e-9, 0.1, 10.0, 1e3, 1e9, 1e300)

Tree = Any  # tables, lists and values, at any depth


# --- damage ---------------------------------------------------------------------------------------


def _key_dropped(rng: random.Random, tree: Tree) -> None:
    inside, step = rng.choice(places(tree))
    del inside[step]


def _key_renamed(rng: random.Random, tree: Tree) -> None:
    inside, step = rng.choice([spot for spot in places(tree) if isinstance(spot[0], dict)])
    other = rng.choice(
        [f"{step}s", step.upper(), step[:-1], step[::-1], "", " ", "name", "\u202e", "a" * 300]
    )
    inside[other] = inside.pop(step)


def _value_replaced(rng: random.Random, tree: Tree) -> None:
    for _ in range(rng.choice([1, 1, 2, 5])):
        inside, step = rng.choice(places(tree))
        inside[step] = copy.deepcopy(rng.choice(ODD))


def _number_scaled(rng: random.Random, tree: Tree) -> None:
    numbers = [spot for spot in places(tree) if type(spot[0][spot[1]]) in (int, float)]
    for inside, step in rng.sample(numbers, min(len(numbers), rng.choice([1, 1, 3]))):
        by = rng.choice(_SCALES)
        inside[step] = type(inside[step])(inside[step] * by) if abs(inside[step]) < 1e9 else by


def _list_changed(rng: random.Random, tree: Tree) -> None:
    lists = [spot[0][spot[1]] for spot in places(tree) if isinstance(spot[0][spot[1]], list)]
    if not lists:
        return
    one = rng.choice(lists)
    how = rng.randrange(5)
    if how == 0:
        rng.shuffle(one)
    elif how == 1:
        one.clear()
    elif how == 2:  # twice, or very often
        one *= rng.choice([2, 40])
    elif how == 3 and one:
        one.append(copy.deepcopy(rng.choice(one)))
    else:
        one.reverse()


def _table_copied(rng: random.Random, tree: Tree) -> None:
    """Put a copy of one value where another stands."""
    spots = places(tree)
    (inside, step), (other, other_step) = rng.choice(spots), rng.choice(spots)
    inside[step] = copy.deepcopy(other[other_step])


_TO_TREE: Final = (_key_dropped, _key_renamed, _value_replaced, _number_scaled, _list_changed, _table_copied)


def _damaged(rng: random.Random, tree: Tree, write: Callable[[Tree], str]) -> bytes:
    """Return a tree as text, damaged as a tree or as a text."""
    tree = copy.deepcopy(tree)
    if rng.random() < _TEXT_SHARE:
        return _damaged_text(rng, write(tree))
    own = [way for way in TO_COURSE if isinstance(tree, dict) and "features" in tree]
    _damage(rng, tree, [*_TO_TREE, *own])
    return write(tree).encode("utf-8", "surrogatepass")


def _damage(rng: random.Random, tree: Tree, ways: Sequence[Callable[[random.Random, Tree], None]]) -> None:
    """Damage a tree in one way or several; there may be too little left to damage in one of them."""
    for _ in range(rng.choice([1, 1, 1, 2, 4])):
        with suppress(AttributeError, IndexError, KeyError, RecursionError, TypeError, ValueError):
            rng.choice(ways)(rng, tree)


def _damaged_text(rng: random.Random, text: str) -> bytes:
    with suppress(IndexError, ValueError):  # it may have no number to replace
        return rng.choice(TO_TEXT)(rng, text)
    return text.encode()


def _toml(value: Tree) -> str:
    """Return a tree as TOML: what cannot be said in it is left as it is in JSON."""
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{json.dumps(str(key))} = {_toml(one)}' for key, one in value.items())} }}"
    if isinstance(value, list):
        return f"[{', '.join(map(_toml, value))}]"
    if isinstance(value, float):
        return repr(value)
    return json.dumps(value, ensure_ascii=False, default=str)


def _toml_file(tree: Tree) -> str:
    return "".join(f"{_key(key)} = {_toml(value)}\n" for key, value in tree.items())


def _key(key: str) -> str:
    return key if key.isidentifier() and key.isascii() else json.dumps(key)


def _damaged_rows(rng: random.Random, text: str) -> bytes:
    """Return a table damaged by its rows, columns and cells, or as a text."""
    sign = ";" if ";" in text else ","
    rows = list(csv.reader(io.StringIO(text), delimiter=sign))
    rows = rows[: rng.choice([4, 30, len(rows)])]
    if rng.random() < _TEXT_SHARE:
        return _damaged_text(rng, "\n".join(sign.join(row) for row in rows))
    for _ in range(rng.choice([1, 1, 2, 6])):
        row, column = rng.choice(rows or [[""]]), rng.randrange(max([1, *map(len, rows)]))
        how = rng.randrange(8)
        if how == 0 and column < len(row):
            row[column] = rng.choice([*map(str, ODD[:-8]), "1,5", "12 L", "-", "1e9", "27 yd", "2026-02-30"])
        elif how == 1:
            rows = [[cell for k, cell in enumerate(one) if k != column] for one in rows]
        elif how == 2:
            rows = [[*one, *one[column : column + 1]] for one in rows]
        elif how == 3:
            rng.shuffle(rows)
        elif how == 4 and rows:
            rows.remove(row)
        elif how == 5:
            rows.append([*row] * rng.choice([1, 3]))
        elif how == 6 and rows and column < len(rows[0]):
            rows[0][column] = rng.choice(
                ["", "carry", "Carry [m]", "hole", "side", "\u202e", "x" * 300, "$a$"]
            )
        else:
            sign = rng.choice([",", ";", "\t", "|", " "])
    return "\n".join(sign.join(row) for row in rows).encode("utf-8", "surrogatepass")


# --- kinds ----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Kind:
    """A kind of file: its name, its damaged content, and what reads it."""

    file: str
    damage: Callable[[random.Random], bytes]
    read: Callable[[Path, random.Random], str]


def _from_toml(path: str) -> Callable[[random.Random], bytes]:
    """Return a function that damages a file of the demo, in which other files have their whole paths."""
    text = find(path).read_text(encoding="utf-8").replace('"../', f'"{find(path).parents[1]}/')
    return lambda rng: _damaged(rng, tomllib.loads(text), _toml_file)


def _read_course(path: Path, rng: random.Random) -> str:
    course = load_course(path)
    check_content(path.name, path.read_bytes())
    if rng.random() < _DRAWN_SHARE:
        map_ground(course)
    return course_text(course)


def _read_notes(path: Path, _: random.Random) -> str:
    notes = load_notes(path)
    draw_course(notes)
    return notes_text(notes)


def _read_player(path: Path, _: random.Random) -> str:
    return player_text(load_player(path))


def _read_drives(path: Path, _: random.Random) -> str:
    check_content(path.name, path.read_bytes())
    text = columns_text(look_at_columns(path), path.name, None)
    tomllib.loads(text)  # what is given to be corrected can be given back
    return f"{text}{load_drives(path, balls='course').guesses}"


def _read_columns(path: Path, _: random.Random) -> str:
    table = find("range/exported.csv")
    text = columns_text(look_at_columns(table, columns=path), table.name, None)
    return f"{text}{load_drives(table, columns=path).guesses}"


def _read_plan(path: Path, rng: random.Random) -> str:
    plans, _ = load_plans(path)
    if rng.random() < _DRAWN_SHARE:
        with TemporaryDirectory() as folder:
            write_handout("pocket", plans, Path(folder, "card.pdf"), metric=False)
    return repr(plans[0].totals)


def _read_round(path: Path, _: random.Random) -> str:
    return str(load_round(path, load_plan(_plan_path())))


def _read_team(path: Path, _: random.Random) -> str:
    return team_text(load_team(path))


def _read_weekend(path: Path, _: random.Random) -> str:
    return repr(load_weekend(path))


def _read_jobs(path: Path, _: random.Random) -> str:
    for name, content in (("links.geojson", COURSE), ("vale.toml", PLAYER)):
        path.with_name(name).write_text(content, encoding="utf-8")
    return "".join(job.fault for job in load_jobs(path))


def _read_message(path: Path, _: random.Random) -> str:
    asked = read_question(json.loads(path.read_bytes().decode("utf-8", "surrogatepass")))
    if isinstance(asked, OpenAsked):
        return str(open_files(_folder(), asked, _opened(), _NotDrawn()).asked)
    return json.dumps(_opened().answer(asked), allow_nan=False)


class _NotDrawn:
    """No course is being drawn."""

    def course(self, name: str, layout: str | None) -> None:
        """Return nothing."""

    def content(self, name: str) -> None:
        """Return nothing."""


@cache
def _place() -> Path:
    """Return a folder that stays until this process ends."""
    kept = TemporaryDirectory()
    _KEPT.append(kept)
    Path(kept.name, "links.geojson").write_text(COURSE, encoding="utf-8")
    Path(kept.name, "vale.toml").write_text(PLAYER, encoding="utf-8")
    return Path(kept.name)


_KEPT: Final[list[TemporaryDirectory[str]]] = []


@cache
def _plan_path() -> Path:
    course, player = load_course(_place() / "links.geojson"), load_player(_place() / "vale.toml")
    path = _place() / "plan.json"
    path.write_text(make_plan(course, player, RoundOptions(draws=256)).to_json(), encoding="utf-8")
    return path


def _plan_text() -> str:
    return _plan_path().read_text(encoding="utf-8")


@cache
def _folder() -> Folder:
    return Folder(_place())


@cache
def _opened() -> Opened:
    asked = OpenAsked(n=1, ask="open", course="links.geojson", player="vale.toml", options={"draws": 256})
    opened = open_files(_folder(), asked, None, _NotDrawn())
    for hole in (1, 2):
        opened.session.value(hole)
    return opened


_MESSAGES: Final = (
    {"n": 1, "ask": "open", "course": "links.geojson", "player": "vale.toml", "layout": None,
     "options": {"draws": 256, "goal": "mean", "temperature_c": 20.0, "seed": 1}},
    {"n": 2, "ask": "tee", "hole": 1, "tee": "back", "wind": {"mph": 12.0, "from_deg": 90.0},
     "strikes": ["up"]},
    {"n": 3, "ask": "aim", "hole": 1, "tee": "back", "wind": {"mph": 12.0, "from_deg": 90.0}, "label": "up",
     "heading_deg": 3.5, "strikes": ["up", "down"]},
    {"n": 4, "ask": "ring", "hole": 2, "tee": "front", "mph": 15.0, "from_deg": [0.0, 90.0, 180.0]},
    {"n": 5, "ask": "hole", "hole": 1, "tee": "back", "wind": {"mph": 0.0, "from_deg": 0.0}, "level": "rest"},
    {"n": 6, "ask": "round", "tee": "back", "wind": {"mph": 0.0, "from_deg": 0.0}, "level": "moving"},
)  # fmt: skip


def _message(rng: random.Random) -> bytes:
    tree = copy.deepcopy(rng.choice(_MESSAGES))
    _damage(rng, tree, _TO_TREE)
    return json.dumps(tree).encode()


_JOBS: Final = {
    "courses": ["links.geojson"], "players": ["vale.toml"], "sheets": ["pocket", "lesson"], "metric": False,
    "date": "", "by": "A coach", "tees": {"man": "back", "woman": "front"},
    "options": {"draws": 256, "goal": "par", "wind_mph": 10.0},
}  # fmt: skip
_COLUMNS: Final = {
    "balls": "range",
    "columns": {
        "club_speed": {"header": "Club Speed", "unit": "km/h"},
        "carry": {"header": "Carry", "unit": "yd"},
        "side": {"header": "Side L/R", "unit": "yd", "positive": "right"},
        "strike": "Strike",
    },
}

_TABLES: Final = tuple(find(name).read_text("utf-8") for name in ("range/demo.csv", "range/exported.csv"))
_ROUND: Final = """date,hole,tee,strike,lie,total_yd,side_yd,score
2026-05-12,1,back,up,fairway,262,12 L,4
2026-05-12,2,back,down,rough,241,25 R,5
"""

KINDS: Final[Mapping[str, Kind]] = {
    "course": Kind("a.geojson", lambda rng: _damaged(rng, json.loads(COURSE), json.dumps), _read_course),
    "notes": Kind("notes.toml", _from_toml("notes/oxlip_warren.toml"), _read_notes),
    "player": Kind("a.toml", lambda rng: _damaged(rng, tomllib.loads(PLAYER), _toml_file), _read_player),
    "drives": Kind("range.csv", lambda rng: _damaged_rows(rng, rng.choice(_TABLES)), _read_drives),
    "columns": Kind("columns.toml", lambda rng: _damaged(rng, _COLUMNS, _toml_file), _read_columns),
    "team": Kind("team.toml", _from_toml("teams/skerry.toml"), _read_team),
    "weekend": Kind("weekend.toml", _from_toml("weekends/skerry.toml"), _read_weekend),
    "jobs": Kind("jobs.toml", lambda rng: _damaged(rng, _JOBS, _toml_file), _read_jobs),
    "round": Kind("round.csv", lambda rng: _damaged_rows(rng, _ROUND), _read_round),
    "plan": Kind("plan.json", lambda rng: _damaged(rng, json.loads(_plan_text()), json.dumps), _read_plan),
    "message": Kind("message.json", _message, _read_message),
}


# --- cases ----------------------------------------------------------------------------------------


def try_case(name: str, number: int, folder: Path) -> bool:
    """Return whether a damaged file was read, not refused.

    Anything but one line with a remedy, more than 20 s or 2 GB is raised, with the case's name.
    """
    kind, rng = KINDS[name], random.Random(f"{name} {number}")  # noqa: S311
    path = folder / kind.file
    begun, most = time.monotonic(), resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    try:
        path.write_bytes(kind.damage(rng))
        before = {*folder.iterdir()}
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            try:
                kind.read(path, rng)
                read = True
            except InputError as error:
                for fault in error.faults:
                    check_line(str(fault))
                read = False
        left = {one for one in folder.iterdir() if one.name not in ("links.geojson", "vale.toml")}
        assert left <= before, f"left behind: {left - before}"
        assert time.monotonic() - begun < LONGEST, f"took {time.monotonic() - begun:.0f} s"
        # What the process took before is not the case's.
        more = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - most
        assert more < MOST_MEMORY, "took over 2 GB"
    except Exception as error:
        error.add_note(f"repeat it: python -m tests.files.fuzz 1 --kind {name} --first {number}")
        raise
    finally:
        path.unlink(missing_ok=True)
    return read


def cases(count: int, first: int = 0, kind: str | None = None) -> Iterator[tuple[str, int]]:
    """Yield the names and numbers of cases, kind after kind in turn."""
    names = list(KINDS) if kind is None else [kind]
    for index in range(count):
        yield names[index % len(names)], first + index // len(names)


def main() -> None:
    """Try many cases; say which failed, and exit with 1 if any did."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0] if __doc__ else None)
    parser.add_argument("count", type=int)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--kind", choices=KINDS)
    asked = parser.parse_args()
    failed: dict[str, int] = {}
    read = dict.fromkeys(KINDS, 0)
    with TemporaryDirectory() as folder:
        for name, number in cases(asked.count, asked.first, asked.kind):
            faulthandler.dump_traceback_later(3 * LONGEST, exit=True)  # of a loop that no exception ends
            try:
                read[name] += try_case(name, number, Path(folder))
            except Exception as error:  # noqa: BLE001 - each is told, and the run goes on
                where = error.__traceback__
                while where is not None and where.tb_next is not None:
                    where = where.tb_next
                at = f"{where.tb_frame.f_code.co_filename}:{where.tb_lineno}" if where else ""
                told = f"{type(error).__name__}: {str(error)[:200]} ({at})"
                failed[at] = failed.get(at, 0) + 1
                if failed[at] == 1:
                    sys.stdout.write(f"{name} {number}: {told}\n")
    sys.stdout.write(f"read of {asked.count}: {read}; failed: {failed}\n")
    sys.exit(bool(failed))


if __name__ == "__main__":
    main()
