"""Text from people, made safe to keep and to show."""

from __future__ import annotations

import unicodedata

_LINE_BREAKS = frozenset("\t\n\v\f\r\x85\u2028\u2029")
_JOINERS = frozenset("\u200c\u200d")  # some scripts and emoji cannot be written without them
_UNSEEN = frozenset({"Cc", "Cf", "Co", "Cs"})  # control, format (direction too), private, surrogate


def visible(text: str) -> str:
    """Return `text` on one line, without characters that are not seen but act."""
    if text.isprintable():
        return text  # nearly every text, and many times as quick
    spaced = ("\x20" if c in _LINE_BREAKS else c for c in text)
    return "".join(c for c in spaced if c in _JOINERS or unicodedata.category(c) not in _UNSEEN)


def clean(text: str, limit: int = 200) -> str:
    """Return `text` as it is kept: visible, in NFC, single spaces, at most `limit` characters."""
    tidy = " ".join(unicodedata.normalize("NFC", visible(text)).split())
    return tidy[:limit].strip(" \u200c\u200d")
