"""What was asked for does not fit what was done before, or is not to be done."""

from __future__ import annotations

from steepboard.errors.base import SteepboardError


class DrawnBefore(SteepboardError):
    """A list of drinks was drawn by once already."""

    def __init__(self, name: str, day: str) -> None:
        self.name, self.day = name, day
        super().__init__(
            f"{name} was counted on {day}: nothing was drawn again. Take that back first "
            "if it was wrong: `steepboard sold --undo` with its name."
        )


class AlreadyDrawn(SteepboardError):
    """More of a blend would be drawn than it takes, or some was drawn meanwhile."""

    def __init__(self, what: str, part: float) -> None:
        self.what, self.part = what, part
        super().__init__(
            f"{what}: {100 * part:.3g} % of it are drawn already. Look again, and draw no more "
            "than is missing, or make it anew."
        )


class NotEnough(SteepboardError):
    """More is to be taken than there is, even within its ±; amounts in mL."""

    def __init__(self, code: str, wanted_ml: float, left_ml: float, left_u_ml: float) -> None:
        self.code, self.wanted_ml = code, wanted_ml
        self.left_ml, self.left_u_ml = left_ml, left_u_ml
        super().__init__(
            f"{code} holds {left_ml:.1f} ± {left_u_ml:.1f} mL by its diary, so {wanted_ml:.4g} mL "
            "cannot be taken. If it holds more, count it: k on Bottles, or "
            f"`steepboard count {code}`."
        )


class NoReason(SteepboardError, ValueError):
    """The act is to be kept with a reason, and none was given."""

    def __init__(self, act: str) -> None:
        self.act = act
        super().__init__(f"Say why it is {act}: the diary keeps the reason.")


class TakeBackFirst(SteepboardError):
    """An act cannot be taken back as long as something rests on it: a later act, or a trial."""

    def __init__(self, code: str, command: str = "undo") -> None:
        self.code = code
        super().__init__(
            f"Something was done with {code} since. Take that back first: "
            f"`steepboard {command} {code}`."
        )


class WrongState(SteepboardError):
    """The act does not fit the state the jar is in."""

    def __init__(self, code: str, state: str, act: str) -> None:
        self.code, self.state, self.act = code, state, act
        super().__init__(f"{code} is {state}: it cannot be {act} now.")


class NothingToUndo(SteepboardError):
    """There is no act left that could be undone."""


class NothingDue(SteepboardError):
    """Nothing of a jar is due, so that nothing can be put off."""

    def __init__(self, code: str) -> None:
        self.code = code
        super().__init__(f"Nothing of {code} is due now: there is nothing to put off.")


class TooLate(SteepboardError):
    """The moment to which something was to be put off is past."""


class NotForDrinking(SteepboardError):
    """The spirit is named as one that nobody may drink."""

    def __init__(self, name: str, word: str) -> None:
        self.name, self.word = name, word
        super().__init__(
            f"“{name}” is refused: “{word}” is not for drinking. Only ethanol sold for "
            "drinking may be used: the others are poisons and cannot be filtered clean."
        )


class DeadlyPlant(SteepboardError):
    """The botanical is named as a plant that kills; no acknowledgement lets it pass."""

    def __init__(self, name: str, plant: str, latin: str) -> None:
        self.name, self.plant, self.latin = name, plant, latin
        told = f"{plant} ({latin})" if latin else plant
        super().__init__(
            f"“{name}” is refused: {told} kills, and no amount of it belongs in a "
            "drink. If yours is another plant, call it by a name that cannot be mistaken."
        )


class NeedsAcknowledging(SteepboardError):
    """The material has a caution that must be acknowledged before a jar is charged with it."""

    def __init__(self, name: str, cautions: tuple[str, ...]) -> None:
        self.name, self.cautions = name, cautions
        super().__init__(f"Before charging with {name}, read this: {' '.join(cautions)}")


class Doubtful(SteepboardError):
    """Readings are far from what was to be expected, and nobody has insisted on them yet."""

    def __init__(self, doubts: tuple[str, ...]) -> None:
        self.doubts = doubts
        super().__init__(" ".join(doubts))
