"""A short run of the fuzzer; `python -m tests.files.fuzz 100000` is a long one."""

from pathlib import Path

import pytest

from tests.files.fuzz import KINDS, try_case

CASES = 25  # of each kind


@pytest.mark.parametrize("kind", KINDS)
def test_whatever_is_damaged_is_read_or_refused_in_one_line(tmp_path: Path, kind: str) -> None:
    read = sum(try_case(kind, number, tmp_path) for number in range(CASES))
    assert 0 < read < CASES  # the damage is neither too small to matter nor always fatal
