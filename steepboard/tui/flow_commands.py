"""The commands of Charge, Plan, Strain and Losses, each defined once, as in `commands`."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from textual.binding import Binding, BindingType

from steepboard.tui.commands import (
    BACK,
    HELP,
    QUIT,
    TO_BENCH,
    TO_BOTTLES,
    TO_CALENDAR,
    TO_LOSSES,
    TO_PLAN,
    TO_SHELF,
    WHY,
    Command,
    bindings,
)

_HELP = Command("app.explain", "f1", "Help", "Explain this screen and its keys.")
"""Where letters are typed, `?` is one of them."""
_WHY = replace(WHY, key="f2")

READ_ON = (
    Command("read(1)", "pagedown", "Read on", "Scroll what follows from the answers.", shown=False),
    Command("read(-1)", "pageup", "Read back", "Scroll back.", shown=False),
)

CHARGE = (
    Command("charge", "ctrl+s", "Charge", "Charge the jar with what stands here."),
    Command("add_botanical", "ctrl+b", "Botanical", "Add another botanical to the same jar."),
    Command("add_spirit", "ctrl+o", "Spirit", "Add another spirit, or water at 0 %."),
    Command("app.back", "escape", "Back", "Go back without charging."),
    _WHY,
    _HELP,
    *READ_ON,
)
PLAN = (
    Command("sheet", "ctrl+s", "Prep sheet", "See the prep sheet, and charge the jar or keep it."),
    Command("add_botanical", "ctrl+b", "Botanical", "Plan one more botanical in the same jar."),
    Command("clear", "ctrl+o", "Clear", "Empty all answers."),
    Command("app.back", "escape", "Back", "Go back. The answers of Plan stay."),
    _WHY,
    _HELP,
    *READ_ON,
)
SHEET = (
    Command(
        "charge", "enter", "Charge now", "Charge the jar as planned: it is weighed and poured."
    ),
    Command("keep", "k", "Keep as planned", "Put the jar on the shelf, to be charged later."),
    Command("app.back", "escape", "Back", "Go back to the plan."),
    WHY,
    HELP,
)
STRAIN = (
    Command("keep", "enter", "Go on", "Keep what was typed and go on; empty goes on too."),
    Command("step(-1)", "pageup", "Step back", "Go one step back."),
    Command("step(1)", "pagedown", "Skip", "Go one step on; what was typed counts already."),
    Command("measure", "ctrl+r", "To measuring", "Go straight to the one reading that is needed."),
    Command("leave", "escape", "Leave", "Leave; come back later to the same step."),
    Command("labels", "ctrl+t", "Labels", "Print labels for the bottles filled here.", shown=False),
    _WHY,
    _HELP,
)
MATERIALS = (
    Command("choose(1)", "down", "Next", "Choose the next one.", shown=False),
    Command("choose(-1)", "up", "Before", "Choose the one before.", shown=False),
    Command("keep", "ctrl+n", "Keep your own", "Keep what you know of this, or a new botanical."),
    Command("keep_spirit", "ctrl+o", "Spirit", "Keep a spirit of your own, or its strength."),
    Command("forget", "ctrl+x", "Forget", "Forget what you kept of the chosen one."),
    Command("read(1)", "pagedown", "Read on", "Scroll what is told of the chosen one."),
    Command("read(-1)", "pageup", "Read back", "Scroll back.", shown=False),
    Command("app.back", "escape", "Back", "Go back to the shelf."),
    _HELP,
)
BOTTLES = (
    Command("draw('dose')", "1", "Dose", "Write down what went into drinks."),
    Command("draw('blend')", "2", "Blend", "Write down what went into a larger blend."),
    Command("draw('tasting')", "3", "Taste", "Write down what was tasted."),
    Command("draw('spill')", "4", "Spill", "Write down what was spilt."),
    Command("again", "d", "Again", "Draw the same as last from this bottle, without a question."),
    Command("count", "k", "Count", "Weigh the chosen bottle to count what it holds."),
    Command("top_up", "t", "Top up", "Pour something into the chosen bottle."),
    Command("fill", "n", "Fill", "Fill bottles from a strained jar."),
    HELP,
    BACK,
    WHY,
    Command("label", "L", "Label", "Print the label of the chosen bottle, or of all of its jar."),
    Command("end", "x", "Off", "Take the bottle off: used up, broken, poured away."),
    Command("correct", "r", "Correct", "Say anew what the bottle holds, with the reason."),
    Command("combine", "g", "Together", "Pour the bottle together with others into a new one."),
    Command("record", "R", "Record", "Print the batch record of the jar it came from."),
    Command("dose", "o", "House dose", "Keep what a drink takes of it, as right with this bottle."),
    Command("least", "a", "At least", "Set its par: how much of it is always to stand."),
    Command("sell", "s", "Sold", "Draw by a list of drinks sold, after a look at what it takes."),
    Command("price", "m", "Price", "Say what a spirit or a botanical costs."),
    Command("calibrate", "i", "Dropper", "Calibrate a dropper: count its drops or weigh them."),
    Command("open", "enter", "Jar", "Open the jar that the bottle came from."),
    Command("undo", "u", "Undo", "Take back what was done last to this bottle; asks first."),
    Command(
        "undo_any",
        "U",
        "Undo any",
        "Take back what was done last of all, also a price, a dose or a list; asks first.",
    ),
    Command("ended", "v", "Ended", "Show also the bottles that are used up, broken or gone."),
    TO_SHELF,
    TO_BENCH,
    TO_CALENDAR,
    TO_LOSSES,
    TO_PLAN,
    QUIT,
    Command("read(1)", "pagedown", "Read on", "Scroll what is told of the bottle.", shown=False),
    Command("read(-1)", "pageup", "Read back", "Scroll back.", shown=False),
)
"""In the order of their importance, as on the shelf."""
BENCH = (
    Command("drop(1)", "space", "Drop", "Count a drop that you added."),
    Command("verdict('too little')", "1", "Little", "Write the step down: too little."),
    Command("verdict('right')", "2", "Right", "Write the step down: right."),
    Command("verdict('too much')", "3", "Much", "Write the step down: too much."),
    Command("scale", "s", "Scale", "Scale it up to the whole blend, and draw that."),
    Command("again", "t", "Next day", "Taste a step again; what is found then counts."),
    HELP,
    BACK,
    WHY,
    Command("remark", "r", "Remark", "Note how it tastes, to go with the next verdict."),
    Command("new_trial", "n", "New", "Begin a trial: bottle, sample, dropper."),
    Command("drop(-1)", "minus", "Take out", "Take back what went in last, if it is not tasted."),
    Command("amount", "a", "Amount", "Type what was added, in mL or in drops."),
    Command("formula", "f", "Formula", "Make a blend that was kept as a formula."),
    Command("undo", "u", "Undo", "Take back what was written last of the trial; asks first."),
    Command("end", "x", "End", "Say that the trial is done."),
    Command("other(1)", "right", "Next trial", "Show the next trial.", shown=False),
    Command("other(-1)", "left", "Trial before", "Show the trial before.", shown=False),
    Command("ended", "v", "Ended", "Show ended trials too, or no longer."),
    TO_BOTTLES,
    TO_SHELF,
    TO_CALENDAR,
    TO_LOSSES,
    TO_PLAN,
    QUIT,
)
BLEND = (
    Command("draw", "d", "Draw", "Write down as drawn what the arrow points at."),
    Command("keep", "k", "Keep", "Keep it as a formula, to be made from any batch."),
    Command("undo", "u", "Undo", "Take back what was drawn last; asks first."),
    Command("anew", "n", "Anew", "Make the same once more, of which nothing is drawn."),
    WHY,
    HELP,
    Command("app.back", "escape", "Back", "Go back to the bench."),
)
LOSSES = (
    Command("turn(1)", "b", "By what", "Put the strainings together by something else."),
    Command("learned", "k", "Learned", "See what your jars taught of what solids hold."),
    WHY,
    TO_SHELF,
    TO_PLAN,
    TO_CALENDAR,
    HELP,
    QUIT,
)
LEARNED = (
    *READ_ON,
    WHY,
    HELP,
    Command("app.back", "escape,k", "Back", "Go back to the losses."),
)
AHEAD = (
    *READ_ON,
    HELP,
    Command("app.back", "escape,f", "Back", "Go back to the month."),
)


def urgent(commands: Iterable[Command]) -> list[BindingType]:
    """Return key bindings that come before those of a field; Enter stays the field's own."""
    keys = [key for key in bindings(commands) if isinstance(key, Binding)]
    return [replace(key, priority=key.key != "enter") for key in keys]


def answering(commands: Iterable[Command]) -> list[BindingType]:
    """Return key bindings where those that read on come before scrolling by form or list."""
    wanted = tuple(commands)
    reads = [command for command in wanted if command.action.startswith("read(")]
    return [*bindings(one for one in wanted if one not in reads), *urgent(reads)]
