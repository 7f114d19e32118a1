"""The captain's page: the draw first, in one HTML file that fetches nothing, for a phone and for print."""

from collections.abc import Iterator, Mapping, Sequence
from html import escape
from pathlib import Path
from typing import Final

from holesim.common.safe_files import write_found
from holesim.common.text_format import sentence
from holesim.handouts.captain_blocks import (
    captain_style,
    foot_html,
    foot_texts,
    match_html,
    player_page,
    strip_html,
)
from holesim.handouts.captain_parts import (
    MatchSheet,
    dots_legend,
    draw_rows,
    gain_texts,
    handicap_tables,
    headline,
    match_sheets,
    page_names,
)
from holesim.handouts.captain_sheet import write_captain_sheet
from holesim.handouts.web_page import html_document, read_asset
from holesim.pictures.paper import Paper
from holesim.reports.team_json import team_dict
from holesim.reports.team_text import (
    LEGEND,
    PlayerStrip,
    assumed_text,
    conditions_text,
    player_strips,
    strip_legend,
    total_text,
)
from holesim.reports.team_words import allowance_text, notes
from holesim.reports.weekend_json import weekend_dict
from holesim.team.team_plan import TeamPlan
from holesim.team.weekend import WeekendPlan

_FILES: Final = "Each player's strip is also a page of its own, to send: strip-NAME.html, in the same folder."
_PARTS: Final = ("draw", "strips", "matches", "gains", "points", "notes")
_MORE_PARTS: Final = ("handicaps",)  # beside the notes, so that contents stay on one line


def write_captain_files(plan: TeamPlan, folder: Path, *, paper: Paper = "a4") -> None:
    """Write captain.html, captain.pdf and a page for each player; the same plan gives the same bytes."""
    write_captain_sheet(plan, folder / "captain.pdf", paper=paper)
    for name, text in html_pages(plan).items():
        (folder / name).write_text(text, encoding="utf-8")


def write_captain_folder(plan: TeamPlan, folder: Path, *, paper: Paper = "a4") -> list[Path]:
    """Write team.json and the captain's files into a folder; return their paths.

    Strips of players who no longer play, of a plan that was there before, are removed.

    Raises
    ------
    InputError
        If the folder cannot be written to.
    """
    written = write_found(
        "team", team_dict(plan), folder, lambda work: write_captain_files(plan, work, paper=paper)
    )
    for path in folder.glob("strip-*.html"):
        if path not in written:
            path.unlink(missing_ok=True)
    return written


def write_weekend_folder(plan: WeekendPlan, folder: Path, *, paper: Paper = "a4") -> list[Path]:
    """Write weekend.json, and the captain's folder of each session that is left; return their paths.

    Raises
    ------
    InputError
        If the folder cannot be written to.
    """
    written = write_found("weekend", weekend_dict(plan), folder, lambda _: None)
    for number, one in enumerate(plan.plans, 1):
        if one is not None:
            written += write_captain_folder(one, folder / f"session-{number}", paper=paper)
    return written


def html_pages(plan: TeamPlan) -> dict[str, str]:
    """Return the HTML of the captain's page and of each player's, by file name: strip-bram-orrel.html."""
    strips = zip(_strip_names(plan), player_strips(plan), strict=True)
    return {
        "captain.html": captain_page(plan),
        **{f"strip-{name}.html": player_page(plan, strip) for name, strip in strips},
    }


def _strip_names(plan: TeamPlan) -> list[str]:
    """Return the names of the players' parts of the page, none of which is that of another part."""
    matches = (f"match-{number}" for number in range(1, len(plan.sides) + 1))
    return page_names((name for side in plan.sides for name in side.names), {*_PARTS, *_MORE_PARTS, *matches})


def captain_page(plan: TeamPlan) -> str:
    """Return the HTML of a captain's plan."""
    title = escape(f"{plan.course.name}, for {plan.team.name}")
    strips, sheets = player_strips(plan), match_sheets(plan)
    links = {strip.name: name for strip, name in zip(strips, _strip_names(plan), strict=True)}
    body = [
        f"<header><h1>{escape(plan.team.name)}</h1>",
        f"<p>{escape(sentence(headline(plan)))}</p></header>",
        *_contents(plan, matches=bool(sheets)),
        "<main>",
        *_draw(plan, links, matches=bool(sheets)),
        *_gains(plan),
        *_points(plan),
        *_handicaps(plan),
        *_notes(plan),
        *_strips(strips, links),
        *_matches(sheets),
        "</main>",
        *foot_html(),
    ]
    return html_document(title, body, head=captain_style(), script=read_asset("captain.js"))


def _matches(sheets: Sequence[MatchSheet]) -> Iterator[str]:
    """Yield a sheet for each match."""
    if not sheets:
        return
    single = "" if any(len(sheet.ours) > 1 for sheet in sheets) else " single"
    yield '<section aria-labelledby="matches"><div class="head"><h2 id="matches">Matches</h2>'
    yield f'<p class="quiet">{escape(dots_legend(sheets))}</p></div><div class="matches{single}">'
    for number, sheet in enumerate(sheets, 1):
        yield from match_html(sheet, number)
    yield "</div></section>"


def _strips(strips: Sequence[PlayerStrip], links: Mapping[str, str]) -> Iterator[str]:
    """Yield the players' names, which lead to their strips, and the strips."""
    yield '<section aria-labelledby="strips"><div class="head"><h2 id="strips">A strip for each player</h2>'
    yield f'<p class="quiet screen">{_FILES}</p><ul class="players">'
    yield from (f'<li><a href="#{name}">{escape(who)}</a></li>' for who, name in links.items())
    yield f'</ul><p class="quiet">{escape(strip_legend(strips))}</p></div>'
    for strip in strips:
        yield from strip_html(strip, links[strip.name])
    yield "</section>"


def _contents(plan: TeamPlan, *, matches: bool) -> Iterator[str]:
    """Yield links to the parts of the page."""
    shown = {"matches": matches, "gains": bool(gain_texts(plan)), "points": bool(plan.points)}
    yield '<nav class="contents" aria-label="Contents"><ul>'
    for part in _PARTS:
        if shown.get(part, True):
            yield f'<li><a href="#{part}">{part.capitalize()}</a></li>'
    yield "</ul></nav>"


def _draw(plan: TeamPlan, links: Mapping[str, str], *, matches: bool) -> Iterator[str]:
    """Yield who goes out with and against whom, in which order, and what to expect; names lead to strips."""
    against = any(side.against for side in plan.sides)
    heads = ["", "ours", *(["theirs"] if against else []), plan.unit]
    yield '<section id="draw" aria-label="Draw"><table class="draw"><thead><tr>'
    yield "".join(f'<th scope="col">{head}</th>' if head else "<td></td>" for head in heads)
    yield "</tr></thead><tbody>"
    for number, row in enumerate(draw_rows(plan), 1):
        to_match = f'<a href="#match-{number}" aria-label="Match {number}">{number}</a>'
        ours = "".join(f'<a href="#{links[name]}">{_noted(name, said)}</a>' for name, said in row.ours)
        theirs = "".join(f'<span class="one">{_noted(name, said)}</span>' for name, said in row.theirs)
        spread = f'<span class="quiet">{row.spread}</span>' if row.spread else ""
        yield f'<tr><td class="number">{to_match if matches else number}</td>'
        yield f'<th scope="row" class="name">{ours}</th>'
        yield f'<td class="name">{theirs}</td>' if against else ""
        yield f"<td>{row.expected}{spread}</td></tr>"
    yield f'</tbody></table><p class="total">{escape(sentence(total_text(plan)))}</p></section>'


def _noted(name: str, said: str) -> str:
    note = f'<span class="quiet">{escape(said)}</span>' if said else ""
    return f"<span>{escape(name)}</span>{note}"


def _folded(part: str, head: str, body: Sequence[str]) -> Iterator[str]:
    """Yield a part to be unfolded; a link to it unfolds it."""
    yield f'<details><summary><h2>{head}</h2></summary><div id="{part}">'
    yield from body
    yield "</div></details>"


def _gains(plan: TeamPlan) -> Iterator[str]:
    """Yield what each choice gains."""
    texts = gain_texts(plan)
    if texts:
        items = [f"<li>{escape(sentence(text))}</li>" for text in texts]
        yield from _folded("gains", "What choices gain", ["<ul>", *items, "</ul>"])


def _handicaps(plan: TeamPlan) -> Iterator[str]:
    """Yield each player's or pair's course handicap, the share of it that counts, and playing handicap."""
    tables = handicap_tables(plan)
    if not tables:
        return
    body = [f"<p>{escape(sentence(f'The allowance is {allowance_text(plan)}'))}</p>", '<div class="halves">']
    for whose, rows in tables:
        heads = (whose, "course handicap", "allowance", "playing handicap")
        body.append('<table class="handicaps"><thead><tr>')
        body += [f'<th scope="col">{head}</th>' for head in heads]
        body.append("</tr></thead><tbody>")
        for row in rows:
            cells = "".join(f"<td>{escape(cell)}</td>" for cell in (row.course, row.share, row.playing))
            body.append(f'<tr><th scope="row" class="name">{escape(row.who)}</th>{cells}</tr>')
        body.append("</tbody></table>")
    yield from _folded("handicaps", "Handicaps", [*body, "</div>"])


def _notes(plan: TeamPlan) -> Iterator[str]:
    """Yield what else a captain should know, what numbers mean, and what was assumed."""
    items = [f"<li>{escape(sentence(text))}</li>" for text in notes(plan)]
    below = (LEGEND, assumed_text(plan), sentence(conditions_text(plan)))
    texts = [f'<p class="quiet">{escape(text)}</p>' for text in below if text]
    texts += [f'<p class="quiet paper">{escape(text)}</p>' for text in foot_texts()]
    yield from _folded("notes", "Notes", [*(["<ul>", *items, "</ul>"] if items else []), *texts])


def _points(plan: TeamPlan) -> Iterator[str]:
    """Yield the points that each side may expect against each opponent."""
    if not plan.points:
        return
    numbered = [f"{number} {' and '.join(names)}" for number, names in enumerate(plan.opponents, 1)]
    drawn = {(side.names, side.against) for side in plan.sides}
    body = [
        f'<p class="quiet">{escape(sentence("; ".join(numbered)))}</p>',
        '<div class="wide" role="region" aria-label="Expected points" tabindex="0"><table class="points">',
        "<caption>those of the draw in bold</caption>",
        '<thead><tr><th scope="col">ours</th>',
    ]
    for number, names in enumerate(plan.opponents, 1):
        who = escape(" and ".join(names))
        body.append(f'<th scope="col"><abbr title="{who}">{number}</abbr></th>')
    body.append("</tr></thead><tbody>")
    for names, row in zip(plan.rows, plan.points, strict=True):
        body.append(f'<tr><th scope="row" class="name">{escape(" and ".join(names))}</th>')
        for opponents, points in zip(plan.opponents, row, strict=True):
            bold = ' class="drawn"' if (names, opponents) in drawn else ""
            body.append(f"<td{bold}>{points:.2f}</td>")
        body.append("</tr>")
    yield from _folded("points", "Points against each", [*body, "</tbody></table></div>"])
