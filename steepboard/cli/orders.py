"""Putting an order together, and showing what became of it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from steepboard.cli.minding import say_cautions_shortly, say_doses, say_meant
from steepboard.cli.render import day, iso, say, say_findings, say_table, word
from steepboard.domain.figures import every, one_to, percent
from steepboard.domain.records import SpiritLine
from steepboard.services.details import Details, details
from steepboard.text import clean

if TYPE_CHECKING:
    from steepboard.domain.expected import Expected
    from steepboard.domain.liquor import Liquor
    from steepboard.domain.planning import Plan
    from steepboard.domain.records import Jar
    from steepboard.services.desk import Desk


_PLAIN = re.compile(r"[\d.,]+ ?(?:g|ml|%)", re.IGNORECASE)


def spirit(
    name: str | None, volume_ml: float, strength: float, temperature_c: float, *typed: str
) -> SpiritLine:
    """Return what is poured; `typed` is its volume and its strength as they were typed."""
    what = clean(name or "", 80) or ("spirit" if strength > 0 else "water")
    return SpiritLine(what, volume_ml, strength, temperature_c, *typed)


def say_charged(desk: Desk, jar: Jar) -> None:
    """Print a jar that has just been charged, and what to do next."""
    known = details(desk, jar)
    say(f"{jar.code} is charged. Write {jar.code} on the jar.")
    say_table([*charge_rows(jar), *details_rows(known), _next_row(jar)])
    say_meant(jar.charge.botanicals, desk.library)
    say_findings(known.findings)
    say_doses(known.doses)
    in_full = f"`steepboard jar {jar.code}`"
    say_cautions_shortly(known.cautions, jar.charge.botanicals, desk.library, in_full)


def charge_rows(jar: Jar) -> list[tuple[str, str]]:
    """Return what went into a jar, as label and text."""
    charge = jar.charge
    return [
        *(
            ("botanical", f"{line.name}, {_understood(line.typed, line.mass_g, 'g')}")
            for line in charge.botanicals
        ),
        *map(_spirit_row, charge.spirits),
    ]


def details_rows(known: Details) -> list[tuple[str, str]]:
    """Return what follows from a charge, as label and text."""
    house = f"the house rule says {one_to(known.house_ratio)}"
    return [
        ("ratio", f"{one_to(known.ratio)}; {house} for {percent(known.solvent_strength)}"),
        *liquor_rows(known.liquor),
        expected_row(known.expected),
    ]


def liquor_rows(made: Liquor) -> list[tuple[str, str]]:
    """Return how strong the liquid gets, and how strong it seems, as label and text."""
    apparent = made.apparent_strength
    seems = "off its scale" if apparent is None else percent(apparent)
    return [
        ("strength", f"{percent(made.true_strength)} in the end"),
        ("hydrometer", seems + ", for dissolved solids hide alcohol" * (made.dissolved_g > 0.0)),
    ]


def expected_row(expected: Plan | Expected) -> tuple[str, str]:
    """Return what should be bottled, with its 80 % interval, as label and text."""
    between = f"eight times in ten {expected.low_ml:.0f} to {expected.high_ml:.0f} mL"
    return "expected", f"{expected.expected_ml:.0f} mL bottled; {between}"


def jar_json(jar: Jar) -> dict[str, object]:
    """Return a jar for programs."""
    charge = jar.charge
    return {
        "code": jar.code,
        "name": jar.name,
        "state": word(jar.state),
        "strain_on": iso(jar.strain_on),
        "planned_at": iso(jar.planned_at),
        "charged_at": iso(jar.charged_at),
        "strained_at": iso(jar.strained_at),
        "bottled_at": iso(jar.bottled_at),
        "stir_every_days": charge.stir_every_days,
        "separation": word(charge.separation),
        "vessel_ml": charge.vessel_ml,
        "botanicals": [{"name": b.name, "mass_g": b.mass_g} for b in charge.botanicals],
        "spirits": [
            {
                "name": s.name,
                "volume_ml": s.volume_ml,
                "strength": s.strength,
                "temperature_c": s.temperature_c,
            }
            for s in charge.spirits
        ],
    }


def details_json(known: Details) -> dict[str, object]:
    """Return what follows from a charge for programs; strengths are fractions."""
    return {
        "botanical_g": known.botanical_g,
        "solvent_ml": known.solvent_ml,
        "solvent_strength": known.solvent_strength,
        "ratio": known.ratio,
        "house_ratio": known.house_ratio,
        "liquor_ml": known.liquor.volume_ml,
        "true_strength": known.liquor.true_strength,
        "solids_free_strength": known.liquor.solids_free_strength,
        "apparent_strength": known.liquor.apparent_strength,
        "expected_ml": known.expected.expected_ml,
        "low_ml": known.expected.low_ml,
        "high_ml": known.expected.high_ml,
        "intensity": known.intensity,
    }


def _next_row(jar: Jar) -> tuple[str, str]:
    stirs = f"stir every {every(jar.charge.stir_every_days)}"
    return "strain", f"{day(jar.strain_on)}, {jar.charge.separation.value}; until then {stirs}"


def _spirit_row(line: SpiritLine) -> tuple[str, str]:
    kind = "spirit" if line.strength > 0.0 else "water"
    poured = _poured(line) if line.strength > 0.0 else _volume(line)
    return kind, poured if line.name == kind else f"{line.name}, {poured}"


def _poured(line: SpiritLine) -> str:
    return f"{_volume(line)} of {_understood(line.typed_strength, 100 * line.strength, '%')}"


def _volume(line: SpiritLine) -> str:
    return _understood(line.typed_volume, line.volume_ml, "mL")


def _understood(typed: str, value: float, unit: str) -> str:
    """Return an amount with all that was typed; after it, where its unit was another."""
    if _PLAIN.fullmatch(typed):
        return f"{value:.10g} {unit}"
    shown = f"{value:.1f}" if value >= 10 else f"{value:.3g}"
    return f"{typed} → {shown} {unit}"
