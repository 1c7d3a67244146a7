"""Planning a jar: from what is to be bottled, from what is there, or like a past one."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from textual.app import ComposeResult
from textual.containers import Container, VerticalScroll
from textual.widgets import Static

from steepboard.amounts import (
    parse_fraction,
    parse_mass,
    parse_ratio,
    parse_temperature,
    parse_volume,
)
from steepboard.catalogue.tables import GIVEN
from steepboard.domain.figures import one_to
from steepboard.domain.ratio import house_ratio
from steepboard.domain.records import Separation
from steepboard.errors import SteepboardError
from steepboard.services import plans, repeat, views
from steepboard.services.plans import Planned, Wish
from steepboard.services.spirits import Called, called
from steepboard.tui.answers import per_gram, words
from steepboard.tui.flow_commands import PLAN, answering
from steepboard.tui.safe import plain
from steepboard.tui.screens.base import BoardScreen
from steepboard.tui.screens.charge_fields import (
    ROOM_C,
    SEPARATIONS,
    SPIRIT,
    echo,
    spirit_names,
    strength_reader,
)
from steepboard.tui.screens.plan_fields import (
    PlannedBotanical,
    known_hints,
    per_dry_gram,
    refuse_uneven,
    typed_like,
    volume_or_none,
    weighed_g,
)
from steepboard.tui.screens.plan_text import plan_text
from steepboard.tui.screens.prep_sheet import PrepSheet
from steepboard.tui.telling import SIGNS
from steepboard.tui.widgets.amount_input import AmountInput
from steepboard.tui.widgets.choice import Choice
from steepboard.tui.widgets.form import Form
from steepboard.tui.widgets.hanging import Hanging

if TYPE_CHECKING:
    from collections.abc import Sequence

    from steepboard.amounts import Amount
    from steepboard.domain.why import Why

_WAYS = (("want", "what I want bottled"), ("have", "what I have"))
_USUAL = "what is usual"
_STRENGTH_HINT = "of what is poured, say 45 % or a spirit"
_FIRST = "Say how strong the spirit is, and how much you want or have."

_MARKED = "What is marked cannot be used as it is; the plan stands here once it can."


class PlanScreen(BoardScreen):
    """The answers of a plan, and what follows from them as one types."""

    PLACE = "Plan"
    COMMANDS_HERE = PLAN
    BINDINGS = answering(PLAN)
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide")]  # noqa: RUF012
    ABOUT = (
        "Start from what you want bottled and read what to weigh and pour; or start from what "
        "you have, and read what that gives and which of it sets the size. The ratio counts mL "
        "of spirit for each gram. An answer left empty takes the figure beside it; go there to "
        "read where it comes from. Of several botanicals, say the grams or the parts of each. "
        "Where a stronger spirit is let down with water, both are told by volume and by mass. "
        "True strength counts what is dissolved; a hydrometer reads lower because of it."
    )
    SIGNS = (*SIGNS, ("+", "what would bring more"), ("=", "against the past jar"))

    def __init__(self, like: str | None = None) -> None:
        super().__init__()
        self._like = like
        self._past: repeat.Past | None = None
        self._planned: Planned | None = None
        self._changes: Sequence[str] = ()

    def body(self) -> ComposeResult:
        """Yield the answers and what follows from them."""
        with Container(classes="two-part"):
            with Form(classes="answers"):
                yield Choice("Start from", _WAYS, id="way")
                yield PlannedBotanical()
                yield self._amount("Want bottled", parse_volume, "want", "say 250 mL")
                yield self._amount("Strength", strength_reader(self.app), "strength",
                                   _STRENGTH_HINT)  # fmt: skip
                yield self._amount("Made from", strength_reader(self.app), "made-from",
                                   "a stronger spirit and water, say 96 %")  # fmt: skip
                yield self._amount("Room", parse_temperature, "room", f"{ROOM_C:g} °C, assumed")
                yield self._amount("Have of it", parse_mass, "have", "say 40 g")
                yield self._amount("Have spirit", parse_volume, "spirit", "say a bottle of 700 mL")
                yield self._amount("The jar holds", parse_volume, "vessel", "say 500 mL; optional")
                yield AmountInput("Ratio 1 to", parse_ratio, one_to, id="ratio")
                yield Choice("Straining", SEPARATIONS, id="separation", note="house setting",
                             value=self.desk.settings.steep.separation.value)  # fmt: skip
                yield self._amount("Its water", parse_fraction, "moisture", _USUAL)
                yield self._amount("Soluble part", parse_fraction, "soluble", _USUAL)
                yield AmountInput("Marc holds", per_gram, per_dry_gram, id="held", hint=_USUAL)
                yield self._amount("Filter keeps", volume_or_none, "kept", _USUAL)
                yield AmountInput("Spirit's name", words, lambda _: "", id="spirit-name",
                                  hint=f"“{SPIRIT}” if you give none",
                                  suggestions=spirit_names(self.app))  # fmt: skip
            with VerticalScroll(classes="outcome"):
                yield Static(id="outcome")

    async def on_mount(self) -> None:
        """Begin with what is wanted, or with the past jar."""
        if self._like:
            await self._fill_in(self._like)
        self._show_fitting()
        self._work_out()
        start = self._answer("want") if self._like else self._botanicals[0].asked.answer
        start.take_focus()

    def on_amount_input_changed(self) -> None:
        """Work it out again."""
        self._show_fitting()
        self._work_out()

    def on_choice_changed(self) -> None:
        """Work it out again, from the other end where that was asked."""
        self._show_fitting()
        self._work_out()

    def on_form_finished(self) -> None:
        """Show the sheet: the last answer was given."""
        self.action_sheet()

    def action_sheet(self) -> None:
        """Show the prep sheet, once there is a plan."""
        if self._planned:
            self.app.push_screen(PrepSheet(self._planned), self._taken)
        else:
            self._show_missing()

    async def _taken(self, _: object) -> None:
        """Begin anew: the plan is a jar now, and is not to be charged twice."""
        await self.action_clear()

    def answers(self) -> tuple[Why, ...]:
        """Return where each figure of the plan comes from, as far as there is one."""
        from steepboard.services import why

        if self._planned is None:
            return ()
        return why.of_plan(self._planned, self.desk.settings, self.desk.library, self._changes)

    async def action_add_botanical(self) -> None:
        """Plan one more botanical in the same jar."""
        more = PlannedBotanical(more=True)
        await self.query_one(Form).mount(more, after=self._botanicals[-1])
        self._show_fitting()
        more.asked.answer.take_focus()

    async def action_clear(self) -> None:
        """Empty all answers, and forget the past jar."""
        self._past = None
        for more in self._botanicals[1:]:
            await more.remove()
        for answer in self.query(AmountInput):
            answer.typed = ""
        self._show_fitting()
        self._work_out()
        self._botanicals[0].asked.answer.take_focus()

    @property
    def _botanicals(self) -> list[PlannedBotanical]:
        return list(self.query(PlannedBotanical))

    @property
    def _named(self) -> list[PlannedBotanical]:
        """The botanicals that count: the first, and each further one with a name."""
        first, *others = self._botanicals
        return [first, *(one for one in others if one.asked.called)]

    async def _fill_in(self, code: str) -> None:
        """Fill in a past jar, as much of it as it bottled."""
        self._past = repeat.past(self.desk, views.jar(self.desk, code))
        wish = repeat.wish_like(self._past)
        for name, typed in typed_like(wish).items():
            self._answer(name).typed = typed
        if wish.separation:
            self.query_one("#separation", Choice).value = wish.separation.value
            self.query_one("#separation", Choice).note(f"as {code}")
        lines = [PlannedBotanical(line, more=i > 0) for i, line in enumerate(wish.lines)]
        old = self._botanicals[0]
        await self.query_one(Form).mount_all(lines, after=old)
        await old.remove()

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
        if self._named_spirit() and "strength" in missing:
            missing.remove("strength")
        if not wants and any(self._value(name) for name in ("spirit", "vessel")):
            missing = [name for name in missing if name != size]
        refused = [a for a in self.query(AmountInput) if a.refusal and a.display]
        for answer in (refused or [self._answer(name) for name in missing])[:1]:
            answer.refuse(answer.refusal or asked[answer.id or ""])
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

    def _show_fitting(self) -> None:
        """Show the answers that the others ask for."""
        wants = self.query_one("#way", Choice).value == "want"
        self._answer("want").display = wants
        self._answer("room").display = self._answer("made-from").value is not None
        for one in self._botanicals:
            one.share.display = len(self._botanicals) > 1
        enough = "optional: is it enough?"
        self._answer("have").hint(enough if wants else "say 40 g")
        self._answer("spirit").hint(enough if wants else "say a bottle of 700 mL")

    def _wish(self) -> Wish | None:
        """Return what is asked for; None while strength or size is missing."""
        botanicals = self._named
        refuse_uneven(botanicals)
        sized = self._sized(botanicals)
        if sized is None or any(a.refusal for a in self.query(AmountInput) if a.display):
            return None
        first, room, known = botanicals[0].asked, self._value("room"), self._poured()
        return replace(
            sized,
            name=first.called or plans.UNNAMED,
            ratio=self._value("ratio"),
            moisture=self._value("moisture"),
            soluble=self._value("soluble"),
            held_ml_per_g=self._value("held"),
            kept_ml=self._value("kept"),
            separation=Separation(self.query_one("#separation", Choice).value),
            material_class=first.material_class,
            fresh=first.fresh,
            spirit_name=self._spirit_name(),
            strength_source=known.source if known else GIVEN,
            strength_typed=known.typed if known else "",
            parts=botanicals[0].parts,
            further=tuple(one.further() for one in botanicals[1:]),
            made_from=self._value("made-from"),
            room_c=ROOM_C if room is None else room,
            intensity=self._past.details.intensity if self._past else None,
        )

    def _named_spirit(self) -> Called | None:
        """Return the spirit that the name means, as long as no strength is typed."""
        typed = any(self._answer(one).typed.strip() for one in ("strength", "made-from"))
        return None if typed else called(self._answer("spirit-name").typed, self.desk.library)

    def _poured(self) -> Called | None:
        """Return the spirit whose name stands for the strength of what is poured."""
        typed = self._answer("made-from").value or self._answer("strength").value
        known = typed or self._named_spirit()
        return known if isinstance(known, Called) else None

    def _spirit_name(self) -> str:
        known = self._poured()
        return self._answer("spirit-name").value or (known.spirit.name if known else SPIRIT)

    def _sized(self, botanicals: list[PlannedBotanical]) -> Wish | None:
        """Return the wish as far as its strength and size; None while one is missing."""
        strength, want, have, spirit, vessel = (
            self._value(name) for name in ("strength", "want", "have", "spirit", "vessel")
        )
        if strength is None and (known := self._named_spirit()):
            strength = known.value
        backwards = self._answer("want").display
        if not backwards:
            have = have or weighed_g(botanicals)
        if strength is None or not (want if backwards else have or spirit or vessel):
            return None
        return Wish(strength, want_ml=want, have_g=have, spirit_ml=spirit, vessel_ml=vessel)

    def _work_out(self) -> None:
        self._planned = None
        wish = self._wish()
        told = plain(_MARKED if any(a.refusal for a in self.query(AmountInput)) else _FIRST)
        if wish:
            try:
                self._planned = plans.make(self.desk.settings, wish, self.desk.library)
            except SteepboardError as fault:
                told = plain(f"! {fault}")
            else:
                past = self._past
                self._changes = repeat.changes(past, wish, self._planned) if past else ()
                told = plan_text(self._planned, self._changes)
        self._show_known()
        self.query_one("#outcome", Static).update(Hanging(told))

    def _show_known(self) -> None:
        """Show the figures that hold while none are typed, and where they come from."""
        usual = dict.fromkeys(("moisture", "soluble", "held", "kept"), _USUAL)
        for name, hint in (known_hints(self._planned) if self._planned else usual).items():
            self._answer(name).hint(hint)
        strength, named = self._value("strength"), self._named_spirit()
        self._answer("strength").hint(named.echo if named else _STRENGTH_HINT)
        if named:
            strength = named.value
        rule = "house rule: 1:5 at 40 % to 1:10 at 80 %, common practice"
        known = "" if strength is None else f"{one_to(house_ratio(strength))}, "
        if self._past and self._planned:
            known = f"{one_to(self._planned.plan.ratio)}, "
            rule = f"as strong in flavour as {self._past.jar.code}"
        self._answer("ratio").hint(f"{known}{rule}")
