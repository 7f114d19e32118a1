"""Who comes in for whom, in words."""

from holesim.reports.selection_words import selection_texts
from holesim.team.benefit import Benefit
from holesim.team.selection import Reserve, Selection, Substitute

SQUAD = ("Ana Reith", "Bram Orrel", "Corin Vale", "Dunstan Fell")
COST = Benefit(choice="players", value=0.1, low=-0.05, high=0.25, chance=0.9, unit="points")


def test_who_cannot_be_missed_stands_in_one_sentence() -> None:
    nobody = tuple(Substitute(player, (), (), None) for player in (0, 1, 2))
    chosen = Selection(playing=((0, 1), (1, 2)), gain=None, substitutes=nobody, reserves=())
    (said,) = selection_texts(chosen, SQUAD)
    assert said.startswith("if any of Ana Reith, Bram Orrel and Corin Vale cannot play, too few are left, as")


def test_who_comes_in_who_sits_out_and_what_it_costs() -> None:
    one = Substitute(0, (2, 3), (1,), COST)
    chosen = Selection(
        playing=((0, 1),), gain=None, substitutes=(one,), reserves=(Reserve(3, (1,), (2,), COST),)
    )
    cost = "that costs 0.100 points (\N{MINUS SIGN}0.050 to 0.250)"
    assert selection_texts(chosen, SQUAD) == [
        f"if Ana Reith cannot play, Corin Vale and Dunstan Fell come in and Bram Orrel sits out; {cost}",
        f"reserve 1: Dunstan Fell, with Corin Vale, in place of Bram Orrel; {cost}",
    ]
    assert selection_texts(None, SQUAD) == []
