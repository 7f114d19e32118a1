"""What a captain should know of the players before trusting what is made of their files."""

from collections.abc import Callable, Iterator, Sequence
from typing import Final

from holesim.field import Field, all_day
from holesim.handicap import Rating, index_of
from holesim.holes import ROUND, Hole, Tee
from holesim.player import USUAL_CLUBS, Player
from holesim.prospects import KNOWN, Prospect, pooled
from holesim.rounds import added_up
from holesim.team import Team

_ABOVE_BETTER_HALF: Final = 0.8  # standard deviations from the mean of all scores to that of the better half
_AMISS: Final = 5.0  # of handicap


def of_members(
    field: Field,
    team: Team,
    tees: Callable[[Hole, Player], Tee],
    prospects: Sequence[Sequence[Sequence[Prospect]]],
) -> list[str]:
    """Return what is assumed of players' clubs, who keeps to which strike, and whose handicap does not fit.

    Parameters
    ----------
    prospects
        Of each player on each hole every strike, that of `field` and those they do not hit.
    """
    bare = [player.name for player in team.players if USUAL_CLUBS in player.assumed]
    kept = [
        _kept_text(player, round_)
        for player, round_ in zip(team.players, prospects, strict=False)
        if not player.can_choose
    ]
    return [
        *([f"files that list no clubs, so that the usual ones are taken: {', '.join(bare)}"] if bare else []),
        *([f"one driver strike all day, as their files say: {', '.join(kept)}"] if kept else []),
        *_misfits(field, team, tees),
    ]


def _kept_text(player: Player, round_: Sequence[Sequence[Prospect]]) -> str:
    """Return which strike a player keeps to, and what it saves where it is not the usual one."""
    kept = all_day(round_, player)
    if kept is None:
        return player.name
    if kept.label == player.usual:
        return f"{player.name} {kept.label}"
    return f"{player.name} {kept.label} (not {player.usual}: {kept.saved.value:.1f} strokes saved)"


def _misfits(field: Field, team: Team, tees: Callable[[Hole, Player], Tee]) -> Iterator[str]:
    """Yield who plays to another handicap than is stated, by the ratings that the team's file gives.

    Notes
    -----
    A rating is of the better half of scores (Course Rating System, The R&A and USGA, from memory), so a
    player's is set against their mean less 0.8 standard deviations, as in a long series.
    """
    if len(field.holes) != ROUND:
        return
    par = sum(hole.par for hole in field.holes)
    for player, gross in zip(field.players, field.gross, strict=True):
        rated = team.ratings.get(tees(field.holes[0], player).name)
        if rated is None:
            continue
        total = added_up([pooled(on_hole[0].chances, KNOWN) for on_hole in gross])
        better = float(total.mean()) - _ABOVE_BETTER_HALF * total.spread()
        found = index_of(better, Rating(rated.course, rated.slope, par))
        if abs(found - player.handicap_index) > _AMISS:
            source = "file" if player.sha256 else "club speed"
            yield (
                f"{player.name}'s {source} makes an index of about {found:.0f}, not {player.handicap}: "
                "correct it, or what is made of it misleads"
            )
