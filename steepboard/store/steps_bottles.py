"""The steps of the schema that bring bottles and what is done with them; see `steps`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.store.checks import DAY, STAMP
from steepboard.store.script import run

if TYPE_CHECKING:
    from sqlite_utils import Database


def m006_bottles(db: Database) -> None:
    """Bottles, their diary with what went into each, the least to stand, and prices."""
    run(
        db,
        f"""
        create table bottle(
            id integer primary key,
            code text not null unique check(code glob '[A-Z][A-Z]*-[0-9][0-9]*-[A-Z]*'),
            batch text not null check(code glob batch || '-[A-Z]*'),
            jar_id integer references jar(id),
            name text not null check(length(trim(name)) between 1 and 80)
        ) strict;
        create index bottle_by_batch on bottle(batch);
        create index bottle_by_jar on bottle(jar_id);

        create table bottle_entry(
            id integer primary key,
            bottle_id integer not null references bottle(id),
            act integer not null check(act > 0),
            kind text not null check(kind in ('fill', 'top up', 'draw', 'count', 'correct',
                'use up', 'break', 'discard', 'undo')),
            at text not null check(at {STAMP}),
            source text not null check(source in ('board', 'command', 'notification')),
            initials text not null check(length(initials) <= 8),
            note text not null default '' check(length(note) <= 500),
            after_entry integer not null check(after_entry >= 0),
            jar_entry integer references entry(id),
            undoes integer,
            size_ml real check(size_ml > 0),
            volume_ml real check(volume_ml >= 0),
            volume_step_ml real check(volume_step_ml >= 0),
            typed text not null default '' check(length(typed) <= 80),
            purpose text check(purpose in ('dose', 'blend', 'tasting', 'spill')),
            tool text not null default '' check(length(tool) <= 80),
            tool_u real not null default 0 check(tool_u between 0 and 1),
            now_g real check(now_g > 0),
            now_step_g real check(now_step_g >= 0),
            empty_g real check(empty_g > 0),
            empty_step_g real check(empty_step_g >= 0),
            full_g real check(full_g > 0),
            full_step_g real check(full_step_g >= 0),
            check((kind = 'undo') = (undoes is not null)),
            check((kind = 'fill') = (size_ml is not null)),
            check((kind = 'draw') = (purpose is not null)),
            check((kind in ('draw', 'correct')) = (volume_ml is not null)),
            check((kind = 'count') = (now_g is not null)),
            check(kind <> 'count' or empty_g is not null or full_g is not null),
            check((volume_ml is null) = (volume_step_ml is null)),
            check((now_g is null) = (now_step_g is null)),
            check((empty_g is null) = (empty_step_g is null)),
            check((full_g is null) = (full_step_g is null))
        ) strict;
        create index bottle_entry_by_bottle on bottle_entry(bottle_id, act);
        create index bottle_entry_by_act on bottle_entry(act);
        create unique index bottle_entry_undone on bottle_entry(bottle_id, undoes)
            where undoes is not null;
        create view bottle_live as select * from bottle_entry e where kind <> 'undo'
            and not exists(select 1 from bottle_entry u
                where u.bottle_id = e.bottle_id and u.undoes = e.act);

        create table poured(
            entry_id integer not null references bottle_entry(id),
            position integer not null,
            volume_ml real not null check(volume_ml > 0),
            volume_step_ml real not null check(volume_step_ml >= 0),
            jar_id integer references jar(id),
            bottle_id integer references bottle(id),
            spirit text check(length(trim(spirit)) between 1 and 80),
            strength real check(strength between 0 and 1),
            primary key(entry_id, position),
            check((jar_id is not null) + (bottle_id is not null) + (spirit is not null) = 1),
            check((spirit is null) = (strength is null))
        ) strict;
        create index poured_by_jar on poured(jar_id);

        create table par(
            name text primary key check(length(trim(name)) between 1 and 80),
            volume_ml real not null check(volume_ml > 0)
        ) strict, without rowid;
        -- Of a litre of spirit, or of a kilogram of botanical; the amount is a decimal as text.
        create table price(
            kind text not null check(kind in ('spirit', 'botanical')),
            name text not null check(length(trim(name)) between 1 and 80),
            from_day text not null check(from_day {DAY}),
            amount text not null check(amount glob '[0-9]*' and not amount glob '*[^0-9.]*'
                and length(amount) <= 20),
            currency text not null check(currency glob '[A-Z][A-Z][A-Z]'),
            primary key(kind, name, from_day)
        ) strict, without rowid;
    """,
    )
