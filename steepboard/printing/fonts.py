"""Which font of this machine prints a text; the letters of Latin-1 need none."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from steepboard.errors import FontUnusable, Unprintable
from steepboard.text import visible

_FOLDERS = ("/usr/share/fonts", "/usr/local/share/fonts", "~/.local/share/fonts", "~/.fonts")
# Looked for in this order, each with its bold; the files have the names that Debian's packages
# give them: fonts-dejavu-core, fonts-noto-core, fonts-droid-fallback.
_KNOWN = (
    ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf"),
    ("NotoSans-Regular.ttf", "NotoSans-Bold.ttf"),
    ("DroidSansFallbackFull.ttf", ""),
)
# Signs with a twin in Latin-1, which stands in where a text has no other letter beyond it.
_TWINS = str.maketrans({"“": '"', "”": '"', "’": "'", "–": "-", "−": "-", "→": ">", "…": "..."})
_UNSEEN = frozenset("\u200c\u200d")
# Scripts whose letters stand side by side. In the others letters join or change places, for which
# this program has no means. From memory: the Unicode Standard's chapters on scripts.
# fmt: off
_SIDE_BY_SIDE = frozenset((
    "LATIN", "GREEK", "COPTIC", "CYRILLIC", "ARMENIAN", "GEORGIAN", "HEBREW", "CJK",
    "HIRAGANA", "KATAKANA", "KATAKANA-HIRAGANA", "HALFWIDTH", "FULLWIDTH", "HANGUL",
    "BOPOMOFO", "IDEOGRAPHIC", "ETHIOPIC", "CHEROKEE", "RUNIC", "OGHAM",
    "GOTHIC", "TIFINAGH", "YI", "LISU", "VAI", "CANADIAN", "DESERET", "GLAGOLITIC",
    "MODIFIER", "FEMININE", "MASCULINE", "MICRO", "OHM", "KELVIN", "ANGSTROM",
    "SCRIPT", "DOUBLE-STRUCK", "BLACK-LETTER", "MATHEMATICAL", "SUPERSCRIPT",
    "SUBSCRIPT",
))
# fmt: on


@dataclass(frozen=True, slots=True)
class Font:
    """A TrueType or OpenType font and the code points it has."""

    regular: Path
    bold: Path
    has: frozenset[int]

    @property
    def family(self) -> str:
        """A name for it inside a document."""
        return self.regular.stem


def as_printed(text: str) -> str:
    """Return a text on one line, without what acts unseen, its marks joined to their letters."""
    seen = (c for c in visible(text) if c not in _UNSEEN and not "\ufe00" <= c <= "\ufe0f")
    return unicodedata.normalize("NFC", " ".join(filter(None, "".join(seen).split(" "))))


def fonts_for(texts: Iterable[str], own: str) -> tuple[Font, ...]:
    """Return the fonts, the first that has a letter prints it, that `texts` need beside Helvetica.

    `own` is the file of a font that goes before all others, or empty. Raises `FontUnusable` and,
    where no font has a character or its letters would have to be joined, `Unprintable`.
    """
    printed = [as_printed(text) for text in texts]
    for text in printed:
        _refuse_joined(text)
    if all(is_latin_1(in_latin_1(text)) for text in printed) and not own:
        return ()
    fonts = at_hand(own)
    for text in printed:
        for char in text if not is_latin_1(in_latin_1(text)) else ():
            if not is_latin_1(char) and not any(ord(char) in font.has for font in fonts):
                raise Unprintable(text, f"no font here has “{char}” (U+{ord(char):04X})", ADVICE)
    return fonts


def at_hand(own: str) -> tuple[Font, ...]:
    """Return the fonts of this machine in the order they are asked; raises `FontUnusable`."""
    fonts = [_of_ones_own(own)] if own else []
    known = (font for names in _KNOWN if (font := _found(*names)))
    fonts += [font for font in known if font.family not in [one.family for one in fonts]]
    return tuple(fonts)


_REWRITE = "This program cannot do that: write it another way."
ADVICE = (
    "Install one that has it (Debian: fonts-dejavu-core for most alphabets, fonts-droid-fallback "
    "for Chinese and Japanese), or name its file in settings.toml: [print] font."
)


def is_latin_1(text: str) -> bool:
    """Return whether the letters of a text are those that every PDF reader brings along."""
    return all(" " <= char <= "~" or "\xa0" <= char <= "\xff" for char in text)


def in_latin_1(text: str) -> str:
    """Return a text with typographer's quotes, dashes and dots as Latin-1 has them."""
    return text.translate(_TWINS)


def _refuse_joined(text: str) -> None:
    for char in text:
        kind, script = unicodedata.category(char)[0], unicodedata.name(char, "").split(" ")[0]
        if kind == "M":
            raise Unprintable(text, "it has a mark that would have to be set on a letter", _REWRITE)
        if kind == "L" and script not in _SIDE_BY_SIDE:
            known = f"{script.capitalize()} script" if script else f"“{char}”"
            why = f"it has letters of {known}, which would have to be joined"
            raise Unprintable(text, why, _REWRITE)


def _of_ones_own(own: str) -> Font:
    path = Path(own).expanduser()
    try:
        return _font(path, path)
    except Exception as fault:  # a font's reader has no base of its own faults
        raise FontUnusable(own) from fault


@cache
def _found(regular: str, bold: str) -> Font | None:
    for folder in _FOLDERS:
        for path in sorted(Path(folder).expanduser().rglob(regular)):
            beside = path.with_name(bold) if bold else path
            return _font(path, beside if beside.is_file() else path)
    return None


@cache
def _font(regular: Path, bold: Path) -> Font:
    from fontTools.ttLib import TTFont

    with TTFont(regular, lazy=True, fontNumber=0) as opened:
        return Font(regular, bold, frozenset(opened.getBestCmap()))
