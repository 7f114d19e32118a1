"""Every notebook runs from top to bottom."""

import json
from pathlib import Path

import pytest

NOTEBOOKS = sorted((Path(__file__).parent.parent / "notebooks").glob("*.ipynb"))


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_notebook_runs(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    names: dict[str, object] = {}
    for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
        if cell["cell_type"] == "code":
            exec("".join(cell["source"]), names)  # noqa: S102 - our own notebook
    assert "carry" in capsys.readouterr().out


def test_there_are_notebooks() -> None:
    assert NOTEBOOKS
