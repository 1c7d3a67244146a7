"""Every fault that stops an act, one class for each cause; the data is in the attributes.

What a person should merely look at is not a fault but a finding (`domain.findings`).
"""

from __future__ import annotations


class SteepboardError(Exception):
    """Base of all faults that are told to a person in one plain line."""

    exit_code = 1


class OutOfRange(SteepboardError, ValueError):
    """A quantity is outside what is allowed; names it, its value and what is allowed."""

    def __init__(self, quantity: str, value: float, allowed: str) -> None:
        self.quantity, self.value, self.allowed = quantity, value, allowed
        super().__init__(f"{quantity}: {value:.10g} is not allowed, it must be {allowed}.")


class TooStrong(SteepboardError, ValueError):
    """The wanted strength is higher than the spirit's own; water cannot raise it."""

    def __init__(self, wanted: float, spirit: float) -> None:
        self.wanted, self.spirit = wanted, spirit
        super().__init__(
            f"Wanted strength {100 * wanted:.5g} % is above the spirit's {100 * spirit:.5g} %: "
            f"it must be at most {100 * spirit:.5g} %, or take a stronger spirit."
        )


class NothingWeighed(SteepboardError, ValueError):
    """A charge or a balance was asked for without a single amount to work from."""

    def __init__(self, quantity: str, allowed: str) -> None:
        self.quantity, self.value, self.allowed = quantity, None, allowed
        super().__init__(f"No {quantity} was given: {allowed}.")


class NoAnswer(SteepboardError, ValueError):
    """No amount meets what was asked, for instance when the solids would hold all the liquid."""


class BadAmount(SteepboardError, ValueError):
    """What was typed is not an amount of the kind asked for; carries an example of a right one."""

    def __init__(self, typed: str, reason: str, example: str) -> None:
        self.typed, self.reason, self.example = typed, reason, example
        super().__init__(f"{reason} Write it like {example}.")


class BadSettings(SteepboardError):
    """The settings file cannot be read as settings; names the file and the key."""


class BadCatalogue(SteepboardError):
    """A file of botanicals, spirits or sources cannot be used; names file, line and column."""

    def __init__(self, where: str, line: int | None, column: str | None, reason: str) -> None:
        self.where, self.line, self.column, self.reason = where, line, column, reason
        place = (where, f"line {line}" if line else "", column or "")
        super().__init__(f"{', '.join(filter(None, place))}: {reason}.")


class UnknownMaterial(SteepboardError, LookupError):
    """No botanical or spirit has this name; says which come near."""

    def __init__(self, name: str, near: tuple[str, ...] = (), *, own: bool = False) -> None:
        self.name, self.near, self.own = name, near, own
        told = f"Nothing here is called “{name}”."
        if own:
            told = f"“{name}” is none of your own, so there is nothing to forget."
        meant = f" Did you mean {' or '.join(near)}?" if near else ""
        super().__init__(told + meant)


class UnknownWord(SteepboardError, LookupError):
    """A word is none of a list that is closed; says which there are, or which begin as it does."""

    def __init__(self, word: str, what: str, near: str, known: tuple[str, ...]) -> None:
        self.word, self.known = word, known
        super().__init__(f"“{word}” is not {what}. {near}. Known are {', '.join(known)}.")


class UnknownJar(SteepboardError, LookupError):
    """No jar on the shelf has this code."""

    def __init__(self, code: str) -> None:
        self.code = code
        super().__init__(f"No jar is called {code}. `steepboard jars` lists them.")


class UnknownBottle(SteepboardError, LookupError):
    """No bottle on the shelf has this code."""

    def __init__(self, code: str) -> None:
        self.code = code
        super().__init__(f"No bottle is called {code}. `steepboard bottles` lists them.")


class NotKept(SteepboardError, LookupError):
    """The house keeps no dose, dropper, trial, formula or par of this name."""

    def __init__(self, topic: str, name: str) -> None:
        self.topic, self.name = topic, name
        command = {"trial": "bench", "par": "stock"}.get(topic, topic)
        told = f"No {topic} is called {name}." if name else f"No {topic} is open or was named."
        super().__init__(f"{told} `steepboard {command}` lists them.")


class OtherTincture(SteepboardError, ValueError):
    """A dose or formula is of one tincture and the bottle holds another."""

    def __init__(self, what: str, of: str, code: str, holds: str) -> None:
        self.what, self.of, self.code, self.holds = what, of, code, holds
        super().__init__(f"{what} is of {of}, but {code} holds {holds}.")


class UnknownStock(SteepboardError, LookupError):
    """No bottle and no jar on the shelf has this name, or several have it as a part."""

    def __init__(self, name: str, near: tuple[str, ...] = ()) -> None:
        self.name, self.near = name, near
        told = f"No bottle is called “{name}”. `steepboard stock` lists what stands."
        super().__init__(f"“{name}” may be {' or '.join(near)}." if near else told)


class NoCurrency(SteepboardError):
    """A price was given or asked for, and the house has no currency."""

    def __init__(self) -> None:
        super().__init__(
            'No currency is set: write currency = "EUR" under [money] in settings.toml, or yours.'
        )


class NoPrice(SteepboardError, LookupError):
    """No price of this name is kept."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(f"No price of “{name}” is kept. `steepboard price` lists them.")


class DrawnBefore(SteepboardError):
    """A list of drinks was drawn by once already."""

    def __init__(self, name: str, day: str) -> None:
        self.name, self.day = name, day
        super().__init__(
            f"{name} was counted on {day}: nothing was drawn again. Take that back first "
            "if it was wrong: `steepboard sold --undo` with its name."
        )


class AlreadyDrawn(SteepboardError):
    """More of a blend would be drawn than it takes, or some was drawn meanwhile."""

    def __init__(self, what: str, part: float) -> None:
        self.what, self.part = what, part
        super().__init__(
            f"{what}: {100 * part:.3g} % of it are drawn already. Look again, and draw no more "
            "than is missing, or make it anew."
        )


class NotDrawnBy(SteepboardError, LookupError):
    """No draw is left of a list of drinks."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(f"Nothing stands drawn by {name or 'a list without a name'}.")


class BadList(SteepboardError):
    """A list of drinks cannot be drawn by: the line of each bad row and what is wrong there."""

    def __init__(self, name: str, faults: tuple[tuple[int, str], ...]) -> None:
        self.name, self.faults = name, faults
        found = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
        super().__init__(f"{name}: {found}. Nothing was drawn.")


class NotEnough(SteepboardError):
    """More is to be taken than there is, even within its ±; amounts in mL."""

    def __init__(self, code: str, wanted_ml: float, left_ml: float, left_u_ml: float) -> None:
        self.code, self.wanted_ml = code, wanted_ml
        self.left_ml, self.left_u_ml = left_ml, left_u_ml
        super().__init__(
            f"{code} holds {left_ml:.1f} ± {left_u_ml:.1f} mL by its diary, so {wanted_ml:.4g} mL "
            f"cannot be taken. If it holds more, say so: `steepboard count {code}`."
        )


class NoReason(SteepboardError, ValueError):
    """The act is to be kept with a reason, and none was given."""

    def __init__(self, act: str) -> None:
        self.act = act
        super().__init__(f"Say why it is {act}: the diary keeps the reason.")


class TakeBackFirst(SteepboardError):
    """An act cannot be taken back as long as something rests on it."""

    def __init__(self, code: str) -> None:
        self.code = code
        super().__init__(
            f"Something was done with {code} since. Take that back first: `steepboard undo {code}`."
        )


class WrongState(SteepboardError):
    """The act does not fit the state the jar is in."""

    def __init__(self, code: str, state: str, act: str) -> None:
        self.code, self.state, self.act = code, state, act
        super().__init__(f"{code} is {state}: it cannot be {act} now.")


class NothingToUndo(SteepboardError):
    """There is no act left that could be undone."""


class NothingDue(SteepboardError):
    """Nothing of a jar is due, so that nothing can be put off."""

    def __init__(self, code: str) -> None:
        self.code = code
        super().__init__(f"Nothing of {code} is due now: there is nothing to put off.")


class TooLate(SteepboardError):
    """The moment to which something was to be put off is past."""


class NotForDrinking(SteepboardError):
    """The spirit is named as one that nobody may drink."""

    def __init__(self, name: str, word: str) -> None:
        self.name, self.word = name, word
        super().__init__(
            f"“{name}” is refused: “{word}” is not for drinking. Only ethanol sold for "
            "drinking may be used: the others are poisons and cannot be filtered clean."
        )


class DeadlyPlant(SteepboardError):
    """The botanical is named as a plant that kills; no acknowledgement lets it pass."""

    def __init__(self, name: str, plant: str, latin: str) -> None:
        self.name, self.plant, self.latin = name, plant, latin
        told = f"{plant} ({latin})" if latin else plant
        super().__init__(
            f"“{name}” is refused: {told} kills, and no amount of it belongs in a "
            "drink. If yours is another plant, call it by a name that cannot be mistaken."
        )


class NeedsAcknowledging(SteepboardError):
    """The material has a caution that must be acknowledged before a jar is charged with it."""

    def __init__(self, name: str, cautions: tuple[str, ...]) -> None:
        self.name, self.cautions = name, cautions
        super().__init__(f"Before charging with {name}, read this: {' '.join(cautions)}")


class Doubtful(SteepboardError):
    """Readings are far from what was to be expected, and nobody has insisted on them yet."""

    def __init__(self, doubts: tuple[str, ...]) -> None:
        self.doubts = doubts
        super().__init__(" ".join(doubts))


class Unprintable(SteepboardError, ValueError):
    """A text cannot be printed; says which, why, and what to do."""

    def __init__(self, text: str, reason: str, advice: str) -> None:
        self.text, self.reason = text, reason
        super().__init__(f"“{text}” cannot be printed: {reason}. {advice}")


class DoesNotFit(SteepboardError, ValueError):
    """A text is too long for its label, also in the smallest letters; says which, and what fits."""

    def __init__(self, code: str, what: str, size: str, larger: str) -> None:
        self.code, self.what = code, what
        advice = f"It fits on --sheet {larger}." if larger else "Write it shorter."
        super().__init__(f"{code}: {what} is too long for {size}, in the smallest type. {advice}")


class UnknownSheet(SteepboardError, LookupError):
    """No sheet of labels has this name."""

    def __init__(self, name: str, known: tuple[str, ...]) -> None:
        self.name, self.known = name, known
        super().__init__(f"No sheet is called {name}. There are {'; '.join(known)}.")


class FontUnusable(SteepboardError):
    """The file of a font cannot be printed with."""

    def __init__(self, path: str) -> None:
        self.path = path
        super().__init__(
            f"{path} cannot be read as a font. Name another in settings.toml: [print] font."
        )


class NotOurs(SteepboardError):
    """A file stands where a print is to go, and it is no print of this program."""

    def __init__(self, path: str) -> None:
        self.path = path
        super().__init__(f"{path} is not a print of this program: choose another name with --out.")


class AlreadyThere(SteepboardError):
    """A file stands where an export is to go."""

    def __init__(self, path: str) -> None:
        self.path = path
        super().__init__(f"{path} is there already and is left as it is: choose another name.")


class ShelfNotEmpty(SteepboardError):
    """An import was asked for where something is already kept."""

    def __init__(self, path: str) -> None:
        self.path = path
        super().__init__(
            f"The record {path} is not empty, and an import writes over nothing. Import into a new "
            "folder: `steepboard --home DIR import FILE`."
        )


class BadDocument(SteepboardError):
    """A file cannot be imported; names it, its line and what is wrong there."""

    def __init__(self, name: str, line: int | None, reason: str) -> None:
        self.name, self.line, self.reason = name, line, reason
        where = f"{name}, line {line}" if line else name
        super().__init__(f"{where}: {reason}. Nothing was imported.")


class BadRows(SteepboardError):
    """Rows of a file cannot be imported: the line of each and what is wrong there."""

    def __init__(self, name: str, faults: tuple[tuple[int, str], ...], count: int) -> None:
        self.name, self.faults, self.count = name, faults, count
        found = "1 fault" if count == 1 else f"{count} faults"
        super().__init__(f"{name}: {found}. Nothing was imported.")


class TooNew(SteepboardError):
    """The record was written by a newer version of the program."""


class RecordUnusable(SteepboardError):
    """The record cannot be opened: damaged, locked away, or in a folder that cannot be written."""


class AlreadyRunning(SteepboardError):
    """Another process holds a lock of this shelf; told where it is that of the reminders."""

    exit_code = 3

    def __init__(self, pid: str) -> None:
        self.pid = pid
        super().__init__(
            f"Reminders for this shelf are already kept by process {pid}. Leave them to it, or end "
            "it first."
        )


class ServiceRefused(SteepboardError):
    """The reminders cannot be set up, or taken away, as a service of the login."""


class NoTerminal(SteepboardError):
    """The board was asked for where there is no terminal to show it on."""

    def __init__(self) -> None:
        super().__init__("The board needs a terminal. `steepboard --help` lists what does not.")


class DemoOpen(SteepboardError):
    """The demo shelf cannot be made anew while another process works with it."""

    def __init__(self, pid: str) -> None:
        self.pid = pid
        super().__init__(f"The demo is open in process {pid}: close it, or join it with --keep.")
