"""What cannot be put on paper."""

from __future__ import annotations

from steepboard.errors.base import SteepboardError


class Unprintable(SteepboardError, ValueError):
    """A text cannot be printed; says which, why, and what to do."""

    def __init__(self, text: str, reason: str, advice: str) -> None:
        self.text, self.reason = text, reason
        super().__init__(f"“{text}” cannot be printed: {reason}. {advice}")


class DoesNotFit(SteepboardError, ValueError):
    """A text is too long for its label, also in the smallest letters; says which, and what fits."""

    def __init__(self, code: str, what: str, size: str, larger: str) -> None:
        self.code, self.what = code, what
        advice = f"It fits on {larger}." if larger else "Write it shorter."
        super().__init__(f"{code}: {what} is too long for {size}, in the smallest type. {advice}")


class UnknownSheet(SteepboardError, LookupError):
    """No sheet of labels has this name."""

    def __init__(self, name: str, known: tuple[str, ...]) -> None:
        self.name, self.known = name, known
        super().__init__(f"No sheet is called {name}. There are {'; '.join(known)}.")


class FontUnusable(SteepboardError):
    """The file of a font cannot be printed with."""

    def __init__(self, path: str) -> None:
        self.path = path
        super().__init__(
            f"{path} cannot be read as a font. Name another in settings.toml: [print] font."
        )
