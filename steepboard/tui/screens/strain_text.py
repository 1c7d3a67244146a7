"""What the pages of a straining say about a jar."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from steepboard.catalogue.cautions import LAST_WORD
from steepboard.domain.expecting import Z_80
from steepboard.domain.figures import days, one_to, percent
from steepboard.domain.records import Measure, State
from steepboard.services import bottle_shelf, straining
from steepboard.services.details import details
from steepboard.tui.safe import plain, say
from steepboard.tui.telling import caution_titles, finding_lines, minded, parts
from steepboard.tui.widgets.balance_table import PLUS_MINUS

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import datetime

    from steepboard.domain.balance import Balance
    from steepboard.domain.expecting import Likely
    from steepboard.domain.records import Jar
    from steepboard.services.bottling import Fill
    from steepboard.services.desk import Desk
    from steepboard.services.straining_result import Result

_RULES = f"What a label must say is set by your local rules. {LAST_WORD}"
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
        return plain(f"Its strain day is {day}, {days(ahead)} ahead. Taste before you go on.")
    if ahead < 0:
        return plain(f"Its strain day was {day}, {days(-ahead)} ago.")
    return plain("Today is its strain day.")


def mind_text(desk: Desk, jar: Jar) -> Content:
    """Return the titles of what to mind with the jar; the Jar has them in full."""
    return minded(details(desk, jar).cautions)


def beside(likely: Mapping[Measure, Likely]) -> dict[Measure, str]:
    """Return the 80 % interval of each reading, in words."""
    return {m: straining.amount_between(m, one.between(Z_80)) for m, one in likely.items()}


def expect_text(expected: Mapping[Measure, str], measures: Iterable[Measure]) -> Content:
    """Return what the first reading of a page should lie between, where that is known."""
    known = [measure for measure in measures if measure in expected]
    if not known:
        return Content("")
    words = {Measure.FILTER_AFTER: " wet", Measure.DRY_MARC: " dried"}.get(known[0], "")
    return say(
        "Expect [b]$between[/b]$words, eight times in ten.",
        between=expected[known[0]],
        words=words,
    )


def review_text(balance: Balance | None, said: Result | None) -> Content:
    """Return what a straining comes to, what is found of it, and how to read it."""
    if balance is None or said is None:
        return plain("Nothing that came out was measured yet. Go back to the measuring first.")
    return parts(
        Content.assemble((said.bottle, "bold"), "\n", said.strength),
        finding_lines(balance.findings),
        Content("\n").join([plain(sentence) for sentence in said.sentences[2:]]),
        Content.styled(PLUS_MINUS, "$faint"),
    )


def bottle_text(
    desk: Desk, jar: Jar, balance: Balance | None, fills: Sequence[Fill] | None
) -> Content:
    """Return what the bottles leave over, those that were filled, and whether the jar is done."""
    filled = bottle_shelf.of_jar(desk, jar)
    rest = bottle_shelf.rest(desk, jar)
    left_ml = rest.left_ml if rest else balance.recovered.ml if balance else None
    over = ""
    if left_ml is not None and (fills or filled):
        now_ml = sum(one.filled.value for one in fills or ())
        over = f"Left over: {left_ml - now_ml:.1f} mL."
    codes = ", ".join(one.code for one in filled)
    return parts(
        plain(over),
        plain(f"Filled: {codes}." if codes else ""),
        plain(f"{jar.code} is bottled." if jar.state is State.BOTTLED else ""),
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
