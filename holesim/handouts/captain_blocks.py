"""Parts of a captain's page, in HTML: a match hole by hole, and a player's strip, also as a page."""

from collections.abc import Iterator, Sequence
from html import escape

from holesim._version import __version__
from holesim.common.text_format import sentence
from holesim.handouts.captain_parts import MatchHole, MatchSheet, headline
from holesim.handouts.web_page import html_document, marker_svg, read_asset
from holesim.pictures.hole_picture import CLUB_STYLE, DRIVER_STYLES
from holesim.plan import explain
from holesim.reports.team_text import PlayerStrip, TeeLine, strip_legend, worth_text
from holesim.team.team_plan import PlannedDrive, TeamPlan


def player_page(plan: TeamPlan, strip: PlayerStrip) -> str:
    """Return the HTML of a page for one player alone."""
    title = escape(f"{strip.name}: {plan.course.name}, for {plan.team.name}")
    body = [
        f"<header><h1>{escape(strip.name)}</h1>",
        f'<p class="quiet">{escape(sentence(headline(plan)))}</p></header>',
        "<main>",
        *_strip_body(strip),
        f'<p class="quiet">{escape(strip_legend([strip]))}</p>',
        "</main>",
        *foot_html(),
    ]
    return html_document(title, body, head=captain_style())


def captain_style() -> str:
    """Return the style sheet of a captain's page, for the head of a document."""
    return f"\n<style>\n{read_asset('captain.css')}</style>"


def foot_texts() -> tuple[str, ...]:
    """Return the cautions, and what made the page."""
    return (" ".join(explain.CAUTIONS), f"Made before the round with holesim {__version__}.")


def foot_html() -> Iterator[str]:
    """Yield the foot of a page."""
    yield '<footer class="quiet">'
    yield from (f"<p>{escape(text)}</p>" for text in foot_texts())
    yield "</footer>"


# --- a match ----------------------------------------------------------------------------------------


def match_html(sheet: MatchSheet, number: int) -> Iterator[str]:
    """Yield a match: both sides, and on each hole our strikes and the strokes that each side receives."""
    yield f'<section id="match-{number}" aria-labelledby="match-{number}-title">'
    yield f'<h3 id="match-{number}-title">Match {number}: {escape(sheet.sides)}</h3>'
    yield f"<p>{escape(sentence(sheet.expected))}</p>"
    yield from _list(sheet.meetings)
    yield '<table class="holes"><thead><tr><th scope="col">hole</th><th scope="col">par</th>'
    yield "".join(f'<th scope="col" class="name">{escape(name)}</th>' for name in sheet.ours)
    yield "".join(
        f'<th scope="col" class="dots"><span>{escape(name)}</span></th>' for name in sheet.receivers
    )
    yield "</tr></thead><tbody>"
    for hole in sheet.holes:
        yield _match_hole(hole, shared=sheet.shared)
    yield "</tbody></table>"
    yield from _list(sheet.changes)
    yield "</section>"


def _match_hole(hole: MatchHole, *, shared: bool) -> str:
    """Return a hole of a match; the strokes of a pair with one ball stand by the hole."""
    pair = f" {hole.ours[0].dots}" if shared and hole.ours[0].dots else ""
    ours = ("" if tee.drive is None else _strike(tee.drive, "" if shared else tee.dots) for tee in hole.ours)
    row = "".join(f"<td>{cell}</td>" for cell in (hole.par, *ours, *hole.their_dots))
    return f'<tr><th scope="row">{hole.hole.number}{pair}</th>{row}</tr>'


def _strike(drive: PlannedDrive, dots: str = "") -> str:
    """Return a strike and its marker, which do not part at the end of a line, and strokes received."""
    club, _, how = drive.strike.partition(" ")
    marker = marker_svg(DRIVER_STYLES.get(drive.strike, CLUB_STYLE))
    parts = [f"{marker} {escape(club)}", escape(how)] if how else [f"{marker} {escape(club)}"]
    parts[-1] += f" {dots}" if dots else ""
    return " ".join(f'<span class="hit">{part}</span>' for part in parts)


# --- a strip ----------------------------------------------------------------------------------------


def strip_html(strip: PlayerStrip, name: str) -> Iterator[str]:
    """Yield a player's strip, to be linked to by a name of its own."""
    yield f'<section class="strip" id="{name}" aria-labelledby="{name}-title">'
    yield f'<h3 id="{name}-title">{escape(strip.name)}</h3>'
    yield from _strip_body(strip)
    yield "</section>"


def _strip_body(strip: PlayerStrip) -> Iterator[str]:
    """Yield what one player needs: with and against whom, each tee, and what changes a strike."""
    if strip.company:
        yield f"<p>{escape(sentence(strip.company))}</p>"
    yield from _list(strip.meetings)
    yield '<div class="halves">'
    for half in halves(strip.tees):
        yield from _tees_table(half)
    yield "</div>"
    yield from _list(strip.changes)


def halves(tees: Sequence[TeeLine]) -> list[Sequence[TeeLine]]:
    """Return the holes of a round in two halves, or those of a short one in one."""
    if len(tees) <= 9:
        return [tees]
    half = -(-len(tees) // 2)
    return [tees[:half], tees[half:]]


def _tees_table(tees: Sequence[TeeLine]) -> Iterator[str]:
    heads = ("hole", "par", "yd", "hit, and aim", "next <br>best")
    right = ("", "", ' class="figure"', "", ' class="figure"')
    yield '<table class="holes"><thead><tr>'
    yield "".join(f'<th scope="col"{how}>{head}</th>' for head, how in zip(heads, right, strict=True))
    yield "</tr></thead><tbody>"
    for tee in tees:
        dots = f" {tee.dots}" if tee.dots else ""
        yield f'<tr><th scope="row">{tee.hole.number}{dots}</th><td>{tee.par}</td>'
        yield f'<td class="figure">{tee.yards}</td>'
        if tee.drive is None:
            yield '<td class="quiet">partner drives</td><td></td></tr>'
            continue
        aim = f'<span class="quiet">{escape(tee.drive.mark.text())}</span>'
        yield f"<td>{_strike(tee.drive)} {aim}</td>"
        yield f'<td class="figure">{worth_text(tee.drive)}</td></tr>'
    yield "</tbody></table>"


def _list(texts: Sequence[str]) -> Iterator[str]:
    """Yield texts as a list."""
    if texts:
        yield "<ul>"
        yield from (f"<li>{escape(sentence(text))}</li>" for text in texts)
        yield "</ul>"
