"""What holds for every test of the board."""

from __future__ import annotations

import pytest


@pytest.fixture(autouse=True)
def colours(monkeypatch):
    """Keep the pictures the same on a terminal that was told to show no colour."""
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")
