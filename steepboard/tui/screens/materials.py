"""Materials: all botanicals and spirits that the shelf knows, found as one types, with sources."""

from __future__ import annotations

from itertools import groupby

from textual.app import ComposeResult
from textual.containers import Container, VerticalScroll
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from steepboard.catalogue.load import Botanical, Spirit
from steepboard.domain.figures import percent
from steepboard.errors import SteepboardError
from steepboard.services import materials
from steepboard.services.material_facts import Fact, facts, short
from steepboard.text import visible
from steepboard.tui.flow_commands import MATERIALS, urgent
from steepboard.tui.safe import plain
from steepboard.tui.screens.ask import Confirm
from steepboard.tui.screens.base import BoardScreen
from steepboard.tui.screens.own_botanical import AskBotanical
from steepboard.tui.screens.own_spirit import ask_spirit

_MOST = 200  # lines; more than is shipped
_SPIRITS = 40
_OWN = "+"
_NOTHING = "Nothing is near this. Ctrl+N keeps it as a botanical of your own, Ctrl+O as a spirit."


class MaterialsScreen(BoardScreen):
    """A field to search, what was found, and all of the chosen one."""

    PLACE = "Materials"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide")]  # noqa: RUF012
    COMMANDS_HERE = MATERIALS
    BINDINGS = urgent(MATERIALS)
    ABOUT = (
        "All botanicals and spirits that the shelf knows. Type a part of a name, plain or Latin; a "
        "slip does no harm. Of the chosen one each value stands with where it comes from: "
        "published, common practice, from memory, assumed, measured here, or given by you. What "
        "you keep yourself wins over your own files, and those over what the program brings."
    )
    SIGNS = ((_OWN, "Something of it is your own."),)

    def __init__(self) -> None:
        super().__init__()
        self._found: list[Botanical | Spirit] = []

    def body(self) -> ComposeResult:
        """Yield the field, the list and the chosen one."""
        yield Input(placeholder="a part of a name, plain or Latin", id="wanted", compact=True)
        with Container(classes="two-part"):
            yield OptionList(id="found", compact=True)
            with VerticalScroll(classes="outcome", can_focus=False):
                yield Static(id="one")

    def on_mount(self) -> None:
        """Begin where one types."""
        self.query_one("#wanted", Input).focus()
        self._search()

    def reload(self) -> None:
        """List what is wanted, as the record has it now."""
        if self.is_mounted:
            self._search()

    def on_input_changed(self) -> None:
        """List what is near the new text."""
        self._search()

    def on_option_list_option_highlighted(self) -> None:
        """Show all of the chosen one."""
        self._show_chosen()

    def action_choose(self, by: int) -> None:
        """Choose the line above or below, wherever one types."""
        found = self.query_one(OptionList)
        if found.highlighted is not None:
            found.highlighted = min(max(found.highlighted + by, 0), len(self._found) - 1)

    def action_keep(self) -> None:
        """Keep a botanical of one's own, or what one knows better of the chosen one."""
        chosen = self._chosen()
        if isinstance(chosen, Spirit):
            self.action_keep_spirit()
            return
        typed = self.query_one("#wanted", Input).value
        name = chosen.name if isinstance(chosen, Botanical) else typed
        self.app.push_screen(AskBotanical(self.desk, name, self.now), self._kept)

    def action_keep_spirit(self) -> None:
        """Keep a spirit of one's own, or another strength of the chosen one."""
        chosen = self._chosen()
        typed = self.query_one("#wanted", Input).value
        name = chosen.name if isinstance(chosen, Spirit) else typed
        self.app.push_screen(ask_spirit(self.desk, name), self._kept)

    def action_forget(self) -> None:
        """Forget what was kept of the chosen one, once that was confirmed."""
        chosen = self._chosen()
        if chosen is None or not self._may_forget(chosen):
            self.board.tell("Only what you kept yourself can be forgotten here.", "warning")
            return
        question = (
            f"Forget what you kept of {chosen.name}? Jars made with it stay, but they and their "
            "labels no longer warn of what you said to mind."
            if isinstance(chosen, Botanical)
            else f"Forget what you kept of {chosen.name}? Jars made with it stay."
        )
        self.app.push_screen(Confirm("Forget", question), lambda yes: self._forget(chosen, yes))

    def _may_forget(self, chosen: Botanical | Spirit) -> bool:
        if isinstance(chosen, Spirit):
            return materials.is_own_spirit(self.desk, chosen.id)
        return materials.is_own(self.desk, chosen.id)

    def _forget(self, chosen: Botanical | Spirit, yes: bool | None) -> None:
        if not yes:
            return
        try:
            if isinstance(chosen, Spirit):
                name = materials.forget_spirit(self.desk, chosen.id)
            else:
                name = materials.forget_botanical(self.desk, chosen.id, self.now())
        except SteepboardError as fault:
            self.board.tell(str(fault), "error")
        else:
            self.board.tell(f"Your {name} is forgotten.")
        self._search()

    def _kept(self, name: str | None) -> None:
        if name:
            self.query_one("#wanted", Input).value = name
            self.board.tell(f"{name} is kept.")
        self._search()

    def _chosen(self) -> Botanical | Spirit | None:
        at = self.query_one(OptionList).highlighted
        return self._found[at] if at is not None and at < len(self._found) else None

    def _search(self) -> None:
        text, library = self.query_one("#wanted", Input).value, self.desk.library
        self._found = [*library.search(text, _MOST), *library.search_spirits(text, _SPIRITS)]
        found = self.query_one(OptionList)
        found.clear_options()
        found.add_options([Option(_line(one)) for one in self._found])
        found.highlighted = 0 if self._found else None
        self._show_chosen()

    def _show_chosen(self) -> None:
        chosen = self._chosen()
        if chosen is None:
            told = plain(_NOTHING)
        elif isinstance(chosen, Spirit):
            told = _told(chosen.name, _spirit_facts(chosen))
        else:
            told = _told(chosen.name, facts(self.desk.library, chosen))
        self.query_one("#one", Static).update(told)


def _line(one: Botanical | Spirit) -> Content:
    mark = _OWN if one.own else " "
    about = percent(one.strength) if isinstance(one, Spirit) else short(one)
    return Content.assemble(
        (f"{mark} ", "$primary bold"), plain(one.name), (f"  {visible(about)}", "$faint")
    )


def _spirit_facts(one: Spirit) -> tuple[Fact, ...]:
    told = [Fact("strength", percent(one.strength), one.source)]
    if one.note:
        told.append(Fact("note", one.note, one.source))
    return tuple(told)


def _told(name: str, told: tuple[Fact, ...]) -> Content:
    """Return each value, and below those of one source where they come from."""
    lines = [plain(name).stylize("bold")]
    for source, group in groupby(told, key=lambda fact: fact.source):
        lines += [
            Content.assemble((f"{fact.label}: ", "$primary"), plain(fact.text)) for fact in group
        ]
        lines.append(Content.styled(f"  {visible(source)}", "$faint"))
    return Content("\n").join(lines)
