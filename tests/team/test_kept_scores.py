"""What is kept on disk of a team's plan: what decides its name, and that it changes no plan."""

import json
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import chain
from pathlib import Path

import numpy as np
import pytest

from holesim.common import disk_cache
from holesim.course.course import Course
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.reports.team_json import team_dict
from holesim.team import kept_scores, pair_options, played_course
from holesim.team.handicap import Format
from holesim.team.kept_scores import load_pair, load_round, round_name, save_pair, save_round
from holesim.team.roster_scores import ToPlay, play_course
from holesim.team.side_options import Group, SideOption
from holesim.team.team_file import Team
from holesim.team.tees_and_handicaps import Tees
from tests.team.teams import (
    FEW,
    LONG,
    OTHERS,
    SHORT,
    TWO_HOLES,
    drawn,
    planned,
    renamed,
    strike_scores,
    team_of,
)

TEES = tuple(hole.tees[0] for hole in TWO_HOLES.holes)


@pytest.fixture(autouse=True)
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Let each test keep what it finds in a folder of its own."""
    monkeypatch.setenv("HOLESIM_CACHE", str(tmp_path / "kept"))
    return tmp_path / "kept"


@pytest.fixture
def flown(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Return how many players have played, call after call."""
    counts: list[int] = []

    def counted(
        course: Course,
        players: Sequence[Player],
        tees: Tees,
        rounds: Sequence[ToPlay[object]],
        progress: Callable[[int, int], None] | None = None,
    ) -> list[list[list[object]]]:
        counts.extend(len(one.places) for one in rounds)
        return play_course(course, players, tees, rounds, progress)

    monkeypatch.setattr(played_course, "play_course", counted)
    return counts


def plan_of(team: Team, format_: Format, course: Course = TWO_HOLES) -> str:
    return json.dumps(team_dict(planned(course, team, format_)))


def name_of(
    course: Course = TWO_HOLES, player: Player = LONG, options: RoundOptions = FEW, place: int = 0
) -> str:
    return round_name(course, player, TEES, options, place)


def with_wider_face(player: Player) -> Player:
    """Return a player whose face angle scatters a little more in the first strike."""
    first, *others = player.strikes
    wider = replace(first.spread, face=1.05 * first.spread.face)
    return replace(player, strikes=(replace(first, spread=wider), *others))


@pytest.mark.parametrize(
    "other",
    [
        lambda: name_of(player=with_wider_face(LONG)),
        lambda: name_of(player=replace(LONG, handicap_index=2.1)),
        lambda: name_of(player=replace(LONG, can_choose=False)),
        lambda: name_of(options=FEW.changed(draws=512)),
        lambda: name_of(options=FEW.changed(seed=2)),
        lambda: name_of(options=FEW.changed(wind_mph=9.0)),
        lambda: name_of(place=1),
        lambda: name_of(course=replace(TWO_HOLES, areas=TWO_HOLES.areas[1:])),
        lambda: name_of(course=replace(TWO_HOLES, firmness="firm")),
        lambda: round_name(TWO_HOLES, LONG, [replace(TEES[0], y=TEES[0].y + 1), TEES[1]], FEW, 0),
    ],
)
def test_whatever_decides_a_round_is_part_of_its_name(other: Callable[[], str]) -> None:
    assert other() != name_of()


def test_what_a_player_or_a_file_is_called_decides_no_round() -> None:
    assert name_of(player=replace(LONG, name="Another", file="other.toml", sha256="1" * 64)) == name_of()
    assert name_of(course=replace(TWO_HOLES, name="Another", file="other.geojson")) == name_of()


def test_other_code_finds_everything_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    before = name_of()
    monkeypatch.setattr(kept_scores, "code_digest", lambda: "other")
    assert name_of() != before


def test_a_round_and_a_pair_are_read_back_as_they_were() -> None:
    rng = np.random.default_rng(4)
    round_ = [[strike_scores(label, drawn(rng), drawn(rng)) for label in ("up", "down")], []]
    round_[1].append(strike_scores("3-wood", drawn(rng)))
    save_round("round", round_)
    kept = load_round("round")
    assert kept is not None
    assert [len(on_hole) for on_hole in kept] == [2, 1]
    for one, other in zip(chain(*round_), chain(*kept), strict=True):
        assert (one.label, one.club, one.mark) == (other.label, other.club, other.mark)
        np.testing.assert_array_equal(one.in_play, other.in_play)
        np.testing.assert_array_equal(one.in_trouble, other.in_trouble)
    options = [SideOption((label,), drawn(rng), first="Ada") for label in ("up", "down", "7-iron")]
    pair = [[tuple(options[:2]), tuple(options[2:])], [tuple(options[1:]), tuple(options[:1])]]
    save_pair("pair", pair)
    found = load_pair("pair")
    assert found is not None
    for of_hole, known in zip(found, pair, strict=True):
        for of_driver, as_known in zip(of_hole, known, strict=True):
            assert [(one.strikes, one.first) for one in of_driver] == [
                (one.strikes, one.first) for one in as_known
            ]
            for option, as_it_was in zip(of_driver, as_known, strict=True):
                np.testing.assert_array_equal(option.chances, as_it_was.chances)


@pytest.mark.parametrize("format_", ["singles", "foursomes", "greensomes"])
def test_a_plan_from_what_is_kept_is_the_same(format_: Format, flown: list[int], cache: Path) -> None:
    team = team_of(LONG, SHORT, opponents=[renamed(one, f"{one.name}'s rival") for one in (LONG, SHORT)])
    first = plan_of(team, format_)
    assert flown == [4]
    assert plan_of(team, format_) == first
    assert flown == [4]
    # A damaged file is found anew, whatever it holds; only the players whose pair is lost play again.
    for file in sorted(cache.iterdir()):
        if not {"in_play", "points", "drivers"} & set(disk_cache.load(file.name) or ()):
            continue  # a hole, which nobody plays again
        whole = file.read_bytes()
        file.write_bytes(whole[:-20])
        assert plan_of(team, format_) == first
        assert file.read_bytes() == whole
    assert set(flown[1:]) == ({1} if format_ == "singles" else {1, 2})


def test_of_a_changed_player_only_the_round_is_flown_anew(flown: list[int]) -> None:
    plan_of(team_of(*OTHERS), "four-ball")
    changed = with_wider_face(OTHERS[1])
    found = plan_of(team_of(OTHERS[0], changed, *OTHERS[2:]), "four-ball")
    assert flown == [4, 1]
    assert found != plan_of(team_of(*OTHERS), "four-ball")


def test_a_pair_that_is_not_kept_is_found_alone_as_with_all_others(monkeypatch: pytest.MonkeyPatch) -> None:
    """The table of a squad is kept, and other players of it are chosen."""
    squad = replace(team_of(*OTHERS, opponents=[LONG, SHORT]), places=2)
    first = plan_of(squad, "foursomes")
    groups: list[int] = []

    def counted(pairs: Sequence[Group]) -> list[Group]:
        found = share_out_pairs(pairs)
        groups.extend(map(len, found))
        return found

    share_out_pairs = pair_options._groups  # noqa: SLF001 - who is found together
    monkeypatch.setattr(pair_options, "_groups", counted)
    monkeypatch.setattr(pair_options, "load_pair", lambda _: None)
    assert plan_of(squad, "foursomes") == first
    assert groups == [2, 2]
