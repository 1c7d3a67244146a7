"""A shelf on which everything was done that can be done, in one order or in any."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from datetime import time, timedelta
from decimal import Decimal

from steepboard.domain.base import Base
from steepboard.domain.bench import Verdict
from steepboard.domain.bottles import BottleKind, Purpose
from steepboard.domain.costs import Ware
from steepboard.domain.dosing import Tool
from steepboard.domain.own import OwnBotanical, said
from steepboard.domain.records import Habit, Instrument, Measure, Reading, Separation
from steepboard.errors import SteepboardError
from steepboard.services import (
    acts,
    bench,
    bottle_shelf,
    bottles,
    bottling,
    costs,
    doses,
    droppers,
    formulas,
    house,
    losses,
    materials,
    reminder_acts,
    sold,
    stock,
    undoing,
    views,
)
from steepboard.services.bottles import Drawn
from steepboard.services.bottling import Fill, Part
from steepboard.services.reminder_acts import Later
from steepboard.services.rhythms import series_of
from steepboard.store import deliveries, jars, own, prices
from steepboard.store import house as house_store
from tests.bottled import full, mls
from tests.shelves import MORNING, order, spirit

HOUR = timedelta(hours=1)
MINT = said(
    material_class="leaf",
    latin="Mentha",
    fresh=True,
    moisture=(0.8, 0.86),
    soluble=(0.2, 0.3),
    ratio=(3.0, 6.0),
    days=(0.05, 1.0),
    days_typical=0.25,
    taste_from_day=0.05,
    cautions=("PREG", "DAISY"),
    preparation="Tear the leaves.",
    aliases=("platform mint", "bank; mint"),
    part="leaf",
    form="fresh",
    strength=(0.45, 0.6),
    pungency=1,
    bitterness=0,
    allergens=("celery", "brazil nut"),
    use="with care",
    fresh_soft=True,
    fresh_note="Take it the same day.",
)
DRINK = Base("Milk train", 150.0, 0.2, 30.0)


def readings(which, at):
    """Return a reading of each measure of a list, as an instrument would tell it."""
    return tuple(
        Reading(
            measure,
            0.375 if measure.unit == "fraction" else 10.1 + n,
            f"{n} read",
            0.1,
            at,
            18.5 if measure is Measure.HYDROMETER else None,
            [None, *Instrument][n % 5],
        )
        for n, measure in enumerate(which)
    )


def code(desk, n):
    """Return the code of one of the jars, any of them in turn."""
    found = sorted(jar.code for jar in views.all_jars(desk))
    return found[n % len(found)] if found else "NONE-01"


def bottle(desk, n):
    """Return the code of one of the bottles that stand."""
    found = bottle_shelf.bottles(desk)
    return found[n % len(found)].code if found else "NONE-01-A"


def charge(desk, n, text, at):
    name = ("caraway", "fennel", "bitter orange peel", text)[n % 4]
    made = order(name, 20.0 + n / 7, days=n % 9 + 1, kept_ml=(None, 3.3)[n % 2])
    made = replace(made, acknowledged=("FLAM", "ALLERGEN_EU")[: n % 3])
    made = replace(made, spirits=(spirit(250.0 + n / 3), spirit(50.0, 0.0, text)))
    (acts.plan if n % 5 == 0 else acts.charge)(desk, made, at)


def strain(desk, n, text, at):
    read = readings([m for k, m in enumerate(Measure) if n % 3 == 0 or k % (n % 3 + 1) == 0], at)
    acts.strain(
        desk, code(desk, n), read, at, separation=[None, *Separation][n % 4], bottled=n % 2 == 0
    )


def keep_materials(desk, n, text, at):
    materials.keep_spirit(desk, f"cellar {n} {text}", 0.1 + n / 1e4, text)
    one = OwnBotanical("", "", "leaf", latin=text, moisture=0.125, ratio_min=5.0, ratio_max=8.5)
    materials.keep_botanical(desk, f"sweet gale {n % 3}", one, at)
    told = OwnBotanical(
        "", "", moisture=0.1 + n / 1e3, cautions=("ALLERGEN_EU", "ALLERGEN_US"), fresh=n % 2 == 0
    )
    materials.keep_botanical(desk, "caraway", told, at)
    materials.keep_botanical(desk, "signal box mint", replace(MINT, note=text), at)


def blend(desk, n, text, at):
    parts = [Part(mls(5.5), bottle(desk, n + k)) for k in range(2)]
    bottling.combine(desk, [*parts, Part(mls(3), text, 0.4)], 50.0, at, name=text, sure=True)


def end(desk, n, text, at):
    how = (BottleKind.BREAK, BottleKind.DISCARD, BottleKind.USE_UP)[n % 3]
    bottles.end(desk, bottle(desk, n), how, text, at)


def try_at_bench(desk, n, text, at):
    droppers.count(desk, f"bulb {n % 2}", Tool.DROP, 80, mls(2.0, 0.1), 0.45, at)
    trial = bench.start(
        desk, bottle(desk, n), DRINK, at, sample_u_ml=0.6, dropper=f"bulb {n % 2}", sip_ml=0.5
    ).trial.code
    for typed, verdict in (("2 drops", Verdict.LITTLE), ("3 drops", Verdict.RIGHT)):
        bench.add(desk, trial, typed, verdict, at, remark=text)
    bench.taste_again(desk, trial, 2, Verdict.MUCH, at + HOUR, remark=text)
    formulas.keep(desk, f"Night train {n % 2}", [trial], at + HOUR, note=text)
    bench.put_in(desk, trial, "1 drop", at + HOUR)
    bench.remark(desk, trial, text, at + HOUR)
    bench.end(desk, trial, at + HOUR)


def keep_dose(desk, n, text, at):
    drink = DRINK if n % 2 else None
    doses.keep(desk, f"Sleeper {n % 2}", 1.5, bottle(desk, n), text, at, drink=drink)


def sell(desk, n, text, at):
    head = ",".join(sold.COLUMNS)
    list_ = f"{head}\n{desk.day(at)},Sleeper 0,{n % 4 + 1}\n"
    sold.sold(desk, f"{text}.csv", list_.encode(), at, known_only=True)


def price(desk, n, text, at):
    euros = replace(desk.settings, money=replace(desk.settings.money, currency="EUR"))
    ware = (Ware.SPIRIT, Ware.BOTANICAL)[n % 2]
    costs.keep_price(replace(desk, settings=euros), ware, text, Decimal(n) + Decimal("0.05"), at)


def par(desk, n, text, at):
    stock.set_par(desk, "caraway", 100.5 + n, at)


ACTS = (
    charge,
    lambda desk, n, text, at: charge(desk, n + 1, text, at),
    lambda desk, n, text, at: charge(desk, 5 * n, text, at),
    lambda desk, n, text, at: acts.charge_planned(desk, code(desk, n), at),
    lambda desk, n, text, at: acts.stir(desk, (code(desk, n),), at),
    lambda desk, n, text, at: acts.taste(desk, code(desk, n), text, at),
    lambda desk, n, text, at: acts.move(
        desk, code(desk, n), desk.day(at) + timedelta(days=n % 7), text, at
    ),
    lambda desk, n, text, at: reminder_acts.remind(
        desk, code(desk, n), Habit(n % 5 + 1, time(8, 30), taste_at=time(17)), at
    ),
    lambda desk, n, text, at: reminder_acts.later(
        desk, code(desk, n), Later.HOUR, at + timedelta(days=1)
    ),
    strain,
    lambda desk, n, text, at: strain(desk, 0, text, at),
    lambda desk, n, text, at: strain(desk, 6 * n + 2, text, at),
    keep_materials,
    lambda desk, n, text, at: bottling.fill(
        desk,
        code(desk, n),
        [full(30.0), Fill(20.0), Fill(10.0, mls(8.3), "8.3 mL")],
        at,
        note=text,
        sure=True,
    ),
    lambda desk, n, text, at: bottles.draw(
        desk, bottle(desk, n), Drawn(mls(0.7, 0.1), text), Purpose.TASTING, at, note=text
    ),
    lambda desk, n, text, at: bottles.count(
        desk, bottle(desk, n), mls(61.2, 0.1), at, empty=mls(40.0, 0.1), sure=True
    ),
    lambda desk, n, text, at: bottles.correct(desk, bottle(desk, n), mls(7.7), text, at),
    lambda desk, n, text, at: bottling.top_up(
        desk, bottle(desk, n), Part(mls(1.0), "water", 0.0), at, sure=True
    ),
    blend,
    keep_dose,
    sell,
    try_at_bench,
    lambda desk, n, text, at: house.undo(desk, "formula", f"Night train {n % 2}", at),
    lambda desk, n, text, at: house.forget(desk, "dropper", f"bulb {n % 2}", at),
    end,
    par,
    price,
    lambda desk, n, text, at: costs.undo_price(
        desk, (Ware.SPIRIT, Ware.BOTANICAL)[n % 2], text, at
    ),
    lambda desk, n, text, at: stock.undo_par(desk, "caraway", at),
    lambda desk, n, text, at: reminder_acts.set_away(
        desk, desk.day(at) + timedelta(days=2), desk.day(at) + timedelta(days=n % 9 + 2), at
    ),
    lambda desk, n, text, at: undoing.undo(desk, None, at),
    lambda desk, n, text, at: undoing.undo(desk, code(desk, n), at),
)


def do(desk, steps):
    """Do what can be done of `steps`, each an act, a number and a text; what is refused is not."""
    desk.store.conn.execute("pragma synchronous = off")
    at = MORNING
    for act, n, text in steps:
        at += timedelta(hours=7, microseconds=n)
        with suppress(SteepboardError):
            act(desk, n, text, at)
    return at


def whole(desk):
    """Do everything, twice and with several jars, so that each table has rows."""
    steps = [(ACTS[0], n, "Tee & Küche") for n in range(6)]
    steps += [(act, n, f"“{n}” =2+3; 茶") for n in (2, 5, 3) for act in ACTS]
    # The others were all taken back.
    return do(desk, [*steps, *((act, 1, "=2+3") for act in (price, par, try_at_bench))])


def what_it_tells(desk, now):
    """Return the jars, the bottles, their balances and what is reminded of, as people see them."""
    shown = views.all_jars(desk)
    return {
        "jars": shown,
        "diaries": [views.diary(desk, jar) for jar in shown],
        "bottles": bottle_shelf.bottles(desk, ended=True),
        "strained": list(losses.strained(desk)),
        "reminders": [series_of(desk, jar) for jar in jars.active(desk.store)],
        "put off": deliveries.snoozes(desk.store),
        "wants": views.shelf(desk, now).wants,
        "doses": doses.doses(desk),
        "droppers": droppers.droppers(desk),
        "formulas": formulas.formulas(desk),
        "trials": bench.views(desk, now, ended=True),
        "pars": house_store.pars(desk.store),
        "prices": prices.prices(desk.store, "EUR"),
        "own": (own.botanicals(desk.store), own.spirits(desk.store)),
    }
