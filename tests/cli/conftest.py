"""The demo shelf, built once for all that look at it."""

from __future__ import annotations

import shutil

import pytest

from steepboard.cli.demo import build
from steepboard.paths import Home
from tests.shelves import MORNING, VIENNA


@pytest.fixture(scope="session")
def demo_as_built(tmp_path_factory):
    """Return the demo as it is on that morning; nobody writes to it.

    Who asks for it is marked with the group "demo", so that one worker of several builds it.
    """
    made = Home(tmp_path_factory.mktemp("as-built"))
    build(made, MORNING, VIENNA)
    return made.root


@pytest.fixture(scope="module")
def demo(demo_as_built, tmp_path_factory):
    """Return the home of a demo of this file's own."""
    return Home(shutil.copytree(demo_as_built, tmp_path_factory.mktemp("demo") / "demo"))
