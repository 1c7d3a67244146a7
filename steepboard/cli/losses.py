"""Where past strainings lost liquid."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from steepboard.cli.lesson_json import dry_json, lesson_json
from steepboard.cli.place import Place
from steepboard.cli.render import json_option, say, say_json, say_table
from steepboard.cli.why import say_why, why_json, why_option
from steepboard.services import losses as reviews
from steepboard.services.advice import in_money, what_to_change
from steepboard.services.dry_lessons import dry_heading, dry_lessons, dry_told
from steepboard.services.lessons import heading, lessons, told
from steepboard.services.losses import By

if TYPE_CHECKING:
    from steepboard.services.losses import Group

_BY = {
    "botanical": By.BOTANICAL,
    "material": By.MATERIAL,
    "spirit": By.SPIRIT,
    "straining": By.STRAINING,
    "month": By.MONTH,
}
_HEAD = (
    ("", "jars", "poured", "bottled", "yield", " marc", "filter", "unacc.", "held", "expected"),
    ("", "", "    mL", "     mL", "    %", "    %", "     %", "     %", "mL/g", " in range"),
)


@click.command()
@click.option(
    "--by",
    type=click.Choice(tuple(_BY)),
    default="botanical",
    help="What strainings are put together by.",
)
@why_option
@json_option
@click.pass_obj
def losses(place: Place, by: str, why: bool, as_json: bool) -> None:
    """Show what past strainings brought, and where the rest stayed.

    Example: steepboard losses --by straining
    """
    from steepboard.services import why_losses

    with place.desk() as desk:
        found = tuple(reviews.strained(desk))
        groups = reviews.grouped(found, _BY[by], desk)
        lines = [why_losses.of_line(desk, one, _BY[by]) if why else () for one in groups]
        money = None if as_json else why_losses.of_money(desk, found, place.now)
    if as_json:
        say_json([_json(one) | why_json(line) for one, line in zip(groups, lines, strict=True)])
        return
    if not groups:
        say("Nothing was strained and measured yet: `steepboard strain CODE --recovered 250ml`.")
        return
    say_table([*_HEAD, *map(_row, groups)], gap=" ")
    say("poured and bottled count rinses too; yield is of the poured, the rest of the liquid.")
    say("held is for each dry gram of weighed marc.")
    count, within = sum(g.count for g in groups), sum(g.as_expected for g in groups)
    say(f"{within} of {count} bottled what was expected; four in five should.")
    if money:
        say(in_money(money.value))
    for sentence in what_to_change(groups) if by != "month" else ():
        say(sentence)
    if why:
        for line in lines:
            say_why(line)
        say_why(why_losses.of_all(groups, advised=by != "month"))
        say_why((money,) if money else ())


@click.command()
@click.argument("name", nargs=-1, metavar="[NAME]")
@why_option
@json_option
@click.pass_obj
def learned(place: Place, name: tuple[str, ...], why: bool, as_json: bool) -> None:
    """Show what past jars taught of what solids hold.

    Beforehand, now, and by each batch; and how often what was expected came true. What was dried
    tells of water and soluble part, too.

    Example: steepboard learned caraway
    """
    from steepboard.services import why_dry_lessons, why_lessons

    wanted = " ".join(name)
    with place.desk() as desk:
        groups, dried = lessons(desk, reviews.strained(desk), wanted), dry_lessons(desk, wanted)
        held_why = [tuple(why_lessons.of_group(desk, one)) if why else () for one in groups]
        dried_why = [tuple(why_dry_lessons.of_share(desk, one)) if why else () for one in dried]
    if as_json:
        held_rows = zip(groups, held_why, strict=True)
        dried_rows = zip(dried, dried_why, strict=True)
        say_json(
            {
                "held": [lesson_json(group) | why_json(whys) for group, whys in held_rows],
                "dried": [dry_json(one) | why_json(whys) for one, whys in dried_rows],
            }
        )
        return
    if not groups and not dried:
        of = f" of {wanted}" if wanted else ""
        say(f"No jar{of} was bottled and measured yet: plans go by what is usual.")
        return
    for group in groups:
        say(heading(group))
        say_table(told(group))
    for one in dried:
        say(dry_heading(one))
        say_table(dry_told(one))
    say("± is one standard uncertainty. A jar's marc, weighed wet, teaches most.")
    for answers in (*held_why, *dried_why):
        say_why(answers)


def _row(group: Group) -> tuple[str, ...]:
    held = group.held_per_dry_g_ml
    return (
        group.name,
        f"{group.count:4d}",
        f"{group.poured_ml:6.0f}",
        f"{group.recovered_ml:7.0f}",
        f"{100 * group.yield_fraction:5.1f}",
        f"{100 * group.marc_share:5.1f}",
        f"{100 * group.filter_share:6.1f}",
        f"{100 * group.unaccounted_share:6.1f}",
        f"{held:4.2f}" if held is not None else "",
        f"{group.as_expected} of {group.count}",
    )


def _json(group: Group) -> dict[str, object]:
    return {
        "name": group.name,
        "jars": group.count,
        "poured_ml": group.poured_ml,
        "recovered_ml": group.recovered_ml,
        "expected_ml": group.expected_ml,
        "yield_fraction": group.yield_fraction,
        "marc_fraction": group.marc_share,
        "filter_fraction": group.filter_share,
        "unaccounted_fraction": group.unaccounted_share,
        "held_per_dry_g_ml": group.held_per_dry_g_ml,
        "as_expected_jars": group.as_expected,
    }
