"""The last line of every screen: the keys of the moment. A click on one does the same."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content
from textual.widget import Widget

if TYPE_CHECKING:
    from textual.binding import Binding
    from textual.events import Click
    from textual.screen import Screen


class KeyLine(Widget):
    """The shown bindings of the screen, as many as fit, in their order of importance."""

    ALLOW_SELECT = False

    def on_mount(self) -> None:
        """Follow the screen's bindings."""
        self.screen.bindings_updated_signal.subscribe(self, self._changed)

    def render(self) -> Content:
        """Return the line."""
        return Content.assemble(*(part for _, part in self._parts()))

    def on_click(self, event: Click) -> None:
        """Press the key that was clicked."""
        edge = 0
        for binding, part in self._parts():
            edge += part.cell_length
            if event.x < edge:
                self.app.simulate_key(binding.key)
                return

    def _changed(self, _screen: Screen[object]) -> None:
        if self.is_attached:
            self.refresh()

    def _parts(self) -> list[tuple[Binding, Content]]:
        """Return what fits, with more air where there is room for it."""
        found = {
            active.binding.action: active.binding
            for active in reversed(self.screen.active_bindings.values())
            if active.binding.show and active.enabled
        }
        shown = list(reversed(found.values()))
        airy = sum(_part(binding, "  ").cell_length for binding in shown) <= self.size.width
        parts, room = [], self.size.width
        for binding in shown:
            part = _part(binding, "  " if airy else " ")
            room -= part.cell_length
            if room < 0:
                break
            parts.append((binding, part))
        return parts


def _part(binding: Binding, gap: str) -> Content:
    key = binding.key_display or binding.key
    return Content.assemble(gap, (key, "$primary bold"), f" {binding.description}")
