"""The page, in a real browser: no error, every control does what it says, and nothing is fetched."""

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

from holesim.course.course import Course
from holesim.handouts.lesson_words import MEASURES, number_row, three_sentences
from holesim.handouts.plan_folder import plans_json
from holesim.handouts.plan_words import round_notes, round_rows
from holesim.handouts.web_page import write_page
from holesim.plan.plan import make_plan
from holesim.plan.plan_file import load_plans
from holesim.plan.plan_tables import PlanFile
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from tests.browser import browser, console, resize
from tests.conftest import Run

HOSTILE = "<script>document.title='broken'</script> & \"Sons\""
HOLES, TEES = (4, 6, 12), ("back", "middle")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("page")


@pytest.fixture(scope="module")
def plans(demo_course: Course, amateur: Player, folder: Path) -> list[PlanFile]:
    """Three holes from two tees in two winds, the course and the player named so as to do harm."""
    course, player = replace(demo_course, name=HOSTILE), replace(amateur, name=f"{HOSTILE} Junior")
    winds = [RoundOptions(wind_mph=mph, wind_from_deg=250) for mph in (0, 12)]
    made = [make_plan(course, player, wind.changed(draws=256), holes=HOLES, tees=TEES) for wind in winds]
    path = folder / "plan.json"
    path.write_text(plans_json(made), encoding="utf-8")
    return load_plans(path)[0]


@pytest.fixture(scope="module")
def page(plans: list[PlanFile], folder: Path) -> Path:
    path = folder / "page.html"
    write_page(plans, path)
    return path


@pytest.fixture(scope="module")
def chrome() -> Iterator[Chrome]:
    with browser() as opened:
        yield opened


@pytest.fixture(params=[390, 1280])
def opened(chrome: Chrome, page: Path, request: pytest.FixtureRequest) -> Chrome:
    resize(chrome, request.param)
    chrome.get(page.as_uri())
    return chrome


def shown(chrome: Chrome, selector: str) -> list[Any]:
    return [element for element in chrome.find_elements(By.CSS_SELECTOR, selector) if element.is_displayed()]


def place(chrome: Chrome) -> tuple[int, str, int]:
    """Return the hole, the tee and the wind of the one article that is shown."""
    (article,) = shown(chrome, "article")
    hole, tee, wind = (article.get_attribute(f"data-{name}") for name in ("hole", "tee", "wind"))
    return int(hole), tee, int(wind)


def check_opened(chrome: Chrome) -> None:
    """Check that the page opened without an error, fetched nothing, and fits."""
    assert console(chrome) == []
    assert chrome.execute_script("return performance.getEntriesByType('resource').length") == 0
    wide, room = chrome.execute_script("return [document.documentElement.scrollWidth, innerWidth]")
    assert wide <= room


def test_it_opens_without_an_error_and_fits(opened: Chrome) -> None:
    check_opened(opened)
    assert place(opened) == (4, "back", 0)


def test_every_control_does_what_it_says(opened: Chrome, plans: list[PlanFile]) -> None:
    for hole in (6, 12, 4):
        opened.find_element(By.CSS_SELECTOR, f"nav button[value='{hole}']").click()
        assert place(opened) == (hole, "back", 0)
        (current,) = opened.find_elements(By.CSS_SELECTOR, "nav [aria-current=true]")
        assert current.text == str(hole)
    for wind in (1, 0):
        opened.find_element(By.CSS_SELECTOR, f"input[data-sets=wind][value='{wind}']").click()
        for tee in ("middle", "back"):
            opened.find_element(By.CSS_SELECTOR, f"input[data-sets=tee][value='{tee}']").click()
            assert place(opened) == (4, tee, wind)
            said = next(t for t in plans[wind].tees if (t.hole, t.tee) == (4, tee))
            (article,) = shown(opened, "article")
            assert article.find_element(By.TAG_NAME, "h2").text == f"Hole 4: {said.chosen().label}"
            assert said.verdict[1:] in article.text
            assert f"{said.choice.sure}, " in said.verdict
            assert (said.doubt or "")[1:] in article.text
            for pick in shown(opened, "article label.pick"):
                pick.click()
                (section,) = shown(opened, "section.strike")
                strike = next(s for s in said.strikes if s.label == pick.text.strip())
                assert section.find_element(By.TAG_NAME, "h3").text.strip() == strike.label
                assert strike.sight.text() in section.text
                assert f"{strike.strokes:.2f}" in section.text
    assert console(opened) == []


def test_it_can_be_used_by_keyboard(opened: Chrome) -> None:
    body = opened.find_element(By.TAG_NAME, "body")
    body.send_keys(Keys.ARROW_RIGHT)
    assert place(opened)[0] == 6
    opened.switch_to.active_element.send_keys(Keys.ARROW_RIGHT, Keys.ARROW_RIGHT)
    assert place(opened)[0] == 12
    opened.switch_to.active_element.send_keys(Keys.TAB)  # from the last hole to the tees
    assert opened.switch_to.active_element.get_attribute("data-sets") == "tee"
    opened.switch_to.active_element.send_keys(Keys.ARROW_RIGHT)
    assert place(opened)[:2] == (12, "middle")
    opened.switch_to.active_element.send_keys(Keys.TAB)
    assert opened.switch_to.active_element.get_attribute("data-sets") == "wind"


NAMELESS = """
return [...document.querySelectorAll('button, input, svg[role=img], article')].filter(element => {
  const by = element.getAttribute('aria-labelledby');
  return !(element.getAttribute('aria-label') || (by && document.getElementById(by).textContent)
    || [...(element.labels || [])].some(label => label.textContent.trim()));
}).length"""


def test_everything_has_a_name_for_those_who_hear_it(opened: Chrome) -> None:
    assert opened.execute_script(NAMELESS) == 0
    assert opened.execute_script("return document.documentElement.lang") == "en"
    assert opened.execute_script("return document.querySelectorAll('main, nav, h1').length") == 3


FAINT = """
const light = text => {
  const [r, g, b] = text.match(/[\\d.]+/g).slice(0, 3).map(v => v / 255)
    .map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
};
const behind = element => {
  for (; element; element = element.parentElement) {
    const colour = getComputedStyle(element).backgroundColor;
    if (!/, 0\\)$/.test(colour)) return colour;
  }
  return 'rgb(255, 255, 255)';
};
return [...document.querySelectorAll('body *')].filter(element =>
  element.checkVisibility() && [...element.childNodes].some(node => node.nodeType === 3 && node.data.trim())
).map(element => {
  const [a, b] = [light(getComputedStyle(element).color), light(behind(element))].sort((x, y) => y - x);
  return [(a + 0.05) / (b + 0.05), element.textContent];
}).filter(([contrast]) => contrast < 4.5)"""


def test_words_stand_out_as_wcag_asks(opened: Chrome) -> None:
    """Contrast of 4.5 to 1, level AA: W3C, Web Content Accessibility Guidelines 2.2, 1.4.3."""
    assert opened.execute_script(FAINT) == []


def test_it_says_once_what_the_round_costs(opened: Chrome, plans: list[PlanFile]) -> None:
    text = opened.find_element(By.TAG_NAME, "body").text
    for plan in plans:
        for name in TEES:
            for policy, strokes, over in round_rows(plan, name):
                assert f"{policy} {strokes} {over}".strip() in text
            for note in round_notes(plan, name):
                assert text.count(note) == 1


def test_the_lesson_opens_by_keyboard_and_fits(opened: Chrome, plans: list[PlanFile]) -> None:
    summary = opened.find_element(By.TAG_NAME, "summary")
    words = three_sentences(plans[0], None, metric=False)
    assert not opened.find_element(By.CSS_SELECTOR, "details p").is_displayed()
    summary.send_keys(Keys.ENTER)
    text = opened.find_element(By.TAG_NAME, "details").text
    assert all(sentence in text for sentence in words)
    rows = shown(opened, "details tbody tr")
    assert len(rows) == len(MEASURES) * len(plans[0].driving)
    carry = number_row("carry_yd", plans[0].driving[0].numbers["carry_yd"], metric=False)
    assert f"carry, yd {carry.mean}" in text
    check_opened(opened)


def test_names_stay_text(opened: Chrome) -> None:
    assert opened.title == f"{HOSTILE}, for {HOSTILE} Junior"
    assert opened.find_element(By.TAG_NAME, "h1").text == opened.title
    assert opened.execute_script("return document.scripts.length") == 1


def test_printed_it_has_every_hole_once(opened: Chrome) -> None:
    opened.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    try:
        articles = shown(opened, "article")
        assert [int(article.get_attribute("data-hole")) for article in articles] == list(HOLES)
        assert all(len(shown_in) == 1 for shown_in in map(strikes_of, articles))
        assert not shown(opened, "nav, fieldset")
    finally:
        opened.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})


def strikes_of(article: Any) -> list[Any]:  # noqa: ANN401 - selenium's element
    return [s for s in article.find_elements(By.CSS_SELECTOR, ".strike") if s.is_displayed()]


def test_a_hole_is_drawn_to_scale_with_its_pin_above(opened: Chrome, plans: list[PlanFile]) -> None:
    """The flag is as far up the picture as it is from the tee, and stands on the green."""
    across, up, pin, on_green = opened.execute_script("""
        const picture = document.querySelector('article:not([hidden]) .strike:not([hidden]) > svg');
        const at = picture.getScreenCTM().inverse(), use = picture.querySelector('use');
        const flag = picture.querySelector('path[d*="l9,4l-9,4"]').getBBox();
        const green = document.querySelector(use.getAttribute('href') + ' [fill="#f1f8e0"]');
        const back = use.transform.baseVal.consolidate().matrix.inverse();
        const pin = new DOMPoint(flag.x, flag.y + flag.height).matrixTransform(back);
        return [at.a, at.d, flag.y + flag.height, green.isPointInFill(pin)];""")
    tee, hole = plans[0].tees[0], plans[0].holes[0]
    assert across == pytest.approx(up)
    assert pin == pytest.approx(-math.dist(hole.pin, tee.middle), abs=1)
    assert on_green


class Links(HTMLParser):
    """Gathers whatever a page could fetch."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in {"link", "iframe", "img", "object", "embed"}:
            self.found.append(tag)
        self.found += [value or "" for name, value in attrs if name in {"src", "href", "action", "srcset"}]


def test_there_is_nothing_to_fetch(page: Path) -> None:
    text, links = page.read_text(encoding="utf-8"), Links()
    links.feed(text)
    assert all(link.startswith("#hole-") for link in links.found)
    assert not re.search(r"url\(|@import|https?:", text)


def test_the_command_makes_the_same_bytes(page: Path, folder: Path, run: Run) -> None:
    out = folder / "again.html"
    code, said, err = run("card", str(folder / "plan.json"), "--style", "page", "--out", str(out))
    assert (code, said) == (0, ""), err
    assert out.read_bytes() == page.read_bytes()
