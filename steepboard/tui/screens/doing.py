"""Acts that ask first; Shelf, Jar and Calendar share them. Each runs in a worker."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.domain.records import Habit, State
from steepboard.services import views
from steepboard.tui import words

if TYPE_CHECKING:
    from steepboard.domain.records import Jar
    from steepboard.tui.app import SteepBoard


def stir(board: SteepBoard, codes: tuple[str, ...]) -> None:
    """Write down that jars were stirred; needs no question, an undo takes it back."""
    from steepboard.services import acts

    if board.done(lambda: acts.stir(board.desk, codes, board.now())):
        back = "u takes it back" if len(codes) == 1 else "u takes them back one by one"
        board.tell(f"{', '.join(codes)} stirred; {back}.")


async def stir_all(board: SteepBoard, codes: tuple[str, ...]) -> None:
    """Write down that all these were stirred, after asking."""
    from steepboard.tui.screens.ask import Confirm

    question = f"Were all of these stirred?\n\n{', '.join(codes)}"
    if await board.push_screen_wait(Confirm("Stir all", question)):
        stir(board, codes)


async def taste(board: SteepBoard, jar: Jar) -> None:
    """Ask for a tasting note, and keep it."""
    from steepboard.services import acts
    from steepboard.tui.screens.ask import AskLine

    ask = AskLine(f"Taste {jar.code}", "How does it taste?", "Note", needed=True)
    note = await board.push_screen_wait(ask)
    if note and board.done(lambda: acts.taste(board.desk, jar.code, note, board.now())):
        board.tell("The note is kept.")


async def move(board: SteepBoard, jar: Jar) -> None:
    """Ask for another strain day and the reason."""
    from steepboard.services import acts
    from steepboard.tui.screens.ask import AskDay

    today = board.desk.day(board.now())
    question = f"Strain day now: {words.day(jar.strain_on)}, {words.until(jar.strain_on, today)}."
    answer = await board.push_screen_wait(AskDay(f"Move {jar.code}", question, today))
    if answer:
        day, why = answer
        if board.done(lambda: acts.move(board.desk, jar.code, day, why, board.now())):
            board.tell(f"{jar.code} is to be strained on {words.day(day)}.")


async def later(board: SteepBoard, jar: Jar) -> None:
    """Ask until when what is due of a jar is put off."""
    from steepboard.services import reminder_acts
    from steepboard.tui.screens.ask import AskLater

    evening = board.desk.settings.reminders.get_ready_at
    choice = await board.push_screen_wait(AskLater(f"Put off {jar.code}", evening))
    if choice is None:
        return
    put_off = board.done(lambda: reminder_acts.later(board.desk, jar.code, choice, board.now()))
    if put_off:
        first = min(one.until for one in put_off)
        board.tell(f"{jar.code} is spoken of again {words.moment(first, board.desk.zone)}.")


async def remind(board: SteepBoard, jar: Jar) -> None:
    """Ask how a jar wants to be reminded of, and keep it where that is something new."""
    from dataclasses import replace

    from steepboard.services import reminder_acts, rhythms
    from steepboard.tui.screens.habit import AskHabit

    desk, today = board.desk, board.desk.day(board.now())
    house = rhythms.rhythm_of(desk, replace(jar, habit=Habit()))
    charged_on = desk.day(jar.charged_at) if jar.charged_at else None
    before = jar.habit.on(today)
    ask = AskHabit(replace(jar, habit=before), house, today, charged_on)
    habit = await board.push_screen_wait(ask)
    if habit is None:
        return
    if habit == before:
        board.tell("Nothing was changed.")
    elif views.jar(board.desk, jar.code).habit != jar.habit:
        board.tell("Something else was written meanwhile. Ask again.", "warning")
    elif board.done(lambda: reminder_acts.remind(board.desk, jar.code, habit, board.now())):
        board.tell(f"{jar.code}: {reminder_acts.in_words(habit)}.")


async def away(board: SteepBoard) -> None:
    """Ask for the days away, or whether those that were given are to end."""
    from steepboard.services import reminder_acts
    from steepboard.tui.screens.ask import AskSpan, Confirm

    today = board.desk.day(board.now())
    if span := reminder_acts.away_now(board.desk, board.now()):
        question = (
            f"Away from {words.day(span.first)} to {words.day(span.last)}: until then nothing is "
            "said.\n\nSpeak again at once?"
        )
        if not await board.push_screen_wait(Confirm("Away", question)):
            return
        ended = board.done(lambda: reminder_acts.end_away(board.desk))
        if ended:
            board.tell("You are not away any more.")
        return
    answer = await board.push_screen_wait(AskSpan(today))
    if answer and board.done(lambda: reminder_acts.set_away(board.desk, *answer, board.now())):
        board.tell(f"Nothing is said until {words.day(answer[1])} is over.")


async def discard(board: SteepBoard, jar: Jar) -> None:
    """Ask why a jar's content is thrown away, and write it down."""
    from steepboard.services import acts
    from steepboard.tui.screens.ask import AskLine

    question = "Its content is thrown away and its reminders end. The diary stays."
    ask = AskLine(f"Discard {jar.code}", question, "Why", needed=True, does="throws it away")
    why = await board.push_screen_wait(ask)
    if why and board.done(lambda: acts.discard(board.desk, jar.code, why, board.now())):
        board.tell(f"{jar.code} is discarded.")


async def undo(board: SteepBoard, code: str | None = None) -> None:
    """Say what was done last, to one jar or bottle or at all, and take it back when told so."""
    from steepboard.services import acts
    from steepboard.services.undo_words import told
    from steepboard.tui.screens.ask import Confirm

    last = acts.last_act(board.desk, code)
    if last is None:
        board.tell("There is nothing left to take back.")
        return
    head, more = told(board.desk, last)
    when = words.moment(last.at, board.desk.zone)
    by = f", by {last.initials}" if last.initials else ""
    question = "\n".join(
        filter(None, (f"Take this back?\n\n{head[0].upper()}{head[1:]}, {when}{by}.", more))
    )
    if not await board.push_screen_wait(Confirm("Undo", question)):
        return
    if acts.last_act(board.desk, code) != last:
        board.tell("Something else was written meanwhile. Ask again.", "warning")
    elif board.done(lambda: acts.undo(board.desk, code, board.now())):
        board.tell(f"Taken back: {': '.join(filter(None, (head, more)))}.")


def strain(board: SteepBoard, code: str) -> None:
    """Go through a straining, or what is left of it."""
    from steepboard.tui.screens.strain import StrainScreen

    board.push_screen(StrainScreen(code))


def may(jar: Jar | None, action: str) -> bool:
    """Say whether an action fits the state of a jar."""
    allowed = {
        "stir": (State.STEEPING,),
        "taste": (State.STEEPING, State.SETTLING, State.BOTTLED),
        "strain": (State.STEEPING, State.SETTLING, State.BOTTLED),
        "charge": (State.PLANNED,),
        "again": (State.STEEPING, State.SETTLING, State.BOTTLED, State.DISCARDED),
        "fill": (State.SETTLING, State.BOTTLED),
        "labels": (State.BOTTLED,),
        "tape": (State.PLANNED, State.STEEPING, State.SETTLING),
        "record": (State.STEEPING, State.SETTLING, State.BOTTLED, State.DISCARDED),
        "move": (State.STEEPING,),
        "remind": (State.PLANNED, State.STEEPING, State.SETTLING),
        "later": (State.STEEPING, State.SETTLING),
        "discard": (State.PLANNED, State.STEEPING, State.SETTLING),
    }.get(action)
    return allowed is None or (jar is not None and jar.state in allowed)


def to_stir(board: SteepBoard) -> tuple[str, ...]:
    """Return the jars that want a stir now."""
    return tuple(w.jar.code for w in board.view.wants if w.hand is views.Hand.STIR)
