"""What was typed or asked for cannot be an amount, or cannot be reached."""

from __future__ import annotations

from steepboard.errors.base import SteepboardError


class OutOfRange(SteepboardError, ValueError):
    """A quantity is outside what is allowed; names it, its value and what is allowed."""

    def __init__(self, quantity: str, value: float, allowed: str) -> None:
        self.quantity, self.value, self.allowed = quantity, value, allowed
        super().__init__(f"{quantity}: {value:.10g} is not allowed, it must be {allowed}.")


class TooStrong(SteepboardError, ValueError):
    """The wanted strength is higher than the spirit's own; water cannot raise it."""

    def __init__(self, wanted: float, spirit: float) -> None:
        self.wanted, self.spirit = wanted, spirit
        super().__init__(
            f"Wanted strength {100 * wanted:.5g} % is above the spirit's {100 * spirit:.5g} %: "
            f"it must be at most {100 * spirit:.5g} %, or take a stronger spirit."
        )


class NothingWeighed(SteepboardError, ValueError):
    """A charge or a balance was asked for without a single amount to work from."""

    def __init__(self, quantity: str, allowed: str) -> None:
        self.quantity, self.value, self.allowed = quantity, None, allowed
        super().__init__(f"No {quantity} was given: {allowed}.")


class NoAnswer(SteepboardError, ValueError):
    """No amount meets what was asked, for instance when the solids would hold all the liquid."""


class BadAmount(SteepboardError, ValueError):
    """What was typed is not an amount of the kind asked for; carries an example of a right one."""

    def __init__(self, typed: str, reason: str, example: str) -> None:
        self.typed, self.reason, self.example = typed, reason, example
        super().__init__(f"{reason} Write it like {example}.")
