from __future__ import annotations

import pytest

from tests.notification_server import session_bus


@pytest.fixture
def bus(tmp_path, monkeypatch):
    """Give the address of a session bus of its own, which the test also finds by itself."""
    with session_bus(tmp_path) as address:
        monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", address)
        yield address
