"""The import rule of DEVELOPERS.md, kept by a machine: contracts in pyproject.toml."""

from __future__ import annotations

from pathlib import Path

import pytest
from importlinter.cli import EXIT_STATUS_SUCCESS, lint_imports

ROOT = Path(__file__).resolve().parents[1]


def test_every_import_points_down(monkeypatch, capsys):
    monkeypatch.chdir(ROOT)
    status = lint_imports(config_filename="pyproject.toml", cache_dir=None)
    assert status == EXIT_STATUS_SUCCESS, capsys.readouterr().out


@pytest.mark.parametrize("path", sorted((ROOT / "steepboard").rglob("*.py")), ids=str)
def test_no_file_grows_past_reading(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 400
