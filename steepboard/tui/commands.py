"""One definition for each command: its key, its label in the key line, and its help."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from textual.binding import Binding, BindingType

_KEY_NAMES = {
    "question_mark": "?",
    "enter": "↵",
    "escape": "Esc",
    "pageup": "PgUp",
    "pagedown": "PgDn",
    "left": "←",
    "right": "→",
    "up": "↑",
    "down": "↓",
    "space": "Space",
    "minus": "-",
    "f1": "F1",
    "f2": "F2",
}


@dataclass(frozen=True, slots=True)
class Command:
    """What a key does, said once for the key line, the help and the palette."""

    action: str
    """Name of the action, with `app.` before one of the board's own."""
    key: str
    label: str
    help: str
    shown: bool = True
    """Whether it stands in the key line; the help and the palette always have it."""

    @property
    def key_name(self) -> str:
        """The key as people call it."""
        return ", ".join(map(_named, self.key.split(",")))


def _named(key: str) -> str:
    if key.startswith("ctrl+"):
        return f"Ctrl+{key.removeprefix('ctrl+').upper()}"
    return _KEY_NAMES.get(key, key)


def bindings(commands: Iterable[Command]) -> list[BindingType]:
    """Return the key bindings of commands, in their order."""
    return [
        Binding(
            command.key,
            command.action,
            command.label,
            show=command.shown,
            key_display=command.key_name,
            tooltip=command.help,
        )
        for command in commands
    ]


HELP = Command("app.explain", "question_mark", "Help", "Explain this screen and its keys.")
QUIT = Command("app.quit", "q", "Quit", "Close the board. Everything is kept.")
BACK = Command("app.back", "escape", "Back", "Go back, in the end to the shelf.")
TO_SHELF = Command("app.go('shelf')", "h", "Shelf", "Go to the shelf.")
TO_PLAN = Command("app.go('plan')", "p", "Plan", "Work out how much of what to take.")
TO_CALENDAR = Command("app.go('calendar')", "c", "Month", "See the calendar, a month or a week.")
TO_LOSSES = Command("app.go('losses')", "l", "Losses", "See where past jars lost liquid.")
TO_MATERIALS = Command(
    "app.go('materials')", "m", "Materials", "Look up botanicals and spirits.", shown=False
)
TO_BOTTLES = Command("app.go('bottles')", "b", "Bottles", "See what stands in bottles, and draw.")
TO_BENCH = Command("app.go('bench')", "e", "Bench", "Find by tasting how much a blend takes.")
WHY = Command("app.why", "y", "Why", "See where each figure comes from.")
PALETTE = Command("app.command_palette", "ctrl+p", "Find", "Find an action or a jar.", shown=False)
LOOK = Command("app.look", "ctrl+l", "Dark or light", "Change between dark and light.", shown=False)

_ESCAPE = replace(BACK, shown=False)

BOARD = (HELP, PALETTE, LOOK, _ESCAPE)
"""Commands that work on every screen."""
PLACES = (TO_SHELF, TO_PLAN, TO_CALENDAR, TO_BOTTLES, TO_BENCH, TO_LOSSES, TO_MATERIALS)

_NEW = Command("new_jar", "n", "New", "Charge a new jar.")
_LATER = Command("later", "w", "Later", "Put off what is due of the chosen jar.")
_AWAY = Command("away", "a", "Away", "Keep quiet while you are away, or end that.")
_UNDO = Command("undo", "u", "Undo", "Take back what was done last; asks first.")

SHELF = (
    Command("stir", "s", "Stir", "Write down that the chosen jar was stirred."),
    Command("open", "enter", "Jar", "Open the chosen jar."),
    Command("strain", "f", "Strain", "Strain the chosen jar, step by step."),
    _LATER,
    _NEW,
    TO_PLAN,
    TO_BOTTLES,
    TO_BENCH,
    HELP,
    QUIT,
    TO_CALENDAR,
    TO_LOSSES,
    Command("stir_all", "S", "All", "Write down that all jars that want it were stirred."),
    _UNDO,
    _AWAY,
    replace(WHY, help="See where each figure of the chosen jar comes from."),
    TO_MATERIALS,
)
"""In the order of their importance, since the key line shows as many as fit."""
JAR = (
    Command("stir", "s", "Stir", "Write down that this jar was stirred."),
    Command("taste", "t", "Taste", "Keep a note of how it tastes."),
    Command("strain", "f", "Strain", "Strain this jar, step by step."),
    replace(_LATER, help="Put off what is due of this jar."),
    Command("charge", "n", "Charge", "Charge this jar as it was planned."),
    Command("remind", "r", "Remind", "Say how this jar wants to be reminded of."),
    Command("fill", "b", "Bottle", "Fill bottles from this jar."),
    Command("move", "m", "Move", "Move the strain day, with a reason."),
    Command("undo", "u", "Undo", "Take back what was done last to this jar; asks first."),
    WHY,
    HELP,
    BACK,
    Command("again", "a", "Again", "Plan this jar again, with today's plant and spirit."),
    Command("labels", "L", "Labels", "Print labels for the bottles that stand of it."),
    Command("tape", "T", "Tape", "Print the tape of this jar."),
    Command("record", "R", "Record", "Print the batch record of this jar."),
    Command("discard", "d", "Discard", "Throw the content away; asks why."),
)
CALENDAR = (
    Command("move", "m", "Move", "Move the chosen strain day, with a reason."),
    Command("open", "enter", "Jar", "Open the chosen jar."),
    Command("today", "t", "Today", "Go to today."),
    Command("week", "w", "Week", "Show the week of the chosen day alone, with names."),
    Command("whole_month", "w", "Month", "Show the whole month again."),
    Command("ahead", "f", "4 weeks", "See what to charge and to buy within four weeks."),
    _AWAY,
    TO_SHELF,
    HELP,
    QUIT,
    TO_PLAN,
    TO_BOTTLES,
    TO_LOSSES,
    TO_BENCH,
    replace(WHY, help="See where the start-by dates of the chosen day come from."),
)
