"""The captain's page in a real browser: the draw first, links that lead somewhere, no paper wasted."""

import base64
import re
from collections.abc import Iterator
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By

from holesim.handouts.captain_page import captain_page, html_pages
from holesim.handouts.captain_parts import handicap_tables, match_sheets
from holesim.handouts.captain_sheet import captain_pages
from holesim.plan import explain
from holesim.team.handicap import PlayingHandicap
from holesim.team.team_plan import Meeting, TeamPlan
from tests.browser import browser, resize
from tests.handouts.test_captain_sheet import HARMFUL, LONG_NAMES, plan
from tests.handouts.test_web_page import FAINT, check_opened, shown
from tests.paper import said

PHONE = (390, 844)
TARGET = 44  # px, what a thumb hits
NAMES = ["Isolde Carrow", "Dunstan Fell", "Corin Vale", "Hal Marrin", "Bram Orrel", "Una Thessaly"]
ODD_NAMES = [HARMFUL, "Zoë Ångström 🏌", "李 明", "Draw", "notes", "Match 1", *LONG_NAMES[6:]]


@pytest.fixture(scope="module")
def chrome() -> Iterator[Chrome]:
    with browser() as opened:
        yield opened


def open_page(chrome: Chrome, folder: Path, made: TeamPlan, part: str = "") -> None:
    path = folder / "captain.html"
    path.write_text(captain_page(made), encoding="utf-8")
    chrome.get("about:blank")  # or a part of the page that is open would not load it anew
    chrome.get(path.as_uri() + part)


SMALL_TARGETS = """
return [...document.querySelectorAll('a, summary')].filter(one => one.checkVisibility()).filter(one => {
  const {width, height} = one.getBoundingClientRect();
  return height < arguments[0] - 0.5 || width < arguments[0] / 2;
}).map(one => one.outerHTML)"""


def test_the_first_screen_of_a_phone_holds_the_draw(chrome: Chrome, tmp_path: Path) -> None:
    """Six pairs against six: who, against whom, and what to expect, under a title and the day's line."""
    made = plan([*NAMES, *(name[::-1].title() for name in NAMES)], one_ball=True, matched=True)
    resize(chrome, PHONE[0])
    open_page(chrome, tmp_path, made)
    rows = shown(chrome, ".draw tbody tr")
    (contents,) = shown(chrome, "nav")
    assert len(rows) == len(made.sides) == 6
    for row, side in zip(rows, made.sides, strict=True):
        assert row.rect["y"] + row.rect["height"] <= PHONE[1] - contents.rect["height"]
        assert all(name in row.text for name in (*side.names, *side.against))
        assert f"{side.points:.2f}" in row.text
    above = chrome.execute_script("""
        const top = document.querySelector('.draw').getBoundingClientRect().top;
        return [...document.querySelectorAll('body *')].filter(one => one.checkVisibility()
          && !one.closest('nav') && one.getBoundingClientRect().bottom <= top && one.innerText.trim()
        ).map(one => one.tagName)""")
    assert above == ["HEADER", "H1", "P"]
    assert not shown(chrome, "details > div")
    assert chrome.execute_script(SMALL_TARGETS, TARGET) == []
    assert all(caution in chrome.find_element(By.TAG_NAME, "footer").text for caution in explain.CAUTIONS)


@pytest.mark.parametrize("one_ball", [False, True])
def test_it_fits_every_screen_whatever_the_names(chrome: Chrome, tmp_path: Path, *, one_ball: bool) -> None:
    resize(chrome, 320)
    open_page(chrome, tmp_path, plan(ODD_NAMES, one_ball=one_ball, matched=True))
    chrome.execute_script("for (const part of document.querySelectorAll('details')) part.open = true")
    for wide in (320, *PHONE[:1], 820, 1280):
        resize(chrome, wide)
        check_opened(chrome)
        beyond = """
            return [...document.querySelectorAll('table, h1, h2, h3, p, li')].filter(one =>
              !one.closest('.wide') && one.getBoundingClientRect().right > innerWidth + 1
            ).map(one => one.outerHTML)"""
        assert chrome.execute_script(beyond) == []
    assert chrome.find_element(By.TAG_NAME, "h1").text == plan(ODD_NAMES).team.name
    for scheme in ("light", "dark"):
        how = {"features": [{"name": "prefers-color-scheme", "value": scheme}]}
        chrome.execute_cdp_cmd("Emulation.setEmulatedMedia", how)
        assert chrome.execute_script(FAINT) == []
    chrome.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})


def test_a_link_to_what_is_folded_unfolds_it_and_a_players_has_a_title(
    chrome: Chrome, tmp_path: Path
) -> None:
    resize(chrome, PHONE[0])
    made = plan(NAMES, matched=True)
    open_page(chrome, tmp_path, made)
    chrome.find_element(By.CSS_SELECTOR, "nav a[href='#notes']").click()
    assert "standard deviation" in chrome.find_element(By.ID, "notes").text
    title = chrome.title
    chrome.find_element(By.CSS_SELECTOR, "nav a[href='#strips']").click()
    chrome.find_element(By.LINK_TEXT, "Corin Vale").click()
    heading = chrome.find_element(By.ID, "corin-vale-title")
    assert 0 <= chrome.execute_script("return arguments[0].getBoundingClientRect().top", heading) < PHONE[1]
    assert chrome.title == f"Corin Vale: {title}"
    open_page(chrome, tmp_path, made, "#hal-marrin")
    assert chrome.title == f"Hal Marrin: {title}"


@pytest.mark.parametrize("names", [NAMES, ODD_NAMES], ids=["plain", "odd"])
def test_links_lead_somewhere_and_no_two_titles_are_alike(names: list[str]) -> None:
    page, *strips = html_pages(plan(names, matched=True)).values()
    ids = re.findall(r'\sid="([^"]+)"', page)
    links = re.findall(r'href="#([^"]+)"', page)
    assert len(ids) == len(set(ids))
    assert {*links, *re.findall(r'aria-labelledby="([^"]+)"', page)} <= set(ids)
    assert re.findall(r'href="(?!#)', page) == []
    titles = [unescape(re.findall("<title>(.*?)</title>", text)[0]) for text in (page, *strips)]
    assert len(set(titles)) == len(titles) == 1 + len(names)
    for name, strip, title in zip(names, strips, titles[1:], strict=True):
        assert f"<h1>{name}</h1>" in unescape(strip)
        assert title.startswith(f"{name}: ")
        assert "Rule 4.3a" in strip


@pytest.mark.parametrize("one_ball", [False, True])
def test_a_match_sheet_has_both_sides_and_every_stroke(*, one_ball: bool) -> None:
    made = plan(NAMES, one_ball=one_ball, matched=True)
    sheets = match_sheets(made)
    assert [(sheet.ours, sheet.theirs) for sheet in sheets] == [(s.names, s.against) for s in made.sides]
    for sheet, side in zip(sheets, made.sides, strict=True):
        assert sheet.receivers == (("their pair",) if one_ball else side.against)
        for hole, planned, theirs in zip(sheet.holes, side.holes, side.they_receive[0], strict=True):
            assert len(hole.their_dots[0]) == theirs
            assert all(len(tee.dots) == planned.received[0] for tee in hole.ours)
            assert [tee.drive for tee in hole.ours if tee.drive] == list(planned.drives)
        assert len(sheet.changes) == sum(len(planned.changes) for planned in side.holes)
    assert match_sheets(plan(NAMES)) == []


def test_handicaps_and_opponents_in_unknown_order_are_told() -> None:
    made = plan(NAMES, matched=True)
    rivals = [side.against for side in made.sides]
    meetings = tuple(
        Meeting(against=rival, received=((1,) * 18,), they_receive=((0,) * 18,), result=(0.3, 0.2, 0.5))
        for rival in rivals
    )
    unknown = tuple(
        replace(side, against=(), they_receive=(), received=(), meetings=meetings) for side in made.sides
    )
    handicaps = tuple(
        PlayingHandicap(names=names, course=(12.25 + k,), shares=(0.9,), playing=11 + k)
        for k, names in enumerate([*(side.names for side in made.sides), *rivals])
    )
    made = replace(made, sides=unknown, handicaps=handicaps, team=replace(made.team, order_known=False))
    page = captain_page(made)
    assert [(whose, len(rows)) for whose, rows in handicap_tables(made)] == [("ours", 6), ("theirs", 6)]
    for k in range(12):
        assert f"<td>{12.25 + k:.1f}</td><td>90 %</td><td>{11 + k}</td>" in page
    assert "theirs" not in re.findall('<table class="draw">.*?</thead>', page, re.DOTALL)[0]
    for sheet in match_sheets(made):
        assert (sheet.theirs, len(sheet.meetings)) == ((), len(rivals))
    words = " ".join(map(said, captain_pages(made)))
    for rival in rivals:
        assert page.count(f"<li>Against {rival[0]}: ") == 2 * len(NAMES)  # on sheets and strips
        assert words.count(f"Against {rival[0]}: ") >= 2 * len(NAMES)
    assert handicap_tables(replace(made, net=False)) == []


def test_printed_it_takes_no_more_pages_than_the_pdf(chrome: Chrome, tmp_path: Path) -> None:
    """Singles of six; quiet words are no larger than the others, and what is folded is printed."""
    made = plan(NAMES, matched=True)
    open_page(chrome, tmp_path, made)
    printed = chrome.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True})
    pages = len(re.findall(rb"/Type\s*/Page\b", base64.b64decode(printed["data"])))
    assert 1 < pages <= len(list(captain_pages(made)))
    assert not shown(chrome, "details > div")  # folded again
    chrome.execute_script("dispatchEvent(new Event('beforeprint'))")
    chrome.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    try:
        assert len(shown(chrome, "details > div")) == len(chrome.find_elements(By.TAG_NAME, "details")) == 3
        body, *quiet = chrome.execute_script("""
            return ['body', '.quiet', 'td', 'li'].flatMap(what => [...document.querySelectorAll(what)])
              .map(one => parseFloat(getComputedStyle(one).fontSize))""")
        assert max(quiet) <= body
        assert not shown(chrome, "nav")
    finally:
        chrome.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
