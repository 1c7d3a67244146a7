"""Why the figures of past strainings are what they are: of a line, of all lines, and in money."""

from __future__ import annotations

from statistics import fmean
from typing import TYPE_CHECKING, TypeVar

from steepboard.domain.figures import percent
from steepboard.domain.records import Measure
from steepboard.domain.why import Input, Why
from steepboard.services import costs, material, money
from steepboard.services.advice import what_to_change
from steepboard.services.straining import shown
from steepboard.services.why_charge import ADDING, CHARGED, OIML

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from datetime import datetime
    from decimal import Decimal

    from steepboard.services.desk import Desk
    from steepboard.services.losses import By, Group, Strained

T = TypeVar("T")
_SHOWN = 8  # jars or lines that an answer names; assumed, as many as one reads through
_MASSES = "masses add up, and volumes follow by the density of what came out"
_HERE = "measured here"
_RANGE = "assumed: a range of 80 % should hold 8 times in 10; see expected and range of the jar"
_MEAN = "The mean over its jars, each counted alike, of "


def of_line(desk: Desk, group: Group, by: By) -> tuple[Why, ...]:
    """Return the answers for one line of the table, with the jars that it was put together from."""
    return (
        _jars(group, by),
        *_volumes(group),
        _yield(group),
        *_held_back(desk, group),
        _unaccounted(group),
        _held(group),
        _in_range(group),
    )


def of_all(groups: Sequence[Group], *, advised: bool = True) -> tuple[Why, ...]:
    """Return the answers for the sums over all lines, and for what to change where it is said."""
    if not groups:
        return ()
    count, held = sum(g.count for g in groups), sum(g.as_expected for g in groups)
    return (
        _sum("bottled", groups, lambda one: one.recovered_ml),
        _sum("expected", groups, lambda one: one.expected_ml),
        Why(
            "in range in all",
            f"{held} of {count}",
            "All lines together; of ranges that are honest 8 in 10 hold, in the long run.",
            _RANGE,
            _named(
                groups,
                lambda one: Input(
                    one.name, f"{one.as_expected} of {one.count}", "see in range of its line"
                ),
                lambda rest: f"{sum(g.as_expected for g in rest)} of {sum(g.count for g in rest)}",
            ),
        ),
        *(_advice(sentence) for sentence in what_to_change(groups) if advised),
    )


def of_money(desk: Desk, found: Iterable[Strained], now: datetime) -> Why | None:
    """Return the money that marc held within a year; None without a currency or any of it."""
    code = desk.settings.money.currency
    marcs = costs.marcs(desk, found, now) if code else ()
    total = costs.together(marcs)
    if not total:
        return None
    unpriced = dict.fromkeys(name for one in marcs for name in one.unpriced)

    def told(amount: Decimal) -> str:
        return money.shown(amount, code)

    return Why(
        "money in marc",
        told(total),
        "Of each jar bottled within a year, what was poured by its price when it was charged, "
        "times the share of the liquid that its marc held."
        + (f" Without a price, and left out: {', '.join(unpriced)}." if unpriced else ""),
        "given by you, the prices; for the shares see marc",
        _named(
            [one for one in marcs if one.amount],
            lambda one: Input(
                one.code,
                f"{told(one.amount)}, {percent(one.share)} of {told(one.spirit)}",
                "worked out: your price, and its marc",
            ),
            lambda rest: told(costs.together(rest)),
        ),
    )


def _sum(column: str, groups: Sequence[Group], of: Callable[[Group], float]) -> Why:
    return Why(
        f"{column} in all",
        f"{sum(map(of, groups)) / 1e3:.2f} L",
        "All lines together.",
        _MASSES,
        _named(
            groups,
            lambda one: Input(one.name, _ml(of(one)), f"see {column} of its line"),
            lambda rest: _ml(sum(map(of, rest))),
        ),
    )


def _jars(group: Group, by: By) -> Why:
    return Why(
        "jars",
        f"{group.count} of {group.name}",
        f"Strainings that were measured and bottled, put together by {by.value}.",
        "as it was read",
        _named(
            group.members,
            lambda one: Input(one.jar.code, one.jar.name, "as it was read"),
            lambda _: "bottled before them",
        ),
    )


def _volumes(group: Group) -> tuple[Why, ...]:
    every = group.members
    return (
        Why(
            "poured",
            _ml(group.poured_ml),
            "Spirit and rinses that were poured on the botanicals, the spirit mixed and at 20 °C, "
            "added up.",
            ADDING,
            _each(every, lambda one: one.poured_ml, _ml, sum, lambda _: CHARGED),
        ),
        Why(
            "bottled",
            _ml(group.recovered_ml),
            "What came out of each jar, in mL at 20 °C, added up.",
            _MASSES,
            _each(every, lambda one: one.recovered_ml, _ml, sum, _recovered),
        ),
        Why(
            "expected",
            _ml(group.expected_ml),
            "What each jar was expected to bottle, by what was known when it was charged, and "
            "what a rinse brought on top, added up.",
            "what goes in comes out or stays behind",
            _each(
                every,
                lambda one: one.expected_ml,
                _ml,
                sum,
                lambda one: f"see expected of {one.jar.code}",
            ),
        ),
    )


def _yield(group: Group) -> Why:
    return Why(
        "yield",
        percent(group.yield_fraction),
        f"{_MEAN}what came out of what was poured, rinses too, both in mL at 20 °C.",
        OIML,
        _each(group.members, lambda one: one.shares.yield_fraction, percent, fmean, _recovered),
    )


def _held_back(desk: Desk, group: Group) -> tuple[Why, ...]:
    every = group.members
    return (
        Why(
            "marc",
            percent(group.marc_share),
            f"{_MEAN}what the marc held, as a share of the liquid's mass: the wet marc less what "
            "cannot dissolve. Where it was not weighed, what such solids usually hold.",
            _MASSES,
            _each(every, lambda one: one.shares.marc, percent, fmean, lambda o: _marc(desk, o)),
        ),
        Why(
            "filter",
            percent(group.filter_share),
            f"{_MEAN}what the filter held, as a share of the liquid's mass: after, less before. "
            "Where it was not weighed, what filter and vessel usually keep.",
            _MASSES,
            _each(every, lambda one: one.shares.filter, percent, fmean, lambda o: _kept(desk, o)),
        ),
    )


def _unaccounted(group: Group) -> Why:
    return Why(
        "unacc.",
        percent(group.unaccounted_share),
        f"{_MEAN}what is left of the liquid's mass after all that came out, was held, taken or "
        "left elsewhere. Below zero more came out than went in.",
        _MASSES,
        _each(
            group.members,
            lambda one: one.shares.unaccounted,
            percent,
            fmean,
            lambda one: f"see unaccounted of {one.jar.code}",
        ),
    )


def _held(group: Group) -> Why:
    weighed = [one for one in group.members if one.held_per_dry_g_ml is not None]
    held = group.held_per_dry_g_ml
    return Why(
        "mL/g",
        "not measured" if held is None else f"{held:.2f} mL",
        "No marc of it was weighed."
        if held is None
        else f"{_MEAN}what a dry gram held; only those whose marc was weighed count.",
        _MASSES,
        _each(
            weighed, lambda one: one.held_per_dry_g_ml or 0.0, "{:.2f} mL".format, fmean, _weighed
        ),
    )


def _in_range(group: Group) -> Why:
    def told(one: Strained) -> Input:
        low_ml, high_ml = one.expected.low_ml, one.expected.high_ml
        within = "within" if one.as_expected else "outside"
        amount = f"{_ml(one.without_rinse_ml)}, {within} {low_ml:.0f} to {high_ml:.0f}"
        return Input(one.jar.code, amount, f"see range of {one.jar.code}")

    return Why(
        "in range",
        f"{group.as_expected} of {group.count}",
        "Jars that bottled a volume within the range they were held to since they were charged; "
        "what a rinse brought is left out.",
        _RANGE,
        _named(
            group.members,
            told,
            lambda rest: f"{sum(one.as_expected for one in rest)} of {len(rest)} within",
        ),
    )


def _advice(sentence: str) -> Why:
    return Why(
        "what to change",
        sentence,
        "Of the line whose marc held the most mL, unless its filter held more. Then of what does "
        "not add up by over 4 %, or of ranges of which fewer than 6 in 10 held, from 5 jars on.",
        "assumed; that a balance should close to 2 % is common practice, no source",
    )


def _recovered(one: Strained) -> str:
    by_scale = _where_read(one, Measure.RECOVERED_MASS)
    return by_scale or _where_read(one, Measure.RECOVERED) or f"{_HERE}, by stages"


def _weighed(one: Strained) -> str:
    return _where_read(one, Measure.MARC)


def _marc(desk: Desk, one: Strained) -> str:
    charge, library = one.jar.charge, desk.library_for(one.jar)
    usual = dict.fromkeys(
        material.held_of(line, charge.separation, charge.held_ml_per_g, library)[1].source
        for line in charge.botanicals
    )
    return _weighed(one) or f"assumed, not weighed: {'; '.join(usual)}"


def _kept(desk: Desk, one: Strained) -> str:
    read = _where_read(one, Measure.FILTER_BEFORE, Measure.FILTER_AFTER)
    kept = material.kept_of(one.jar.charge.kept_ml, desk.settings)
    nothing = "as it was read: it did not go through a filter"
    return read or (f"assumed, not weighed: {kept.source}" if one.shares.filter else nothing)


def _where_read(one: Strained, *measures: Measure) -> str:
    """Return how these were read; nothing where one of them was not."""
    read = [one.jar.reading(measure) for measure in measures]
    told = [f"{r.measure.value} {shown(r.measure, r.value)}" for r in read if r]
    return f"{_HERE}: {', '.join(told)}" if all(read) else ""


def _each(
    members: Sequence[Strained],
    figure: Callable[[Strained], float],
    told: Callable[[float], str],
    together: Callable[[Iterable[float]], float],
    source: Callable[[Strained], str],
) -> tuple[Input, ...]:
    """Return a figure of each jar; those that are too many stand together, by sum or mean."""
    return _named(
        members,
        lambda one: Input(one.jar.code, told(figure(one)), source(one)),
        lambda rest: told(together(map(figure, rest))),
    )


def _named(
    every: Sequence[T], told: Callable[[T], Input], together: Callable[[Sequence[T]], str]
) -> tuple[Input, ...]:
    named, rest = every[:_SHOWN], every[_SHOWN:]
    more = Input(f"{len(rest)} more", together(rest), "worked out: together") if rest else None
    return (*map(told, named), *((more,) if more else ()))


def _ml(ml: float) -> str:
    return f"{ml:.0f} mL"
