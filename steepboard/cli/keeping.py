"""Forgetting what the house keeps by name, and taking back what was said last of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from steepboard.cli.place import Place
from steepboard.cli.render import json_option, say, say_json

if TYPE_CHECKING:
    from steepboard.services.house import Topic


def add_forget(group: click.Group, topic: Topic) -> None:
    """Give a group the command `forget`."""
    example = f"Example: steepboard {group.name} forget NAME"

    @group.command("forget", help=f"Keep a {topic} no longer.\n\n{example}")
    @click.argument("name")
    @json_option
    @click.pass_obj
    def forget(place: Place, name: str, as_json: bool) -> None:
        from steepboard.services import house

        with place.desk() as desk:
            kept = house.forget(desk, topic, name, place.now)
        say_kept(kept, "forgotten", as_json=as_json)


def add_undo(group: click.Group, topic: Topic) -> None:
    """Give a group the command `undo`."""
    example = f"Example: steepboard {group.name} undo NAME"

    @group.command("undo", help=f"Take back what was said last of a {topic}.\n\n{example}")
    @click.argument("name")
    @json_option
    @click.pass_obj
    def undo(place: Place, name: str, as_json: bool) -> None:
        from steepboard.services import house

        with place.desk() as desk:
            kept = house.undo(desk, topic, name, place.now)
        say_kept(kept, "taken back", as_json=as_json)


def say_kept(name: str, done: str, *, as_json: bool) -> None:
    """Print what was done to something that is kept by name."""
    if as_json:
        say_json({"name": name, "done": done.replace(" ", "_")})
        return
    say(f"{name}: {done}.")
