"""What a choice gains, and whether it matters."""

from holesim.team.benefit import Benefit


def test_what_a_choice_gains_on_average_decides_and_how_sure_it_is_does_not() -> None:
    for chance, value, matters, close in (
        (0.99, 0.5, True, False),
        (0.7, 0.5, True, True),
        (0.99, 0.01, False, True),
        (0.01, -0.5, False, True),
    ):
        found = Benefit(
            choice="strike", value=value, low=value - 1, high=value + 1, chance=chance, unit="strokes"
        )
        assert (found.matters, found.close) == (matters, close)
