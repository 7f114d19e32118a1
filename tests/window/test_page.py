"""The window's page in a real browser, by mouse, finger and keyboard, on the demo."""

import math
import os
import re
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Final

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import Select

from holesim.course.course import Course
from holesim.course.course_file import load_course
from holesim.data.examples import COURSE, find
from holesim.data.examples import PLAYER as PLAYER_FILE
from holesim.plan import explain
from holesim.plan.estimate import estimate
from holesim.plan.plan import make_plan
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.units import DEGREE, YARD
from holesim.window.planning.answers import choice_line
from tests.browser import FingerHand, Hand, MouseHand, Place, console, resize
from tests.conftest import Run
from tests.files.small_course import PLAYER
from tests.window.reader import START, Look, Reader
from tests.window.running import Window, fill, fill_with_holes, running

WIDE, NARROW = 1280, 820
BOTH = pytest.mark.parametrize("page", [WIDE, NARROW], indirect=True)
ON_DEMO = pytest.mark.parametrize("shown", ["demo"], indirect=True)
HANDS = pytest.mark.parametrize("hand", [MouseHand, FingerHand], ids=["mouse", "finger"], indirect=True)
HOLE: Final = 4
RIM: Final = 0.64  # of the dial's half, where 30 mph is
STROKES_PER_PUSH: Final = 0.02


@pytest.fixture(scope="module")
def demo(chrome: Chrome, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Window]:  # noqa: ARG001 - or skip
    with running(tmp_path_factory.mktemp("folder"), "--demo") as started:
        yield started


@pytest.fixture(scope="module")
def few(chrome: Chrome, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Window]:  # noqa: ARG001 - or skip
    """A window on three holes of the demo course."""
    with running(fill_with_holes(tmp_path_factory.mktemp("few"), 1, HOLE, HOLE + 1)) as started:
        yield started


@pytest.fixture(scope="module")
def few_holes(few: Window) -> Course:
    return load_course(few.folder / "demo.geojson")


def reader_of(chrome: Chrome, window: Window) -> Reader:
    """Return the reader of a window's page, opened if another is shown or a test left it moving."""
    Reader(chrome, window.origin).hear()
    reader = Reader(chrome, window.origin)
    if chrome.execute_script("return location.origin") != window.origin or not reader.look().at_rest:
        chrome.get("about:blank")
        chrome.get(window.address)
    return reader


@pytest.fixture
def shown(request: pytest.FixtureRequest) -> Window:
    """The window whose page is shown: that of three holes, or with `ON_DEMO` that of the demo's eighteen."""
    window: Window = request.getfixturevalue(getattr(request, "param", "few"))
    return window


@pytest.fixture
def page(chrome: Chrome, shown: Window, request: pytest.FixtureRequest) -> Iterator[Reader]:
    """Yield a window's page; at the end the console is empty and nothing was asked for elsewhere."""
    resize(chrome, getattr(request, "param", WIDE))
    reader = reader_of(chrome, shown)
    reader.until_rest(seconds=START)
    yield reader
    reader.hear()
    assert console(chrome) == []
    assert reader.elsewhere() == []


@pytest.fixture
def hand(page: Reader, request: pytest.FixtureRequest) -> Iterator[Hand]:
    """Yield a hand, that of a mouse by default; at the end it is up."""
    found: Hand = getattr(request, "param", MouseHand)(page.chrome)
    yield found
    found.lift()


@pytest.fixture(scope="module")
def upward(few_holes: Course) -> float:
    """The direction that is up on the picture of the hole [deg]."""
    hole = next(hole for hole in few_holes.holes if hole.number == HOLE)
    return hole.tees[0].bearing(*hole.pin) / DEGREE % 360


# --- opening --------------------------------------------------------------------------------------

SMALL = """
const sides = element => {
  const boxes = [element, ...(element.labels ?? [])].map(one => one.getBoundingClientRect());
  return ['width', 'height'].map(side => Math.round(Math.max(...boxes.map(box => box[side]))));
};
const words = ({ariaLabel, labels, textContent}) => ariaLabel || labels?.[0]?.textContent || textContent;
const controls = 'a[href], button, input, select, textarea, summary, [role=button]';
return [...document.querySelectorAll(controls)].filter(element => element.checkVisibility())
  .map(element => [words(element).trim(), ...sides(element)])
  .filter(([, wide, tall]) => wide < arguments[0] || tall < arguments[0])"""


@BOTH
@ON_DEMO
def test_it_opens_with_the_demo(page: Reader, demo: Window) -> None:
    page.chrome.get("about:blank")
    page.hear()
    page.chrome.get(demo.address)
    look = page.until_rest()
    assert look.headline.startswith("Hole 1 ")
    assert look.alert == ""
    assert page.find("combobox", "course").text.strip() == "Vantle Skerry"
    heard = page.hear()
    assert len(heard.addresses) >= 4
    assert heard.asked[0].keys() == {"token"}
    assert page.chrome.execute_script("return location.href") == f"{demo.origin}/"
    wide, room = page.chrome.execute_script("return [document.documentElement.scrollWidth, innerWidth]")
    assert wide <= room
    (caution,) = [
        item for item in page.chrome.find_elements(By.TAG_NAME, "li") if item.text == explain.CAUTIONS[2]
    ]
    assert "4.3a" in caution.text
    assert caution.is_displayed()


@BOTH
@ON_DEMO
@HANDS
def test_every_control_is_large_enough(page: Reader, hand: Hand) -> None:
    """44 px both ways for a finger, 24 px for a mouse: criteria 2.5.5 and 2.5.8 of W3C, Web Content
    Accessibility Guidelines 2.2.
    """
    least = 44 if isinstance(hand, FingerHand) else 24
    assert page.chrome.execute_script(SMALL, least) == []


@BOTH
@ON_DEMO
def test_every_control_has_a_role_and_a_name(page: Reader) -> None:
    named = [
        (element.aria_role, element.accessible_name)
        for element in page.chrome.find_elements(By.CSS_SELECTOR, "button, input, select, summary")
        if element.is_displayed()
    ]
    assert len(named) > 30
    assert [pair for pair in named if not all(pair) or pair[0] == "generic"] == []
    look = page.look()
    assert look.handles.keys() == {"wind", "aim of up", "aim of down"}
    assert all(look.handles.values())


# --- the wind -------------------------------------------------------------------------------------


class Dial:
    """The dial of the wind, by places on it."""

    def __init__(self, page: Reader) -> None:
        handle = page.find("spinbutton", "wind")
        self._x, self._y = page.middle(handle)
        self._rim = handle.rect["width"] / 2 * RIM

    def at(self, mph: float, right: float) -> Place:
        """Return the place of a speed and of a direction right of up [deg]."""
        angle, away = math.radians(right), self._rim * mph / 30
        return self._x + away * math.sin(angle), self._y - away * math.cos(angle)


def wind_of(look: Look) -> tuple[int, int]:
    """Return the speed [mph] and where it comes from [deg]."""
    found = re.match(r"(\d+) mph from (\d+)°", look.wind)
    assert found, look.wind
    return int(found[1]), int(found[2])


def check_answer(look: Look, course: Course, player: Player, hole: int = HOLE) -> None:
    """Check what a look at rest says against a plan made anew."""
    mph, from_deg = wind_of(look)
    options = RoundOptions(wind_mph=mph, wind_from_deg=from_deg)
    plan = make_plan(course, player, options, holes=(hole,), tees=("back",))
    (tee,) = plan.tees
    line = choice_line(tee)
    assert f"\n{line[0].upper()}{line[1:]}.\n" in look.headline
    shown = look.scores[""]
    for column, label in enumerate(shown):
        strike = next(strike for strike in tee.strikes if strike.label == label)
        half = estimate(strike.strokes_by_draw).half
        assert look.scores["strokes"][column] == f"{strike.strokes:.2f} ±{half:.2f}"
        said = f"{strike.carry / YARD:.0f}, {strike.total / YARD:.0f}"
        assert look.scores["carry, total, yd"][column] == said
        assert look.handles[f"aim of {label}"] == f"the best: {strike.mark.text()}"


@BOTH
@HANDS
def test_the_wind_is_dragged(
    page: Reader, hand: Hand, upward: float, few_holes: Course, amateur: Player
) -> None:
    before = page.go(HOLE, "calm", "calm")
    dial = Dial(page)
    hand.press(dial.at(0, 0))
    hand.move(dial.at(7, 90))
    hand.move(dial.at(14, 90))
    there = page.until(lambda look: look.wind.startswith("14 mph"))
    mph, from_deg = wind_of(there)
    assert mph == 14
    assert from_deg == pytest.approx(upward + 90, abs=3)
    assert there.wind.endswith("from the right")
    moved = page.until(lambda look: look.scores and look.scores != before.scores)
    hand.move(dial.at(24, 180))
    helped = page.until(lambda look: look.wind.endswith("helping") and look.scores != moved.scores)
    assert helped.headline != before.headline
    hand.lift()
    rest = page.until_rest(helped.wind, HOLE)
    assert wind_of(rest)[0] == 24
    check_answer(rest, few_holes, amateur)


def test_a_wind_is_typed(page: Reader) -> None:
    page.go(HOLE, "calm", "calm")
    assert page.go(HOLE, "SW 14", "14 mph from 225°").wind == "14 mph from 225°, helping from the right"
    field = page.find("textbox", "wind")
    said = page.chrome.find_element(By.ID, field.get_attribute("aria-describedby") or "")
    for wrong in ("SW fourteen", "14", "SW 90", "400 12", ""):
        page.type_wind(wrong)
        page.until(lambda _: said.text)
        assert field.get_attribute("aria-invalid") == "true"
        assert said.aria_role == "status"
        assert "\n" not in said.text
        assert said.text.endswith(".")
        assert page.look().wind.startswith("14 mph from 225°")
        page.type_wind("SW 14")
        page.until(lambda _: not said.text)
    assert field.get_attribute("aria-invalid") == "false"


def test_the_wind_is_changed_by_keys(page: Reader) -> None:
    before = page.go(HOLE, "SW 14", "14 mph from 225°")
    page.chrome.find_element(By.TAG_NAME, "main").click()
    page.press("w")
    assert page.focused().accessible_name == "wind"
    for key, wind in (
        (Keys.ARROW_UP, "15 mph from 225°"),
        (Keys.ARROW_RIGHT, "15 mph from 226°"),
        (Keys.PAGE_UP, "15 mph from 236°"),
        (Keys.ARROW_LEFT, "15 mph from 235°"),
        (Keys.ARROW_DOWN, "14 mph from 235°"),
        (Keys.PAGE_UP * 13, "14 mph from 5°"),
        (Keys.PAGE_DOWN, "14 mph from 355°"),
    ):
        page.press(*key)
        after = page.until_rest(wind, HOLE)
        assert page.focused().get_attribute("value") == wind.split()[-1][:-1]
    assert after.scores != before.scores
    page.press(Keys.HOME)
    page.until_rest("calm", HOLE)


def processor_time(process: int) -> float:
    """Return what a process has used [s]."""
    used = Path(f"/proc/{process}/stat").read_text(encoding="ascii").rpartition(")")[2].split()[11:13]
    return sum(map(int, used)) / os.sysconf("SC_CLK_TCK")


@ON_DEMO
@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="processor time is read from /proc")
def test_an_answer_while_the_wind_is_dragged_takes_little_time(
    page: Reader, hand: Hand, demo: Window, upward: float
) -> None:
    """Once round, from 12 to 16 mph: at most 60 ms of the processor for each answer."""
    page.go(HOLE, f"{upward:.0f} 12", "12 mph")
    page.until(lambda look: look.totals)  # no hole is being valued
    dial = Dial(page)
    hand.press(dial.at(12, 0))
    page.hear()
    begin = processor_time(demo.process.pid)
    for step in range(60):
        hand.move(dial.at(12 + step / 15, 6 * step))
        time.sleep(0.02)
    used = processor_time(demo.process.pid) - begin
    heard = page.hear()
    hand.lift()
    redrawn = heard.answers("tee")
    winds = {(asked["wind"]["mph"], asked["wind"]["from_deg"]) for asked, _ in redrawn}
    assert len(winds) >= 15
    assert {mph for mph, _ in winds} <= set(range(11, 18))
    assert used / len(heard.answered) < 0.060


def test_after_release_no_old_answer_is_shown(
    page: Reader, hand: Hand, few_holes: Course, amateur: Player
) -> None:
    """Also where hole and tee are changed while the hand is down."""
    page.go(HOLE, "W 20", "20 mph")
    page.hear()
    dial = Dial(page)
    hand.press(dial.at(20, 0))
    for step in range(12):
        hand.move(dial.at(20, 10 * step))
    page.press("t")
    for step in range(12):
        hand.move(dial.at(20, 120 - 10 * step))
    page.press("n")
    for step in range(12):
        hand.move(dial.at(20 - step, -10 * step))
    page.press("t", "t")
    hand.move(dial.at(9, 200))
    hand.lift()
    last = page.until(lambda look: "Hole 5 " in look.headline and "back tee" in look.headline)
    looks = [last]
    while not looks[-1].at_rest:
        looks.append(page.look())
    end = time.monotonic() + 1.5
    while time.monotonic() < end:
        looks.append(page.look())
    assert {look.wind for look in looks} == {last.wind}
    assert all(look.headline.startswith("Hole 5 par 4, 405 yd, back tee") for look in looks)
    rest = [look for look in looks if look.at_rest]
    assert len({look.headline for look in rest}) == 1
    assert len({str(look.scores) for look in rest}) == 1
    asked, said = [(asked, said) for asked, said in page.hear().answers("tee") if not said.get("replaced")][
        -1
    ]
    assert (asked["hole"], asked["tee"], asked["level"]) == (5, "back", "rest")
    assert (asked["wind"]["mph"], asked["wind"]["from_deg"]) == wind_of(last)
    assert said["line"][1:] in rest[-1].headline
    check_answer(rest[-1], few_holes, amateur, hole=5)


def test_the_ring_is_drawn_all_round(page: Reader) -> None:
    page.go(HOLE, "SW 14", "14 mph")
    page.hear()
    page.go(HOLE, "SW 20", "20 mph")
    end = time.monotonic() + 30
    points: dict[float, str | None] = {}
    while len(points) < 24:
        assert time.monotonic() < end
        for asked, said in page.hear().answers("ring"):
            assert asked["hole"] == HOLE
            if said["mph"] == 20:
                points |= {point["from_deg"]: point["better"] for point in said["points"]}
    assert set(points) == {15.0 * n for n in range(24)}
    assert len(set(points.values())) >= 2
    assert set(points.values()) <= {"up", "down", None}
    page.until(lambda _: len(ring(page)) == 24)
    drawn = ring(page)
    by_colour = sorted(drawn.count(colour) for colour in set(drawn))
    found = list(points.values())
    assert by_colour == sorted(found.count(better) for better in set(found))
    described = page.find("spinbutton", "wind").get_attribute("aria-describedby") or ""
    words = page.chrome.find_element(By.ID, described).get_attribute("textContent") or ""
    assert "up, ticks outside" in " ".join(words.split())


def ring(page: Reader) -> list[str]:
    """Return the colours of the pieces drawn along the dial's rim."""
    found: list[str] = page.chrome.execute_script(
        "return [...document.querySelectorAll('#dial path[fill]')].map(path => path.getAttribute('fill'))"
    )
    return found


# --- the aims -------------------------------------------------------------------------------------


def cost_of(words: str) -> float:
    """Return what a held aim costs, as its handle says."""
    found = re.search(r"costs (nothing|[\d.]+)", words)
    assert found, words
    return 0.0 if found[1] == "nothing" else float(found[1])


@BOTH
@HANDS
def test_an_aim_is_dragged_and_let_go(page: Reader, hand: Hand) -> None:
    before = page.go(HOLE, "SW 14", "14 mph")
    name = "aim of up"
    best = before.handles[name]
    assert best.startswith("the best: ")
    x, y = page.middle(page.find("slider", name))
    hand.press((x, y))
    looks = [before]
    hand.move((x + 10, y))
    degree = 10 / off(page.until(farther_than(0)))
    for right in (2, 4, 6):
        for step in range(5):
            hand.move((x + (right - step % 2) * degree, y))
        looks.append(page.until(farther_than(off(looks[-1]))))
        assert "right of the best" in looks[-1].handles[name]
    costs = [cost_of(look.handles[name]) for look in looks[1:]]
    assert costs[0] < costs[1] < costs[2]
    assert costs[2] > STROKES_PER_PUSH
    hand.lift()
    kept = page.look()
    assert kept.handles[name] in kept.headline
    assert off(kept) >= off(looks[-1])
    assert kept.handles["aim of down"] == before.handles["aim of down"]
    x, y = page.middle(page.find("slider", name))
    for _ in range(2):
        hand.press((x, y))
        hand.lift()
    again = page.until(lambda look: look.handles[name] == best and look.at_rest)
    assert again.scores == before.scores


def farther_than(last: float, name: str = "aim of up") -> Callable[[Look], bool]:
    """Return whether an aim is held farther from the best, and what that costs is known."""
    return lambda look: "costs" in look.handles[name] and off(look, name) > last


def off(look: Look, name: str = "aim of up") -> float:
    """Return how far an aim is off the best [deg]."""
    found = re.match(r"([\d.]+)°", look.handles[name])
    return float(found[1]) if found else 0.0


def test_an_aim_is_moved_by_keys(page: Reader) -> None:
    before = page.go(HOLE, "SW 14", "14 mph")
    page.chrome.find_element(By.TAG_NAME, "main").click()
    page.press("a")
    name = page.focused().accessible_name
    assert name.startswith("aim of ")
    page.press(*[Keys.ARROW_LEFT] * 6)
    look = page.until(lambda look: "costs" in look.handles[name] and off(look, name) == 3)
    assert "left of the best" in look.handles[name]
    page.press(Keys.ARROW_RIGHT)
    page.until(lambda look: off(look, name) == 2.5)
    page.press(Keys.PAGE_UP)
    look = page.until(lambda look: off(look, name) == 2.5 and "right of the best" in look.handles[name])
    page.press(Keys.ESCAPE)
    page.until(lambda look: look.handles[name] == before.handles[name] and look.at_rest)
    page.tab_to("spinbutton", name.removeprefix("aim of "))
    page.press(Keys.CONTROL + "a" + Keys.NULL, "-3", Keys.ENTER)
    page.until(lambda look: off(look, name) == 3 and "left of the best" in look.handles[name])
    page.press(Keys.CONTROL + "a" + Keys.NULL, "0", Keys.ENTER)
    again = page.until(lambda look: look.handles[name] == before.handles[name] and look.at_rest)
    assert again.scores == before.scores


# --- the switches, by keyboard --------------------------------------------------------------------


def change(page: Reader, *keys: str) -> Look:
    """Press keys, and return the look at rest whose numbers are others."""
    before = page.look()
    page.press(*keys)
    return page.until(lambda look: look.at_rest and look.scores != before.scores)


def test_strikes_and_tees_are_switched_by_keys(page: Reader) -> None:
    before = page.go(HOLE, "SW 14", "14 mph")
    page.tab_to("checkbox", "down")
    alone = change(page, Keys.SPACE)
    assert alone.handles.keys() == {"wind", "aim of up"}
    assert alone.scores[""] == ["up"]
    both = change(page, Keys.SPACE)
    assert both.scores == before.scores
    page.tab_to("checkbox", "3-wood")
    three = change(page, Keys.SPACE)
    assert three.scores[""] == ["up", "down", "3-wood"]
    assert "aim of 3-wood" in three.handles
    assert page.focused().accessible_name == "3-wood"
    assert change(page, Keys.SPACE).scores == before.scores
    page.tab_to("radio", "back")
    middle = change(page, Keys.ARROW_DOWN)
    assert "middle tee" in middle.headline
    assert page.focused().accessible_name == "middle"
    assert change(page, Keys.ARROW_UP).scores == before.scores


def total_of(look: Look) -> int:
    """Return how far the first strike goes in the end [yd]."""
    return int(look.scores["carry, total, yd"][0].split(", ")[1])


def carry_of(look: Look) -> int:
    return int(look.scores["carry, total, yd"][0].split(", ")[0])


def test_ground_and_goal_are_switched_by_keys(page: Reader) -> None:
    before = page.go(HOLE, "SW 14", "14 mph")
    page.tab_to("radio", "medium")
    firm = change(page, Keys.ARROW_DOWN)
    assert page.focused().accessible_name == "firm"
    assert total_of(firm) > total_of(before) + 3
    assert carry_of(firm) == pytest.approx(carry_of(before), abs=1)
    assert change(page, Keys.ARROW_UP).scores == before.scores
    page.tab_to("radio", "fewest strokes")
    page.press(Keys.ARROW_DOWN, Keys.ARROW_DOWN)
    birdie = page.until(lambda look: look.at_rest and "birdies in 100" in look.headline)
    assert page.focused().accessible_name == "birdie or better"
    assert "pars" not in birdie.headline
    page.press(Keys.ARROW_UP, Keys.ARROW_UP)
    again = page.until(
        lambda look: look.at_rest and "birdies" not in look.headline and "pars" not in look.headline
    )
    assert again.scores == before.scores


def test_weather_and_rule_are_switched_by_keys(page: Reader) -> None:
    before = page.go(HOLE, "SW 14", "14 mph")
    page.tab_to("spinbutton", "temperature")
    warm = page.focused().get_attribute("value") or ""
    cold = change(page, Keys.CONTROL + "a" + Keys.NULL, "40", Keys.ENTER)
    assert carry_of(cold) < carry_of(before)
    assert change(page, Keys.CONTROL + "a" + Keys.NULL, warm, Keys.ENTER).scores == before.scores
    again = cost_off_line(page)
    page.tab_to("combobox", "out of bounds")
    page.press(Keys.ARROW_DOWN)
    page.until(lambda look: look.at_rest and look.handles["aim of up"].startswith("the best"))
    dropped = cost_off_line(page)
    assert dropped < again - 1  # out of bounds most of the time, again and again
    page.tab_to("combobox", "out of bounds")
    page.press(Keys.ARROW_UP)
    page.until(lambda look: look.at_rest and look.scores == before.scores)
    assert cost_off_line(page) == again
    page.press(Keys.HOME)


def cost_off_line(page: Reader) -> float:
    """Return what it costs to aim 8 degrees right of the best, by keys."""
    page.tab_to("slider", "aim of up")
    page.press(*[Keys.ARROW_RIGHT] * 16)
    held = page.until(lambda look: "costs" in look.handles["aim of up"] and off(look) == 8)
    return cost_of(held.handles["aim of up"])


def strokes_of(look: Look) -> float:
    return float(look.scores["strokes"][0].split(" ")[0])


# --- the round ------------------------------------------------------------------------------------


@BOTH
@ON_DEMO
def test_all_eighteen_are_there_and_go_to_their_holes(page: Reader) -> None:
    page.hear()
    page.go(HOLE, "SW 13", "13 mph from 225°")
    whole = until_totals(page, 13, 225)
    assert sorted(map(int, whole.holes)) == list(range(1, 19))
    assert all(whole.holes.values())
    assert {"always up", "always down", "this plan"} < whole.totals.keys()
    page.find("button", "hole 12").click()
    assert page.until_rest("13 mph", 12).holes["12"]
    page.press(Keys.ARROW_DOWN)
    page.until_rest("13 mph", 13)
    assert page.focused().accessible_name.startswith("hole 13")
    page.type_wind("W 13")
    other = until_totals(page, 13, 270)
    for policy in ("always up", "always down", "this plan"):
        assert other.totals[policy][0] != whole.totals[policy][0]


def until_totals(page: Reader, *wind: int) -> Look:
    """Return the first look that shows what the server answered for the round in a wind."""
    answered: list[dict[str, str]] = []

    def shows(look: Look) -> bool:
        for asked, said in page.hear().answers("round"):
            if (asked["wind"]["mph"], asked["wind"]["from_deg"]) == wind:
                answered.append({total["policy"]: f"{total['strokes']:.2f}" for total in said["totals"]})
        return {policy: cells[0] for policy, cells in look.totals.items() if policy} in answered

    return page.until(shows)


# --- files ----------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def own(chrome: Chrome, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Window]:  # noqa: ARG001 - or skip
    """A window on a folder that is empty at first, without the demo."""
    with running(tmp_path_factory.mktemp("own")) as started:
        yield started


@pytest.fixture
def filled(chrome: Chrome, own: Window) -> Reader:
    """The page of a folder with a small course and a player of its own."""
    resize(chrome, WIDE)
    fill(own.folder)
    (own.folder / "links.geojson").unlink()
    reader = reader_of(chrome, own)
    chrome.get(own.address)
    chrome.refresh()
    reader.until(lambda look: look.at_rest)
    return reader


def test_an_empty_folder_leads_the_way(chrome: Chrome, own: Window) -> None:
    """A course, a golfer, a wind: what is there is ticked, and nothing is called an error."""
    for path in own.folder.iterdir():
        path.unlink()
    page = reader_of(chrome, own)
    page.until_text("A plan needs a course, a golfer and a wind")
    assert page.look().alert == ""
    assert steps_done(page) == [False, False, False]
    links = {link.text: link.get_attribute("href") for link in page.chrome.find_elements(By.TAG_NAME, "a")}
    assert links == {
        "Draw a course": f"{own.origin}/#/draw",
        "Describe a golfer": f"{own.origin}/#/golfers",
    }
    page.find("button", "Copy the demo course here").click()
    page.until(lambda _: steps_done(page) == [True, False, False])
    page.find("button", "Copy the demo golfer here").click()
    page.until(lambda look: look.headline.startswith("Hole 1"))
    for name, found in (("demo.geojson", COURSE), ("good_amateur.toml", PLAYER_FILE)):
        assert (own.folder / name).read_bytes() == find(found).read_bytes()
        (own.folder / name).unlink()
    assert console(chrome) == []


def steps_done(page: Reader) -> list[bool]:
    """Return which steps towards a first plan are ticked."""
    done: list[bool] = page.chrome.execute_script(
        "return [...document.querySelectorAll('#begin li')].map(step => step.classList.contains('done'))"
    )
    return done


def test_a_plan_is_saved_as_the_command_does(filled: Reader, own: Window, run: Run, tmp_path: Path) -> None:
    filled.go(1, "SW 14", "14 mph")
    filled.press(Keys.ESCAPE)
    filled.find("button", "Save the plan").click()
    field = filled.focused()
    assert field.aria_role == "textbox"
    assert "Petrel Ground" in (field.get_attribute("value") or "")
    field.clear()
    field.send_keys("Monday, SW 14", Keys.ENTER)
    filled.until_text("Saved in plans/monday-sw-14.")
    saved = own.folder / "plans/monday-sw-14"
    files = [str(own.folder / name) for name in ("petrel.geojson", "vale.toml")]
    tee = re.search(r"(\w+) tee;", filled.look().headline)
    assert tee
    words = ("--tee", tee[1], "--wind", "14@225", "--out", str(tmp_path / "out"))
    assert run("plan", *files, *words)[0] == 0
    assert {path.name for path in saved.iterdir()} == {path.name for path in (tmp_path / "out").iterdir()}
    for name in ("plan.json", "plan.csv", "finishes.geojson"):
        assert (saved / name).read_bytes() == (tmp_path / "out" / name).read_bytes()
    filled.find("button", "card.pdf").click()
    with filled.new_tab():
        filled.until_pdf()
    assert console(filled.chrome) == []


@ON_DEMO
def test_a_plan_that_is_cancelled_leaves_nothing(page: Reader, demo: Window) -> None:
    page.go(HOLE, "SW 14", "14 mph")
    page.find("button", "Save the plan").click()
    page.press(Keys.ENTER)
    page.until(lambda _: list(page.controls("progressbar")))
    page.until_text("steps")
    begin = time.monotonic()
    page.find("button", "Cancel").click()
    page.until_text("Cancelled: nothing was saved.")
    assert time.monotonic() - begin < 3
    assert not list(demo.folder.iterdir())


def test_a_file_changed_outside_is_read_again(filled: Reader, own: Window) -> None:
    assert "handicap 3" in filled.text
    changed = PLAYER.replace("handicap_index = 3", "handicap_index = 12")
    before = filled.look()
    (own.folder / "vale.toml").write_text(changed, encoding="utf-8")
    filled.until(lambda look: "vale.toml was changed outside this window" in look.alert, 10)
    filled.until_text("handicap 12")
    after = filled.until(lambda look: look.at_rest and look.scores != before.scores)
    assert strokes_of(after) > strokes_of(before)
    filled.find("button", "close").click()
    filled.until(lambda look: look.alert == "")


def test_a_file_that_cannot_be_read_is_told_with_its_line(filled: Reader, own: Window) -> None:
    (own.folder / "broken.toml").write_text('name = "A"\nhandicap_index = \n', encoding="utf-8")
    try:
        filled.chrome.refresh()
        filled.until_rest()
        (told,) = [
            item.text for item in filled.chrome.find_elements(By.TAG_NAME, "li") if "broken.toml" in item.text
        ]
    finally:
        (own.folder / "broken.toml").unlink()
    assert "line 2" in told
    assert "\n" not in told
    names = [option.text for option in Select(filled.find("combobox", "player")).options]
    assert names == ["C\u00f8rin Vale"]


# --- coming back, and what goes wrong -------------------------------------------------------------


def test_a_reload_keeps_hole_and_wind(page: Reader) -> None:
    before = page.go(HOLE, "SW 14", "14 mph from 225°")
    page.chrome.refresh()
    after = page.until_rest("14 mph from 225°", HOLE)
    assert after.headline == before.headline
    assert after.scores == before.scores


def test_a_wrong_token_is_told(page: Reader, few: Window) -> None:
    page.chrome.get("about:blank")
    page.chrome.get(f"{few.origin}/#{'A' * len(few.token)}")
    refusal = "This page has no key, or an old one. Start holesim open again and use the address it prints."
    page.until(lambda look: look.alert == refusal)
    page.chrome.get("about:blank")
    page.chrome.get(few.address)
    assert page.until_rest().alert == ""
    refused = console(page.chrome)
    assert all("403" in entry["message"] for entry in refused), refused


def test_a_server_that_has_stopped_is_told(chrome: Chrome, tmp_path: Path) -> None:
    with running(fill(tmp_path / "folder")) as window:
        page = reader_of(chrome, window)
        page.until_rest()
        window.stop()
        look = page.until(lambda look: look.alert)
        assert look.alert.startswith("holesim does not answer")
        assert look.scores
    chrome.get("about:blank")
    console(chrome)
