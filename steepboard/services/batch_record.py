"""The batch record of a jar: its whole way from charge to last bottle, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.catalogue.cautions import LAST_WORD, gravest_first, source
from steepboard.domain.figures import one_to, percent, short
from steepboard.domain.records import Kind
from steepboard.printing.batch_record import RecordText, Table, record_pdf
from steepboard.services import bottle_shelf, material, straining, views
from steepboard.services.bottle_ends import became
from steepboard.services.bottle_words import rest_line
from steepboard.services.cautions import in_full
from steepboard.services.details import details
from steepboard.services.diary_words import told
from steepboard.services.labels import write_print
from steepboard.services.reconciling import reconciliation

if TYPE_CHECKING:
    from datetime import datetime
    from pathlib import Path

    from steepboard.domain.balance import Balance, Figure
    from steepboard.domain.records import Entry, Jar
    from steepboard.services.desk import Desk
    from steepboard.services.details import Details

NOT_MEDICINE = "A flavouring for drinks, not a medicine."
_REGULATION = (
    "Theoretical: all that the charge gives with nothing lost. In the spirit of 21 CFR 211.103 "
    "(published: US Code of Federal Regulations, read in a public copy), which wants found over "
    "theoretical at each stage; what a machine has worked out, a person is to verify. This is no "
    "claim to meet that rule."
)
_PARTS = (
    ("recovered", "recovered"),
    ("held in the marc", "held_in_marc"),
    ("held in the filter", "held_in_filter"),
    ("sediment", "sediment"),
    ("sampled", "sampled"),
    ("evaporated", "evaporated"),
    ("unaccounted", "unaccounted"),
    ("in the jar before straining", "liquor"),
    ("rinse", "rinse"),
)
_SIGNED_FOR = {
    Kind.CHARGE: "charged",
    Kind.STRAIN: "strained",
    Kind.BOTTLE: "bottled",
}


def print_record(desk: Desk, code: str, path: Path, now: datetime) -> str:
    """Write the batch record of a jar and return its code.

    Raises `UnknownJar`, `Unprintable`, `FontUnusable`, `NotOurs`, `OSError`; then nothing is
    written.
    """
    jar, house = views.jar(desk, code), desk.settings.print
    write_print(path, record_pdf(record_text(desk, jar, now), house.paper, now, house.font))
    return jar.code


def record_text(desk: Desk, jar: Jar, now: datetime) -> RecordText:
    """Return all that the batch record of a jar says at `now`."""
    known, diary = details(desk, jar), views.diary(desk, jar)
    balance = straining.balance(desk, jar)
    tables = [
        _charge(desk, jar),
        Table("Taken as known", (("figure", 0.5), ("where it comes from", 0.5)), known.sources),
        _stages(desk, jar),
        *([_balance(balance)] if balance else []),
        _cautions(desk, known, diary),
        _bottles(desk, jar),
        _diary(desk, diary),
    ]
    foot = f"Printed {_when(desk, now)}. {NOT_MEDICINE} {LAST_WORD}"
    signed = (*_SIGNED_FOR.values(), "checked by a second person")
    facts = _facts(desk, jar, known, diary)
    return RecordText(jar.code, jar.name, facts, tuple(tables), signed, foot)


def _facts(
    desk: Desk, jar: Jar, known: Details, diary: tuple[Entry, ...]
) -> tuple[tuple[str, str], ...]:
    expected, strength = known.expected, percent(known.liquor.true_strength)
    between = f"eight times in ten {expected.low_ml:.0f} to {expected.high_ml:.0f} mL"
    done = [
        (_SIGNED_FOR[entry.kind], f"{_when(desk, entry.at)}, {entry.initials}")
        for entry in diary
        if entry.kind in _SIGNED_FOR and not entry.undone
    ]
    return (
        ("state", jar.state.value),
        *done,
        ("strain day", f"{jar.strain_on:%Y-%m-%d}, {jar.charge.separation.value}"),
        ("ratio", f"{one_to(known.ratio)}; the house rule says {one_to(known.house_ratio)}"),
        ("expected", f"{expected.expected_ml:.0f} mL to bottle, {between}; {strength} by volume"),
    )


def _charge(desk: Desk, jar: Jar) -> Table:
    library = desk.library_for(jar)
    rows = []
    for line in jar.charge.botanicals:
        plant = material.known(line, library)
        what = ", ".join(filter(None, (plant.latin, plant.part) if plant else ()))
        state = f"{'fresh' if line.fresh else 'dried'}; class {line.material_class}"
        rows.append((line.name, what, line.typed, f"{line.mass_g:.4g} g", state))
    for pour in jar.charge.spirits:
        read = f"{percent(pour.strength)} by volume, read at {pour.temperature_c:g} °C"
        typed = f"{pour.typed_volume} {pour.typed_strength}"
        rows.append((pour.name, "", typed, f"{pour.volume_ml:.4g} mL", read))
    columns = (("what", 0.22), ("Latin name, part", 0.28), ("as typed", 0.14), ("amount", 0.12))
    note = "Supplier and lot are not kept by the program: write them here."
    return Table("Charge", (*columns, ("remarks", 0.24)), tuple(rows), note)


def _stages(desk: Desk, jar: Jar) -> Table:
    rows = tuple(
        (
            stage.name,
            f"{stage.found_ml:.1f} ± {stage.found_u_ml:.1f} mL",
            f"{stage.theoretical_ml:.1f} mL",
            percent(stage.found_ml / stage.theoretical_ml),
            percent(stage.found_ml / stage.before_ml) if stage.before_ml else "",
        )
        for stage in reconciliation(desk, jar)
    )
    columns = (("stage", 0.3), ("found", 0.2), ("theoretical", 0.16), ("of theoretical", 0.16))
    before = ("of the stage before", 0.18)
    return Table("Yield at each stage", (*columns, before), rows, _REGULATION)


def _balance(found: Balance) -> Table:
    parts = [(label, getattr(found, name)) for label, name in _PARTS]
    rows = tuple(_part(label, figure) for label, figure in parts if figure is not None)
    strength = f"{percent(found.strength)} ± {percent(found.strength_u)} by volume"
    finding = " ".join(one.text for one in found.findings)
    note = f"±: one standard uncertainty. Strength of what came out, by calculation: {strength}."
    columns = (("part of the liquor", 0.34), ("mL", 0.24), ("share", 0.22), ("", 0.2))
    return Table("Balance", columns, rows, f"{note} {finding}")


def _part(label: str, figure: Figure) -> tuple[str, str, str, str]:
    return (
        label,
        f"{figure.ml:.1f} ± {figure.ml_u:.1f}",
        f"{percent(figure.share)} ± {percent(figure.share_u)}",
        "as is usual, not measured" if figure.estimated else "",
    )


def _cautions(desk: Desk, known: Details, diary: tuple[Entry, ...]) -> Table:
    read = {
        code: f"{entry.initials}, {_when(desk, entry.at)}"
        for entry in diary
        if not entry.undone
        for code in entry.acknowledged
    }
    rows = tuple(
        (
            in_full(caution),
            source(caution),
            read.get(
                caution.code, "not yet" if caution.needs_acknowledging else "shown, not asked for"
            ),
        )
        for caution in gravest_first(known.cautions)
    )
    columns = (("what to mind", 0.58), ("who says so", 0.22), ("read by", 0.2))
    return Table("Cautions", columns, rows)


def _bottles(desk: Desk, jar: Jar) -> Table:
    rows = tuple(
        (
            one.code,
            f"{one.filled_ml:.1f} ± {one.filled_u_ml:.1f} of {short(one.size_ml)} mL",
            f"{desk.day(one.filled_at):%Y-%m-%d}",
            percent(dict(one.liquid.shares).get(jar.id, 0.0), 0),
            became(desk, one),
        )
        for one in bottle_shelf.of_jar(desk, jar)
    )
    columns = (("bottle", 0.16), ("filled", 0.2), ("on", 0.11), ("of this batch", 0.11))
    left = bottle_shelf.rest(desk, jar)
    note = "" if rows else "Nothing of this batch stands in bottles."
    if rows and left:
        note = rest_line(jar.code, left)
    return Table("Bottles", (*columns, ("what became of it", 0.42)), rows, note)


def _diary(desk: Desk, diary: tuple[Entry, ...]) -> Table:
    rows = tuple(
        (
            _when(desk, entry.at),
            entry.kind.value,
            entry.initials,
            entry.source.value,
            told(entry, diary, desk.zone),
        )
        for entry in diary
    )
    columns = (("when", 0.17), ("what", 0.1), ("by", 0.07), ("from", 0.12), ("told", 0.54))
    return Table("Diary", columns, rows)


def _when(desk: Desk, at: datetime) -> str:
    return f"{at.astimezone(desk.zone):%Y-%m-%d %H:%M}"
