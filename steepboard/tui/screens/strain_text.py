"""What the pages of a straining say about a jar."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from steepboard.catalogue.cautions import LAST_WORD
from steepboard.domain.figures import one_to, percent
from steepboard.domain.records import Measure
from steepboard.services import straining
from steepboard.services.details import details
from steepboard.tui.safe import plain, say
from steepboard.tui.telling import caution_titles, finding_lines, parts
from steepboard.tui.widgets.balance_table import PLUS_MINUS

if TYPE_CHECKING:
    from datetime import datetime

    from steepboard.domain.balance import Balance
    from steepboard.domain.records import Jar
    from steepboard.services.desk import Desk

_RULES = f"Copy it by hand. What a label must say is set by your local rules. {LAST_WORD}"
_NOT_ON_LABEL = frozenset(
    {
        *("NONPOT", "GRADE", "HEAT", "VESSEL", "LICENCE", "PRESSURE", "FLAM", "CHILD", "SERVE"),
        *("ESSOIL", "NOTADDED", "FRESHSOFT"),
    }
)
"""Cautions for the bench, and three that the label says in words of its own."""


def day_text(desk: Desk, jar: Jar, now: datetime) -> Content:
    """Return how the day stands to the strain day."""
    ahead = (jar.strain_on - desk.day(now)).days
    day = f"{jar.strain_on:%A} {jar.strain_on.day} {jar.strain_on:%B}"
    if ahead > 0:
        return plain(f"Its strain day is {day}, {_days(ahead)} ahead. Taste before you go on.")
    if ahead < 0:
        return plain(f"Its strain day was {day}, {_days(-ahead)} ago.")
    return plain("Today is its strain day.")


def mind_text(desk: Desk, jar: Jar) -> Content:
    """Return the titles of what to mind with the jar; the Jar has them in full."""
    return Content("\n").join([caution_titles(details(desk, jar).cautions), plain(LAST_WORD)])


def expect_text(desk: Desk, jar: Jar, measures: tuple[Measure, ...]) -> Content:
    """Return what the readings of a page should lie between, where that is known."""
    lines = []
    for measure in measures:
        if between := straining.expect(desk, jar, measure):
            unit = "g" if measure in straining.WEIGHED else "mL"
            low, high = between
            what = {Measure.FILTER_AFTER: " wet", Measure.RECOVERED_MASS: " on the scale"}
            words = what.get(measure, "")
            lines.append(
                say(
                    "Expect [b]$low to $high $unit[/b]$words, eight times in ten.",
                    low=f"{low:.0f}",
                    high=f"{high:.0f}",
                    unit=unit,
                    words=words,
                )
            )
    return Content("\n").join(lines)


def review_text(balance: Balance | None) -> Content:
    """Return yield, strength and findings of a balance, and how to read them."""
    if balance is None:
        return plain("Nothing that came out was measured yet. Go back to the measuring first.")
    held = ""
    if balance.held_per_dry_g_ml is not None and balance.held_per_dry_g_ml_u is not None:
        held = (
            f"The marc holds {balance.held_per_dry_g_ml:.2f} mL "
            f"± {balance.held_per_dry_g_ml_u:.2f} per dry gram."
        )
    return parts(
        say(
            "Yield [b]$share %[/b] ± $share_u of what was poured\n"
            "Strength [b]$strength %[/b] ± $strength_u, by calculation\n$held",
            share=f"{balance.yield_fraction * 100:.1f}",
            share_u=f"{balance.yield_u * 100:.1f}",
            strength=f"{balance.strength * 100:.1f}",
            strength_u=f"{balance.strength_u * 100:.1f}",
            held=held,
        ),
        finding_lines(balance.findings),
        Content.styled(PLUS_MINUS, "$faint"),
    )


def label_text(desk: Desk, jar: Jar, now: datetime) -> Content:
    """Return the text of a bottle's label."""
    known, balance = details(desk, jar), straining.balance(desk, jar)
    strength = balance.strength if balance else known.liquor.true_strength
    bottled = desk.day(jar.bottled_at or now)
    what = ", ".join(f"{line.name} {line.mass_g:g} g" for line in jar.charge.botanicals)
    return parts(
        say(
            "[b]$name[/b]   [b]$code[/b]\n$ratio in spirit of $poured\n$what\n"
            "[b]$strength vol[/b], by calculation\nBottled $day   $initials",
            name=jar.name,
            code=jar.code,
            ratio=one_to(known.ratio),
            poured=percent(known.solvent_strength, 0),
            what=what,
            strength=percent(strength),
            day=f"{bottled.day} {bottled:%B %Y}",
            initials=desk.initials,
        ),
        plain("Contains alcohol. Keep away from flame, heat and children."),
        caution_titles(c for c in known.cautions if c.code not in _NOT_ON_LABEL),
        plain("" if jar.bottled_at else "This jar is not written down as bottled yet."),
        plain(_RULES),
    )


def _days(count: int) -> str:
    return f"{count} day{'s' * (count != 1)}"
