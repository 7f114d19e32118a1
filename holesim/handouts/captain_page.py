"""The captain's page: the sheet in one HTML file that fetches nothing, for a phone and for print."""

from collections.abc import Iterator
from html import escape
from pathlib import Path

from holesim._version import __version__
from holesim.common.text_format import sentence
from holesim.handouts.captain_sheet import write_captain_sheet
from holesim.handouts.web_page import html_document, marker_svg
from holesim.pictures.hole_picture import CLUB_STYLE, DRIVER_STYLES
from holesim.plan import explain
from holesim.reports.team_text import (
    LEGEND,
    PlayerStrip,
    TeeLine,
    assumed_text,
    conditions_text,
    expected_text,
    format_text,
    player_strips,
    side_text,
    strip_legend,
    tees_text,
    total_text,
    worth_text,
)
from holesim.reports.team_words import findings
from holesim.team.team_plan import SidePlan, TeamPlan


def write_captain_files(plan: TeamPlan, folder: Path) -> None:
    """Write captain.html, and captain.pdf beside it; the same plan gives the same bytes."""
    (folder / "captain.html").write_text(captain_page(plan), encoding="utf-8")
    write_captain_sheet(plan, folder / "captain.pdf")


def captain_page(plan: TeamPlan) -> str:
    """Return the HTML of a captain's plan."""
    title, strips = escape(f"{plan.course.name}, for {plan.team.name}"), player_strips(plan)
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
        f'<p class="quiet">{escape(LEGEND)}</p>',
        *_points_table(plan),
        "<h2>A strip for each player</h2>",
        f'<p class="quiet">{escape(strip_legend(strips))}</p>',
        *(text for strip in strips for text in _strip(strip)),
        "</main>",
        f'<footer class="quiet"><p>{escape(" ".join(explain.CAUTIONS))}</p>',
        f"<p>{escape(assumed_text(plan))}</p>",
        f"<p>Made before the round with holesim {__version__}.</p></footer>",
    ]
    return html_document(title, body)


def _side(side: SidePlan, unit: str) -> str:
    """Return who a side is and what it may expect, and below that who hits what where."""
    expected, below = (
        escape(sentence(expected_text(side, unit))),
        "<br>".join(escape(sentence(text)) for text in tees_text(side)),
    )
    who = f"<strong>{escape(side_text(side))}</strong><br>{expected}"
    return f'{who}<br><span class="quiet">{below}</span>'


def _points_table(plan: TeamPlan) -> Iterator[str]:
    """Yield the points that each side may expect against each opponent."""
    if not plan.points:
        return
    heads = "".join(f'<th scope="col">{escape(" and ".join(names))}</th>' for names in plan.opponents)
    yield '<div class="wide"><table><caption>Expected points against</caption>'
    yield f"<thead><tr><td></td>{heads}</tr></thead><tbody>"
    for names, row in zip(plan.rows, plan.points, strict=True):
        cells = "".join(f"<td>{points:.2f}</td>" for points in row)
        yield f'<tr><th scope="row">{escape(" and ".join(names))}</th>{cells}</tr>'
    yield "</tbody></table></div>"


def _strip(strip: PlayerStrip) -> Iterator[str]:
    """Yield what one player needs."""
    yield f"<section><h3>{escape(strip.name)}</h3>"
    if strip.company:
        yield f"<p>{escape(sentence(strip.company))}</p>"
    yield '<ul class="tees">'
    yield from map(_tee, strip.tees)
    yield "</ul>"
    for change in strip.changes:
        yield f"<p>{escape(sentence(change))}</p>"
    yield "</section>"


def _tee(tee: TeeLine) -> str:
    """Return a hole, the strokes received there, the strike, what the next best costs more, and the aim."""
    length = f'<span class="quiet">par {tee.par}, {tee.yards} yd</span>'
    hole = f"<b>{tee.hole.number}</b>{tee.dots} {length}"
    if tee.drive is None:
        return f"<li class=quiet>{hole}; partner drives</li>"
    strike = tee.drive.strike
    hit = f"{marker_svg(DRIVER_STYLES.get(strike, CLUB_STYLE))} {escape(strike)} {worth_text(tee.drive)}"
    return f'<li>{hole} {hit.strip()} <span class="quiet">{escape(tee.drive.mark.text())}</span></li>'
