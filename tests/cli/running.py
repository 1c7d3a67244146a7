"""Calling the command line inside the test's process, at a time that the test chooses."""

from __future__ import annotations

import json

from click.testing import CliRunner, Result

from steepboard.cli.main import steepboard
from tests.shelves import MORNING


def run(home, *args, now=MORNING) -> Result:
    """Call `steepboard` on the shelf in `home` and return what it printed and its exit code."""
    words = ["--home", str(home), "--by", "KL", *map(str, args)]
    return CliRunner().invoke(steepboard, words, obj=lambda: now)


def done(home, *args, now=MORNING) -> str:
    """Return what a call that must succeed printed."""
    result = run(home, *args, now=now)
    assert (result.exit_code, result.stderr) == (0, ""), (args, result.stderr, result.exception)
    return result.stdout


def value(home, *args, now=MORNING):
    """Return the JSON that a call printed."""
    return json.loads(done(home, *args, "--json", now=now))


def refused(home, *args, code, now=MORNING) -> str:
    """Return the one plain line with which a call was refused."""
    result = run(home, *args, now=now)
    assert (result.exit_code, result.stdout) == (code, ""), (args, result.stdout)
    assert isinstance(result.exception, SystemExit)
    assert result.stderr.endswith("\n")
    assert len(result.stderr.splitlines()) == 1, result.stderr
    return result.stderr.strip()
