"""The shelf's own botanicals and spirits: to keep, to change, to forget; all of one told."""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from steepboard.catalogue.allergens import allergen
from steepboard.catalogue.books import Books
from steepboard.catalogue.cautions import caution_code
from steepboard.catalogue.classes import class_label
from steepboard.catalogue.library import Library
from steepboard.catalogue.names import id_of
from steepboard.domain import guards
from steepboard.domain.own import OwnBotanical, OwnSpirit
from steepboard.errors import BadCatalogue, UnknownMaterial
from steepboard.services.poisons import refuse_deadly, refuse_poison
from steepboard.store import own
from steepboard.store.rows import stamp
from steepboard.text import clean

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from sqlite_utils import Database

    from steepboard.catalogue.records import Botanical, Spirit
    from steepboard.domain.records import BotanicalLine
    from steepboard.services.desk import Desk

_Kept = TypeVar("_Kept", OwnBotanical, OwnSpirit)
LONGEST = 300
"""Characters of a sentence, as the record keeps it."""
_NAME, _LATIN = 80, 120  # characters, as the record keeps them
_ADDED = {"aliases": "also called", "allergens": "allergens", "cautions": "cautions"}
"""What is added to what was said before, each with what a refusal calls it."""


class Naming(NamedTuple):
    """A name as it is kept, and the id of what it means already or will mean."""

    id: str
    name: str


def keep_botanical(
    desk: Desk, name: str, said: OwnBotanical, now: datetime, *, anew: bool = False
) -> Botanical:
    """Keep what a person says of a botanical, over what was said before; return it as it is now.

    A name that is known already changes that botanical, and only in what is said; other names,
    cautions and allergens are added to those that are known, and only `forget_botanical` takes
    them away. With `anew` nothing holds of what was said before. `said` has the rest; its id and
    its name are not looked at. Raises NotForDrinking,
    DeadlyPlant, OutOfRange, UnknownWord, and BadCatalogue for what does not fit together.
    """
    refuse_deadly(name, said.latin, *said.aliases)
    found = desk.library.find(name)
    naming = _naming(name, found)
    told = _checked(desk, naming, said)
    with desk.store.writing() as db:
        before = next((one for one in own.botanicals(desk.store) if one.id == naming.id), None)
        one = _over(before if before and not anew else OwnBotanical(*naming), told)
        _refuse_long(one)
        others = (kept for kept in own.botanicals(desk.store) if kept.id != one.id)
        made = Books(desk.store.path.parent / own.FOLDER, (*others, one)).botanicals[one.id]
        own.keep_botanical(db, one)
        _date(db, found, made, now)
    return made


def forget_botanical(desk: Desk, name: str, now: datetime) -> str:
    """Forget what a person said of a botanical; return its name. Raises UnknownMaterial."""
    kept, found = own.botanicals(desk.store), desk.library.find(name)
    one = _one_of(kept, found, name)
    with desk.store.writing() as db:
        own.drop_botanical(db, one.id)
        others = (other for other in kept if other.id != one.id)
        left = Books(desk.store.path.parent / own.FOLDER, others).botanicals.get(one.id)
        _date(db, found, left, now)
    return one.name


def keep_spirit(desk: Desk, name: str, strength: float, note: str = "") -> Spirit:
    """Keep a spirit with its strength, a fraction by volume at 20 °C; return it.

    A name that is known already changes that spirit. Raises NotForDrinking and OutOfRange.
    """
    naming = _naming(name, desk.library.find_spirit(name))
    refuse_poison(note)
    one = OwnSpirit(*naming, guards.fraction("strength", strength), clean(note, LONGEST))
    with desk.store.writing() as db:
        own.keep_spirit(db, one)
    return Books(None, (), (one,)).spirits[one.id]


def forget_spirit(desk: Desk, name: str) -> str:
    """Forget a spirit of one's own; return its name. Raises UnknownMaterial."""
    one = _one_of(own.spirits(desk.store), desk.library.find_spirit(name), name)
    with desk.store.writing() as db:
        own.drop_spirit(db, one.id)
    return one.name


def meant(line: BotanicalLine, library: Library) -> str:
    """Return what a name that is not known is taken for; nothing if it is known."""
    if line.catalogue_id:
        return ""
    kind = class_label(line.material_class, line.fresh)
    near = " or ".join(library.near(line.name))
    told = f"“{line.name}” is not in the catalogue and goes by its kind: {kind}."
    return f"{told} Did you mean {near}?" if near else told


def is_own(desk: Desk, id_: str) -> bool:
    """Say whether a botanical stands in the record as one's own, and can be forgotten."""
    return any(one.id == id_ for one in own.botanicals(desk.store))


def is_own_spirit(desk: Desk, id_: str) -> bool:
    """Say whether a spirit stands in the record as one's own, and can be forgotten."""
    return any(one.id == id_ for one in own.spirits(desk.store))


def _date(db: Database, before: Botanical | None, after: Botanical | None, now: datetime) -> None:
    """Keep how dry a botanical was taken to be, where that changes: older jars are held to it."""
    if before is None:
        return
    moisture, soluble = before.moisture, before.soluble
    if after and (before.fresh, moisture, soluble) == (after.fresh, after.moisture, after.soluble):
        return
    told = (moisture.value, moisture.u, moisture.source, soluble.value, soluble.u, soluble.source)
    own.add_believed(db, own.Believed(before.id, stamp(now), before.fresh, *told))


def _naming(name: str, found: Botanical | Spirit | None) -> Naming:
    refuse_poison(name)
    if found:
        return Naming(found.id, found.name)
    kept = clean(name, _NAME)
    id_ = id_of(kept)
    if not id_:
        raise UnknownMaterial(name)
    return Naming(id_, kept)


def _one_of(kept: Sequence[_Kept], found: Botanical | Spirit | None, name: str) -> _Kept:
    """Return what is kept of the botanical or spirit that a name means."""
    one = next((one for one in kept if found and one.id == found.id), None)
    if one is None:
        raise UnknownMaterial(name, tuple(one.name for one in kept[:3]), own=True)
    return one


def _checked(desk: Desk, naming: Naming, said: OwnBotanical) -> OwnBotanical:
    """Return what was said with its words as they are kept; names that are taken are refused."""
    aliases = (clean(alias, _NAME) for told in said.aliases for alias in told.split(";"))
    names = tuple(dict.fromkeys(alias for alias in aliases if id_of(alias)))
    for alias in names:
        refuse_poison(alias)
        other = desk.library.find(alias)
        if other and other.id != naming.id:
            raise _unfit(naming.name, f"“{alias}” means {other.name} already")
    for quantity, value in (("moisture", said.moisture), ("soluble part", said.soluble)):
        guards.fraction(quantity, value or 0.0)
    return replace(
        said,
        latin=clean(said.latin, _LATIN),
        aliases=names,
        part=clean(said.part, _NAME),
        form=clean(said.form, _NAME),
        preparation=clean(said.preparation, LONGEST),
        allergens=tuple(map(allergen, said.allergens)),
        cautions=tuple(map(caution_code, said.cautions)),
        fresh_note=clean(said.fresh_note, LONGEST),
        note=clean(said.note, LONGEST),
    )


def _over(before: OwnBotanical, told: OwnBotanical) -> OwnBotanical:
    """Return what was kept with what is told now in its place or added to it.

    A range goes with its value.
    """
    given = {k: v for k, v in asdict(told).items() if v not in (None, "", ())}
    for figure in ("moisture", "soluble"):
        if figure in given:
            given = {f"{figure}_low": None, f"{figure}_high": None} | given
    for several in _ADDED:
        words = (*getattr(before, several), *getattr(told, several))
        given[several] = tuple({id_of(word): word for word in words}.values())
    return replace(before, **{**given, "id": before.id, "name": before.name})


def _refuse_long(one: OwnBotanical) -> None:
    """Refuse other names and the like that together are longer than the record keeps."""
    for several, column in _ADDED.items():
        if len(";".join(getattr(one, several))) > LONGEST:
            raise _unfit(one.name, f"together they are longer than {LONGEST} characters", column)


def _unfit(name: str, reason: str, column: str = "also called") -> BadCatalogue:
    return BadCatalogue(f"your botanical {name}", None, column, reason)
