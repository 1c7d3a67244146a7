"""Which tables an export has, as lists and what belongs to each of their rows, and which not."""

from __future__ import annotations

from dataclasses import dataclass

from steepboard.store.own import PARTED


@dataclass(frozen=True, slots=True)
class Rule:
    """What the tables cannot check by themselves: `sql` finds a row where `word` is right."""

    word: str
    sql: str
    reason: str


@dataclass(frozen=True, slots=True)
class Part:
    """One list of the export, or what belongs to each row of one."""

    name: str
    table: str
    order: str = "rowid"
    single: bool = False
    """Whether a row has at most one of it."""
    plain: str = ""
    """The only column, where its values stand for its rows."""
    left_out: tuple[str, ...] = ()
    """Columns that say nothing."""
    renamed: tuple[tuple[str, str], ...] = (("id", "number"), ("initials", "by"))
    flags: tuple[str, ...] = ()
    """Columns of 0 and 1 that mean no and yes."""
    parted: tuple[tuple[str, str], ...] = ()
    """Columns that hold several words, each with what stands between them."""
    parts: tuple[Part, ...] = ()
    rules: tuple[Rule, ...] = ()


_CHARGE = Part(
    "charge",
    "charge",
    single=True,
    parts=(
        Part("botanicals", "botanical", "position", flags=("fresh",)),
        Part("spirits", "spirit", "position"),
        Part("acknowledged", "acknowledged", plain="caution"),
    ),
)
_AFTER_ENTRY = Rule(
    "after_entry",
    "select 1 where :after_entry = 0 union select 1 from entry where id = :after_entry",
    "no entry of the jars' diaries has this number",
)
_UNDOES = "it takes back no act that was done before it"

# In the order in which they stand in the document: each row names only what stands before it.
LISTS = (
    Part("away", "away", left_out=("id",)),
    Part(
        "own_botanicals",
        "own_botanical",
        "id",
        renamed=(),
        flags=("fresh", "fresh_soft"),
        parted=tuple(PARTED.items()),
    ),
    Part("believed_before", "believed", "until, rowid", renamed=(), flags=("fresh",)),
    Part("own_spirits", "own_spirit", "id", renamed=()),
    Part("jars", "jar"),
    Part(
        "diary",
        "entry",
        parts=(
            _CHARGE,
            Part("readings", "reading"),
            Part("habit", "habit", single=True),
        ),
        rules=(
            Rule(
                "undoes",
                """select 1 from entry join jar on jar.id = jar_id where code = :jar
                   and act = :undoes and act < :act and undoes is null""",
                _UNDOES,
            ),
        ),
    ),
    Part("put_off", "snooze", "jar_id, kind"),
    Part("bottles", "bottle"),
    Part(
        "bottle_diary",
        "bottle_entry",
        parts=(Part("poured", "poured", "position"),),
        rules=(
            Rule(
                "undoes",
                """select 1 from bottle_entry e join bottle on bottle.id = bottle_id
                   where code = :bottle and act = :undoes and act < :act and undoes is null""",
                _UNDOES,
            ),
            _AFTER_ENTRY,
        ),
    ),
    Part(
        "drinks_sold",
        "sold",
        "act",
        rules=(
            Rule(
                "act",
                "select 1 from bottle_entry where act = :act",
                "nothing was drawn from a bottle by this act",
            ),
        ),
    ),
    Part(
        "house_diary",
        "house_entry",
        parts=(
            Part("dose", "house_dose", single=True),
            Part("dropper", "dropper", single=True),
            Part("trial", "trial", single=True),
            Part("step", "trial_step", single=True),
            Part("added", "trial_added", single=True),
            Part(
                "formula",
                "formula",
                single=True,
                parts=(Part("ingredients", "ingredient", "position"),),
            ),
            Part("par", "par", single=True),
            Part("price", "price", single=True),
        ),
        rules=(
            _AFTER_ENTRY,
            Rule(
                "after_bottle_entry",
                """select 1 where :after_bottle_entry = 0 union
                   select 1 from bottle_entry where id = :after_bottle_entry""",
                "no entry of the bottles' diaries has this number",
            ),
        ),
    ),
)

LEFT_OUT = {
    "draft": "typed and not said to be right yet",
    "delivery": "what was said on one machine",
    "on_screen": "what stands on one screen",
    "published": "what a calendar was told under the name of one shelf",
    "shelf": "the name of one shelf, which a copy must not share",
    "unfinished": "an index, kept by a trigger",
    "_sqlite_migrations": "how this record came to its tables",
}
"""Tables that no export has, each with the reason."""
