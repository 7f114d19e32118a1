"""Progress between rounds: review files compared by direction and length."""

import json
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from holesim.errors import InputError
from holesim.player.population import DAY_SHARE
from holesim.reports.progress_text import progress_sentences, progress_text
from holesim.study.progress import chance_of_change
from holesim.study.round_progress import compare_rounds, load_round
from holesim.units import YARD
from tests.conftest import Run


def interval(value: float, half: float) -> dict[str, float]:
    return {"value": value, "low": value - half, "high": value + half}


def write(
    folder: Path, day: str | None, side: float, *, drives: int = 14, scatter: float = 15.0, **change: object
) -> Path:
    """Write a review whose drives finished so many yards right of the planned ones."""
    half = float(stats.t.ppf(0.975, drives - 1)) * scatter / np.sqrt(drives)
    content = {
        "schema": 2, "player": "Corin Vale", "course": "Vantle Skerry", "date": day,
        "bias": {"direction": {"drives": drives, "yd": interval(side, half)}},
        "spread": {"direction": {"drives": drives, "over_planned": interval(1.1, 0.4)}},
    } | change  # fmt: skip
    path = folder / f"{day or 'undated'}-{side:g}.json"
    path.write_text(json.dumps(content))
    return path


def test_a_bias_that_moved(tmp_path: Path) -> None:
    may, june = (load_round(write(tmp_path, *told)) for told in (("2026-05-12", 25.0), ("2026-06-14", -5.0)))
    found = compare_rounds([may, june])
    bias, spread = found.changes
    assert bias.change == pytest.approx(-30 * YARD)
    # The standard errors are what 14 drives of 15 yd leave, and a day's deviation is 0.4 of those 15 yd.
    se = 15 * np.sqrt(2 / 14)
    assert bias.high - bias.low == pytest.approx(2 * 1.6449 * se * YARD, rel=1e-3)
    days = np.hypot(se, np.sqrt(2) * DAY_SHARE * 15)
    assert bias.chance == pytest.approx(chance_of_change(30, float(days), 0.7 * 15))
    assert spread.change == 0
    said = progress_sentences(found)
    assert said[0].startswith("Since 12 May drives finish 30.0 yd farther left on average (")
    assert said[1] == "The spread of direction has not changed as far as 14 drives can tell."
    text = progress_text(found, metric=True)
    assert " m  " in text
    assert "compare rounds that were planned by the same player file" in text.replace("\n", " ")


def test_what_is_no_pair_of_rounds(tmp_path: Path) -> None:
    may = load_round(write(tmp_path, "2026-05-12", 5.0))
    with pytest.raises(InputError, match="2026-05-12: is one round alone; give the reviews of two"):
        compare_rounds([may])
    other = load_round(write(tmp_path, "2026-06-14", 4.0, player="Ana Reith"))
    with pytest.raises(InputError, match="2026-06-14: is of Ana Reith, and 2026-05-12 of Corin Vale"):
        compare_rounds([may, other])
    few = load_round(write(tmp_path, "2026-06-14", 3.0, bias={}, spread={}))
    with pytest.raises(InputError, match="do not both have five drives by direction or length"):
        compare_rounds([may, few])
    path = tmp_path / "plan.json"
    for text in ("{}", "[1", "\xff"):
        path.write_text(text, encoding="latin-1")
        with pytest.raises(InputError, match=r"plan.json: is no review file \(JSON\)"):
            load_round(path)


def test_reviews_on_the_command_line(run: Run, tmp_path: Path) -> None:
    names = [str(write(tmp_path, "2026-06-14", -5.0)), str(write(tmp_path, "2026-05-12", 25.0))]
    code, said, heard = run("progress", *names)
    assert (code, heard) == (0, "")
    assert "Since 12 May drives finish 30.0 yd farther left" in said
    assert json.loads(run("progress", *names, "--json")[1])["changes"]["direction_yd"]["change"] == -30
    code, _, heard = run("progress", *names, "--course", "none.geojson")
    assert (code, heard) == (
        2, "holesim: --course: needs tables or player files, not reviews; leave it out\n"
    )  # fmt: skip
    undated = [str(write(tmp_path, None, side)) for side in (9.0, 3.0)]
    code, said, heard = run("progress", *undated)
    assert code == 0
    assert "the files have no dates: taken in the order given" in heard
    assert "From undated-9.json to undated-3.json" in said
