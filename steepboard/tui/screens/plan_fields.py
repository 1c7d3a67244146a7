"""The answers of a plan about its botanicals, and how a past jar fills them all in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Vertical

from steepboard.amounts import Amount, parse_part, parse_volume
from steepboard.domain.figures import percent
from steepboard.services.plans import Further
from steepboard.tui.screens.botanical import BotanicalAnswer
from steepboard.tui.screens.charge_fields import SPIRIT, echo
from steepboard.tui.widgets.amount_input import AmountInput

if TYPE_CHECKING:
    from steepboard.domain.records import BotanicalLine
    from steepboard.services.plans import Planned, Wish


_UNEVEN = "Say of each botanical its grams, or of each its parts."


class PlannedBotanical(Vertical):
    """One botanical; how much of it is asked once there are several."""

    def __init__(self, line: BotanicalLine | None = None, *, more: bool = False) -> None:
        super().__init__(classes="answer-group")
        self._line, self._more = line, more

    def compose(self) -> ComposeResult:
        """Yield the name and its share."""
        yield BotanicalAnswer(
            "And" if self._more else "Botanical",
            line=self._line,
            hint="leave empty if nothing more" if self._more else "its name, say caraway; optional",
        )
        yield AmountInput(
            "Grams or parts",
            parse_part,
            echo,
            hint="say 40 g or 2 parts; empty: equal parts",
            typed=f"{self._line.mass_g:g} g" if self._line else "",
        )

    @property
    def asked(self) -> BotanicalAnswer:
        """The answer with name and kind."""
        return self.query_one(BotanicalAnswer)

    @property
    def share(self) -> AmountInput[Amount]:
        """The answer with grams or parts."""
        return self.query(AmountInput).last()

    @property
    def parts(self) -> float:
        """Its parts among the others: its grams, where it was weighed."""
        return self.share.value.value if self.share.value else 1.0

    def further(self) -> Further:
        """Return it as one more botanical of a plan."""
        asked = self.asked
        return Further(asked.called, self.parts, asked.material_class, asked.fresh)


def refuse_uneven(lines: list[PlannedBotanical]) -> None:
    """Say in place where one botanical of several has no share, or another kind of share."""
    units = [one.share.value.unit if one.share.value else None for one in lines]
    first = next((unit for unit in units if unit), None)
    for one, unit in zip(lines, units, strict=True):
        if unit != first and len(lines) > 1 and not one.share.refusal:
            one.share.refuse(_UNEVEN)
        elif unit == first and one.share.refusal == _UNEVEN:
            one.share.refuse("")


def weighed_g(lines: list[PlannedBotanical]) -> float | None:
    """Return what all weigh together, where there are several and each was weighed."""
    shares = [one.share.value for one in lines if one.share.value and one.share.value.unit == "g"]
    return sum(share.value for share in shares) if len(shares) == len(lines) > 1 else None


def typed_like(wish: Wish) -> dict[str, str]:
    """Return what to type into the answers of a plan for a wish, by their names."""
    first = wish.lines[0]
    alone = len(wish.lines) == 1
    known = {
        "want": (wish.want_ml, "{:.0f} mL", 1.0),
        "strength": (wish.strength, "{:.4g} %", 100.0),
        "made-from": (wish.made_from, "{:.4g} %", 100.0),
        "moisture": (first.moisture if alone else None, "{:.4g} %", 100.0),
        "soluble": (first.soluble if alone else None, "{:.4g} %", 100.0),
        "held": (wish.held_ml_per_g, "{:.4g}", 1.0),
        "kept": (wish.kept_ml, "{:.4g} mL", 1.0),
    }
    typed = {
        name: shown.format(value * scale)
        for name, (value, shown, scale) in known.items()
        if value is not None
    }
    return typed | ({"spirit-name": wish.spirit_name} if wish.spirit_name != SPIRIT else {})


def known_hints(planned: Planned) -> dict[str, str]:
    """Return the figures that stand in for empty answers, each with its source, by their names."""
    known, fresh = planned.known, planned.order.botanicals[0].fresh
    shown = {
        "moisture": percent(known["moisture"].value),
        "soluble": f"{percent(known['soluble'].value)} of the dry mass",
        "held": f"{known['held'].value:.2f} mL per {'g, fresh' if fresh else 'dry g'}",
        "kept": f"{known['kept'].value:g} mL",
    }
    return {name: f"{figure}; {known[name].source}" for name, figure in shown.items()}


def volume_or_none(text: str) -> Amount:
    """Read a volume that may be nothing."""
    return parse_volume(text, zero=True)


def per_dry_gram(value: float) -> str:
    """Return what was understood of a figure of held liquid."""
    return f"{value:g} mL per dry g"
