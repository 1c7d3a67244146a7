"""The base of all faults."""

from __future__ import annotations


class SteepboardError(Exception):
    """Base of all faults that are told to a person in one plain line."""

    exit_code = 1
