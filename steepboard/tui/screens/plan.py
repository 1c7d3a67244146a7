"""Planning a jar: backwards from what is to be bottled, forwards from what is there."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual.app import ComposeResult
from textual.containers import Container, VerticalScroll
from textual.widgets import Static

from steepboard.amounts import (
    parse_fraction,
    parse_mass,
    parse_ratio,
    parse_strength,
    parse_volume,
)
from steepboard.domain.figures import one_to
from steepboard.domain.ratio import house_ratio
from steepboard.domain.records import Separation
from steepboard.errors import SteepboardError
from steepboard.services import plans
from steepboard.services.plans import Planned, Wish
from steepboard.tui.answers import per_gram, words
from steepboard.tui.commands import bindings
from steepboard.tui.flow_commands import PLAN
from steepboard.tui.safe import plain
from steepboard.tui.screens.base import BoardScreen
from steepboard.tui.screens.botanical import BotanicalAnswer
from steepboard.tui.screens.charge_fields import SEPARATIONS, SPIRIT, echo
from steepboard.tui.screens.plan_text import plan_text
from steepboard.tui.screens.prep_sheet import PrepSheet
from steepboard.tui.telling import SIGNS
from steepboard.tui.widgets.amount_input import AmountInput
from steepboard.tui.widgets.choice import Choice
from steepboard.tui.widgets.form import Form

if TYPE_CHECKING:
    from steepboard.amounts import Amount

_WAYS = (("want", "what I want bottled"), ("have", "what I have"))
_USUAL = "what is usual"
_FIRST = "Say how strong the spirit is, and how much you want or have."


class PlanScreen(BoardScreen):
    """The answers of a plan, and what follows from them as one types."""

    PLACE = "Plan"
    COMMANDS_HERE = PLAN
    BINDINGS = bindings(PLAN)
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide")]  # noqa: RUF012
    ABOUT = (
        "Start from what you want bottled and read what to weigh and pour; or start from what "
        "you have, and read what that gives and which of it sets the size. The ratio counts mL "
        "of spirit for each gram. An answer left empty takes the figure beside it; go there to "
        "read where it comes from. True strength counts what is dissolved; a hydrometer reads "
        "lower because of it."
    )
    SIGNS = SIGNS

    def __init__(self) -> None:
        super().__init__()
        self._planned: Planned | None = None

    def body(self) -> ComposeResult:
        """Yield the answers and what follows from them."""
        with Container(classes="two-part"):
            with Form(classes="answers"):
                yield Choice("Start from", _WAYS, id="way")
                yield BotanicalAnswer("Botanical", hint="its name, say caraway; optional")
                yield self._amount("Want bottled", parse_volume, "want", "say 250 mL")
                yield self._amount("Have of it", parse_mass, "have", "say 40 g")
                yield self._amount("Have spirit", parse_volume, "spirit", "say a bottle of 700 mL")
                yield self._amount("Its strength", parse_strength, "strength",
                                   "of the spirit, say 45 %")  # fmt: skip
                yield self._amount("The jar holds", parse_volume, "vessel", "say 500 mL; optional")
                yield AmountInput("Ratio 1 to", parse_ratio, _ratio, id="ratio")
                yield Choice("Straining", SEPARATIONS, id="separation", note="house setting",
                             value=self.desk.settings.steep.separation.value)  # fmt: skip
                yield self._amount("Its water", parse_fraction, "moisture", _USUAL)
                yield self._amount("Soluble part", parse_fraction, "soluble", _USUAL)
                yield AmountInput("Marc holds", per_gram, _per_gram, id="held", hint=_USUAL)
                yield self._amount("Filter keeps", _volume_or_none, "kept", _USUAL)
                yield AmountInput("Spirit's name", words, lambda _: "", id="spirit-name",
                                  hint=f"“{SPIRIT}” if you give none")  # fmt: skip
            with VerticalScroll(classes="outcome"):
                yield Static(id="outcome")

    def on_mount(self) -> None:
        """Begin with what is wanted."""
        self._show_way()
        self._work_out()
        self.query_one(BotanicalAnswer).answer.take_focus()

    def on_amount_input_changed(self) -> None:
        """Work it out again."""
        self._work_out()

    def on_choice_changed(self, event: Choice.Changed) -> None:
        """Work it out again, from the other end where that was asked."""
        if event.choice.id == "way":
            self._show_way()
        self._work_out()

    def on_form_finished(self) -> None:
        """Show the sheet: the last answer was given."""
        self.action_sheet()

    def action_sheet(self) -> None:
        """Show the prep sheet, once there is a plan."""
        if self._planned:
            self.app.push_screen(PrepSheet(self._planned))
        else:
            self._show_missing()

    def action_clear(self) -> None:
        """Empty all answers."""
        for answer in self.query(AmountInput):
            answer.typed = ""
        self._work_out()
        self.query_one(BotanicalAnswer).answer.take_focus()

    def _show_missing(self) -> None:
        """Say in place what is missing, and go there."""
        wants = self.query_one("#way", Choice).value == "want"
        size = "want" if wants else "have"
        asked = {
            size: "Say how much you want, for example 250 mL." if wants else
                  "Say how much you have, for example 40 g, or fill in spirit or jar below.",
            "strength": "Say how strong the spirit is, for example 45 %.",
        }  # fmt: skip
        missing = [name for name in asked if self._value(name) is None]
        if not wants and any(self._value(name) for name in ("spirit", "vessel")):
            missing = [name for name in missing if name != size]
        refused = [a.id for a in self.query(AmountInput) if a.refusal and a.display and a.id]
        for name in (refused or missing)[:1]:
            answer = self._answer(name)
            answer.refuse(answer.refusal or asked[name])
            answer.take_focus()

    def _amount(self, label: str, read: Any, name: str, hint: str = "") -> AmountInput[Amount]:
        return AmountInput(label, read, echo, hint=hint, id=name)

    def _answer(self, name: str) -> AmountInput[Any]:
        return self.query_one(f"#{name}", AmountInput)

    def _value(self, name: str) -> float | None:
        """Return an answer that counts: readable, and of the way that was chosen."""
        answer = self._answer(name)
        if not answer.display or answer.value is None:
            return None
        return float(getattr(answer.value, "value", answer.value))

    def _show_way(self) -> None:
        wants = self.query_one("#way", Choice).value == "want"
        for name, shown in (("want", wants), ("have", not wants), ("spirit", not wants)):
            self._answer(name).display = shown

    def _wish(self) -> Wish | None:
        """Return what is asked for; None while strength or size is missing."""
        botanical, strength = self.query_one(BotanicalAnswer), self._value("strength")
        sizes = [self._value(name) for name in ("want", "have", "spirit", "vessel")]
        refused = any(answer.refusal for answer in self.query(AmountInput) if answer.display)
        if strength is None or refused or not any(sizes):
            return None
        want, have, spirit, vessel = sizes
        if self._answer("want").display and want is None:
            return None
        return Wish(
            strength,
            botanical.called or plans.UNNAMED,
            want_ml=want,
            have_g=have,
            spirit_ml=spirit,
            vessel_ml=vessel,
            ratio=self._value("ratio"),
            moisture=self._value("moisture"),
            soluble=self._value("soluble"),
            held_ml_per_g=self._value("held"),
            kept_ml=self._value("kept"),
            separation=Separation(self.query_one("#separation", Choice).value),
            material_class=botanical.material_class,
            fresh=botanical.fresh,
            spirit_name=self._answer("spirit-name").value or SPIRIT,
        )

    def _work_out(self) -> None:
        self._planned = None
        self._show_house_ratio()
        wish = self._wish()
        told = plain(_FIRST)
        if wish:
            try:
                self._planned = plans.make(self.desk.settings, wish, self.desk.library)
            except SteepboardError as fault:
                told = plain(f"! {fault}")
            else:
                self._show_known(self._planned)
                told = plan_text(self._planned)
        self.query_one("#outcome", Static).update(told)

    def _show_house_ratio(self) -> None:
        strength = self._value("strength")
        rule = "house rule: 1:5 at 40 % to 1:10 at 80 %, common practice"
        known = "" if strength is None else f"{house_ratio(strength):.4g}, "
        self._answer("ratio").hint(f"{known}{rule}")

    def _show_known(self, planned: Planned) -> None:
        """Show the figures that stand in for empty answers, each with its source."""
        known = planned.known
        fresh = planned.order.botanicals[0].fresh
        shown = {
            "moisture": f"{known['moisture'].value * 100:.3g} %",
            "soluble": f"{known['soluble'].value * 100:.3g} % of the dry mass",
            "held": f"{known['held'].value:.2g} mL per {'g, fresh' if fresh else 'dry g'}",
            "kept": f"{known['kept'].value:g} mL",
        }
        for name, figure in shown.items():
            self._answer(name).hint(f"{figure}; {known[name].source}")


def _volume_or_none(text: str) -> Amount:
    return parse_volume(text, zero=True)


def _ratio(value: float) -> str:
    return one_to(value)


def _per_gram(value: float) -> str:
    return f"{value:g} mL per dry g"
