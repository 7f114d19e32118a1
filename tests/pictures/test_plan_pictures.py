"""Picture files of a plan: safe names, and the same bytes each time."""

from pathlib import Path

from holesim.pictures.plan_pictures import write_pictures
from holesim.plan.plan import Plan


def test_files_are_safe_and_repeatable(hostile: Plan, tmp_path: Path) -> None:
    once, again = tmp_path / "once", tmp_path / "again"
    for folder in (once, again):
        folder.mkdir()
        names = [path.name for path in write_pictures(hostile, folder)]
        assert len(set(names)) == 4
        assert all(set(name) <= set("abcdefghijklmnopqrstuvwxyz0123456789-.") for name in names)
        assert sorted(path.name for path in folder.iterdir()) == sorted(names)
    for path in once.iterdir():
        assert path.read_bytes() == (again / path.name).read_bytes()
