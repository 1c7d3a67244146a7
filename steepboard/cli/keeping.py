"""Forgetting what the house keeps by name, and taking back what was said last of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from steepboard.cli.place import Place
from steepboard.cli.render import json_option, say, say_json

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from steepboard.services.desk import Desk
    from steepboard.services.house import Topic

    _Act = Callable[[Desk, str, datetime], tuple[str, str]]


def add_forget(group: click.Group, topic: Topic) -> None:
    """Give a group the command `forget`."""

    def forget(desk: Desk, name: str, now: datetime) -> tuple[str, str]:
        from steepboard.services import house

        return house.forget(desk, topic, name, now), ""

    _add(group, "forget", f"Keep a {topic} no longer.", "forgotten", forget)


def add_undo(group: click.Group, topic: Topic) -> None:
    """Give a group the command `undo`."""

    def undo(desk: Desk, name: str, now: datetime) -> tuple[str, str]:
        from steepboard.services import house
        from steepboard.services.undo_words import said_line

        said = house.undo(desk, topic, name, now)
        return said.name, said_line(desk, said)

    _add(group, "undo", f"Take back what was said last of a {topic}.", "taken back", undo)


def _add(group: click.Group, command: str, about: str, done: str, act: _Act) -> None:
    """Give a group a command for a name; `act` returns how it is kept, and what was done to it."""
    example = f"Example: steepboard {group.name} {command} NAME"

    @group.command(command, help=f"{about}\n\n{example}")
    @click.argument("name")
    @json_option
    @click.pass_obj
    def run(place: Place, name: str, as_json: bool) -> None:
        with place.desk() as desk:
            kept, what = act(desk, name, place.now)
        say_kept(kept, done, what, as_json=as_json)


def say_kept(name: str, done: str, what: str, *, as_json: bool) -> None:
    """Print what was done to something that is kept by name, and what it was."""
    if as_json:
        more = {"what": what} if what else {}
        say_json({"name": name, "done": done.replace(" ", "_"), **more})
        return
    say(f"{name}: {done}{': ' if what else ''}{what}.")
