"""What every player of a team and its opponents may score on a course, found once for all formats."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from holesim.course.course import Course
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.team.handicap import Format
from holesim.team.kept_scores import load_round, round_name, save_round
from holesim.team.pair_options import PairOptions, Partners
from holesim.team.partner_drives import Partner, make_partner
from holesim.team.roster_scores import PlayerHole, RosterScores, Round, ToPlay, play_course, rank_strikes
from holesim.team.side_options import Group
from holesim.team.strike_scores import StrikeScores
from holesim.team.team_file import Team
from holesim.team.tees_and_handicaps import find_handicaps, find_tees


@dataclass(frozen=True)
class PlayedCourse:
    """What every player may score on a course, for any format.

    Attributes
    ----------
    rounds
        Of each player, all strikes tried on each hole, also those that the player does not hit.
    pairs
        What pairs may do with one ball, if that was asked for.
    assumed
        What was assumed about tees.
    names
        Under which each player's round is kept.
    """

    roster: RosterScores
    rounds: Sequence[Round]
    pairs: PairOptions | None
    assumed: tuple[str, ...]
    names: tuple[str, ...]

    def among(self, places: Group) -> "PlayedCourse":
        """Return what some players may score, by their places in the roster, in one of them alone."""
        return PlayedCourse(
            self.roster.among(places),
            [self.rounds[i] for i in places],
            None if self.pairs is None else self.pairs.among(places),
            self.assumed,
            tuple(self.names[i] for i in places),
        )


@dataclass(frozen=True)
class CourseRound:
    """A round to be played: by the team's players, then the opponents, if they are met.

    `one_ball` are the formats with one ball that are to be planned.
    """

    players: Sequence[Player]
    options: RoundOptions
    one_ball: tuple[Format, ...]


def play_rounds(
    course: Course,
    team: Team,
    rounds: Sequence[CourseRound],
    *,
    net: bool,
    progress: Callable[[int, int], None] | None = None,
) -> list[PlayedCourse]:
    """Return what players may score on a course: the long part of a plan, the same for all formats.

    Parameters
    ----------
    rounds
        Their options differ in the wind alone.
    net
        Whether handicap strokes count.

    Raises
    ------
    InputError
        If a tee is not on the course, or a hole cannot be played.

    Notes
    -----
    The rounds are kept on disk. What players bring to a shared ball is not: it takes too much room. Players
    whose rounds are kept play again where a pair of theirs is not.
    """
    playing = [_Playing(course, team, one, net=net) for one in rounds]
    to_play = [one for one in playing if one.missing]
    if to_play:
        most = max(to_play, key=lambda one: len(one.tees))
        found = play_course(course, most.round.players, most.tees, [one.to_play for one in to_play], progress)
        for one, by_hole in zip(to_play, found, strict=True):
            one.add(by_hole)
    return [one.played() for one in playing]


_Made = tuple[tuple[StrikeScores, ...], Partner | None]


class _Playing:
    """A round while it is played: whose rounds are kept on disk, and whose are missing."""

    def __init__(self, course: Course, team: Team, round_: CourseRound, *, net: bool) -> None:
        self.course, self.round = course, round_
        players, options = round_.players, round_.options
        self.tees = find_tees(course, team, players)
        none = (0.0,) * len(players), list[str]()
        self.handicaps, self.assumed = find_handicaps(course, team, players, self.tees) if net else none
        self.names = tuple(
            round_name(course, player, own, options, place)
            for place, (player, own) in enumerate(zip(players, self.tees, strict=True))
        )
        self.found = [load_round(name) for name in self.names]
        self.missing = [place for place, round_ in enumerate(self.found) if round_ is None]
        self.partners = Partners(self._find_partners)

    def _find_partners(self, places: Sequence[int]) -> list[list[Partner]]:
        again = ToPlay(self.round.options, places, make_partner)
        (by_hole,) = play_course(self.course, self.round.players, self.tees, [again])
        return by_hole

    @property
    def to_play(self) -> ToPlay[_Made]:
        """What is missing."""
        return ToPlay(self.round.options, self.missing, self._summarise)

    def _summarise(self, played: PlayerHole) -> _Made:
        strikes = tuple(strike.scores() for strike in played.strikes)
        return strikes, make_partner(played) if self.round.one_ball else None

    def add(self, by_hole: Sequence[Sequence[_Made]]) -> None:
        """Take what was missing, and keep it on disk."""
        for place, own in zip(self.missing, zip(*by_hole, strict=True), strict=True):
            self.found[place] = round_ = [strikes for strikes, _ in own]
            save_round(self.names[place], round_)
            brought = [partner for _, partner in own if partner is not None]
            if brought:
                self.partners.add(place, brought)

    def played(self) -> PlayedCourse:
        """Return the round once nothing is missing."""
        players, holes, one_ball = tuple(self.round.players), self.course.holes, self.round.one_ball
        rounds = [round_ for round_ in self.found if round_ is not None]
        gross = tuple(rank_strikes(*one, holes) for one in zip(rounds, players, strict=True))
        roster = RosterScores(players, holes, self.tees, gross, self.handicaps)
        everyone = tuple(range(len(players)))
        pairs = PairOptions(one_ball, roster, self.partners, self.names, everyone) if one_ball else None
        return PlayedCourse(roster, rounds, pairs, tuple(self.assumed), self.names)
