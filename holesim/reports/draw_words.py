"""The sentences of a draw of the captain's own: what it costs or gains compared with the one found."""

from dataclasses import replace

from holesim.reports.benefit_words import amount_text, interval_text
from holesim.team.benefit import CLOSE, Benefit
from holesim.team.draw_prices import DrawPrice


def price_text(price: DrawPrice) -> str:
    """Return what a draw costs or gains, with its interval and how sure that is."""
    gain = price.gain
    if price.same:
        return "this is the best draw found"
    if abs(gain.value) < CLOSE[gain.unit]:
        least = f"the {CLOSE[gain.unit]:g} {gain.unit} that matter"
        return f"as good as the best draw found: the difference is less than {least}"
    does = "gain" if gain.value > 0 else "cost"
    told = _turned(gain)
    return (
        f"this draw {does}s {amount_text(told)} compared with the best found "
        f"({interval_text(told)}; {told.sure})"
    )


def short_price(price: DrawPrice) -> str:
    """Return the same in two words.

    Examples
    --------
    >>> from holesim.team.benefit import Benefit
    >>> gain = Benefit(choice="draw", value=-0.114, low=-0.2, high=-0.03, chance=0.01, unit="points")
    >>> short_price(DrawPrice(sides=(), total=2.0, gain=gain, same=False))
    'costs 0.11'
    """
    gain = price.gain
    if price.same:
        return "the best"
    if abs(gain.value) < CLOSE[gain.unit]:
        return "as good"
    return f"{'gains' if gain.value > 0 else 'costs'} {abs(gain.value):.2f}"


def total_of_draw(price: DrawPrice) -> str:
    """Return what the team may expect of a draw."""
    if price.gain.unit == "points":
        return f"{price.total:.2f} of {len(price.sides)} points"
    return f"{price.total:.1f} strokes"


def occasion_text(price: DrawPrice) -> str:
    """Return what sheets of a draw by the captain say of it, above their course and format."""
    return f"the captain's own draw, {short_price(price)} {price.gain.unit} compared with the best found"


def _turned(gain: Benefit) -> Benefit:
    """Return a cost as a benefit of the other draw."""
    if gain.value > 0:
        return gain
    return replace(gain, value=-gain.value, low=-gain.high, high=-gain.low, chance=1 - gain.chance)
