"""What was named is not there, or is not what it would have to be."""

from __future__ import annotations

from steepboard.errors.base import SteepboardError


class UnknownMaterial(SteepboardError, LookupError):
    """No botanical or spirit has this name; says which come near."""

    def __init__(self, name: str, near: tuple[str, ...] = (), *, own: bool = False) -> None:
        self.name, self.near, self.own = name, near, own
        told = f"Nothing here is called “{name}”."
        if own:
            told = f"“{name}” is none of your own, so there is nothing to forget."
        meant = f" Did you mean {' or '.join(near)}?" if near else ""
        super().__init__(told + meant)


class UnknownWord(SteepboardError, LookupError):
    """A word is none of a list that is closed; says which there are, or which begin as it does."""

    def __init__(self, word: str, what: str, near: str, known: tuple[str, ...]) -> None:
        self.word, self.known = word, known
        super().__init__(f"“{word}” is not {what}. {near}. Known are {', '.join(known)}.")


class UnknownJar(SteepboardError, LookupError):
    """No jar on the shelf has this code."""

    def __init__(self, code: str) -> None:
        self.code = code
        super().__init__(f"No jar is called {code}. `steepboard jars` lists them.")


class UnknownBottle(SteepboardError, LookupError):
    """No bottle on the shelf has this code."""

    def __init__(self, code: str) -> None:
        self.code = code
        super().__init__(f"No bottle is called {code}. `steepboard bottles` lists them.")


_LISTED_BY = {
    "trial": "bench",
    "par": "stock",
    "spirit price": "price",
    "botanical price": "price",
}
"""The command that lists what the house keeps under a topic, where it is not named so itself."""


class NotKept(SteepboardError, LookupError):
    """The house keeps no dose, dropper, trial, formula, par or price of this name."""

    def __init__(self, topic: str, name: str) -> None:
        self.topic, self.name = topic, name
        command = _LISTED_BY.get(topic, topic)
        told = f"No {topic} is called {name}." if name else f"No {topic} is open or was named."
        super().__init__(f"{told} `steepboard {command}` lists them.")


class OtherTincture(SteepboardError, ValueError):
    """A dose or formula is of one tincture and the bottle holds another."""

    def __init__(self, what: str, of: str, code: str, holds: str) -> None:
        self.what, self.of, self.code, self.holds = what, of, code, holds
        super().__init__(f"{what} is of {of}, but {code} holds {holds}.")


class UnknownStock(SteepboardError, LookupError):
    """No bottle and no jar on the shelf has this name, or several have it as a part."""

    def __init__(self, name: str, near: tuple[str, ...] = ()) -> None:
        self.name, self.near = name, near
        told = f"No bottle is called “{name}”. `steepboard stock` lists what stands."
        super().__init__(f"“{name}” may be {' or '.join(near)}." if near else told)


class NoCurrency(SteepboardError):
    """A price was given or asked for, and the house has no currency."""

    def __init__(self) -> None:
        super().__init__(
            'No currency is set: write currency = "EUR" under [money] in settings.toml, or yours.'
        )


class NoPrice(SteepboardError, LookupError):
    """No price of this name is kept."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(f"No price of “{name}” is kept. `steepboard price` lists them.")


class NotDrawnBy(SteepboardError, LookupError):
    """No draw is left of a list of drinks; says when one of its name was drawn by."""

    def __init__(self, name: str, day: str = "") -> None:
        self.name, self.day = name, day
        told = f"Nothing stands drawn by {name or 'a list without a name'}"
        if day:
            told += (
                f" as it is now. Another list of that name was counted on {day}: to take that one "
                "back, put its file in place of this one, or this one away"
            )
        super().__init__(f"{told}.")
