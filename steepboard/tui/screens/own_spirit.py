"""A spirit of one's own: its name, its strength, a remark."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.amounts import parse_strength
from steepboard.services import materials
from steepboard.tui.answers import words
from steepboard.tui.screens.ask_form import AskForm, Line

if TYPE_CHECKING:
    from steepboard.services.desk import Desk
    from steepboard.tui.screens.ask_form import Given


def ask_spirit(desk: Desk, name: str) -> AskForm[str]:
    """Return the form that keeps a spirit, and hands over its name."""
    found = desk.library.find_spirit(name)

    def keep(given: Given, insists: bool) -> str:  # noqa: ARG001 - nothing here is doubted
        kept = materials.keep_spirit(
            desk, given["spirit"], given["strong"].value, given["remark"] or ""
        )
        return kept.name

    lines = (
        Line("spirit", "Name", words, hint="as you call it", typed=found.name if found else name,
             needed="A name is needed, say cellar brandy."),
        Line("strong", "Strength", parse_strength, lambda one: one.echo, hint="as on its label",
             typed=f"{100 * found.strength:g} %" if found else "",
             needed="Say how strong it is, like 54 %."),
        Line("remark", "Remark", words, typed=found.note if found else "", hint="if you like"),
    )  # fmt: skip
    about = "What is not for drinking is refused. One that is known already is changed."
    return AskForm("A spirit of your own", about, lines, keep)
