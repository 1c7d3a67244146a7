"""A strain balance, for people and for programs."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from steepboard.cli.render import finding_rows, say, say_findings, say_table
from steepboard.domain.figures import percent
from steepboard.services.straining_result import of_poured

if TYPE_CHECKING:
    from steepboard.domain.balance import Balance, Checked, Figure
    from steepboard.services.straining_result import Result

_VERDICTS = ("closes", "missing", "more_out_than_in", "only_estimated")
_PARTS = {
    "recovered": "recovered",
    "held_in_marc": "held in the marc",
    "held_in_filter": "held in the filter",
    "sediment": "sediment",
    "sampled": "sampled",
    "evaporated": "evaporated",
    "unaccounted": "unaccounted",
}
_NUMBERS = {
    "yield_fraction": "yield_u",
    "held_per_dry_g_ml": "held_per_dry_g_ml_u",
    "strength": "strength_u",
}
_CHECKED = ("hydrometer", "hydrometer_g_ml", "residue_g_ml", "undissolved_g")


def say_balance(found: Balance, said: Result) -> None:
    """Print where the liquor went, and what that comes to; the unmeasured is said to be usual."""
    rows = [
        _row(label, figure)
        for name, label in _PARTS.items()
        if (figure := getattr(found, name)) is not None
    ]
    rinse = [_row("rinse", found.rinse)] if found.rinse else []
    say_table([*rows, _row("in the jar", found.liquor), *rinse])
    say("± is one standard uncertainty.")
    held = None if found.held_in_marc.estimated else found.held_per_dry_g_ml
    held_u = found.held_per_dry_g_ml_u
    of = of_poured(found.yield_fraction)
    say_table(
        [
            ("yield", f"{percent(found.yield_fraction)} ± {percent(found.yield_u)} {of}"),
            ("strength", f"{percent(found.strength)} ± {percent(found.strength_u)}"),
            *([("held", f"{held:.2f} ± {held_u:.2f} mL for each dry gram")] if held else []),
        ]
    )
    say_findings(found.findings)
    for sentence in said.sentences:
        say(sentence)


def balance_json(found: Balance | None, said: Result | None) -> dict[str, object]:
    """Return a balance for programs; every figure has its standard uncertainty `…_u`.

    What was not read is null; so is everything as long as nothing recovered was read.
    """
    values: dict[str, float | None] = {}
    for name in (*_PARTS, "liquor", "rinse"):
        figure: Figure | None = getattr(found, name, None)
        values[f"{name}_ml"] = figure.ml if figure else None
        values[f"{name}_ml_u"] = figure.ml_u if figure else None
    for name, u in _NUMBERS.items():
        values[name], values[f"{name}_u"] = getattr(found, name, None), getattr(found, u, None)
    for name in _CHECKED:
        checked: Checked | None = getattr(found, name, None)
        values[name] = checked.value if checked else None
        values[f"{name}_u"] = checked.u if checked else None
    findings = found.findings if found else ()
    verdict = next((f.code for f in findings if f.code in _VERDICTS), None)
    result = {"result": asdict(said) if said else None}
    return {**values, "finding": verdict, "findings": finding_rows(findings), **result}


def _row(label: str, figure: Figure) -> tuple[str, str, str, str]:
    usual = "as is usual, not measured" if figure.estimated else ""
    return (
        label,
        f"{figure.ml:7.1f} mL ± {_short(figure.ml_u)}",
        f"{100 * figure.share:5.1f} % ± {_short(100 * figure.share_u)}",
        usual,
    )


def _short(u: float) -> str:
    return f"{u:.1f}" if u >= 0.095 or u == 0 else f"{u:.2f}"
