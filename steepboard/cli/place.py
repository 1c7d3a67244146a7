"""Where a command works: at which shelf, in whose name, by which clock and zone."""

from __future__ import annotations

import contextlib
import os
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, tzinfo
from functools import cached_property

import click

from steepboard import paths
from steepboard.cli.render import say
from steepboard.domain.records import Source
from steepboard.errors import BadSettings
from steepboard.paths import Home
from steepboard.services.desk import Desk
from steepboard.settings import Settings, load
from steepboard.store.connect import Store
from steepboard.text import clean

_ZONE_FILES = ("/etc/localtime", "/etc/timezone")
LONGEST_INITIALS = 8  # characters, as the record keeps them


@dataclass(frozen=True)
class Place:
    """A shelf, who acts there, and what time it is."""

    home: Home
    by: str | None
    clock: Callable[[], datetime]

    @classmethod
    def of(cls, home: str | None, by: str | None, clock: Callable[[], datetime]) -> Place:
        """Return the place that the options name; raises UsageError for initials too long."""
        initials = clean(by) if by else None
        if initials and len(initials) > LONGEST_INITIALS:
            raise click.BadParameter(f"at most {LONGEST_INITIALS} characters", param_hint="--by")
        return cls(paths.home(home, os.environ), initials, clock)

    @cached_property
    def settings(self) -> Settings:
        """The settings of this shelf."""
        return load(self.home.settings)

    @cached_property
    def zone(self) -> tzinfo:
        """The zone of the settings, or of this machine; UTC, and said, where it tells none."""
        return zone_of(self.settings)

    @property
    def now(self) -> datetime:
        """The time, in UTC."""
        return self.clock()

    @contextlib.contextmanager
    def desk(self, source: Source = Source.COMMAND) -> Iterator[Desk]:
        """Open the record for as long as a command works at it."""
        settings, zone = self.settings, self.zone
        store = Store(self.home.make().record)
        try:
            yield Desk(store, zone, settings, source, self._initials())
        finally:
            store.close()

    def renewal(self) -> Callable[[Desk], Desk]:
        """Return a function that brings a desk up to date with settings and zone of the machine.

        It returns the same desk where nothing changed, and is cheap then. It raises BadSettings
        once for settings that cannot be read; until they are mended, the former ones hold.
        """
        seen = self._signs()

        def renew(desk: Desk) -> Desk:
            nonlocal seen
            before, seen = seen, self._signs()
            if seen == before:
                return desk
            settings = load(self.home.settings)
            return replace(desk, settings=settings, zone=zone_of(settings))

        return renew

    def _signs(self) -> tuple[tuple[int, int, int] | None, ...]:
        """Return what differs once settings or the zone of the machine were changed."""
        return tuple(map(_sign, (str(self.home.settings), *_ZONE_FILES)))

    def moved(self, home: Home) -> Place:
        """Return the same person at another shelf."""
        return replace(self, home=home)

    def _initials(self) -> str:
        initials = self.by or self.settings.person.initials
        if len(initials) > LONGEST_INITIALS:
            raise BadSettings(
                f"{self.home.settings}: person.initials has more than {LONGEST_INITIALS} letters."
            )
        return initials or _login_initials()


def zone_of(settings: Settings) -> tzinfo:
    """Return the zone of the settings, or of this machine; UTC, and said, where it tells none."""
    from zoneinfo import ZoneInfo

    named = settings.clock.zone
    return ZoneInfo(named) if named else _zone_of_machine()


def _sign(path: str) -> tuple[int, int, int] | None:
    try:
        # Of the link, not of what it points to: a zone is changed by pointing it elsewhere.
        found = os.lstat(path)
    except OSError:
        return None
    return found.st_ino, found.st_mtime_ns, found.st_size


def _login_initials() -> str:
    """Return the first letters of the login name: KL for k.lang, KA for karin."""
    import getpass

    try:
        words = re.findall(r"[^\W\d_]+", getpass.getuser())
    except (KeyError, OSError, ImportError):  # a machine that does not know its user
        words = []
    first = "".join(word[0] for word in words) if len(words) > 1 else "".join(words)[:2]
    return first.upper()[:3]


def _zone_of_machine() -> tzinfo:
    import warnings

    import tzlocal

    with warnings.catch_warnings(record=True) as heard:
        warnings.simplefilter("always")
        try:
            zone: tzinfo = tzlocal.reload_localzone()  # it may have changed since the last time
        except (LookupError, ValueError, OSError) as fault:
            return _utc(str(fault.args[0] if fault.args else fault))
    missing = [str(warning.message) for warning in heard if "defaulting" in str(warning.message)]
    return _utc(missing[0]) if missing else zone


def _utc(why: str) -> tzinfo:
    say(
        f"This machine tells no time zone ({why}): times are in UTC. "
        "Set clock.zone in settings.toml.",
        to_stderr=True,
    )
    return UTC
