"""What the calendar file last said, so that it can say that something changed or is gone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from steepboard.store.rows import instant, stamp

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from sqlite_utils import Database

    from steepboard.store.connect import Store


@dataclass(frozen=True, slots=True)
class Published:
    """One event as it was last published."""

    uid: str
    sequence: int
    content: str
    gone_at: datetime | None = None
    """Since when it is published as cancelled."""


def everything(store: Store) -> tuple[Published, ...]:
    """Return all that was published, by uid."""
    return tuple(
        Published(
            row["uid"],
            row["sequence"],
            row["content"],
            instant(row["gone_at"]) if row["gone_at"] else None,
        )
        for row in store.rows("select * from published order by uid")
    )


def keep(db: Database, rows: Iterable[Published]) -> None:
    """Keep what is published from now on; inside `Store.writing()`."""
    db.table("published").upsert_all(
        (
            {
                "uid": row.uid,
                "sequence": row.sequence,
                "content": row.content,
                "gone_at": stamp(row.gone_at) if row.gone_at else None,
            }
            for row in rows
        ),
        pk="uid",
    )


def forget(db: Database, before: datetime) -> None:
    """Forget what was gone before an instant; inside `Store.writing()`."""
    db.execute("delete from published where gone_at < ?", [stamp(before)])
