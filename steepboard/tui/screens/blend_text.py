"""What a whole blend takes, and what it is then, in lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from steepboard.domain.blending import STAGES
from steepboard.domain.figures import percent
from steepboard.services.bottle_words import contains
from steepboard.text import visible
from steepboard.tui.safe import plain
from steepboard.tui.screens import bench_text
from steepboard.tui.telling import dose_lines, finding_lines, headed, minded, parts

if TYPE_CHECKING:
    from steepboard.domain.blending import Made, Pour, Scaled
    from steepboard.services.formulas import Blend


def blend(one: Blend) -> Content:
    """Return all of a blend, its additions as far as they are drawn."""
    made = one.scaled
    title = Content.assemble(
        (visible(one.note), "$primary b"), "\n", plain(bench_text.base(made.base))
    )
    lines = [_addition(made, number) for number in range(len(STAGES))]
    return parts(
        title,
        headed("It takes", Content("\n").join([_pour(pour) for pour in made.pours])),
        headed(_order(made), Content("\n").join(lines)),
        headed("Then it is", Content("\n").join([_made("after the first", made.first),
                                                 _made("in the end", made.whole)])),
        finding_lines(one.findings),
        dose_lines(one.limits),
        Content.styled(visible(contains(one)), "bold"),
        minded(one.cautions),
    )  # fmt: skip


def _pour(pour: Pour) -> Content:
    if not pour.total_ml:
        return plain(f"no more of {pour.share.of} from {pour.share.bottle}")
    about = f" ± {pour.u_ml:.2g}" if pour.u_ml else ""
    return Content.assemble(
        plain(f"{pour.total_ml:.3g}{about} mL").stylize("bold"),
        plain(f" of {pour.share.of} from {pour.share.bottle}, {pour.share.ml_per_l:.3g} mL/L"),
    )


def _order(made: Scaled) -> str:
    if not made.reached:
        return "In this order, tasting after each"
    if made.stage == len(STAGES):
        return "All of it is drawn; n makes it anew"
    return f"In this order, tasting after each; {percent(made.reached, 0)} are drawn"


def _addition(made: Scaled, number: int) -> Content:
    """Return one addition: what is left of it to be drawn, or all of it where it is."""
    is_drawn, here = number < made.stage, number == made.stage
    one = made.additions[number]
    pairs = zip(made.pours, one.taken_ml, strict=True)
    taken = [f"{ml:>5.3g} mL {pour.share.bottle}" for pour, ml in pairs if ml]
    then = "stir, rest a day, taste" if number == 0 else "taste; stop when it is right"
    line = Content.assemble(
        ("● " if is_drawn else "▸ " if here else "  ", "$primary bold"),
        f"{100 * one.part:>3.0f} %  ",
        (visible(" + ".join(taken)), "bold"),
        Content.styled(f"  {'drawn' if is_drawn else then}", "$faint"),
    )
    return line.stylize("$faint") if is_drawn else line


def _made(when: str, made: Made) -> Content:
    return Content.assemble(
        (when.ljust(17), "$secondary"),
        f"{made.volume_ml:.0f} mL, {percent(made.strength, 2)}, sugar {made.sugar_g_l:.1f} g/L, "
        f"all dissolved {made.dissolved_g_l:.1f} g/L",
    )
