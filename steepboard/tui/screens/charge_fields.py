"""The answers of a charge, line by line, and the order they make."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any, cast

from textual.app import ComposeResult
from textual.containers import Vertical

from steepboard.amounts import Amount, parse_mass, parse_strength, parse_temperature, parse_volume
from steepboard.catalogue.tables import GIVEN
from steepboard.domain.records import (
    BotanicalLine,
    Charge,
    Jar,
    Separation,
    SpiritLine,
    State,
)
from steepboard.errors import BadAmount
from steepboard.services import material
from steepboard.services.poisons import refuse_poison
from steepboard.services.spirits import Called, called, not_known, source_of
from steepboard.tui.answers import words
from steepboard.tui.screens.botanical import BotanicalAnswer
from steepboard.tui.widgets.amount_input import AmountInput

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.app import App

    from steepboard.services.acts import Order
    from steepboard.tui.app import SteepBoard

ROOM_C = 20.0
"""At which a volume counts as read where nothing else is said; assumed: a cool cellar."""
SEPARATIONS = tuple((way.value, way.value) for way in Separation)
SPIRIT = "spirit"
_STRENGTH_HINT = "as on the bottle, say 45 %; water is 0 %"


def spirit_names(app: App[object]) -> list[str]:
    """Return the spirits that the shelf knows, for a field to offer."""
    return [one.name for one in cast("SteepBoard", app).desk.library.all_spirits()]


def strength_reader(app: App[object]) -> Callable[[str], Amount | Called]:
    """Return what reads a strength, or the name of a spirit that is known."""

    def read(text: str) -> Amount | Called:
        try:
            return parse_strength(text)
        except BadAmount as fault:
            refuse_poison(text)
            library = cast("SteepBoard", app).desk.library
            if known := called(text, library):
                return known
            raise not_known(fault, text, library) from None

    return read


def echo(amount: Amount | Called) -> str:
    """Return what was understood of an amount."""
    return amount.echo


class Lines(Vertical):
    """The answers for one thing that goes into the jar."""

    def needed(self) -> list[tuple[AmountInput[Any], str]]:
        """Return the answers that must be given, each with what to say where it is missing."""
        raise NotImplementedError


class BotanicalLines(Lines):
    """What goes in, and how much of it."""

    def __init__(self, line: BotanicalLine | None = None, *, more: bool = False) -> None:
        super().__init__(classes="answer-group")
        self._line, self._more = line, more

    def compose(self) -> ComposeResult:
        """Yield the two answers."""
        line = self._line
        yield BotanicalAnswer(
            "And what" if self._more else "What",
            line=line,
            hint="leave empty if nothing more" if self._more else "the botanical, say caraway",
        )
        yield AmountInput(
            "How much",
            parse_mass,
            echo,
            hint="weighed, say 40 g",
            typed=line.typed if line else "",
        )

    @property
    def name_answer(self) -> AmountInput[str]:
        """The field of the name."""
        return self.query_one(BotanicalAnswer).answer

    @property
    def mass_answer(self) -> AmountInput[Amount]:
        """The field of the mass."""
        return self.query(AmountInput).last()

    @property
    def is_empty(self) -> bool:
        """Whether nothing was typed in either."""
        return not (self.name_answer.typed.strip() or self.mass_answer.typed.strip())

    def needed(self) -> list[tuple[AmountInput[Any], str]]:
        """Return name and mass."""
        return [
            (self.name_answer, "Say what goes in, for example caraway."),
            (self.mass_answer, "Say how much of it, for example 40 g."),
        ]

    def line(self) -> BotanicalLine | None:
        """Return the botanical, or None where an answer is missing or refused."""
        asked, mass = self.query_one(BotanicalAnswer), self.mass_answer.value
        if not asked.called or mass is None:
            return None
        return material.weighed(
            asked.called,
            mass.value,
            mass.typed,
            library=asked.library,
            material_class=asked.material_class,
            fresh=asked.fresh,
        )


class SpiritLines(Lines):
    """How much spirit, of which strength, what it is called and how warm it is."""

    def __init__(self, line: SpiritLine | None = None, *, more: bool = False) -> None:
        super().__init__(classes="answer-group")
        self._line, self._more = line, more

    def compose(self) -> ComposeResult:
        """Yield the four answers; the last two have defaults."""
        line = self._line
        yield AmountInput(
            "And spirit" if self._more else "Spirit",
            parse_volume,
            echo,
            hint="leave empty if nothing more" if self._more else "poured, say 300 mL",
            typed=line.typed_volume if line else "",
        )
        yield AmountInput(
            "Its strength",
            strength_reader(self.app),
            echo,
            hint=_STRENGTH_HINT,
            typed=self._typed_strength(),
        )
        yield AmountInput(
            "Its name",
            words,
            lambda name: "",  # noqa: ARG005 - a name needs no echo
            hint=f"“{SPIRIT}” if you give none",
            suggestions=spirit_names(self.app),
            typed=line.name if line and line.name != SPIRIT else "",
        )
        yield AmountInput(
            "Poured at",
            parse_temperature,
            echo,
            hint=f"{ROOM_C:g} °C, assumed",
            typed=f"{line.temperature_c:g} °C" if line and line.temperature_c != ROOM_C else "",
        )

    def _typed_strength(self) -> str:
        """Return the strength as it was typed; as a figure, where a name stood for it."""
        line, library = self._line, cast("SteepBoard", self.app).desk.library
        if line is None:
            return ""
        given = source_of(line, library) == GIVEN
        return line.typed_strength if given else f"{100 * line.strength:g} %"

    def on_amount_input_changed(self) -> None:
        """Show the strength that goes with the name, and where it comes from."""
        known = self._known
        self.answers[1].hint(known.echo if known else _STRENGTH_HINT)

    @property
    def _known(self) -> Called | None:
        """The spirit that the name means, as long as no strength is typed."""
        name, library = self.answers[2].typed, cast("SteepBoard", self.app).desk.library
        return None if self.answers[1].typed.strip() else called(name, library)

    @property
    def answers(self) -> list[AmountInput[Any]]:
        """Volume, strength, name and temperature."""
        return list(self.query(AmountInput))

    @property
    def is_empty(self) -> bool:
        """Whether neither volume nor strength was typed."""
        return not any(answer.typed.strip() for answer in self.answers[:2])

    def needed(self) -> list[tuple[AmountInput[Any], str]]:
        """Return volume and strength."""
        volume, strength = self.answers[:2]
        wanted: list[tuple[AmountInput[Any], str]] = [
            (volume, "Say how much spirit, for example 300 mL.")
        ]
        if self._known is None:
            wanted.append((strength, "Say how strong it is, for example 45 %, or name it below."))
        return wanted

    def line(self) -> SpiritLine | None:
        """Return the spirit, or None where an answer is missing or refused."""
        volume, typed, name, warmth = self.answers
        strength = typed.value or self._known
        if volume.value is None or strength is None or warmth.refusal:
            return None
        known = strength.spirit.name if isinstance(strength, Called) else ""
        return SpiritLine(
            words(name.typed) or known or SPIRIT,
            volume.value.value,
            strength.value,
            warmth.value.value if warmth.value else ROOM_C,
            volume.value.typed,
            strength.typed,
        )


def preview(order: Order, strain_on: date) -> Jar:
    """Return the jar that an order would make, to work out what follows from it."""
    assert order.stir_every_days  # noqa: S101 - the screen fills in every default
    assert order.separation  # noqa: S101
    charge = Charge(
        order.botanicals,
        order.spirits,
        strain_on,
        order.stir_every_days,
        order.separation,
        order.vessel_ml,
    )
    return Jar(0, "", order.name or "", State.PLANNED, charge, strain_on)
