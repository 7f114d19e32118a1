"""The captain's page: the sheet in one HTML file that fetches nothing, for a phone and for print."""

from collections.abc import Iterator
from html import escape
from pathlib import Path

from holesim import __version__, advice
from holesim.captain import SidePlan, TeamPlan
from holesim.captain_report import (
    HandOut,
    conditions_text,
    driving_text,
    findings,
    format_text,
    hand_outs,
    side_text,
    total_text,
)
from holesim.captain_sheet import write_captain
from holesim.page import document, mark
from holesim.picture import CLUB, DRIVER
from holesim.words import sentence


def write_captains(plan: TeamPlan, folder: Path) -> None:
    """Write captain.html, and captain.pdf beside it; the same plan gives the same bytes."""
    (folder / "captain.html").write_text(captain_page(plan), encoding="utf-8")
    write_captain(plan, folder / "captain.pdf")


def captain_page(plan: TeamPlan) -> str:
    """Return the HTML of a captain's plan."""
    title = escape(f"{plan.course.name}, for {plan.team.name}")
    said = sentence(f"{format_text(plan)}; {conditions_text(plan)}")
    body = [
        f"<header><h1>{title}</h1>",
        f'<p class="quiet">{escape(said)}</p></header>',
        "<main>",
        f"<p><strong>{escape(sentence(total_text(plan)))}</strong></p>",
        "<ul>",
        *(f"<li>{escape(sentence(text))}</li>" for text in findings(plan)),
        "</ul>",
        "<h2>Sides</h2><ol>",
        *(f"<li>{_side(side, plan.unit)}</li>" for side in plan.sides),
        "</ol>",
        *_chances(plan),
        "<h2>A line for each player</h2>",
        *(text for strip in hand_outs(plan) for text in _strip(strip)),
        "</main>",
        f'<footer class="quiet"><p>{escape(" ".join(advice.CAUTIONS))}</p>',
        f"<details><summary>Things assumed: {len(plan.assumed)}</summary>",
        f"<p>{escape('; '.join(plan.assumed))}</p></details>",
        f"<p>Made before the round with holesim {__version__}.</p></footer>",
    ]
    return document(title, body)


def _side(side: SidePlan, unit: str) -> str:
    """Return who a side is and what it may expect, and below that who drives where."""
    driving = driving_text(side)
    below = f'<br><span class="quiet">{escape(sentence(driving))}</span>' if driving else ""
    return escape(sentence(side_text(side, unit))) + below


def _chances(plan: TeamPlan) -> Iterator[str]:
    """Yield the points that each side may expect against each opponent."""
    if not plan.chances:
        return
    heads = "".join(f'<th scope="col">{escape(" and ".join(names))}</th>' for names in plan.opponents)
    yield '<div class="wide"><table><caption>Expected points against</caption>'
    yield f"<thead><tr><td></td>{heads}</tr></thead><tbody>"
    for names, row in zip(plan.rows, plan.chances, strict=True):
        cells = "".join(f"<td>{points:.2f}</td>" for points in row)
        yield f'<tr><th scope="row">{escape(" and ".join(names))}</th>{cells}</tr>'
    yield "</tbody></table></div>"


def _strip(strip: HandOut) -> Iterator[str]:
    """Yield what one player needs."""
    yield f"<section><h3>{escape(strip.name)}</h3>"
    if strip.place:
        yield f"<p>{escape(sentence(strip.place))}</p>"
    yield '<ul class="cells">'
    for hole, strike in strip.strikes:
        said = f"{mark(DRIVER.get(strike, CLUB))} {escape(strike)}" if strike else "partner"
        yield f"<li{'' if strike else ' class=quiet'}><b>{hole}</b> {said}</li>"
    yield "</ul>"
    for change in strip.changes:
        yield f"<p>{escape(sentence(change))}</p>"
    yield "</section>"
