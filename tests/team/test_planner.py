"""A captain's plan, all the way."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from holesim.errors import InputError
from holesim.reports.team_json import team_dict
from holesim.reports.team_text import team_text
from holesim.team.handicap import Format
from holesim.team.team_file import Team, load_team
from tests.team.teams import LONG, OTHERS, SHORT, TWO_HOLES, planned, team_of


def test_the_same_seed_gives_the_same_plan(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    found = []
    for threads in ("1", "3"):
        monkeypatch.setenv("HOLESIM_THREADS", threads)
        monkeypatch.setenv("HOLESIM_CACHE", str(tmp_path / threads))
        found.append(json.dumps(team_dict(planned(TWO_HOLES, team_of(LONG, SHORT), "foursomes"))))
    assert found[0] == found[1]


def test_who_hits_the_driver_one_way_by_their_file_and_of_whom_it_is_assumed(tmp_path: Path) -> None:
    about = 'name = "{}"\nhand = "right"\nsex = "man"\nhandicap_index = 9.0\nclub_speed_mph = 95\n'
    for name, habit in (("A", ""), ("B", "can_choose = false\n"), ("C", "can_choose = true\n")):
        (tmp_path / f"{name}.toml").write_text(about.format(name) + habit, "utf-8")
    (tmp_path / "team.toml").write_text('name = "D"\nplayers = ["A.toml", "B.toml", "C.toml"]\n', "utf-8")
    plan = planned(TWO_HOLES, load_team(tmp_path / "team.toml"), "stroke")
    assert [(one.player.name, one.assumed) for one in plan.one_strike] == [("A", True), ("B", False)]
    for one in plan.one_strike:
        assert one.choice is not None
        assert one.choice.label in ("up", "down")
    # Nobody drives at a par 3 for want of another club.
    for side in plan.sides:
        assert side.holes[1].drives[0].strike not in ("up", "level", "down")


@pytest.mark.parametrize(
    ("team", "format_", "options", "message"),
    [
        (
            team_of(*OTHERS[:2], opponents=OTHERS),
            "singles",
            {},
            "opponents: 4 are more than the 2 who could play",
        ),
        (
            replace(team_of(*OTHERS, opponents=OTHERS[:2]), places=3),
            "singles",
            {},
            "opponents: 2 do not go with 3 players",
        ),
        (replace(team_of(LONG), places=2), "stroke", {}, "places: 2 are more than the 1 who could play"),
        (replace(team_of(*OTHERS), places=3), "four-ball", {}, "places: 3 do not make pairs"),
        (team_of(*OTHERS), "foursomes", {"count": 2}, "count: does not go with foursomes"),
        (replace(team_of(LONG), tees={"man": "red"}), "stroke", {}, "tees.man: hole 1 has no tee red"),
    ],
)
def test_a_team_that_does_not_fit(team: Team, format_: Format, options: dict[str, int], message: str) -> None:
    with pytest.raises(InputError) as caught:
        planned(TWO_HOLES, team, format_, **options)
    assert message in str(caught.value)


def test_of_a_squad_some_play_and_the_others_stand_by() -> None:
    """Two of four play; the others stand by, in order."""
    squad = team_of(*OTHERS, opponents=OTHERS[:2], order_known=False)
    plan = planned(TWO_HOLES, squad, "singles")
    assert plan.selection is not None
    assert len(plan.sides) == 2
    chosen = plan.selection.playing[0]
    assert {player.name for player in plan.team.players} == {plan.squad[i] for i in chosen}
    assert set(range(4)) - set(chosen) == {one.player for one in plan.selection.reserves}
    text = team_text(plan)
    assert "reserve 1: " in text
    assert team_dict(plan)["selection"]["reserves"][0]["player"] in plan.squad
