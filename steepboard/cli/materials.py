"""The botanicals and spirits that the shelf knows: list, search, show, and keep one's own."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Any, TypeVar

import click

from steepboard.cli.material_json import botanical_json, botanical_row, spirit_row
from steepboard.cli.own_options import own_options
from steepboard.cli.params import STRENGTH, taken
from steepboard.cli.place import Place
from steepboard.cli.render import json_option, say, say_json, say_table
from steepboard.domain import own
from steepboard.domain.figures import percent
from steepboard.errors import UnknownMaterial
from steepboard.services import materials

if TYPE_CHECKING:
    from collections.abc import Callable

    from steepboard.amounts import Amount
    from steepboard.catalogue.load import Botanical, Library, Spirit

_Material = TypeVar("_Material")
_MOST = 1000  # more than any list; assumed
_OWN = "yours"
_LABEL = 22  # columns


class Listing(click.Group):
    """A group whose words, where they name no command, are what to look for."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Take words that are no command as those of `find`."""
        return super().resolve_command(ctx, args if args[0] in self.commands else ["find", *args])


@click.group(cls=Listing, invoke_without_command=True, subcommand_metavar="[WORDS… | COMMAND]")
@json_option
@click.pass_context
def botanicals(ctx: click.Context, as_json: bool) -> None:
    """Look up botanicals, and keep your own.

    Without words all are listed; one alone is shown with the source of each value. A part of a
    name, its Latin or a name with a slip is enough.

    Example: steepboard botanicals juniper
    """
    if ctx.invoked_subcommand is None:
        with ctx.obj.desk() as desk:
            _say_botanicals(desk.library.all_botanicals(), as_json=as_json)


@botanicals.command(hidden=True)
@click.argument("words", nargs=-1, required=True)
@json_option
@click.pass_obj
def find(place: Place, words: tuple[str, ...], as_json: bool) -> None:
    """Look for botanicals.

    Example: steepboard botanicals find juniper
    """
    with place.desk() as desk:
        library = desk.library
        found = _found(words, library.find, library.search)
        if len(found) > 1:
            _say_botanicals(found, as_json=as_json)
        elif as_json:
            say_json(botanical_json(library, found[0]))
        else:
            _say_botanical(library, found[0])


@botanicals.command("add")
@click.argument("name", nargs=-1, required=True)
@own_options
@json_option
@click.pass_obj
def add_botanical(place: Place, /, name: tuple[str, ...], as_json: bool, **said: Any) -> None:
    """Keep a botanical of your own, or what you know better.

    Of one that is known only what you say is changed; say it again to change it again. Other
    names, allergens and cautions are added to those that are known; `forget` takes yours away.

    Example: steepboard botanicals add sweet gale --class leaf --ratio 6-12 --allergen celery
    """
    with place.desk() as desk:
        kept = materials.keep_botanical(desk, taken(" ".join(name)), own.said(**said), place.now)
        if as_json:
            say_json(botanical_json(desk.library, kept))
            return
        say(f"{kept.name} is kept.")
        _say_botanical(desk.library, kept)


@botanicals.command("forget")
@click.argument("name", nargs=-1, required=True)
@json_option
@click.pass_obj
def forget_botanical(place: Place, name: tuple[str, ...], as_json: bool) -> None:
    """Forget what you kept of a botanical.

    What the program knows of it holds again; jars and labels no longer warn of what you said.

    Example: steepboard botanicals forget sweet gale
    """
    with place.desk() as desk:
        forgotten = materials.forget_botanical(desk, " ".join(name), place.now)
    _say_forgotten(forgotten, as_json=as_json)


@click.group(cls=Listing, invoke_without_command=True, subcommand_metavar="[WORDS… | COMMAND]")
@json_option
@click.pass_context
def spirits(ctx: click.Context, as_json: bool) -> None:
    """Look up spirits, and keep your own.

    Without words all are listed.

    Example: steepboard spirits rum
    """
    if ctx.invoked_subcommand is None:
        with ctx.obj.desk() as desk:
            _say_spirits(desk.library.all_spirits(), as_json=as_json)


@spirits.command("find", hidden=True)
@click.argument("words", nargs=-1, required=True)
@json_option
@click.pass_obj
def find_spirit(place: Place, words: tuple[str, ...], as_json: bool) -> None:
    """Look for spirits.

    Example: steepboard spirits find rum
    """
    with place.desk() as desk:
        found = _found(words, desk.library.find_spirit, desk.library.search_spirits)
    _say_spirits(found, as_json=as_json)


@spirits.command("add")
@click.argument("name", nargs=-1, required=True)
@click.option("--strength", type=STRENGTH, required=True, help="As its label says.")
@click.option("--note", default="", help="A remark.")
@json_option
@click.pass_obj
def add_spirit(
    place: Place, name: tuple[str, ...], strength: Amount, note: str, as_json: bool
) -> None:
    """Keep a spirit of your own.

    What is not for drinking is refused.

    Example: steepboard spirits add cellar brandy --strength 54%
    """
    with place.desk() as desk:
        kept = materials.keep_spirit(desk, taken(" ".join(name)), strength.value, note)
    if not as_json:
        say(f"{kept.name} is kept.")
    _say_spirits((kept,), as_json=as_json)


@spirits.command("forget")
@click.argument("name", nargs=-1, required=True)
@json_option
@click.pass_obj
def forget_spirit(place: Place, name: tuple[str, ...], as_json: bool) -> None:
    """Forget a spirit that you kept.

    Example: steepboard spirits forget cellar brandy
    """
    with place.desk() as desk:
        forgotten = materials.forget_spirit(desk, " ".join(name))
    _say_forgotten(forgotten, as_json=as_json)


def _found(
    words: tuple[str, ...],
    exact: Callable[[str], _Material | None],
    search: Callable[[str, int], tuple[_Material, ...]],
) -> tuple[_Material, ...]:
    """Return what is called so, else all that is near; raises UnknownMaterial."""
    text = " ".join(words)
    one = exact(text)
    found = (one,) if one else search(text, _MOST)
    if not found:
        raise UnknownMaterial(text)
    return found


def _say_botanicals(found: tuple[Botanical, ...], *, as_json: bool) -> None:
    from steepboard.services.material_facts import short

    if as_json:
        say_json([botanical_row(one) for one in found])
        return
    say_table([(one.name, one.latin, short(one), _OWN if one.own else "") for one in found])


def _say_botanical(library: Library, one: Botanical) -> None:
    from steepboard.services.material_facts import facts

    say(f"{one.name}{f' ({_OWN})' if one.own else ''}")
    for source, told in groupby(facts(library, one), key=lambda fact: fact.source):
        say_table([(f"{fact.label:<{_LABEL}}", fact.text) for fact in told])
        say_table([(" " * _LABEL, f"- {source}")])


def _say_spirits(found: tuple[Spirit, ...], *, as_json: bool) -> None:
    if as_json:
        say_json([spirit_row(one) for one in found])
        return
    say_table(
        [(one.name, percent(one.strength), one.source.partition(":")[0], one.note) for one in found]
    )
    for source in dict.fromkeys(one.source for one in found if ":" in one.source):
        say(f"- {source}")


def _say_forgotten(name: str, *, as_json: bool) -> None:
    if as_json:
        say_json({"forgotten": name})
    else:
        say(f"Your {name} is forgotten.")
