"""What holds for every test."""

from __future__ import annotations

import os

import pytest


@pytest.fixture(autouse=True)
def nobodys_shelf(monkeypatch, tmp_path_factory):
    """Keep a test that names no home away from the shelf, and the terminal, of whoever runs it."""
    monkeypatch.setenv("STEEPBOARD_HOME", str(tmp_path_factory.mktemp("home")))
    monkeypatch.delenv("COLUMNS", raising=False)


def pytest_terminal_summary(terminalreporter):
    skipped = len(terminalreporter.stats.get("skipped", ()))
    if skipped and os.environ.get("CI"):
        terminalreporter.write_line(f"{skipped} skipped: CI has all that the tests need", red=True)


def pytest_sessionfinish(session):
    """In CI nothing may be skipped: a skip there is a test that never runs."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")  # the workers have none
    skipped = reporter is not None and reporter.stats.get("skipped")
    if os.environ.get("CI") and skipped and session.exitstatus == 0:
        session.exitstatus = pytest.ExitCode.TESTS_FAILED
