"""The pictures that the pages show are what the program shows now."""

from __future__ import annotations

import pytest

from tests.pictures import EXAMPLES, KEYS, draw


@pytest.mark.parametrize("name", KEYS)
def test_a_picture_is_what_the_program_draws(name, monkeypatch):
    """Where it differs, look at it, then draw it anew: `python -m tests.pictures`."""
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert draw(name) == (EXAMPLES / f"{name}.svg").read_text(encoding="utf-8")
