"""What practice is worth: parts that add up, shares that are known, and rules of thumb."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from holesim.course.course import Course, Ground
from holesim.data.examples import COURSE, PLAYER, find
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player, Spread
from holesim.reports.practice_text import practice_text
from holesim.study.practice import ERRORS, PracticeWorth, find_practice_worth
from tests.conftest import Run, straight_course

CALM = RoundOptions()


@pytest.fixture(scope="module")
def on_the_demo(demo_course: Course, amateur: Player) -> PracticeWorth:
    return find_practice_worth(demo_course, amateur, CALM.changed(draws=512))


def test_parts_add_to_what_is_saved(on_the_demo: PracticeWorth) -> None:
    for worth in on_the_demo.savings:
        assert worth.penalties + worth.fairways + worth.distance == pytest.approx(worth.saved, abs=0.002)
        assert worth.low <= worth.saved <= worth.high
    saved = [worth.saved for worth in on_the_demo.savings]
    assert saved == sorted(saved, reverse=True)


def test_each_change_pays_where_it_should(on_the_demo: PracticeWorth) -> None:
    savings = {worth.name: worth for worth in on_the_demo.savings}
    faster, squarer = savings["3 mph more club speed"], savings["a fifth less face error"]
    assert faster.distance > 0.8 * faster.saved > 0
    assert squarer.fairways > 0
    assert squarer.penalties > 0
    # Hitting up brings distance and costs fairways; hitting down the other way round (common practice).
    assert savings["attack angle 2° more up"].distance > savings["attack angle 2° more down"].distance
    assert savings["attack angle 2° more up"].fairways < savings["attack angle 2° more down"].fairways
    assert savings["one driver strike all day"].saved < 0


def test_speed_is_worth_about_what_is_published(on_the_demo: PracticeWorth) -> None:
    """Broadie, Every Shot Counts, 2014: 20 yd more off the tee save 0.8 strokes a round on tour, 1.6 of one
    who shoots 90 (from memory); 3 mph are some 8 yd, and this golfer is between."""
    savings = {worth.name: worth for worth in on_the_demo.savings}
    assert 0.8 * 8 / 20 < savings["3 mph more club speed"].saved < 1.6 * 8 / 20


def test_a_golfer_of_one_error_has_that_share(amateur: Player) -> None:
    up = amateur.driver("up")
    still = dict.fromkeys(("path", "attack", "dynamic_loft", "speed", "toe", "high", "miss_rate"), 0.0)
    spread: Spread = replace(up.spread, **still, face_path_correlation=0.0)  # type: ignore[arg-type]
    player = replace(amateur, strikes=(replace(up, spread=spread),), usual="up", can_choose=False)
    course = straight_course(fairway=30, beyond=Ground.HEAVY_ROUGH)
    found = find_practice_worth(course, player, CALM.changed(draws=256))
    shares = {share.name: share for share in found.shares}
    assert set(shares) == set(ERRORS)
    assert shares["face"].alone == pytest.approx(1, abs=0.05)
    assert shares["face"].total == pytest.approx(1, abs=0.05)
    for name in ERRORS[1:]:
        assert shares[name].total == pytest.approx(0, abs=1e-9)
    assert found.savings[0].name == "a fifth less face error"
    assert "learning to hit down, too" in {worth.name for worth in found.savings}


def test_a_second_strike_never_costs(amateur: Player, demo_course: Course) -> None:
    """Who may choose by the hole can always choose as before."""
    alone = replace(
        amateur, strikes=tuple(s for s in amateur.strikes if s.name != "up" or s.club != "driver")
    )
    found = find_practice_worth(
        demo_course, replace(alone, usual="down"), CALM.changed(draws=256), holes=[2, 8, 17]
    )
    learnt = next(worth for worth in found.savings if worth.name == "learning to hit up, too")
    assert learnt.saved > 0.02


def test_the_command_says_it_in_order(demo_course: Course, amateur: Player, run: Run) -> None:
    found = find_practice_worth(demo_course, amateur, CALM.changed(draws=256), holes=[4])
    words = ["practice", str(find(COURSE)), str(find(PLAYER)), "--hole", "4", "--draws", "256"]
    code, said, _ = run(*words)
    assert code == 0
    assert said.rstrip("\n") == practice_text(found)
    assert max(map(len, said.splitlines())) <= 110
    content = json.loads(run(*words, "--json")[1])
    assert [change["name"] for change in content["changes"]] == [w.name for w in found.savings]
    assert np.sum([share["alone"] for share in content["variance"]]) < 1.1


def test_what_cannot_be_is_one_line(run: Run, tmp_path: Path) -> None:
    code, out, heard = run("practice", str(find(COURSE)), str(find(PLAYER)), "--draws", "1000")
    assert (code, out) == (2, "")
    assert "not a power of two" in heard
    code, out, heard = run("practice", str(find(COURSE)), str(tmp_path / "none.toml"))
    assert (code, out) == (2, "")
