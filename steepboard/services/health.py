"""What can be said of a record, whatever condition it is in; nothing of it is changed."""

from __future__ import annotations

import os
import shlex
import shutil
import sqlite3
import stat
from contextlib import closing
from dataclasses import dataclass
from enum import StrEnum

from steepboard.catalogue.books import Books
from steepboard.catalogue.library import Library
from steepboard.errors import BadCatalogue, FontUnusable, RecordUnusable, TooNew
from steepboard.paths import Home
from steepboard.printing import fonts as printing
from steepboard.store import looking, own
from steepboard.store.looking import Looker

_LITTLE_BYTES = 100_000_000  # assumed: years of a bar take a few million bytes
_TOO_LITTLE_BYTES = 5_000_000  # assumed: a copy before an update, and some months


class State(StrEnum):
    """How something stands."""

    FINE = "fine"
    MIND = "mind"
    """It works, or cannot be known, and wants a look."""
    BROKEN = "broken"


@dataclass(frozen=True, slots=True)
class Health:
    """How one thing stands, in a plain sentence, and what to do where it is not fine."""

    check: str
    state: State
    told: str
    advice: str = ""


def catalogue(home: Home) -> Health:
    """Tell whether the files of one's own botanicals, spirits and contents can be used."""
    files = sorted(path.name for path in (home.root / own.FOLDER).glob("*.csv"))
    if not files:
        told = "The shipped botanicals and spirits hold: there are no files of your own."
        return Health("catalogue", State.FINE, told)
    try:
        books = Books(home.root / own.FOLDER)
        Library(books).check()
        books.contents  # noqa: B018 - read for its faults
    except BadCatalogue as fault:
        return Health("catalogue", State.BROKEN, str(fault), "Mend that, or take the file away.")
    return Health("catalogue", State.FINE, f"Your own {', '.join(files)} can be used.")


def fonts(own: str) -> Health:
    """Tell whether labels in other letters than those of Latin-1 can be printed.

    `own` is the file of a font from the settings, or empty.
    """
    check = "fonts"
    try:
        found = printing.at_hand(own)
    except FontUnusable as fault:
        advice = "Until then no label, tape or batch record is printed."
        return Health(check, State.BROKEN, str(fault), advice)
    if not found:
        told = "Labels print the letters of western Europe only: there is no font for others."
        return Health(check, State.MIND, told, printing.ADVICE)
    names = ", ".join(font.family for font in found)
    return Health(check, State.FINE, f"Labels in other alphabets print in {names}.")


def database(home: Home) -> Health:
    """Tell whether the record can be read and written."""
    path = home.record
    if not path.exists():
        return Health(
            "database",
            State.MIND,
            f"There is no shelf yet in {home.root}.",
            "Charge a jar, or give --home where your shelf is elsewhere.",
        )
    try:
        Looker(path).close()
        looking.try_to_write(path)
    except (RecordUnusable, sqlite3.Error) as fault:
        cause = fault if isinstance(fault, sqlite3.Error) else fault.__cause__
        return Health("database", State.BROKEN, *_refusal(home, cause))
    return Health("database", State.FINE, f"{path} can be read and written.")


def integrity(home: Home) -> Health:
    """Tell whether the file is sound and its parts fit together."""
    if not home.record.exists():
        return no_shelf("integrity")
    try:
        with closing(Looker(home.record)) as store:
            found = looking.damage(store)
    except RecordUnusable as fault:
        if not _is_damage(fault.__cause__):
            return unreadable("integrity")
        found = str(fault.__cause__)
        if _code(fault.__cause__) == sqlite3.SQLITE_NOTADB:
            return Health("integrity", State.BROKEN, "The record is damaged.", "See database.")
    if found:
        return Health("integrity", State.BROKEN, f"The record is damaged: {found}.", _mending(home))
    return Health("integrity", State.FINE, "The record is sound.")


def schema(home: Home) -> Health:
    """Tell whether this version of the program knows the record."""
    if not home.record.exists():
        return no_shelf("schema")
    try:
        with closing(Looker(home.record)) as store:
            behind = looking.behind(store)
    except TooNew as fault:
        told, _, advice = str(fault).partition(". ")
        return Health("schema", State.BROKEN, f"{told}.", advice)
    except RecordUnusable:
        return unreadable("schema")
    if behind:
        return Health(
            "schema",
            State.MIND,
            "The record is of an older Steepboard.",
            "Use any other command: it copies the record, then brings it up to date.",
        )
    return Health("schema", State.FINE, "The record is of this version of Steepboard.")


def disk(home: Home) -> Health:
    """Tell whether the shelf has room, in a folder that can be written."""
    root = home.root
    if root.exists() and not root.is_dir():
        told, advice = f"{root} is not a folder.", "Move it away, or give --home another folder."
        return Health("disk", State.BROKEN, told, advice)
    if root.exists() and not os.access(root, os.W_OK | os.X_OK):
        told = f"The folder {root} cannot be written: nothing can be kept."
        return Health("disk", State.BROKEN, told, _writable_again(home))
    there = next(folder for folder in (root, *root.parents) if folder.exists())
    free = shutil.disk_usage(there).free
    told = f"{free / 1e9:.1f} GB are free." if free >= 1e9 else f"{free / 1e6:.0f} MB are free."
    if free < _LITTLE_BYTES:
        state = State.BROKEN if free < _TOO_LITTLE_BYTES else State.MIND
        return Health("disk", state, told, f"Make room on the disk of {there}.")
    return Health("disk", State.FINE, told)


def permissions(home: Home) -> Health:
    """Tell who may read the record."""
    if not home.record.exists():
        return no_shelf("permissions")
    found = home.record.stat()
    if found.st_uid != os.geteuid():
        return Health(
            "permissions",
            State.MIND,
            "The record belongs to another user.",
            "Work as that user, or copy the shelf into a folder of your own.",
        )
    if stat.S_IMODE(found.st_mode) & 0o077:
        return Health(
            "permissions",
            State.MIND,
            "Other users of this machine may read the record.",
            f"Run `chmod 600 {shlex.quote(str(home.record))}`.",
        )
    return Health("permissions", State.FINE, "Only you may read the record.")


def no_shelf(check: str) -> Health:
    """Say that there is nothing to look at."""
    return Health(check, State.FINE, "There is no shelf yet.")


def unreadable(check: str) -> Health:
    """Say that something stands in a record that cannot be read."""
    return Health(check, State.MIND, "Not known: the record cannot be read.", "See database.")


def _refusal(home: Home, cause: BaseException | None) -> tuple[str, str]:
    """Return what is wrong with the record, and what to do."""
    match _code(cause):
        case sqlite3.SQLITE_BUSY:
            pid = looking.locked_by(home.record)
            who = f"process {pid}" if pid else "another program"
            return (
                f"The record is locked by {who}: nothing can be written.",
                f"Let {who} finish, or end it. Then run this again.",
            )
        case sqlite3.SQLITE_NOTADB | sqlite3.SQLITE_CORRUPT:
            return f"{home.record} is damaged: it cannot be read.", _mending(home)
        case sqlite3.SQLITE_READONLY | sqlite3.SQLITE_CANTOPEN | sqlite3.SQLITE_PERM:
            return f"{home.record} cannot be written.", _writable_again(home)
        case sqlite3.SQLITE_FULL:
            return "The disk is full: nothing can be written.", "Make room on the disk."
        case _:
            return f"{home.record} cannot be used: {cause}.", "Look at the disk it lies on."


def _code(cause: BaseException | None) -> int:
    return cause.sqlite_errorcode & 0xFF if isinstance(cause, sqlite3.Error) else 0


def _is_damage(cause: BaseException | None) -> bool:
    return _code(cause) in (sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT)


def _mending(home: Home) -> str:
    copies = [*home.root.glob(f"{home.record.name}.before-step-*")]
    newest = max(copies, key=lambda copy: copy.stat().st_mtime, default=None)
    good = f"{newest.name}, the copy from before an update," if newest else "a good copy"
    return (
        f"End the board and the service, move {home.record.name} and the files that begin with "
        f"its name and a hyphen away, and put {good} in its place."
    )


def _writable_again(home: Home) -> str:
    return (
        f"Run `chmod -R u+rwX {shlex.quote(str(home.root))}`. Where that is refused, it belongs to "
        "another user or its disk cannot be written."
    )
