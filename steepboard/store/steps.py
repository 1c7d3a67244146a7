"""The schema, step by step. Steps are appended and never edited: people's records outlive us.

A step is a function of the database; its name is its identity.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.store.checks import DAY, STAMP
from steepboard.store.script import run
from steepboard.store.steps_bottles import m006_bottles
from steepboard.store.steps_house import m007_house, m010_untasted
from steepboard.store.steps_own import m009_believed, m011_all_of_a_botanical
from steepboard.store.steps_said import m012_said
from steepboard.store.steps_stock import m008_stock

if TYPE_CHECKING:
    from sqlite_utils import Database


def m001_shelf(db: Database) -> None:
    """Jars, their diary with charges and readings, wizard drafts, and what was delivered."""
    run(
        db,
        f"""
        create table jar(
            id integer primary key,
            code text not null unique check(code glob '[A-Z][A-Z]*-[0-9][0-9]*'),
            name text not null check(length(trim(name)) between 1 and 80)
        ) strict;

        create table entry(
            id integer primary key,
            jar_id integer not null references jar(id),
            act integer not null check(act > 0),
            kind text not null check(kind in ('plan', 'charge', 'stir', 'taste', 'move', 'strain',
                'reading', 'bottle', 'discard', 'undo')),
            at text not null check(at {STAMP}),
            source text not null check(source in ('board', 'command', 'notification')),
            initials text not null check(length(initials) <= 8),
            note text not null default '' check(length(note) <= 500),
            strain_on text check(strain_on {DAY}),
            separation text check(separation in ('drip', 'pressed by hand', 'pressed hard')),
            undoes integer,
            check((kind = 'move') = (strain_on is not null)),
            check((kind = 'strain') = (separation is not null)),
            check((kind = 'undo') = (undoes is not null))
        ) strict;
        create index entry_by_jar on entry(jar_id, act);
        create unique index entry_undone on entry(jar_id, undoes) where undoes is not null;
        create index entry_ended on entry(jar_id) where kind in ('bottle', 'discard');

        create view live as select * from entry e where kind <> 'undo' and not exists(
            select 1 from entry u where u.jar_id = e.jar_id and u.undoes = e.act);

        create table charge(
            entry_id integer primary key references entry(id),
            strain_on text not null check(strain_on {DAY}),
            stir_every_days integer not null check(stir_every_days between 1 and 60),
            separation text not null
                check(separation in ('drip', 'pressed by hand', 'pressed hard')),
            vessel_ml real check(vessel_ml > 0),
            held_ml_per_g real check(held_ml_per_g >= 0),
            kept_ml real check(kept_ml >= 0)
        ) strict;
        create table botanical(
            entry_id integer not null references charge(entry_id),
            position integer not null,
            name text not null check(length(trim(name)) between 1 and 80),
            mass_g real not null check(mass_g > 0),
            typed text not null,
            material_class text not null,
            fresh integer not null check(fresh in (0, 1)),
            catalogue_id text,
            moisture real check(moisture between 0 and 1),
            soluble real check(soluble between 0 and 1),
            primary key(entry_id, position)
        ) strict;
        create table spirit(
            entry_id integer not null references charge(entry_id),
            position integer not null,
            name text not null check(length(trim(name)) between 1 and 80),
            volume_ml real not null check(volume_ml > 0),
            strength real not null check(strength between 0 and 1),
            temperature_c real not null check(temperature_c between -20 and 40),
            typed_volume text not null,
            typed_strength text not null,
            primary key(entry_id, position)
        ) strict;
        create table acknowledged(
            entry_id integer not null references charge(entry_id),
            caution text not null,
            primary key(entry_id, caution)
        ) strict;

        create table reading(
            entry_id integer not null references entry(id),
            measure text not null check(measure in ('drained', 'pressed', 'recovered',
                'recovered mass', 'marc', 'filter before', 'filter after', 'sediment', 'sampled',
                'gross charged', 'gross before straining')),
            value real not null check(value >= 0),
            typed text not null,
            resolution real not null check(resolution >= 0),
            primary key(entry_id, measure)
        ) strict;

        create table draft(
            jar_id integer primary key references jar(id),
            step text not null,
            typed text not null
        ) strict;

        create table delivery(
            key text primary key,
            claimed_at text check(claimed_at {STAMP}),
            delivered_at text check(delivered_at {STAMP})
        ) strict, without rowid;
    """,
    )


def m002_reminders(db: Database) -> None:
    """How jars want to be reminded, *Later*, days away, failed deliveries, published events."""
    clock = "glob '[0-2][0-9]:[0-5][0-9]'"
    run(
        db,
        f"""
        drop view live;
        create table entry_again(
            id integer primary key,
            jar_id integer not null references jar(id),
            act integer not null check(act > 0),
            kind text not null check(kind in ('plan', 'charge', 'stir', 'taste', 'move', 'strain',
                'reading', 'bottle', 'discard', 'remind', 'undo')),
            at text not null check(at {STAMP}),
            source text not null check(source in ('board', 'command', 'notification')),
            initials text not null check(length(initials) <= 8),
            note text not null default '' check(length(note) <= 500),
            strain_on text check(strain_on {DAY}),
            separation text check(separation in ('drip', 'pressed by hand', 'pressed hard')),
            undoes integer,
            check((kind = 'move') = (strain_on is not null)),
            check((kind = 'strain') = (separation is not null)),
            check((kind = 'undo') = (undoes is not null))
        ) strict;
        insert into entry_again select * from entry;
        drop table entry;
        alter table entry_again rename to entry;
        create index entry_by_jar on entry(jar_id, act);
        create unique index entry_undone on entry(jar_id, undoes) where undoes is not null;
        create index entry_ended on entry(jar_id) where kind in ('bottle', 'discard');
        create view live as select * from entry e where kind <> 'undo' and not exists(
            select 1 from entry u where u.jar_id = e.jar_id and u.undoes = e.act);

        -- An index that SQLite cannot keep by itself, so that looking stays quick on a long record.
        create table unfinished(jar_id integer primary key references jar(id)) strict;
        insert into unfinished select id from jar where id not in (
            select jar_id from live where kind in ('bottle', 'discard'));
        create trigger entry_moves_jar after insert on entry
        when new.kind in ('plan', 'charge', 'bottle', 'discard', 'undo') begin
            delete from unfinished where jar_id = new.jar_id;
            insert into unfinished select new.jar_id where not exists(select 1 from live
                where jar_id = new.jar_id and kind in ('bottle', 'discard'));
        end;

        create table habit(
            entry_id integer primary key references entry(id),
            stir_every_days integer check(stir_every_days between 1 and 60),
            stir_at text check(stir_at {clock}),
            taste_from_day integer check(taste_from_day between 1 and 400),
            taste_every_days integer check(taste_every_days between 1 and 60),
            taste_at text check(taste_at {clock}),
            strain_at text check(strain_at {clock}),
            muted_until text check(muted_until {DAY})
        ) strict;
        alter table charge add column taste_from_day integer
            check(taste_from_day between 1 and 400);
        create table snooze(
            jar_id integer not null references jar(id),
            kind text not null
                check(kind in ('strain', 'get-ready', 'start', 'taste', 'stir', 'bottle')),
            until text not null check(until {STAMP}),
            primary key(jar_id, kind)
        ) strict, without rowid;
        create table away(
            id integer primary key check(id = 1),
            first_day text not null check(first_day {DAY}),
            last_day text not null check(last_day {DAY} and last_day >= first_day)
        ) strict;

        alter table delivery add column failed_at text check(failed_at {STAMP});
        alter table delivery add column reason text;
        create index delivery_when on delivery(delivered_at);

        create table shelf(id text not null check(length(id) = 32)) strict;
        insert into shelf values (lower(hex(randomblob(16))));
        create table published(
            uid text primary key,
            sequence integer not null check(sequence >= 0),
            content text not null,
            gone_at text check(gone_at {STAMP})
        ) strict, without rowid;
    """,
    )


def m003_readings(db: Database) -> None:
    """More can be read while straining, with its temperature and the instrument it was read by."""
    run(
        db,
        """
        create table reading_again(
            entry_id integer not null references entry(id),
            measure text not null check(measure in ('drained', 'drained mass', 'pressed',
                'pressed mass', 'filtered', 'filtered mass', 'recovered', 'recovered mass', 'marc',
                'dry marc', 'filter before', 'filter after', 'sediment', 'sampled',
                'gross charged', 'gross before straining', 'hydrometer', 'residue volume',
                'residue', 'wash', 'wash strength', 'washed out')),
            value real not null check(value >= 0),
            typed text not null,
            resolution real not null check(resolution >= 0),
            temperature_c real check(temperature_c between -20 and 40),
            instrument text check(instrument in ('kitchen scale', 'jeweller''s scale', 'cylinder',
                'hydrometer')),
            primary key(entry_id, measure),
            check(measure not in ('hydrometer', 'wash strength') or value <= 1)
        ) strict;
        insert into reading_again(entry_id, measure, value, typed, resolution)
            select entry_id, measure, value, typed, resolution from reading;
        drop table reading;
        alter table reading_again rename to reading;
    """,
    )


def m004_on_screen(db: Database) -> None:
    """Which notices stand on the screen, and by what their notifier knows them again."""
    run(
        db,
        """
        create table on_screen(
            slot text primary key,
            token text not null unique check(token <> ''),
            notice text not null check(notice glob '{*}')
        ) strict, without rowid;
    """,
    )


def m005_materials(db: Database) -> None:
    """Botanicals and spirits of the shelf's own."""
    run(
        db,
        """
        create table own_botanical(
            id text primary key check(length(trim(id)) between 1 and 80),
            name text not null check(length(trim(name)) between 1 and 80),
            material_class text,
            latin text not null check(length(latin) <= 120),
            fresh integer check(fresh in (0, 1)),
            moisture real check(moisture >= 0 and moisture < 1),
            soluble real check(soluble >= 0 and soluble < 1),
            ratio_min real check(ratio_min > 0),
            ratio_max real check(ratio_max > 0 and ratio_max >= ratio_min),
            days_min real check(days_min >= 0),
            days_typical real check(days_typical between 0 and 400),
            days_max real check(days_max between 0 and 400 and days_max >= days_min),
            taste_from_day real check(taste_from_day between 0 and 400),
            cautions text not null check(length(cautions) <= 300),
            preparation text not null check(length(preparation) <= 300)
        ) strict, without rowid;
        create table own_spirit(
            id text primary key check(length(trim(id)) between 1 and 80),
            name text not null check(length(trim(name)) between 1 and 80),
            strength real not null check(strength between 0 and 1),
            note text not null check(length(note) <= 300)
        ) strict, without rowid;
    """,
    )


STEPS = (
    m001_shelf,
    m002_reminders,
    m003_readings,
    m004_on_screen,
    m005_materials,
    m006_bottles,
    m007_house,
    m008_stock,
    m009_believed,
    m010_untasted,
    m011_all_of_a_botanical,
    m012_said,
)
