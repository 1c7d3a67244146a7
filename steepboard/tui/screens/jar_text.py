"""The page of one jar, part by part; a part that has nothing to say is empty."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from steepboard.domain.figures import amount, every, one_to, percent
from steepboard.domain.records import Kind, Source, State
from steepboard.services.cautions import titles
from steepboard.services.done_words import DONE
from steepboard.services.straining_result import of_poured
from steepboard.text import visible
from steepboard.tui import words
from steepboard.tui.safe import plain
from steepboard.tui.telling import caution_lines, dose_lines, finding_lines

if TYPE_CHECKING:
    from datetime import date, time, tzinfo

    from steepboard.domain.balance import Balance, Figure
    from steepboard.domain.records import Entry, Jar
    from steepboard.domain.schedule import ReminderKind, Rhythm
    from steepboard.services.details import Details
    from steepboard.services.waiting import Waiting

_FROM = {Source.BOARD: "board", Source.COMMAND: "command line", Source.NOTIFICATION: "reminder"}


def charged(jar: Jar, zone: tzinfo) -> Content:
    """Return what is in the jar and how it is treated."""
    lines = [
        (line.name, _typed(f"{amount(line.mass_g)} g", line.typed))
        for line in jar.charge.botanicals
    ]
    for pour in jar.charge.spirits:
        poured = _typed(f"{amount(pour.volume_ml)} mL", pour.typed_volume)
        strength = f" of {words.percent(pour.strength)}" if pour.strength else ""
        lines.append((pour.name, f"{poured}{strength}"))
    if jar.charged_at:
        lines.append(("charged", words.moment(jar.charged_at, zone)))
    if jar.state not in (State.PLANNED, State.STEEPING):  # of these it stands in how it reminds
        lines.append(("stir", f"every {every(jar.charge.stir_every_days)}"))
    when = words.once_charged(jar, zone) or words.day(jar.strain_on)
    lines.append(("strain", f"{when}, {jar.charge.separation.value}"))
    if jar.charge.vessel_ml:
        lines.append(("holds", f"{amount(jar.charge.vessel_ml)} mL"))
    return _facts(lines)


def worked_out(details: Details) -> Content:
    """Return ratio, strengths and what to expect, with the findings and the dose sums."""
    made, expected = details.liquor, details.expected
    read = made.apparent_strength
    hydrometer = "too dense for a hydrometer to read"
    if read is not None:
        hydrometer = f"{words.percent(read)} is what a hydrometer would read"
    facts = _facts(
        [
            ("ratio", f"{one_to(details.ratio)}; the house ratio is {one_to(details.house_ratio)}"),
            ("intensity", f"{details.intensity:.2g} by rule of thumb: taste first"),
            ("liquor", f"{made.volume_ml:.1f} mL at {made.density_g_ml:.4f} g/mL"),
            ("strength", f"{words.percent(made.true_strength)} by volume"),
            ("", f"{words.percent(made.solids_free_strength)} without what is dissolved in it"),
            ("", hydrometer),
            ("expect", f"{expected.expected_ml:.0f} mL bottled"),
            ("", f"{expected.low_ml:.0f} to {expected.high_ml:.0f} mL eight times in ten"),
        ]
    )
    found = finding_lines(details.findings)
    return Content("\n").join(filter(None, [facts, found, dose_lines(details.doses)]))


def reminds(jar: Jar, rhythm: Rhythm, standing: Waiting, today: date, zone: tzinfo) -> Content:
    """Return how a jar is reminded of, which of that is its own, and what comes next."""
    own, lines = jar.habit, []

    def way(text: str, mine: object) -> str:
        return text if mine is None else f"{text} (its own)"

    def at(wall: time, mine: time | None) -> str:
        return way(f"at {wall:%H:%M}", mine)

    if jar.state is not State.SETTLING:
        stir = way(f"every {every(rhythm.stir_every_days)}", own.stir_every_days)
        first = way(f"from day {rhythm.taste_from_day}", own.taste_from_day)
        taste = way(f"every {every(rhythm.taste_every_days)}", own.taste_every_days)
        lines = [
            ("stir", f"{stir}, {at(rhythm.stir_at, own.stir_at)}"),
            ("taste", f"{first}, {taste}, {at(rhythm.taste_at, own.taste_at)}"),
        ]
    what = "bottle" if jar.state is State.SETTLING else "strain"
    lines.append((what, at(rhythm.strain_at, own.strain_at)))
    if muted := jar.habit.on(today).muted_until:
        lines.append(("quiet", f"until {words.day(muted)}"))
    lines += [
        ("put off", f"{_called(kind)} until {words.moment(when, zone)}")
        for kind, when in standing.put_off
    ]
    lines += [
        ("next" if n == 0 else "", f"{_called(kind)} {words.moment(when, zone)}")
        for n, (kind, when) in enumerate(standing.ahead)
    ]
    return _facts(lines)


def balance(found: Balance) -> Content:
    """Return where the liquor went, each part with its ± and its share."""
    parts = (
        ("in the jar", found.liquor),
        ("rinse", found.rinse),
        ("recovered", found.recovered),
        ("held in the marc", found.held_in_marc),
        ("held in the filter", found.held_in_filter),
        ("sediment", found.sediment),
        ("taken to taste", found.sampled),
        ("evaporated", found.evaporated),
        ("unaccounted", found.unaccounted),
    )
    lines = [_share(label, figure) for label, figure in parts if figure]
    shares = (
        ("yield", found.yield_fraction, found.yield_u, of_poured(found.yield_fraction)),
        ("strength", found.strength, found.strength_u, "by volume"),
    )
    lines += [
        Content.assemble(
            (label.ljust(20), "$secondary"), f"{percent(value):>7} ± {percent(u)} {of}"
        )
        for label, value, u, of in shares
    ]
    guessed = any(figure and figure.estimated for _, figure in parts)
    note = Content.styled(
        f"{'* not weighed, only estimated. ' * guessed}"
        "In 2 of 3 cases the true figure lies within the ±.",
        "$faint",
    )
    return Content("\n").join([*lines, finding_lines(found.findings), note])


def tasted(entries: tuple[Entry, ...], zone: tzinfo) -> Content:
    """Return the tasting notes that stand."""
    notes = [
        Content.assemble((f"{words.day(e.at.astimezone(zone).date())}  ", "$faint"), plain(e.note))
        for e in entries
        if e.kind is Kind.TASTE and not e.undone
    ]
    return Content("\n").join(notes)


def diary(entries: tuple[Entry, ...], zone: tzinfo) -> Content:
    """Return all that was done, the last first; what was taken back is struck and says so."""
    acts = {entry.act: entry for entry in entries}
    return Content("\n").join([_entry(entry, acts, zone) for entry in reversed(entries)])


def cautions(details: Details) -> Content:
    """Return the cautions in full."""
    return caution_lines(details.cautions)


def sources(details: Details) -> Content:
    """Return what was taken as known, and where each figure comes from."""
    lines = [
        Content.assemble(plain(what), (" · ", "$faint"), plain(source))
        for what, source in details.sources
    ]
    return Content("\n").join(lines)


def _called(kind: ReminderKind) -> str:
    return kind.value.replace("-", " ")


def _entry(entry: Entry, acts: dict[int, Entry], zone: tzinfo) -> Content:
    what = DONE[entry.kind]
    if entry.kind is Kind.UNDO and entry.undoes in acts:
        what = f"took back: {DONE[acts[entry.undoes].kind]}"
    if entry.note:
        what += f": {entry.note}"
    if entry.acknowledged:
        what += f", having read: {titles(entry.acknowledged)}"
    if entry.readings:
        what += f" ({'; '.join(f'{r.measure.value} {r.typed}' for r in entry.readings)})"
    line = Content.assemble(
        (words.moment(entry.at, zone).ljust(18), "$faint"),
        plain(what),
        Content.styled(f"  {visible(entry.initials)}, {_FROM[entry.source]}", "$faint"),
    )
    if entry.undone:
        return line.stylize("strike") + Content.styled("  taken back", "$error")
    return line


def _share(label: str, figure: Figure) -> Content:
    share = f"{percent(figure.share):>7} ± {percent(figure.share_u):>5}"
    text = f"{figure.ml:6.1f} ± {figure.ml_u:4.1f} mL   {share}"
    mark = (" *" if figure.estimated else "").ljust(20 - len(label))
    return Content.assemble((label, "$secondary"), (mark, "$warning"), text)


def _typed(understood: str, typed: str) -> str:
    """Return an amount, with what was typed where that was something else."""
    same = "".join(typed.split()).casefold() == understood.replace(" ", "").casefold()
    return understood if same else f"{understood} (typed {typed})"


def _facts(lines: list[tuple[str, str]]) -> Content:
    width = min(max((len(visible(label)) for label, _ in lines), default=0), 22)
    return Content("\n").join(
        [
            Content.assemble((visible(label)[:22].ljust(width + 2), "$secondary"), plain(text))
            for label, text in lines
        ]
    )
