"""What an undo takes back, said exactly: before it is done and after."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from steepboard.domain.bottles import BottleEntry, BottleKind
from steepboard.domain.costs import Price, Ware
from steepboard.domain.figures import amount, short
from steepboard.domain.records import Entry
from steepboard.domain.said import Said
from steepboard.services import bottle_words, money
from steepboard.services.done_words import DONE
from steepboard.store import bottles, house, stock

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from steepboard.services.desk import Desk
    from steepboard.services.undoing import LastAct

_Row = dict[str, Any]


def told(desk: Desk, last: LastAct) -> tuple[str, str]:
    """Return what an act was, say `CARA-01 stirred`, and all that it wrote down."""
    first, more = last.entries[0], what(desk, last)
    if any(isinstance(entry, Said) for entry in last.entries):
        return more, ""
    bottles_done = {entry.bottle_id for entry in last.entries if isinstance(entry, BottleEntry)}
    others = len(bottles_done) - 1
    code = f"{last.code} and {others} more" if others > 0 else last.code
    if set(last.kinds) == {BottleKind.DRAW}:
        is_listed = isinstance(first, BottleEntry) and bool(stock.list_of(desk.store, first.act))
        return (f"drawn {more}", "") if is_listed else (f"drawn from {code}", more)
    return f"{code} {' and '.join(dict.fromkeys(DONE[kind] for kind in last.kinds))}", more


def what(desk: Desk, last: LastAct) -> str:
    """Return what an act was beside its kind, all of it in one line; nothing for a plain stir."""
    first = last.entries[0]
    mine = [entry for entry in last.entries if isinstance(entry, BottleEntry)]
    if isinstance(first, Said):
        drawn = f" ({_taken(desk, mine)} with it)" if mine else ""
        more = len(last.entries) - 1 if first.kind == "keep" else 0
        of_list = f", and {more} more of one list" if more else ""
        return f"{said_line(desk, first)}{drawn}{of_list}"
    if isinstance(first, Entry):
        notes = (entry.note for entry in last.entries if isinstance(entry, Entry))
        return "; ".join(dict.fromkeys(filter(None, notes)))
    if file := stock.list_of(desk.store, first.act):
        return f"by {file}: {_taken(desk, mine)}"
    return "; ".join(dict.fromkeys(filter(None, map(bottle_words.entry_line, mine))))


def said_line(desk: Desk, said: Said) -> str:
    """Return what the house said: `price of neutral spirit, €18.40 a litre from 2 Mar 2026`."""
    topic = {"par": "least", "trial": "bench trial", "dose": "house dose"}.get(
        said.topic, said.topic
    )
    if said.topic.endswith(" price"):
        topic = "price"
    if said.kind == "forget":
        return f"that no {topic} of {said.name} is kept"
    more = _CONTENTS[said.topic](said, house.content(desk.store, said.id))
    return f"{topic} of {said.name}, {more}" if topic in _OF else f"{topic} {said.name}{more}"


def _taken(desk: Desk, draws: list[BottleEntry]) -> str:
    """Return what was drawn from each bottle in all."""
    codes = {tag.id: tag.code for tag in bottles.tags(desk.store, {e.bottle_id for e in draws})}
    sums: dict[str, float] = {}
    for entry in draws:
        code = codes[entry.bottle_id]
        sums[code] = sums.get(code, 0.0) + (entry.volume.value if entry.volume else 0.0)
    return ", ".join(f"{amount(ml)} mL from {code}" for code, ml in sorted(sums.items()))


def _dose(_said: Said, row: _Row) -> str:
    return f", {row['volume_ml']:.3g} mL of {row['of_name']}"


def _dropper(_said: Said, row: _Row) -> str:
    return f", {row['each_ml']:.3g} mL a {row['tool']}: {row['how']}"


def _trial(said: Said, row: _Row) -> str:
    if said.kind == "keep":
        return f", begun in {row['base']}"
    if said.kind == "end":
        return ", that it is done"
    if "verdict" not in row and row["added_ml"] is None:
        return f", a remark: {row['remark']}"
    told = (row["typed"], row.get("verdict", "not tasted yet"), row["remark"])
    return f", {'a step' if said.kind == 'step' else 'tasted again'}: " + ", ".join(
        filter(None, told)
    )


def _formula(_said: Said, row: _Row) -> str:
    return f", in {row['base']}"


def _par(_said: Said, row: _Row) -> str:
    return f"{short(row['volume_ml'])} mL" if row["volume_ml"] else "not made again"


def _price(said: Said, row: _Row) -> str:
    ware, day = Ware(said.topic.removesuffix(" price")), date.fromisoformat(row["from_day"])
    return money.told(Price(ware, said.name, day, Decimal(row["amount"]), row["currency"]))


_OF = ("least", "price")
_CONTENTS: Mapping[str, Callable[[Said, _Row], str]] = {
    "dose": _dose,
    "dropper": _dropper,
    "trial": _trial,
    "formula": _formula,
    "par": _par,
    "spirit price": _price,
    "botanical price": _price,
}
