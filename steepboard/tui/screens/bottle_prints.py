"""Labels, tape and batch records, printed from where one is."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from steepboard.printing.sheets import sheets
from steepboard.services import bottle_shelf, labels
from steepboard.services.batch_record import print_record
from steepboard.services.files import pdf_name
from steepboard.tui.answers import whole_up_to
from steepboard.tui.screens.ask_form import AskForm, Line, Pick

if TYPE_CHECKING:
    from steepboard.domain.bottles import Bottle
    from steepboard.services.labels import Printed
    from steepboard.tui.app import SteepBoard
    from steepboard.tui.screens.ask_form import Given

_MOST_PLACES = 200  # of a sheet; assumed, far above any
_ABOUT = "A PDF is written, to be printed at full size."


async def label(board: SteepBoard, one: Bottle) -> None:
    """Ask on what the label of a bottle is printed."""
    await labels_of(board, one.code, of_jar=one.tag.batch)


async def labels_of(board: SteepBoard, code: str, of_jar: str = "") -> None:
    """Ask on what labels are printed: of a bottle, or of all that stand of a jar."""
    which = [(code, code)] + ([(of_jar, f"all of {of_jar}")] if of_jar else [])
    lines = (
        Pick("codes", "Labels of", which),
        *_paper(board.desk.settings.print.sheet),
        _file(pdf_name(code, "labels")),
    )

    def act(given: Given, _sure: bool) -> Printed:
        return labels.print_labels(
            board.desk, [given["codes"]], given["file"], board.now(),
            on=given["sheet"], start=given["start"] or 1,
        )  # fmt: skip

    await _print(board, AskForm("Print labels", _ABOUT, lines, act), "label{s}")


async def tape_of(board: SteepBoard, code: str) -> None:
    """Ask on what the tape of a jar is printed."""
    lines = (*_paper(board.desk.settings.print.tape), _file(pdf_name(code, "tape")))

    def act(given: Given, _sure: bool) -> Printed:
        return labels.print_tape(
            board.desk, [code], given["file"], board.now(),
            on=given["sheet"], start=given["start"] or 1,
        )  # fmt: skip

    await _print(
        board, AskForm(f"Print the tape of {code}", _ABOUT, lines, act), "strip{s} of tape"
    )


async def record(board: SteepBoard, one: Bottle) -> None:
    """Ask where the batch record of a bottle's jar is put."""
    jars = [jar.code for jar, _ in bottle_shelf.inside(board.desk, one).jars]
    await record_of(board, jars)


async def record_of(board: SteepBoard, codes: list[str]) -> None:
    """Ask of which jar, where there are several, and where its batch record is put."""
    lines = (
        Pick("code", "Record of", [(code, code) for code in codes]),
        _file(pdf_name(codes[0], "record")),
    )

    def act(given: Given, _sure: bool) -> Path:
        path: Path = given["file"]
        print_record(board.desk, given["code"], path, board.now())
        return path

    form = AskForm("Print the batch record", "From charge to last bottle, as a PDF.", lines, act)
    path = await board.push_screen_wait(form)
    if path:
        board.tell(f"The batch record is written to {path}.")


async def _print(board: SteepBoard, form: AskForm[Printed], what: str) -> None:
    printed = await board.push_screen_wait(form)
    if printed:
        count = len(printed.codes)
        written = f"{count} {what.format(s='s' * (count != 1))}"
        board.tell(f"{written} written to {printed.path}. Print at 100 %, not fitted.")


def _paper(name: str) -> tuple[Pick, Line]:
    options = [(one, str(sheet)) for one, sheet in sheets().items()]
    return (
        Pick("sheet", "On", options, value=name),
        Line("start", "First free", whole_up_to(_MOST_PLACES), _place, hint="place 1, row by row"),
    )


def _file(name: str) -> Line:
    return Line(
        "file", "File", _path, str, hint="the PDF to write", typed=name,
        needed="Say where to put it, like labels.pdf.",
    )  # fmt: skip


def _path(text: str) -> Path:
    """Return a path, `~` being the home folder, from the folder the board was opened in."""
    path = Path(text.strip())
    try:
        return path.expanduser().absolute()
    except RuntimeError:  # the ~ of nobody that there is
        return path.absolute()


def _place(number: int) -> str:
    return f"place {number}"
