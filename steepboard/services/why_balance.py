"""Why the figures of a strain balance are what they are."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.domain.figures import percent
from steepboard.domain.records import Measure
from steepboard.domain.why import Input, Why
from steepboard.services.straining import shown
from steepboard.services.why_charge import OIML, Known, known

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Set

    from steepboard.domain.balance import Balance, Checked, Figure
    from steepboard.domain.records import Jar, Reading
    from steepboard.services.desk import Desk

MASSES = "masses add up, and volumes follow by the density of what came out"
_WHERE_READ = {
    "held in the marc": (Measure.MARC,),
    "held in the filter": (Measure.FILTER_BEFORE, Measure.FILTER_AFTER),
    "sediment": (Measure.SEDIMENT,),
    "taken to taste": (Measure.SAMPLED,),
    "evaporated": (Measure.GROSS_CHARGED, Measure.GROSS_BEFORE, Measure.SAMPLED),
    "rinse": (Measure.WASH, Measure.WASH_STRENGTH, Measure.WASHED_OUT),
    "hydrometer": (Measure.HYDROMETER,),
    "dry residue": (Measure.RESIDUE_VOLUME, Measure.RESIDUE),
    "stayed solid": (Measure.MARC, Measure.DRY_MARC),
}
_ALONE = (
    (Measure.RECOVERED_MASS, Measure.RECOVERED),
    (Measure.FILTERED_MASS, Measure.FILTERED),
)
"""Stages of which one tells all that came out, the last one first, and of each the scale first."""
_TOGETHER = (
    (Measure.DRAINED_MASS, Measure.DRAINED),
    (Measure.PRESSED_MASS, Measure.PRESSED),
    (Measure.WASHED_OUT,),
)
_RULES = {
    "recovered": "What came out, by the scale where it was weighed, else by volume; of several "
    "stages the last that was read, or all that drained, was pressed and came back of a rinse.",
    "held in the marc": "The wet marc, less what cannot dissolve of the dry botanicals.",
    "held in the filter": "The filter after, less the filter before.",
    "sediment": "As it was read.",
    "taken to taste": "As it was read.",
    "evaporated": "The closed jar after charging, less the same before straining, less samples.",
    "rinse": "As it was poured on the drained solids.",
}
_ESTIMATES = {
    "held in the marc": "Not weighed: what such solids usually hold, for each dry gram.",
    "held in the filter": "Not weighed: what filter and vessel usually keep.",
}


def of_balance(desk: Desk, jar: Jar, found: Balance, read: Iterable[Reading]) -> tuple[Why, ...]:
    """Return the answers for a balance; `read` are the readings that it was worked from."""
    readings = {reading.measure: measured(reading) for reading in read}
    library = desk.library_for(jar)  # before this straining
    taken = known(jar.charge, jar.charge.separation, desk.settings, library)

    def inputs(name: str) -> tuple[Input, ...]:
        where = _came_out(readings.keys()) if name == "recovered" else _WHERE_READ.get(name, ())
        return tuple(readings[m] for m in where if m in readings)

    parts = tuple(_parts(found, taken, inputs))
    return (
        Why(
            "in the jar",
            _amount(found.liquor),
            "Ethanol and water as poured, the water of the botanicals, and what dissolves of them.",
            f"{MASSES}; {OIML}",
            taken.liquor,
        ),
        *parts,
        *_sums(found, parts, taken, inputs("rinse")),
        *_checks(found, inputs),
        Why(
            "±",
            "one standard uncertainty",
            "Each input is moved by its own ± and the whole balance is worked again; the changes "
            "are added in squares. In 2 of 3 cases the true figure lies within.",
            "published: JCGM 100:2008 (GUM), 5.1.2 and 5.1.3 note 2; an instrument's ± is half its "
            "smallest step divided by the root of 3 (4.3.7)",
        ),
    )


def _came_out(read: Set[Measure]) -> tuple[Measure, ...]:
    """Return the readings by which what came out was counted."""
    alone, together = (
        [next(m for m in stage if m in read) for stage in stages if not read.isdisjoint(stage)]
        for stages in (_ALONE, _TOGETHER)
    )
    return tuple(alone[:1] or together)


def _parts(
    found: Balance, taken: Known, inputs: Callable[[str], tuple[Input, ...]]
) -> Iterator[Why]:
    """Yield the answers for what came out, and for what stayed or went elsewhere."""
    usual = {"held in the marc": taken.held, "held in the filter": (taken.kept,)}
    for name, figure in (
        ("recovered", found.recovered),
        ("rinse", found.rinse),
        ("held in the marc", found.held_in_marc),
        ("held in the filter", found.held_in_filter),
        ("sediment", found.sediment),
        ("taken to taste", found.sampled),
        ("evaporated", found.evaporated),
    ):
        if figure is None:
            continue
        if figure.estimated:
            yield Why(name, _amount(figure), _ESTIMATES[name], MASSES, usual[name])
        else:
            dry = taken.dryness if name == "held in the marc" else ()
            yield Why(name, _amount(figure), _RULES[name], MASSES, (*inputs(name), *dry))


def _sums(
    found: Balance, parts: Iterable[Why], taken: Known, rinse: tuple[Input, ...]
) -> Iterator[Why]:
    """Yield the answers for what follows from the parts together."""
    worked = tuple(Input(one.figure, one.value, f"see {one.figure}") for one in parts)
    yield Why(
        "unaccounted",
        _amount(found.unaccounted),
        "What was in the jar, less all parts that were read or estimated.",
        MASSES,
        worked,
    )
    yield Why(
        "yield",
        f"{percent(found.yield_fraction)} ± {percent(found.yield_u)}",
        "What was recovered, of what was poured, rinses too, both in mL at 20 °C.",
        OIML,
        (worked[0], *taken.poured, *rinse),
    )
    yield Why(
        "strength of what came out",
        f"{percent(found.strength)} ± {percent(found.strength_u)}",
        "The ethanol alone, as mL at 20 °C, in each mL of it.",
        OIML,
        (*taken.liquor, *rinse),
    )


def _checks(found: Balance, inputs: Callable[[str], tuple[Input, ...]]) -> Iterator[Why]:
    """Yield the answers for what was worked out beside the balance, as far as it was read."""
    held, held_u = found.held_per_dry_g_ml, found.held_per_dry_g_ml_u
    if held is not None and held_u is not None:
        yield Why(
            "held by a dry gram",
            f"{held:.2f} ± {held_u:.2f} mL",
            "What is held in the marc, divided by the dry mass of the botanicals.",
            MASSES,
            inputs("held in the marc"),
        )
    if found.hydrometer:
        yield Why(
            "strength by the hydrometer",
            _checked(found.hydrometer, percent),
            "The strength at which ethanol, water and what is dissolved are as dense as it shows.",
            OIML,
            inputs("hydrometer"),
        )
    if found.residue_g_ml:
        yield Why(
            "dissolved, by drying",
            _checked(found.residue_g_ml, "{:.3f} g/mL".format),
            "What stayed when it was dried, for each mL that was dried.",
            "common practice, no source",
            inputs("dry residue"),
        )
    if found.undissolved_g:
        yield Why(
            "stayed solid",
            _checked(found.undissolved_g, "{:.1f} g".format),
            "The dried marc, less what the liquid in it left behind.",
            MASSES,
            inputs("stayed solid"),
        )


def _checked(figure: Checked, shown: Callable[[float], str]) -> str:
    return f"{shown(figure.value)} ± {shown(figure.u)}"


def _amount(figure: Figure) -> str:
    share = f"{percent(figure.share)} ± {percent(figure.share_u)}"
    return f"{figure.ml:.1f} ± {figure.ml_u:.1f} mL, {share}"


def measured(reading: Reading) -> Input:
    """Return a reading as it was typed, and to which step it was read."""
    step = shown(reading.measure, reading.resolution)
    return Input(reading.measure.value, reading.typed, f"measured here, to {step}")
