"""A player file on disk."""

from pathlib import Path

import pytest

from tests.player.player_texts import NAME, Write


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Return a function that writes a player file from its text or its bytes."""

    def to_disk(text: str | bytes) -> Path:
        path = tmp_path / NAME
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    return to_disk
