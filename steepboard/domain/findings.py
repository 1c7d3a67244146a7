"""Findings: what a plan or a straining gives a person to think about, as values."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How much a finding asks for."""

    NOTE = "note"
    WARN = "warn"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding: a stable code for programs and a plain sentence for people."""

    code: str
    severity: Severity
    text: str
