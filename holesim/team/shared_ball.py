"""What two players who play one ball in turn may score on a hole, in foursomes and in greensomes.

After a drive out of bounds the partner plays again from the tee (Rule 22.3). Whether a ball in a penalty area
is replayed from the tee is decided as a player alone would.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.scoring.score_chances import AlternateShotChances, solve_alternate_shots
from holesim.team import _shared_ball_kernel as kernel
from holesim.team.partner_drives import STROKES, Partner, PartnerDrives, PartnerStrike
from holesim.team.side_options import SideOption
from holesim.team.strike_scores import DRAW_SETS, MOST_FROM_TEE, SELECTION_SETS, mean_chances, pad_to_scores

Floats = NDArray[np.float64]

_PARTS: Final = 64  # parts of a stroke by which costs are told apart
_COSTLIEST: Final = 2 * MOST_FROM_TEE  # strokes


@dataclass(frozen=True)
class StrikeInTurn:
    """A strike of one of several golfers who may share the ball, any other of whom may play next."""

    strike: PartnerStrike
    turns: AlternateShotChances
    driver: int

    @cached_property
    def then(self) -> NDArray[np.float32]:
        """The chances from the places that drives are played on from, by who plays next."""
        return self.turns.at(self.strike.drives.places, self.driver)

    @cached_property
    def played_on(self) -> Floats:
        """The chances by drives played on, shape (golfers who play next, draw sets, strokes)."""
        drives = self.strike.drives
        return drives.chances(self.then, drives.equal_shares)

    @cached_property
    def played_on_in_selection(self) -> Floats:
        """The mean of those chances over the selection sets, shape (golfers who play next, strokes)."""
        return mean_chances(self.played_on, SELECTION_SETS)

    @cached_property
    def costs(self) -> Floats:
        """The mean strokes of each drive where played on, shape (golfers who play next, drives)."""
        return self.strike.drives.costs(self.then)


@dataclass(frozen=True)
class PairHole:
    """A hole for a pair: their places in their group, names, and each one's strikes, own best first."""

    players: tuple[int, int]
    names: tuple[str, str]
    strikes: tuple[list[StrikeInTurn], list[StrikeInTurn]]

    @cached_property
    def played_on(self) -> list[list[Floats]]:
        """By player and strike, the chances in each draw set where the drive is played on."""
        return [[s.played_on[self.players[1 - who]] for s in self.strikes[who]] for who in (0, 1)]

    @cached_property
    def tee_shots(self) -> list[kernel.TeeShots]:
        """By player, what follows each strike in the selection sets."""
        return [
            kernel.TeeShots(
                np.stack([s.played_on_in_selection[self.players[1 - who]] for s in strikes]),
                np.array([s.strike.replayed_in_selection for s in strikes]),
            )
            for who, strikes in enumerate(self.strikes)
        ]

    @cached_property
    def tee_chances(self) -> Floats:
        """The chances where either player plays from the tee, shape (2, strokes).

        Notes
        -----
        E_A = e_A + p_A (2 + E_B), e_A the part played on, p_A the share replayed, and likewise E_B; each
        hits the strike that makes theirs least.
        """
        chances = np.empty((2, len(STROKES)))
        kernel.fill_from_tee(*self.tee_shots, chances)
        return chances

    def foursomes(self, driver: int) -> tuple[SideOption, ...]:
        """Return an option for each strike of the player who drives, own best first."""
        replayed, name = self._replayed[driver], self.names[driver]
        return tuple(
            SideOption(
                (s.strike.label,), pad_to_scores(on + s.strike.replayed[:, None] * replayed), first=name
            )
            for s, on in zip(self.strikes[driver], self.played_on[driver], strict=True)
        )

    def greensomes(self) -> tuple[SideOption, ...]:
        """Return options by the strikes of both players, the better of whose drives is played on.

        The first is both players' own best strikes, the second the best pair of strikes. After each of these
        come the best pairs that change the strike of one player.
        """
        above = [_chances_above_parts(costs) for costs in self._costs]
        expected = above[0] @ above[1].T / _PARTS
        best = divmod(int(expected.argmin()), expected.shape[1])
        chosen = [(0, 0), best]
        for i, j in ((0, 0), best):
            chosen += [(k, j) for k in _least_but(i, expected[:, j])]
            chosen += [(i, k) for k in _least_but(j, expected[i])]
        mine, others = (
            {k: self._greensomes_drives(who, k) for k in dict.fromkeys(tried)}
            for who, tried in enumerate(zip(*chosen, strict=True))
        )
        return tuple(_better_drive(mine[i], others[j]) for i, j in dict.fromkeys(chosen))

    @cached_property
    def _replayed(self) -> list[Floats]:
        """For each player as the driver, the chances where a drive is replayed by the other."""
        return [two_strokes_later(self.tee_chances[1 - who]) for who in (0, 1)]

    @cached_property
    def _costs(self) -> list[Floats]:
        """By player, the mean strokes of each drive, shape (strikes, drives); the partner plays next."""
        found = []
        for who, strikes in enumerate(self.strikes):
            replayed, partner = self._replayed[who] @ STROKES, self.players[1 - who]
            found.append(np.stack([s.costs[partner] + s.strike.drives.replayed * replayed for s in strikes]))
        return found

    def _greensomes_drives(self, who: int, k: int) -> "_GreensomesDrives":
        strike = self.strikes[who][k]
        label, drives = strike.strike.label, strike.strike.drives
        then = np.ascontiguousarray(strike.then[..., self.players[1 - who], None])
        return _GreensomesDrives(label, drives, then, self._replayed[who], self._costs[who][k])


def make_pair_holes(
    partners: Sequence[Partner], names: Sequence[str], labels: Sequence[Sequence[str]]
) -> list[PairHole]:
    """Return a hole for each pair of a group of partners.

    Parameters
    ----------
    labels
        By partner, the strikes that each may hit, own best first.
    """
    driven = [strike.drives.places for partner in partners for strike in partner.strikes.values()]
    turns = solve_alternate_shots(
        [partner.scores for partner in partners],
        [partner.shots for partner in partners],
        np.concatenate(driven),
    )
    strikes = [
        [StrikeInTurn(partner.strikes[label], turns, k) for label in own]
        for k, (partner, own) in enumerate(zip(partners, labels, strict=True))
    ]
    return [
        PairHole((i, j), (names[i], names[j]), (strikes[i], strikes[j]))
        for i, j in combinations(range(len(partners)), 2)
    ]


def two_strokes_later(chances: Floats) -> Floats:
    """Return chances of `STROKES` two strokes later: after a drive and its penalty."""
    moved = np.roll(chances, 2, axis=-1)
    moved[..., -1] += moved[..., 0] + moved[..., 1]
    moved[..., :2] = 0
    return moved


# --- the better of two drives -------------------------------------------------------------------------


@dataclass(frozen=True)
class _GreensomesDrives:
    """One strike's drives, the chances from their places and where one is replayed, and each drive's cost."""

    label: str
    drives: PartnerDrives
    then: NDArray[np.float32]
    replayed: Floats
    costs: Floats

    @cached_property
    def costs_in_order(self) -> Floats:
        """The costs, rising."""
        return np.sort(self.costs)

    def chances(self, shares: Floats) -> Floats:
        """Return the chance of each of `STROKES` in each draw set, if drives count by `shares`."""
        (on,) = self.drives.chances(self.then, shares)
        return np.asarray(on + self.drives.replayed_share(shares)[:, None] * self.replayed)


def _better_drive(one: _GreensomesDrives, other: _GreensomesDrives) -> SideOption:
    """Return the option of two strikes, of which the drive that costs less counts."""
    mine = one.chances(_share_above(other.costs_in_order, one.costs, equal=True))
    total = mine + other.chances(_share_above(one.costs_in_order, other.costs, equal=False))
    return SideOption((one.label, other.label), pad_to_scores(total / total.sum(axis=1, keepdims=True)))


def _chances_above_parts(costs: Floats) -> Floats:
    """Return the chance that a drive of the selection sets costs more than each part of a stroke.

    Parameters
    ----------
    costs
        Of each drive, shape (strikes, drives).

    Returns
    -------
    Array of shape (strikes, parts). The product of two players', summed, is the mean of the better of two
    drives, in such parts, rounded down.
    """
    above = np.empty((len(costs), _COSTLIEST * _PARTS))
    kernel.count_above(costs, costs.shape[1] // DRAW_SETS, SELECTION_SETS.step, _PARTS, above)
    return above


def _least_but(place: int, costs: Floats) -> list[int]:
    """Return the place of the least cost but for this place, if there is another."""
    return [k for k in np.argsort(costs, kind="stable").tolist() if k != place][:1]


def _share_above(others: Floats, costs: Floats, *, equal: bool) -> Floats:
    """Return the share of others, in rising order, above each cost, or not below it."""
    shares = np.empty(len(costs))
    kernel.fill_shares_above(others, costs, equal, shares)
    return shares
