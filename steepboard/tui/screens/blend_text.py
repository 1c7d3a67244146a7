"""What a whole blend takes, and what it is then, in lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from steepboard.domain.figures import percent
from steepboard.text import visible
from steepboard.tui.safe import plain
from steepboard.tui.screens import bench_text
from steepboard.tui.telling import caution_titles, dose_lines, finding_lines, headed, parts

if TYPE_CHECKING:
    from collections.abc import Container, Sequence

    from steepboard.domain.blending import Made, Pour
    from steepboard.services.formulas import Blend


def blend(one: Blend, additions: Sequence[float], at: int, drawn: Container[int]) -> Content:
    """Return all of a blend; `at` is the addition whose turn it is."""
    made = one.scaled
    title = Content.assemble(
        (visible(one.name), "$primary b"), plain(f"  {bench_text.base(made.base)}")
    )
    lines = [
        _addition(i, part, made.pours, here=i == at, is_drawn=i in drawn)
        for i, part in enumerate(additions)
    ]
    return parts(
        title,
        headed("It takes", Content("\n").join([_pour(pour) for pour in made.pours])),
        headed("In this order, tasting after each", Content("\n").join(lines)),
        headed("Then it is", Content("\n").join([_made("after the first", made.first),
                                                 _made("in the end", made.whole)])),
        finding_lines(one.findings),
        dose_lines(one.limits),
        caution_titles(one.cautions),
    )  # fmt: skip


def _pour(pour: Pour) -> Content:
    about = f" ± {pour.u_ml:.2g}" if pour.u_ml else ""
    return Content.assemble(
        plain(f"{pour.total_ml:.3g}{about} mL").stylize("bold"),
        plain(f" of {pour.share.of} from {pour.share.bottle}, {pour.share.ml_per_l:.3g} mL/L"),
    )


def _addition(
    number: int, part: float, pours: Sequence[Pour], *, here: bool, is_drawn: bool
) -> Content:
    sign = "▸" if here and not is_drawn else " "
    taken = " + ".join(f"{part * pour.total_ml:.3g} mL {pour.share.bottle}" for pour in pours)
    then = "stir, rest a day, taste" if number == 0 else "taste; stop when it is right"
    line = Content.assemble(
        (f"{sign}{'●' if is_drawn else ' '} ", "$primary bold"),
        f"{100 * part:>3.0f} %  ",
        (visible(taken), "bold"),
        Content.styled(f"  {then}", "$faint"),
    )
    return line.stylize("$faint") if is_drawn else line


def _made(when: str, made: Made) -> Content:
    return Content.assemble(
        (when.ljust(17), "$secondary"),
        f"{made.volume_ml:.0f} mL, {percent(made.strength, 2)}, sugar {made.sugar_g_l:.1f} g/L, "
        f"all dissolved {made.dissolved_g_l:.1f} g/L",
    )
