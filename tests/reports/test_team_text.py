"""A captain's plan in a terminal, on strips, and in team.json."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from holesim.data.examples import find
from holesim.reports.team_json import team_dict
from holesim.reports.team_text import in_hundred, player_strips, side_text, team_text
from holesim.reports.team_words import allowance_text, handicap_rows
from holesim.team.team_plan import Change, DriveInTrouble
from tests.conftest import Run
from tests.paper import check_paper
from tests.team.teams import LONG, OTHERS, TWO_HOLES, planned, team_of


def test_chances_add_to_a_hundred() -> None:
    assert in_hundred((0.005, 0.99, 0.005)) == [1, 99, 0]
    for chances in np.random.default_rng(1).dirichlet(np.ones(3), 200):
        found = in_hundred(chances.tolist())
        assert sum(found) == 100
        assert np.abs(np.array(found) - 100 * chances).max() < 1


def test_a_strip_says_where_strokes_fall() -> None:
    """A plus handicap gives strokes back in stroke play; in a match the lowest plays off nought."""
    plus = replace(OTHERS[0], handicap_index=-9.0)
    (side,) = planned(TWO_HOLES, team_of(plus), "stroke", net=True).sides
    assert side_text(side) == "Player 0 (gives 1)"
    other = replace(OTHERS[1], name="Rival", handicap_index=17.0)
    plan = planned(TWO_HOLES, team_of(plus, opponents=[other]), "singles", net=True)
    (strip,) = player_strips(plan)
    assert strip.company == "against Rival; Rival receives 3 (one on every hole and one more on hole 1)"
    assert [tee.dots for tee in strip.tees] == ["", ""]
    (strip,) = player_strips(planned(TWO_HOLES, team_of(other, opponents=[plus]), "singles", net=True))
    assert strip.company == "against Player 0; receives 3"
    assert [tee.dots for tee in strip.tees] == ["••", "•"]


def test_what_partners_wait_for_stands_on_their_own_strips() -> None:
    hole = replace(
        planned(TWO_HOLES, team_of(*OTHERS[:2]), "four-ball").sides[0].holes[0], first="Player 0",
        changes=(Change(who="Player 1", strike="down", when=DriveInTrouble("Player 0")),),
    )  # fmt: skip
    plan = planned(TWO_HOLES, team_of(*OTHERS[:2]), "four-ball")
    (side,) = plan.sides
    first, second = player_strips(replace(plan, sides=(replace(side, holes=(hole, side.holes[1])),)))
    assert first.changes == ("hole 1: tee off first",)
    assert second.changes == ("hole 1: hit down once Player 0 is in trouble",)


def test_the_report_says_what_does_not_matter() -> None:
    twins = [replace(LONG, name=f"Twin {k}") for k in range(4)]
    said = team_text(planned(TWO_HOLES, team_of(*twins), "four-ball"))
    assert "everyone hits their own best strikes" in said
    assert "Rule 4.3a" in said


def test_strokes_against_each_who_may_be_met_are_on_the_strip() -> None:
    rivals = [replace(one, name=f"Rival {k}") for k, one in enumerate(OTHERS[::3])]  # scratch, and nine
    team = team_of(*OTHERS[2:], opponents=rivals, order_known=False)
    plan = planned(TWO_HOLES, team, "singles", net=True)
    strips = {strip.name: strip for strip in player_strips(plan)}
    assert "receives" not in strips["Player 2"].company
    assert strips["Player 2"].meetings == ("against Rival 0: receives 1 (on hole 1)",)
    said = team_text(plan)
    (meeting, other) = plan.sides[0].meetings
    assert f"against Rival 0: {meeting.points:.2f} points; Player 2 receives 1\n" in said
    assert f"against Rival 1: {other.points:.2f} points\n" in said
    assert "averages over all opponents, each as likely" in " ".join(said.split())


def test_handicaps_stand_beside_the_allowance() -> None:
    """Course handicaps by hand, over two holes of 18: par 7, an index of 20 is 2.2, one of 45 is 5.0."""
    pair = [replace(OTHERS[0], handicap_index=45.0), replace(OTHERS[1], handicap_index=20.0)]
    rows = [
        (row.who, row.course, row.share, row.playing)
        for row in handicap_rows(planned(TWO_HOLES, team_of(*pair), "greensomes", net=True))
    ]
    assert rows == [("Player 0 and Player 1", "5.0 and 2.2", "40 % and 60 %", "3")]  # 2.0 and 1.33
    plan = planned(TWO_HOLES, replace(team_of(*pair), allowances={"stroke": 0.5}), "stroke", net=True)
    assert [(row.course, row.share, row.playing) for row in handicap_rows(plan)] == [
        ("5.0", "50 %", "3"),
        ("2.2", "50 %", "1"),
    ]
    assert allowance_text(plan) == "50 % of the course handicap, stated by the committee"
    assert "handicaps: the allowance is 50 % of the course handicap" in team_text(plan)
    assert team_dict(plan)["handicaps"][1] == {
        "players": ["Player 1"], "course_handicaps": [pytest.approx(20 / 9)], "allowance": [0.5],
        "playing_handicap": 1,
    }  # fmt: skip
    gross = planned(TWO_HOLES, team_of(*pair), "stroke")
    assert handicap_rows(gross) == []
    assert allowance_text(gross) == ""


def test_the_command(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "team.toml"
    players = [str(find(f"players/{name}.toml")) for name in ("good_amateur", "wild_man")]
    path.write_text(
        f'name = "Two"\nplayers = {json.dumps(players)}\norder_known = true\n'
        'opponents = [{ name = "A", handicap_index = 3, club_speed_mph = 104 },'
        " { handicap_index = 12.0, club_speed_mph = 95.0 }]\n"
    )
    words = ("team", str(find("template.geojson")), str(path), "--format", "foursomes", "--draws", "256")
    code, said, err = run(*words, "--out", str(tmp_path / "out"), "--paper", "letter")
    assert code == 0, err
    check_paper(tmp_path / "out" / "captain.pdf", "letter")
    assert "Corin Vale" in said
    assert max(map(len, said.splitlines())) <= 130
    content = json.loads((tmp_path / "out" / "team.json").read_text(encoding="utf-8"))
    assert content["sides"][0]["against"] == ["A", "opponent 2"]
    for player in content["players"]:
        (hole,) = player["holes"]
        for strike in hole["strikes"]:
            scores = np.array(strike["scores"])
            assert scores.sum() == pytest.approx(1, abs=1e-4)
            assert scores @ np.arange(1, len(scores) + 1) == pytest.approx(strike["strokes"], abs=1e-3)
    code, said, _ = run(*words, "--json")
    assert json.loads(said) == content
    code, said, err = run(*words[:4], "five-ball")
    assert (code, said) == (2, "")
