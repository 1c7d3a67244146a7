"""The lists of a shelf as CSV (RFC 4180), for spreadsheets."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from steepboard.services import bottle_shelf, losses, stock, views
from steepboard.services.exchange import flat
from steepboard.services.exchange.cells import line
from steepboard.services.exchange.kept import KEPT
from steepboard.store import exchange

if TYPE_CHECKING:
    from collections.abc import Callable, Generator, Iterator, Mapping

    from steepboard.services.desk import Desk


def names() -> tuple[str, ...]:
    """Return the names of the lists: what follows, what is kept, and those of the whole shelf."""
    return tuple(dict.fromkeys((*_OURS, *KEPT, *(table.name for table in flat.TABLES))))


def csv_lines(desk: Desk, name: str, now: datetime) -> Generator[str]:
    """Yield a list as it stands now, line by line, its heads first."""
    with exchange.at_one_moment(desk.store):
        if name in _OURS:
            heads, rows = _OURS[name]
            yield line(heads.split())
            yield from map(line, rows(desk, now))
        elif name in KEPT:
            kept = KEPT[name](desk, now)
            yield line(kept.columns)
            for told in kept.rows():
                yield line(told[head] for head in kept.columns)
        else:
            table = next(table for table in flat.TABLES if table.name == name)
            yield from map(line, flat.rows(desk, table))


def _jars(desk: Desk, _now: datetime) -> Iterator[list[object]]:
    for jar in views.all_jars(desk):
        charge = jar.charge
        yield [
            jar.code,
            jar.name,
            jar.state.value,
            _on(desk, jar.charged_at),
            jar.strain_on.isoformat(),
            _on(desk, jar.strained_at),
            _on(desk, jar.bottled_at),
            ", ".join(line.name for line in charge.botanicals),
            sum(line.mass_g for line in charge.botanicals),
            ", ".join(line.name for line in charge.spirits),
            sum(line.volume_ml for line in charge.spirits),
            charge.separation.value,
        ]


def _strainings(desk: Desk, _now: datetime) -> Iterator[list[object]]:
    for one in losses.strained(desk):
        shares, expected = one.shares, one.expected
        yield [
            one.jar.code,
            one.jar.name,
            _on(desk, one.jar.bottled_at),
            one.poured_ml,
            one.recovered_ml,
            expected.expected_ml,
            expected.low_ml,
            expected.high_ml,
            shares.yield_fraction,
            shares.marc,
            shares.filter,
            shares.unaccounted,
            shares.held_per_dry_g_ml,
        ]


def _bottles(desk: Desk, _now: datetime) -> Iterator[list[object]]:
    for one in bottle_shelf.bottles(desk, ended=True):
        yield [
            one.code,
            one.tag.name,
            one.tag.batch,
            one.state.value,
            one.size_ml,
            _on(desk, one.filled_at),
            one.filled_ml,
            one.left_ml,
            one.left_u_ml,
            one.liquid.strength,
            one.liquid.strength_u,
            one.liquid.dissolved_g_ml,
            one.liquid.intensity,
            _on(desk, one.counted_at),
            _on(desk, one.ended_at),
        ]


def _draws(desk: Desk, _now: datetime) -> Iterator[list[object]]:
    known = {one.tag.id: one for one in bottle_shelf.bottles(desk, ended=True)}
    for entry in bottle_shelf.draws(desk, datetime.fromtimestamp(0, UTC)):
        one = known[entry.bottle_id]
        yield [
            entry.at.astimezone(desk.zone).isoformat(timespec="seconds"),
            one.code,
            one.tag.name,
            entry.purpose.value if entry.purpose else None,
            entry.volume.value if entry.volume else None,
            entry.typed,
            entry.tool,
            entry.initials,
            entry.note,
        ]


def _stock(desk: Desk, now: datetime) -> Iterator[list[object]]:
    for one in stock.stock(desk, now):
        gone = one.run_out
        yield [
            one.name,
            one.left_ml,
            one.left_u_ml,
            one.par_ml,
            sum(each.volume_ml for each in one.coming),
            one.use.ml_per_week if one.use else None,
            gone.early if gone else None,
            gone.middle if gone else None,
            gone.late if gone else None,
            one.start.day.isoformat() if one.start else None,
        ]


def _on(desk: Desk, at: datetime | None) -> str | None:
    return desk.day(at).isoformat() if at else None


_OURS: Mapping[str, tuple[str, Callable[[Desk, datetime], Iterator[list[object]]]]] = {
    "jars": (
        (
            "code name state charged_on strain_on strained_on bottled_on botanicals botanical_g "
            "spirits poured_ml separation"
        ),
        _jars,
    ),
    "strainings": (
        (
            "code name bottled_on poured_ml recovered_ml expected_ml low_ml high_ml "
            "yield_fraction marc_fraction filter_fraction unaccounted_fraction held_per_dry_g_ml"
        ),
        _strainings,
    ),
    "bottles": (
        (
            "code name batch state size_ml filled_on filled_ml left_ml left_u_ml strength "
            "strength_u dissolved_g_ml intensity counted_on ended_on"
        ),
        _bottles,
    ),
    "draws": (
        "at bottle name purpose volume_ml typed tool by note",
        _draws,
    ),
    "stock": (
        (
            "name left_ml left_u_ml least_ml coming_ml used_ml_per_week gone_early_days gone_days "
            "gone_late_days start_by"
        ),
        _stock,
    ),
}
"""Lists with what follows from the record, and their heads; undone acts are left out of them."""
