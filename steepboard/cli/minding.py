"""Showing what to mind with a jar: cautions, dose sums, and what was read before charging."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from steepboard.catalogue.cautions import LAST_WORD, source
from steepboard.catalogue.load import SHIPPED, Library
from steepboard.cli.render import say, say_findings
from steepboard.domain import limits
from steepboard.services.cautions import HOW_DOSED, in_full, own_cautions, to_read
from steepboard.services.materials import meant
from steepboard.services.plans import UNNAMED

if TYPE_CHECKING:
    from steepboard.catalogue.load import Caution
    from steepboard.domain.limits import Check, DoseSum
    from steepboard.domain.records import BotanicalLine


def say_meant(botanicals: Iterable[BotanicalLine], library: Library) -> None:
    """Print what names that are not known may have meant."""
    for line in botanicals:
        if line.name != UNNAMED and (told := meant(line, library)):
            say(f"? {told}")


def to_acknowledge(
    botanicals: Iterable[BotanicalLine], library: Library = SHIPPED
) -> tuple[str, ...]:
    """Return the codes of the cautions that want a person's word before charging, each once."""
    return tuple(caution.code for caution in to_read(botanicals, library))


def say_cautions(cautions: Iterable[Caution]) -> None:
    """Print what to mind in full, and whose word comes first."""
    for caution in cautions:
        _say_fully(caution)
    say(LAST_WORD)


def say_cautions_shortly(
    cautions: Iterable[Caution],
    botanicals: Iterable[BotanicalLine],
    library: Library,
    in_full_by: str,
) -> None:
    """Print the cautions of the material, and of the others what they are about.

    `in_full_by` is what to type to read them all.
    """
    known = tuple(cautions)
    own = {caution.code for caution in own_cautions(botanicals, library)}
    for caution in known:
        if caution.code in own:
            _say_fully(caution)
    others = _titles(caution for caution in known if caution.code not in own)
    say(f"Mind besides (in full with {in_full_by}): {others}.")
    say(LAST_WORD)


def say_caution_titles(cautions: Iterable[Caution]) -> None:
    """Print what cautions are about, and whose word comes first."""
    say(f"Mind: {_titles(cautions)}.")
    say(LAST_WORD)


def say_doses(doses: Sequence[DoseSum]) -> None:
    """Print what a dose brings of limited substances, if there are any."""
    if doses:
        say_findings(map(limits.finding, doses))
        say(f"- {HOW_DOSED}")


def mind_json(cautions: Iterable[Caution], doses: Iterable[DoseSum]) -> dict[str, object]:
    """Return what to mind for programs."""
    return {
        "cautions": [
            {
                "code": caution.code,
                "title": caution.title,
                "severity": caution.severity,
                "text": caution.text,
                "figures": caution.figures,
                "authority": caution.authority,
                "obtained": caution.obtained,
            }
            for caution in cautions
        ],
        "doses": [_dose_json(made) for made in doses],
    }


def _say_fully(caution: Caution) -> None:
    say(f"Mind: {in_full(caution)} ({source(caution)})")


def _titles(cautions: Iterable[Caution]) -> str:
    return "; ".join(caution.title for caution in cautions)


def _dose_json(made: DoseSum) -> dict[str, object]:
    return {
        "substance": made.substance,
        "dose_ml_per_l": made.dose_ml_per_l,
        "mg_per_l": made.mg_per_l,
        "plants": [
            {"name": s.plant, "mass_g": s.mass_g, "mg_per_g": s.mg_per_g, "source": s.source}
            for s in made.shares
        ],
        "limits": [_limit_json(check) for check in made.checks],
    }


def _limit_json(check: Check) -> dict[str, object]:
    limit = check.limit
    return {
        "place": limit.place,
        "drink": limit.drink,
        "limit": limit.value,
        "unit": limit.unit,
        "label": limit.label,
        "within": check.within,
        "most_dose_ml_per_l": check.most_ml_per_l,
        "source": limit.source,
        "obtained": limit.obtained,
    }
