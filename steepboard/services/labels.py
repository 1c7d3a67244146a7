"""What is printed for bottles and jars: which records make which words, and where they are put."""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from steepboard.catalogue.cautions import gravest_first
from steepboard.domain.dosing import Tool
from steepboard.domain.figures import days, one_to, percent
from steepboard.errors import NotOurs, UnknownBottle, UnknownJar
from steepboard.printing.labels import LabelText, labels_pdf
from steepboard.printing.pen import CREATOR
from steepboard.printing.sheets import document, sheet
from steepboard.printing.tape import TapeText, tape_pdf
from steepboard.services import bottle_shelf, droppers, material, views
from steepboard.services.details import details
from steepboard.services.files import replace_file

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import datetime
    from pathlib import Path

    from steepboard.domain.bottles import Bottle
    from steepboard.domain.records import Charge, Jar
    from steepboard.services.bottle_shelf import Inside
    from steepboard.services.desk import Desk

_HOT = frozenset({"PUNGENT", "CAPSAICIN"})
_NAMED_APART = _HOT | {"ALLERGEN_EU", "ALLERGEN_US"}
"""Cautions that a label tells by a mark or a list of its own."""
_ON_LABEL = frozenset({"stop", "limit", "warn"})


@dataclass(frozen=True, slots=True)
class Printed:
    """What came on paper."""

    path: Path
    codes: tuple[str, ...]
    sheet: str


def print_labels(
    desk: Desk, codes: Sequence[str], path: Path, now: datetime, *, on: str = "", start: int = 1
) -> Printed:
    """Write a label for each bottle; the code of a jar stands for all that stand of it.

    `on` is the name of a sheet, the house's where it is empty; `start` is the first free place of
    a part-used one. Raises `UnknownBottle`, `UnknownSheet`, `OutOfRange`, `DoesNotFit`,
    `Unprintable`, `NotOurs`, `OSError`; then nothing is written.
    """
    house = desk.settings.print
    chosen = sheet(on or house.sheet)
    found = [one for code in codes for one in _named(desk, code)]
    texts = [label_text(desk, one) for one in found]
    write_print(path, labels_pdf(texts, chosen, start, now, house.font))
    return Printed(path, tuple(one.code for one in found), str(chosen))


def print_tape(
    desk: Desk, codes: Sequence[str], path: Path, now: datetime, *, on: str = "", start: int = 1
) -> Printed:
    """Write a strip of tape for each jar; like `print_labels`, but raises `UnknownJar`."""
    house = desk.settings.print
    chosen = sheet(on or house.tape)
    jars = [views.jar(desk, code) for code in codes]
    texts = [tape_text(desk, jar) for jar in jars]
    write_print(path, tape_pdf(texts, chosen, start, now, house.font))
    return Printed(path, tuple(jar.code for jar in jars), str(chosen))


def label_text(desk: Desk, one: Bottle) -> LabelText:
    """Return what the label of a bottle says."""
    inside = bottle_shelf.inside(desk, one)
    told = [found for found in inside.own_cautions if found.severity in _ON_LABEL]
    return LabelText(
        code=one.code,
        name=one.tag.name,
        botanicals=", ".join(dict.fromkeys(_botanicals(desk, inside))),
        spirit=_spirit(desk, inside),
        strength=f"{percent(one.liquid.strength)} vol",
        ratio=one_to(details(desk, inside.jars[0][0]).ratio) if len(inside.jars) == 1 else "",
        bottled_on=desk.day(one.filled_at),
        best_before=best_before(desk, one, inside),
        allergens=bottle_shelf.contained((inside,)),
        hot=any(found.code in _HOT for found in inside.own_cautions),
        cautions=tuple(c.title for c in gravest_first(told) if c.code not in _NAMED_APART),
        drops=_drops(desk, one.liquid.strength),
    )


def tape_text(desk: Desk, jar: Jar) -> TapeText:
    """Return what the tape of a jar says."""
    lines = jar.charge.botanicals
    solids = ", ".join(f"{line.name} {line.mass_g:g} g" for line in lines)
    named = "" if jar.name.casefold() in {line.name.casefold() for line in lines} else jar.name
    spirit = f"{details(desk, jar).solvent_ml:.0f} mL of {_poured(desk, jar)}"
    charged = f"Charged {_day(desk.day(jar.charged_at))}" if jar.charged_at else "Not charged yet"
    what = ": ".join(filter(None, (named, f"{solids} in {spirit}")))
    length = jar.planned_days(desk.zone)
    when = _day(jar.strain_on) if length is None else f"after {days(length)}"
    return TapeText(jar.code, what, charged, f"Strain {when}")


def best_before(desk: Desk, one: Bottle, inside: Inside) -> date | None:
    """Return the day until which a bottle is at its best, where its material is known to fade.

    Months and days of `config/labels.toml`, counted for each batch from the day it left its jar: a
    new bottle makes no old liquid young. Common practice, no source.
    """
    filled, told, keeps = (
        desk.day(one.filled_at),
        document(),
        desk.settings.arithmetic.keeps_strength,
    )
    weak_since, days = [filled], []
    for jar, _ in inside.jars:
        since = min(filled, desk.day(jar.bottled_at)) if jar.bottled_at else filled
        classes = {line.material_class for line in jar.charge.botanicals}
        days += [_months_on(since, n) for name, n in told["best_months"].items() if name in classes]
        if bottle_shelf.liquid_of(desk, jar).strength < keeps:
            weak_since.append(since)
    if one.liquid.strength < keeps:
        days.append(min(weak_since) + timedelta(days=told["best_days"]["weak"]))
    return min(days, default=None)


def write_print(path: Path, pdf: bytes) -> None:
    """Write a PDF whole or not at all; raises `NotOurs` where another file stands there."""
    if path.is_file() and f"/Creator ({CREATOR})".encode() not in path.read_bytes():
        raise NotOurs(str(path))
    replace_file(path, pdf)


def _named(desk: Desk, code: str) -> tuple[Bottle, ...]:
    """Return the bottle of a code, or those that stand of a jar; raises `UnknownBottle`."""
    try:
        return (bottle_shelf.bottle(desk, code),)
    except UnknownBottle as fault:
        try:
            jar = views.jar(desk, code)
        except UnknownJar:
            raise fault from None
        standing = bottle_shelf.standing_of(desk, jar)
        if not standing:
            raise
        return standing


def _botanicals(desk: Desk, inside: Inside) -> Iterator[str]:
    for jar, _ in inside.jars:
        for line in jar.charge.botanicals:
            plant = material.known(line, desk.library)
            yield f"{line.name} ({plant.latin})" if plant and plant.latin else line.name


def _spirit(desk: Desk, inside: Inside) -> str:
    if len(inside.jars) == 1:
        return _poured(desk, inside.jars[0][0])
    parts = ", ".join(f"{jar.code} {percent(share, 0)}" for jar, share in inside.jars)
    return f"blended: {parts}"


def _poured(desk: Desk, jar: Jar) -> str:
    return f"{_names(jar.charge)} at {percent(details(desk, jar).solvent_strength)}"


def _names(charge: Charge) -> str:
    spirits = [line.name for line in charge.spirits if line.strength > 0.0]
    return " and ".join(dict.fromkeys(spirits)) or "water"


def _drops(desk: Desk, strength: float) -> str:
    """Return how many drops make a mL: of the house's dropper, or else about as many as usual."""
    found = droppers.portion(desk, Tool.DROP, strength)
    per_ml = f"{found.per_ml:.0f} drops/mL"
    return f"{per_ml} ({found.name})" if found.name != Tool.DROP.value else f"about {per_ml}"


def _months_on(day: date, months: int) -> date:
    years, month = divmod(day.month - 1 + months, 12)
    last = calendar.monthrange(day.year + years, month + 1)[1]
    return date(day.year + years, month + 1, min(day.day, last))


def _day(day: date) -> str:
    return f"{day.day} {day:%b %Y}"
