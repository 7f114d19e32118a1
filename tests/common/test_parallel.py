"""Work shared out among threads, and work that shares out work of its own."""

import os
import subprocess
import sys
from threading import get_ident

import pytest
import scipy.linalg  # noqa: F401 - it brings linear algebra of its own beside numpy's
from threadpoolctl import threadpool_info

from holesim.common.parallel import share_out


def threads_within(pieces: int) -> list[tuple[int, set[int]]]:
    """Return for each of so many pieces its thread, and the threads that did the work it shared out."""

    def piece(_: int) -> tuple[int, set[int]]:
        return get_ident(), set(share_out(lambda _: get_ident(), 8))

    return share_out(piece, pieces)


def test_work_within_work_starts_no_threads_where_all_have_work(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOLESIM_THREADS", "2")
    assert all(within == {own} for own, within in threads_within(5))


@pytest.mark.parametrize("pieces", [1, 2])
def test_work_within_work_uses_the_threads_that_have_none(
    monkeypatch: pytest.MonkeyPatch, pieces: int
) -> None:
    monkeypatch.setenv("HOLESIM_THREADS", "3")
    assert all(own not in within for own, within in threads_within(pieces))


def test_threads_that_were_busy_are_not_for_the_next_work(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOLESIM_THREADS", "2")
    threads_within(2)
    assert get_ident() not in share_out(lambda _: get_ident(), 2)


def test_linear_algebra_of_the_tests_has_one_thread() -> None:
    """Several in each of as many processes as there are processors wait for one another."""
    threads = {pool["num_threads"] for pool in threadpool_info() if pool["user_api"] == "blas"}
    assert threads == {int(os.environ["OPENBLAS_NUM_THREADS"])}


def test_linear_algebra_of_a_command_has_one_thread() -> None:
    code = (
        "import holesim.app.cli.main, scipy.linalg\n"
        "from threadpoolctl import threadpool_info\n"
        "print({pool['num_threads'] for pool in threadpool_info() if pool['user_api'] == 'blas'})"
    )
    unset = {name: value for name, value in os.environ.items() if not name.endswith("_NUM_THREADS")}
    said = subprocess.check_output([sys.executable, "-c", code], env=unset, text=True)  # noqa: S603 - our own
    assert said == "{1}\n"
