"""A player file from two draws of a golfer that are stated here instead of fitted, worked by hand."""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from holesim.errors import InputError
from holesim.measure.drives_table import DrivesTable, Session
from holesim.measure.fit import FitDraws
from holesim.measure.measure import (
    MeasuredPlayer,
    describe_player,
    fit_player,
    format_player_file,
    parse_player,
)
from holesim.player.player import Strike, StrikeName, path_shift
from holesim.player.player_defaults import default_spread
from holesim.player.player_file import ClubTable, PlayerFile, SpreadTable
from holesim.units import DEGREE, MM, MPH

Floats = NDArray[np.float64]

GOLFER = PlayerFile(name="a golfer", hand="right", sex="man", handicap_index=5.0, club_speed_mph=104.0)
UP, DOWN = [3.5, 3.0, 2.5, 3.2, 2.8, 3.0], [-2.0, -2.4, -1.6, -2.0, -2.2, -1.8]
SPEED, ATTACK, PATH, FACE = 0, 1, 2, 3


def table(attacks: Sequence[float], **more: Floats) -> DrivesTable:
    values = {"attack": np.array(attacks) * DEGREE} | more
    return DrivesTable.of_one_session(values, (), np.arange(2, len(attacks) + 2), "course", "range.csv")


class Fit:
    """What a fit returns: two draws of a golfer who hits up at +3° and down at -2°, and what it was asked."""

    def __init__(self, attacks: tuple[float, float] = (3.0, -2.0), drag_slope: Floats | None = None) -> None:
        self.attacks, self.drag_slope = attacks, drag_slope
        self.strikes: Sequence[Strike] = ()

    def __call__(
        self,
        values: Mapping[str, Floats],
        strike_of: NDArray[np.int64],
        strikes: Sequence[Strike],
        **_: object,
    ) -> FitDraws:
        self.strikes = strikes
        means = np.zeros((2, 2, 7))
        means[:, 0, SPEED], means[:, 1, SPEED] = (110 * MPH, 112 * MPH), 106 * MPH
        means[:, :, ATTACK] = np.array(self.attacks) * DEGREE
        means[:, :, PATH] = 1.5 * DEGREE
        means[:, 0, 3], means[:, 0, 4] = 0.5 * DEGREE, 15 * DEGREE
        means[:, 0, 5], means[:, 0, 6] = -2 * MM, 4 * MM
        spread = np.array([2 * MPH, 1 * DEGREE, 2 * DEGREE, 1.5 * DEGREE, 1.25 * DEGREE, 8 * MM, 6 * MM])
        return FitDraws(
            means=means,
            spread=np.tile(spread, (2, 1)),
            ratios=np.tile([1.0, 1.2], (2, 1)),
            correlation=np.array([0.3, 0.5]),
            days=np.zeros((2, 1, 7)),
            day_sd=np.zeros((2, 7)),
            day_ratios=np.ones((2, 1)),
            miss_rate=np.array([0.02, 0.04]),
            drag_slope=self.drag_slope,
            missed=np.where(strike_of == 0, 0.25, 0.75) + 0 * values["attack"],
        )


def fitted(
    monkeypatch: pytest.MonkeyPatch, drives: DrivesTable, golfer: PlayerFile = GOLFER, fit: Fit | None = None,
    usual: StrikeName | None = None,
) -> tuple[MeasuredPlayer, dict[str, Any]]:  # fmt: skip
    """Return the measured player, and the content of the file that is written of it."""
    monkeypatch.setattr("holesim.measure.measure.fit_deliveries", fit or Fit())
    found = fit_player(drives, golfer, usual=usual)
    return found, tomllib.loads(format_player_file(found, golfer))


def test_a_file_has_the_means_of_the_draws_and_their_standard_errors(monkeypatch: pytest.MonkeyPatch) -> None:
    """Up at 110 or 112 mph is 111 ± 1, down 106; together 108.5. Down spreads 1.2 times as widely: 1.8°.

    Of the club speed 2 mph are 1.802 % of 111, by draw 2/110 and 2/112; 2.264 % of 106; 1.843 % together.
    """
    found, told = fitted(monkeypatch, table(UP + DOWN))
    assert (found.names, found.strike_of.tolist()) == (("up", "down"), [0] * 6 + [1] * 6)
    assert told["club_speed_mph"] == 108.5
    assert told["measured"] == {"drives": 12}
    assert "ball" not in told
    up, down = told["strikes"]["up"], told["strikes"]["down"]
    numbers = {
        "club_speed_mph": 111.0, "attack_deg": 3.0, "dynamic_loft_deg": 15.0, "face_deg": 0.5, "toe_mm": -2.0,
        "high_mm": 4.0,
    }  # fmt: skip
    assert {key: up[key] for key in numbers} == pytest.approx(numbers)
    assert up["swing_line_deg"] == pytest.approx(1.5 - path_shift(3 * DEGREE, 1.0) / DEGREE, abs=1e-3)
    assert up["se"]["club_speed_mph"] == pytest.approx(1.0)
    assert up["se"]["attack_deg"] == 0
    assert (down["club_speed_mph"], down["attack_deg"]) == (106.0, -2.0)
    assert (up["spread"]["face_deg"], down["spread"]["face_deg"]) == (1.5, 1.8)
    assert (up["spread"]["path_deg"], up["spread"]["attack_deg"], up["spread"]["dynamic_loft_deg"]) == (
        2.0, 1.0, 1.25,
    )  # fmt: skip
    assert (up["spread"]["toe_mm"], down["spread"]["high_mm"]) == (8.0, 7.2)
    assert (up["spread"]["speed_pct"], down["spread"]["speed_pct"]) == (1.802, 2.264)
    assert (up["spread"]["at_mph"], down["spread"]["at_mph"]) == (111.0, 106.0)
    common = told["spread"]
    assert (common["face_deg"], common["speed_pct"], common["at_mph"]) == (1.5, 1.843, 108.5)
    assert (common["face_path_correlation"], common["miss_rate"]) == (0.4, 0.03)
    assert (common["se"]["face_path_correlation"], common["se"]["miss_rate"]) == (0.1, 0.01)


def test_draws_are_kept_as_standard_errors_off_the_mean(monkeypatch: pytest.MonkeyPatch) -> None:
    """Half of them are the first draw, one standard error below the mean, and half the second, one above."""
    _, told = fitted(monkeypatch, table(UP + DOWN))
    likely = told["likely"]
    assert likely["strikes.up.club_speed_mph"] == [-1.0] * 16 + [1.0] * 16
    assert likely["strikes.up.attack_deg"] == [0.0] * 32
    assert likely["spread.miss_rate"] == [-1.0] * 16 + [1.0] * 16
    assert likely["strikes.down.spread.face_deg"] == [0.0] * 32
    assert "ball.drag_slope" not in likely


def test_what_carries_tell_of_the_ball_is_written(monkeypatch: pytest.MonkeyPatch) -> None:
    fit = Fit(drag_slope=np.array([0.2, 0.4]))
    _, told = fitted(monkeypatch, table(UP + DOWN), fit=fit)
    assert told["ball"]["drag_slope"] == pytest.approx(0.3)
    assert told["ball"]["se"]["drag_slope"] == pytest.approx(0.1)
    assert told["likely"]["ball.drag_slope"] == [-1.0] * 16 + [1.0] * 16


def test_the_file_that_is_written_is_the_player_that_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("holesim.measure.measure.fit_deliveries", Fit())
    found = fit_player(table(UP + DOWN), GOLFER, usual="down")
    player = parse_player(found, format_player_file(found, GOLFER))
    assert (player.usual, player.measured) == ("down", 12)
    assert [strike.name for strike in player.drivers] == ["up", "down"]
    assert player.driver("up").club_speed == pytest.approx(111 * MPH)
    assert player.driver("down").spread.face == pytest.approx(1.8 * DEGREE)


@pytest.mark.parametrize(
    ("asked", "filed", "written"),
    [
        (None, None, None),
        ("down", None, "down"),
        ("down", "up", "down"),
        (None, "up", "up"),
        (None, "level", None),  # which was not hit
    ],
)
def test_the_usual_strike_is_the_one_asked_for_or_else_the_files(
    monkeypatch: pytest.MonkeyPatch, asked: StrikeName | None, filed: StrikeName | None, written: str | None
) -> None:
    golfer = GOLFER if filed is None else GOLFER.model_copy(update={"usual": filed})
    found, told = fitted(monkeypatch, table(UP + DOWN), golfer, usual=asked)
    assert found.usual == told.get("usual") == written


def test_a_usual_strike_that_was_not_hit_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(InputError, match="level was not hit; give up or down"):
        fitted(monkeypatch, table(UP + DOWN), usual="level")


def test_a_drive_of_which_nobody_knows_the_strike_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    found, told = fitted(monkeypatch, table([*UP, np.nan, *DOWN]))
    assert (len(found.drives.lines), found.unassigned.lines.tolist()) == (12, [8])
    assert told["measured"] == {"drives": 12}


def test_strikes_are_named_by_the_attack_that_was_fitted(monkeypatch: pytest.MonkeyPatch) -> None:
    """The ball may tell of another attack: those measured as up were hit at -2°, the others at +3°."""
    found, told = fitted(monkeypatch, table(UP + DOWN), fit=Fit(attacks=(-2.0, 3.0)))
    assert (found.names, found.strike_of.tolist()) == (("up", "down"), [1] * 6 + [0] * 6)
    up, down = told["strikes"]["up"], told["strikes"]["down"]
    assert (up["attack_deg"], up["club_speed_mph"], up["spread"]["face_deg"]) == (3.0, 106.0, 1.8)
    assert (down["attack_deg"], down["club_speed_mph"], down["spread"]["face_deg"]) == (-2.0, 111.0, 1.5)


def test_whatever_the_order_of_the_drives_each_has_its_own_chance_of_a_miss(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    found, _ = fitted(monkeypatch, table([x for both in zip(UP, DOWN, strict=True) for x in both]))
    assert found.fit.missed.tolist() == [0.25, 0.75] * 6


def test_the_days_of_the_drives_are_written(monkeypatch: pytest.MonkeyPatch) -> None:
    days = (Session("a.csv", date(2026, 5, 12)), Session("b.csv"), Session("c.csv", date(2026, 6, 1)))
    drives = replace(table(UP + DOWN), sessions=days, session_of=np.repeat([0, 1, 2], 4))
    _, told = fitted(monkeypatch, drives)
    assert told["measured"]["sessions"] == ["2026-05-12", "2026-06-01"]


# --- what is known before the drives ----------------------------------------------------------------


def test_without_a_player_file_the_median_speed_tells_how_fast_the_club_is() -> None:
    """Of 100, 104, 111 mph and a blank 104; of the ball's 145 and 174 mph, at 1.45 times the club's, 110."""
    club = table([0.0] * 4, club_speed=np.array([100, np.nan, 111, 104]) * MPH, ball_speed=np.full(4, 60.0))
    told = describe_player(club, "a golfer", "left", "woman", 12.0)
    assert (told.name, told.hand, told.sex, told.handicap_index) == ("a golfer", "left", "woman", 12.0)
    assert told.club_speed_mph == 104.0
    blank = table([0.0] * 2, club_speed=np.full(2, np.nan), ball_speed=np.array([145, 174]) * MPH)
    assert describe_player(blank, "a golfer", "right", "man", 5.0).club_speed_mph == 110.0
    with pytest.raises(InputError, match="has no speed of club or ball; give --like"):
        describe_player(table([0.0]), "a golfer", "right", "man", 5.0)


def test_the_golfer_before_hits_the_strikes_of_the_drives_at_their_median_speed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    fit = Fit()
    fast = table(UP + DOWN, club_speed=np.array([np.nan, *[118.0] * 6, *[124.0] * 5]) * MPH)
    found, _ = fitted(monkeypatch, fast, fit=fit)
    assert [strike.name for strike in fit.strikes] == ["up", "down"]
    assert found.before.club_speed == pytest.approx(118 * MPH)
    assert fitted(monkeypatch, table(UP + DOWN))[0].before.club_speed == pytest.approx(104 * MPH)


def test_other_clubs_stay_as_the_golfers_file_has_them(monkeypatch: pytest.MonkeyPatch) -> None:
    """What it does not state is not written, or it would count as known."""
    wood = ClubTable(club_speed_mph=96.0)
    golfer = GOLFER.model_copy(update={"clubs": {"3-wood": wood}})
    golfer.model_fields_set.add("clubs")
    _, told = fitted(monkeypatch, table(UP + DOWN), golfer)
    assert told["clubs"] == {"3-wood": {"club_speed_mph": 96.0}}


@pytest.mark.parametrize(
    ("number", "mean", "spread", "said"),
    [
        (ATTACK, 20 * DEGREE, None, "attack angle of up would be 20.0"),
        (SPEED, 165 * MPH, None, "club speed of up would be 165.0"),
        (FACE, None, 60 * DEGREE, "the spread of face angle would be 60.0"),
        (SPEED, None, 54.5 * MPH, "the spread of club speed would be 50"),
    ],
)
def test_what_no_golfer_hits_is_named(
    monkeypatch: pytest.MonkeyPatch, number: int, mean: float | None, spread: float | None, said: str
) -> None:
    found, _ = fitted(monkeypatch, table(UP + DOWN))
    if mean is not None:
        found.fit.means[:, 0, number] = mean
    if spread is not None:
        found.fit.spread[:, number] = spread
    with pytest.raises(InputError, match=f"has drives that no golfer hits: {said}") as caught:
        parse_player(found, format_player_file(found, GOLFER))
    assert str(caught.value).endswith("; look for wrong rows or units, with --show-columns")


@pytest.mark.parametrize(("share", "sound"), [(0.0095, False), (0.0105, True)])
def test_a_golfer_scatters_by_a_hundredth_of_what_is_usual_at_least(
    monkeypatch: pytest.MonkeyPatch, share: float, *, sound: bool
) -> None:
    usual = default_spread(5.0, 104 * MPH)
    still = SpreadTable(face_deg=share * usual.face / DEGREE)
    golfer = GOLFER.model_copy(update={"spread": still})
    if sound:
        fitted(monkeypatch, table(UP + DOWN), golfer)
    else:
        with pytest.raises(InputError, match="nobody's swing scatters so little"):
            fitted(monkeypatch, table(UP + DOWN), golfer)


def test_a_golfer_who_never_errs_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    still = GOLFER.model_copy(update={"spread": GOLFER.spread.model_copy(update={"toe_mm": 0.01})})
    with pytest.raises(InputError, match=r"--like: spread.toe_mm: is 0.01, and nobody's swing scatters"):
        fitted(monkeypatch, table(UP + DOWN), still)
