"""What a botanical is called, and of what kind it is where the catalogue does not know it."""

from __future__ import annotations

import functools
from collections.abc import Iterable
from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult
from textual.containers import Vertical

from steepboard.catalogue import load as catalogue
from steepboard.services.material import UNKNOWN_CLASS, kind_named
from steepboard.services.poisons import refuse_deadly
from steepboard.tui.answers import words
from steepboard.tui.widgets.amount_input import AmountInput
from steepboard.tui.widgets.choice import Choice

if TYPE_CHECKING:
    from steepboard.catalogue.load import Library
    from steepboard.domain.records import BotanicalLine
    from steepboard.tui.app import SteepBoard

_FRESH = "|fresh"


class BotanicalAnswer(Vertical):
    """The name, and below it the kind, which is asked only of what the catalogue lacks."""

    def __init__(self, label: str, *, line: BotanicalLine | None = None, hint: str = "") -> None:
        super().__init__(classes="answer-group")
        self._label, self._line, self._hint = label, line, hint

    def compose(self) -> ComposeResult:
        """Yield name and kind."""
        yield AmountInput(
            self._label,
            _name,
            self._told,
            hint=self._hint,
            typed=self._line.name if self._line else "",
            suggestions=[one.name for one in self.library.all_botanicals() if one.use != "never"],
        )
        yield Choice("Of the kind", kinds(), value=_kind(self._line))

    def on_mount(self) -> None:
        """Ask for the kind where it is needed."""
        self._ask_kind()

    def on_amount_input_changed(self) -> None:
        """Ask for the kind where it is needed."""
        self._ask_kind()

    @property
    def library(self) -> Library:
        """What the shelf knows."""
        return cast("SteepBoard", self.app).desk.library

    @property
    def answer(self) -> AmountInput[str]:
        """The field of the name."""
        return self.query_one(AmountInput)

    @property
    def called(self) -> str:
        """The name, empty where none was typed."""
        return self.answer.value or ""

    @property
    def material_class(self) -> str | None:
        """The chosen class; None where the catalogue knows it."""
        return (
            None
            if self.library.find(self.called)
            else self.query_one(Choice).value.removesuffix(_FRESH)
        )

    @property
    def fresh(self) -> bool | None:
        """Whether the chosen kind is fresh; None where the catalogue knows it.

        A plant that was filled in stays as it was, though the catalogue has it otherwise.
        """
        if self.library.find(self.called) is None:
            return self.query_one(Choice).value.endswith(_FRESH)
        same = self._line is not None and self._line.name == self.called
        return self._line.fresh if self._line and same else None

    def _ask_kind(self) -> None:
        kind, asked = self.query_one(Choice), bool(self.called)
        kind.display = asked and self.library.find(self.called) is None
        if not asked:
            kind.value = UNKNOWN_CLASS
        elif kind.display and kind.value == UNKNOWN_CLASS:
            kind.value = kind_named(self.called)

    def _told(self, name: str) -> str:
        found = self.library.find(name)
        if found is None:
            near = " or ".join(self.library.near(name, 2))
            meant = f"Did you mean {near}?" if near else "goes by its kind"
            return f"not in the catalogue: {meant}"
        return f"{found.name}: {catalogue.class_label(found.material_class, found.fresh)}"


def _name(text: str) -> str:
    name = words(text)
    refuse_deadly(name)
    return name


def _kind(line: BotanicalLine | None) -> str:
    if line is None:
        return UNKNOWN_CLASS
    fresh = f"{line.material_class}{_FRESH}"
    return fresh if line.fresh and fresh in dict(kinds()) else line.material_class


@functools.cache
def kinds() -> tuple[tuple[str, str], ...]:
    """Return the kinds of material, dried and, where they have figures of their own, fresh."""
    plain = [(name, catalogue.class_label(name)) for name in catalogue.classes()]
    return tuple(_with_fresh(plain))


def _with_fresh(plain: list[tuple[str, str]]) -> Iterable[tuple[str, str]]:
    usual = catalogue.class_defaults(UNKNOWN_CLASS, fresh=True)
    for name, label in plain:
        yield name, label
        if name == UNKNOWN_CLASS or catalogue.class_defaults(name, fresh=True) != usual:
            yield name + _FRESH, catalogue.class_label(name, fresh=True)
