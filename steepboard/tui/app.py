"""The board: one application, its screens, and the watch over the record."""

from __future__ import annotations

from collections.abc import Callable, Coroutine
from datetime import datetime
from pathlib import PurePath
from typing import TYPE_CHECKING, Any, ClassVar, Literal, TypeVar

from textual.app import App
from textual.content import Content

from steepboard.errors import SteepboardError
from steepboard.services import views
from steepboard.text import visible
from steepboard.tui.commands import BOARD, bindings
from steepboard.tui.places import PLACES, finder
from steepboard.tui.screens.base import BoardScreen
from steepboard.tui.theme import THEMES
from steepboard.tui.widgets.heading import Heading, Now

if TYPE_CHECKING:
    from textual.timer import Timer

    from steepboard.services.desk import Desk
    from steepboard.tui.keeper import Keeper

LOOK_EVERY_S = 0.5  # assumed: changes made elsewhere show within a second
LONG_S = 8.0  # assumed: long enough to notice and read two sentences

_T = TypeVar("_T")


class SteepBoard(App[None]):
    """The board over one shelf. What is slow to load is loaded when it is first wanted."""

    TITLE = "steepboard"
    CSS_PATH: ClassVar[list[str | PurePath]] = ["steepboard.tcss"]
    MODES = PLACES
    DEFAULT_MODE = "shelf"
    NOTIFICATION_TIMEOUT = 4
    BREAKPOINTS = ([(0, "-narrow"), (110, "-wide"), (160, "-vast")], [(0, "-low"), (30, "-tall")])
    """Columns and lines from which on a class of the style sheets holds."""
    HORIZONTAL_BREAKPOINTS, VERTICAL_BREAKPOINTS = BREAKPOINTS
    COMMANDS = {finder}  # noqa: RUF012
    BINDINGS = bindings(BOARD)

    def __init__(
        self,
        desk: Desk,
        clock: Callable[[], datetime],
        keeper: Keeper | None = None,
        greeting: str = "",
        renew: Callable[[Desk], Desk] = lambda desk: desk,
    ) -> None:
        super().__init__()
        self._greeting, self._renew = greeting, renew
        self.desk, self.clock, self._keeper = desk, clock, keeper
        self._keeper_state = keeper.state if keeper else ""
        self._said: Content | None = None
        self._hush: Timer | None = None
        self._lost: list[str] = []
        self._read(clock())
        self.painted = False
        """Whether the first frame was seen; what takes longer to load waits for it."""
        for theme in THEMES.values():
            self.register_theme(theme)
        # Set the plain way, the theme has all styles read twice more before the first frame.
        self.set_reactive(App.theme, THEMES[desk.settings.look.theme].name)
        self.stylesheet.set_variables(self.get_css_variables())

    def now(self) -> datetime:
        """Return the time, in UTC."""
        return self.clock()

    def on_mount(self) -> None:
        """Watch the record."""
        self.set_interval(LOOK_EVERY_S, self._watch)

    def on_ready(self) -> None:
        """Do what takes longer once the board can be seen."""
        self.call_after_refresh(self._painted)

    def look_again(self) -> None:
        """Read the record and show it on every screen that is open; a fault is told."""
        try:
            self._read(self.now())
            for screen in self.screen_stack:
                if isinstance(screen, BoardScreen) and screen.is_mounted:
                    screen.reload()
        except SteepboardError as fault:
            self.tell(str(fault), "error")
        self.show_now()

    def show_now(self) -> None:
        """Tell the headings what time it is, what wants a hand and who reminds."""
        time = self.view.now.astimezone(self.desk.zone)
        told = Now(time, self.view.waiting, self._keeper_state, self._away(), self._said)
        for screen in self.screen_stack:
            for heading in screen.query(Heading):
                heading.told = told

    def _away(self) -> str:
        span = self.view.away
        if span is None or span.first > self.view.today:
            return ""
        return f"away until {span.last.day} {span.last:%b}"

    def done(self, act: Callable[[], _T]) -> _T | None:
        """Do something to the record and show the outcome; a fault is told, and None returned."""
        try:
            made = act()
        except SteepboardError as fault:
            self.tell(str(fault), "error")
            return None
        self.look_again()
        return made

    def ask(self, talk: Coroutine[Any, Any, None]) -> None:
        """Run something that asks questions; a fault ends it and is told."""

        async def run() -> None:
            try:
                await talk
            except SteepboardError as fault:
                self.tell(str(fault), "error")

        self.run_worker(run(), exclusive=True, group="ask")

    def tell(
        self, text: str, severity: Literal["information", "warning", "error"] = "information"
    ) -> None:
        """Say something in passing, in place of what was said before; it is never markup."""
        self.clear_notifications()
        self.notify(visible(text), severity=severity, markup=False)

    def open_jar(self, code: str) -> None:
        """Open one jar."""
        from steepboard.tui.screens.jar import JarScreen

        self.push_screen(JarScreen(code))

    async def action_go(self, mode: str) -> None:
        """Go to one of the main screens."""
        await self.switch_mode(mode)

    async def action_back(self) -> None:
        """Leave what was opened last, or go back to the shelf."""
        if len(self.screen_stack) > 1:
            self.pop_screen()
        elif self.current_mode != self.DEFAULT_MODE:
            await self.switch_mode(self.DEFAULT_MODE)

    def action_explain(self) -> None:
        """Explain the screen that is up."""
        from steepboard.tui.screens.explain import Explain

        if isinstance(self.screen, BoardScreen):
            self.push_screen(Explain(self.screen))

    def action_why(self) -> None:
        """Answer where the figures of the screen come from."""
        from steepboard.tui.screens.why import WhyScreen

        answers = self.screen.answers() if isinstance(self.screen, BoardScreen) else ()
        if answers:
            self.push_screen(WhyScreen(answers))
        else:
            self.tell("There is no figure here yet.")

    def action_look(self) -> None:
        """Change between dark and light."""
        dark, light = (theme.name for theme in THEMES.values())
        self.theme = light if self.theme == dark else dark

    def _read(self, now: datetime) -> None:
        self._seen = self._mark(now)
        self.view = views.shelf(self.desk, now)

    def _mark(self, now: datetime) -> tuple[int, datetime]:
        """Return what differs once another wrote, or the minute is over."""
        return self.desk.version(), now.replace(second=0, microsecond=0)

    def _watch(self) -> None:
        try:
            before, self.desk = self.desk, self._renew(self.desk)
            changed = self.desk is not before or self._seen != self._mark(self.now())
        except SteepboardError as fault:
            self.tell(str(fault), "error")
        else:
            if self.desk.settings.look != before.settings.look:
                self.theme = THEMES[self.desk.settings.look.theme].name
            if changed:
                self.look_again()

    def _painted(self) -> None:
        self.painted = True
        if self._greeting:
            self._say_above(self._greeting)
        if isinstance(self.screen, BoardScreen) and self.screen.is_mounted:
            self.screen.reload()
        if self._keeper:
            self.run_worker(self._keep(self._keeper))

    async def _keep(self, keeper: Keeper) -> None:
        try:
            await keeper.run(self._keeper_changed, self._undelivered)
        except Exception as fault:  # a board without reminders is better than none
            self._keeper_changed("reminders: stopped")
            self.tell(f"The reminders stopped: {fault}", "error")

    def _keeper_changed(self, state: str) -> None:
        self._keeper_state = state
        self.show_now()

    def _undelivered(self, title: str, body: str) -> None:
        self.bell()
        what, _, _ = title.partition(", first: ")  # which is named in what follows anyway
        self._lost.append(f"{what}. {body}" if what != title else f"{title}: {body}")
        if not self._greeting:  # it has its time first
            self._say_lost()

    def _say_lost(self) -> None:
        self._say_above(" · ".join(self._lost), "$warning bold reverse")

    def _say_above(self, text: str, style: str = "$accent bold") -> None:
        """Say in the heading what nobody asked for."""
        self._said = Content.styled(visible(f" {text} "), style)
        if self._hush:
            self._hush.stop()
        self._hush = self.set_timer(LONG_S, self._said_enough)
        self.show_now()

    def _said_enough(self) -> None:
        greeted, self._greeting = self._greeting, ""
        if greeted and self._lost:
            self._say_lost()
            return
        self._said = self._hush = None
        self._lost.clear()
        self.show_now()
