"""Commands and a save killed at random moments: what they leave is the old or the new, and never mixed.

`python -m tests.files.kills 200` kills a plan, a batch, a captain's plan and a save of the window, 200 times
in all, and says what was left. Half of the kills come while files are written. A signal that asks (SIGTERM,
SIGINT) may leave nothing mixed. SIGKILL asks nobody: it may come between two renames, and is counted apart.
"""

import os
import random
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from tests.files.command_outcomes import command_line
from tests.files.small_course import COURSE, PLAYER

Contents = dict[str, bytes]
"""The bytes of each file of a folder, by its path."""

_STOPS: Final = (signal.SIGTERM, signal.SIGINT, signal.SIGKILL)
_SUMMARY: Final = "batch.csv"
_WRITING: Final = ".holesim-*"
_SAVE: Final = """
import sys
from pathlib import Path
from holesim.window.folder import Folder

folder, new = Folder(Path(sys.argv[1])), Path(sys.argv[2]).read_bytes()
print("open", flush=True)
_, seen = folder.read("links.geojson")
folder.write("links.geojson", new, seen=seen)
"""
_TEAM: Final = 'name = "Petrel pair"\nplayers = ["vale.toml", "other.toml"]\n'


@dataclass(frozen=True)
class Trial:
    """A command that writes a folder, once with one seed and once with another.

    Attributes
    ----------
    name
        What is killed.
    words
        Returns the words of the process, of its folder and of which of the two it is to write.
    together
        Whether all files of the folder belong together; else each plan and its sheets, and the summary goes
        with all.
    """

    name: str
    words: Callable[[Path, int], Sequence[str]]
    together: bool


def trials(inputs: Path) -> Iterator[Trial]:
    """Write small inputs to a folder, and yield what is to be killed."""
    (inputs / "links.geojson").write_text(COURSE, encoding="utf-8")
    (inputs / "vale.toml").write_text(PLAYER, encoding="utf-8")
    (inputs / "other.toml").write_text(PLAYER.replace("C\u00f8rin Vale", "Another Vale"), encoding="utf-8")
    (inputs / "team.toml").write_text(_TEAM)
    course, player = str(inputs / "links.geojson"), str(inputs / "vale.toml")
    some = ("--draws", "256")
    for seed in (1, 2):
        jobs = 'courses = ["links.geojson"]\nplayers = ["vale.toml", "other.toml"]\n'
        jobs += f'sheets = ["pocket"]\noptions = {{ draws = 256, seed = {seed} }}\n'
        (inputs / f"jobs{seed}.toml").write_text(jobs)
        (inputs / f"new{seed}.geojson").write_text(COURSE + "\n" * seed * 200_000, encoding="utf-8")

    def plan(out: Path, seed: int) -> Sequence[str]:
        return command_line(
            "plan", course, player, *some, "--hole", "1", "--seed", str(seed), "--out", str(out)
        )

    def batch(out: Path, seed: int) -> Sequence[str]:
        return command_line("batch", str(inputs / f"jobs{seed}.toml"), "--replace", "--out", str(out))

    def team(out: Path, seed: int) -> Sequence[str]:
        words = ("--format", "stroke", *some, "--seed", str(seed), "--out", str(out))
        return command_line("team", course, str(inputs / "team.toml"), *words)

    def save(out: Path, seed: int) -> Sequence[str]:
        return [sys.executable, "-c", _SAVE, str(out), str(inputs / f"new{seed}.geojson")]

    yield Trial("plan", plan, together=True)
    yield Trial("batch", batch, together=False)
    yield Trial("team", team, together=True)
    yield Trial("save", save, together=True)


def contents(folder: Path) -> Contents:
    """Return the files of a folder, those that a batch hides, too."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def shown(files: Contents) -> Contents:
    """Return the files that are not hidden."""
    return {
        name: raw for name, raw in files.items() if not any(part.startswith(".") for part in Path(name).parts)
    }


def judge(found: Contents, old: Contents, new: Contents, *, together: bool) -> str:
    """Return how a folder was left.

    Returns
    -------
    "old" or "new"; "part" where whole plans with their sheets are old, new or not there; "mixed" where files
    that belong together are old and new; "broken" where one is neither.
    """
    if found in (old, new):
        return "new" if found == new else "old"
    if any(raw not in (old.get(name), new.get(name)) for name, raw in found.items()):
        return "broken"
    if together or _SUMMARY in found:
        return "mixed"
    for plan in {name.partition(".")[0] for name in found}:
        of_plan = {name for name in found if name.partition(".")[0] == plan}
        if not any(all(found[name] == whole.get(name) for name in of_plan) for whole in (old, new)):
            return "mixed"
    return "part"


@contextmanager
def begun(words: Sequence[str]) -> Iterator[subprocess.Popen[bytes]]:
    """Start a process in a group of its own, and see to it that it has ended."""
    quiet = subprocess.DEVNULL
    with subprocess.Popen(words, stdout=quiet, stderr=quiet, start_new_session=True) as process:  # noqa: S603
        try:
            yield process
        finally:
            if process.poll() is None:
                process.kill()


def ran(words: Sequence[str]) -> float:
    """Run a process to its end; return how long it took [s]."""
    start = time.monotonic()
    done = subprocess.run(words, check=False, capture_output=True, text=True, timeout=600)  # noqa: S603
    assert done.returncode == 0, done.stderr
    return time.monotonic() - start


def fill(folder: Path, files: Contents) -> None:
    """Make a folder hold these files alone."""
    for path in sorted(folder.rglob("*"), reverse=True):
        path.rmdir() if path.is_dir() else path.unlink()
    for name, raw in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(raw)


def killed(words: Sequence[str], folder: Path, how: signal.Signals, takes: float, *, writing: bool) -> None:
    """Start a process and kill it at a random moment, or while it writes to a folder, if it does by then."""
    with begun(words) as process:
        end = time.monotonic() + (takes * 2 if writing else random.uniform(0, takes * 1.1))  # noqa: S311
        while process.poll() is None and time.monotonic() < end:
            if writing and any(folder.rglob(_WRITING)):
                time.sleep(random.uniform(0, 0.3) * random.choice((0, 1)))  # noqa: S311
                break
            time.sleep(0.001)
        if process.poll() is None:
            process.send_signal(how)
        process.wait(timeout=120)


def kill(times: int, seed: int = 1, names: Sequence[str] = ()) -> Counter[tuple[str, str, str]]:
    """Kill the trials in turn; return how often each, by which signal, left what."""
    random.seed(seed)
    counted: Counter[tuple[str, str, str]] = Counter()
    with TemporaryDirectory() as place:
        inputs, out = Path(place) / "inputs", Path(place) / "out"
        inputs.mkdir()
        chosen = [trial for trial in trials(inputs) if not names or trial.name in names]
        for number, trial in enumerate(chosen):
            out.mkdir(exist_ok=True)
            fill(out, {"links.geojson": COURSE.encode()} if trial.name == "save" else {})
            states, takes = [], 0.0
            for which in (1, 2):
                takes = ran(trial.words(out, which))
                states.append(contents(out))
            old, new = states
            for turn in range(times // len(chosen) + (number < times % len(chosen))):
                fill(out, old)
                how = _STOPS[turn % len(_STOPS)]
                killed(trial.words(out, 2), out, how, takes, writing=turn % 2 == 1)
                left = (shown(files) for files in (contents(out), old, new))
                found = judge(*left, together=trial.together)
                counted[trial.name, how.name, found] += 1
                print(f"{trial.name} {how.name} {found}", file=sys.stderr)  # noqa: T201
                # The next run goes on from there, and leaves nothing of the killed one.
                ran(trial.words(out, 2))
                again = shown(contents(out)) == shown(new) and not any(out.rglob(_WRITING))
                counted[trial.name, "next run", "new" if again else "broken"] += 1
    return counted


def faults(counted: Counter[tuple[str, str, str]]) -> list[str]:
    """Return what must not happen."""
    return [
        f"{name}, {how}: {found}"
        for name, how, found in counted
        if found == "broken" or (found == "mixed" and how != signal.SIGKILL.name)
    ]


def main() -> None:
    """Kill as often as told, and say what was left."""
    os.environ.setdefault("HOLESIM_THREADS", "1")
    counted = kill(int(sys.argv[1]) if len(sys.argv) > 1 else 200, names=sys.argv[2:])
    for (name, how, found), times in sorted(counted.items()):
        print(f"{name:6} {how:9} {found:7} {times}")  # noqa: T201
    sys.exit("; ".join(faults(counted)) or 0)


if __name__ == "__main__":
    main()
