"""Why what is known of water and soluble part is what it is: beforehand, now, each batch."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.domain.figures import percent
from steepboard.domain.records import Measure
from steepboard.domain.why import Input, Why
from steepboard.services.dry_lessons import WATER, about_dried, doubt, share_with_u
from steepboard.services.why_charge import CHARGED, GIVEN, pour_of, solids_of
from steepboard.services.why_lessons import GUM_SQUARES, MASSES, SPREAD, UPDATE, read_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from steepboard.services.desk import Desk
    from steepboard.services.dry_lessons import BatchDried, DrySeen

_MARC = (Measure.MARC, Measure.DRY_MARC)
_RESIDUE = (Measure.RESIDUE_VOLUME, Measure.RESIDUE)
_DISSOLVED = "What is left of a dried sample, brought to all of the liquor, is what dissolved. "
_LEFT = "The dried marc, less what dried of the liquor it held, is what did not dissolve. "
_MISSING = (
    "What the dried marc lacks of the dry mass went out with the liquor: of all that dissolved the "
    "same share as of the ethanol and water. All of it is taken as a share of the dry mass."
)
_DRY_MASS = "Both together are the dry mass; "


def of_dried(desk: Desk, dried: Iterable[DrySeen]) -> tuple[Why, ...]:
    """Return the answers for all that is shown of what dried samples taught."""
    return tuple(answer for one in dried for answer in of_share(desk, one))


def of_share(desk: Desk, seen: DrySeen) -> Iterator[Why]:
    """Yield the answers for one share of one botanical."""
    yield Why(
        f"{seen.figure}, beforehand",
        share_with_u(seen.usual.value, seen.usual.u),
        "What is known of it before anything was dried here.",
        seen.usual.source,
    )
    yield _known(seen)
    yield _next(seen)
    for batch in seen.shown:
        yield _batch(desk, seen, batch)


def _known(seen: DrySeen) -> Why:
    return Why(
        seen.figure,
        share_with_u(seen.learned.mean, seen.learned.u),
        "What was taken to be so beforehand and what each batch told, each weighed by how sure it "
        "is: by its own ±, and by how much batches differ. A batch far from the others counts for "
        "little.",
        UPDATE,
        (
            _before(seen),
            *(
                Input(
                    one.code,
                    f"{share_with_u(one.value, one.u)}, counted with ± {doubt(one.counted_u)}",
                    f"see {seen.figure}, {one.code}",
                )
                for one in seen.shown
            ),
            *_earlier(seen),
            Input("from batch to batch", f"± {doubt(seen.learned.spread)}", SPREAD),
        ),
    )


def _earlier(seen: DrySeen) -> Iterator[Input]:
    """Yield what the batches that are not listed said together."""
    rest = [one.value for one in seen.batches[len(seen.shown) :]]
    if rest:
        span = f"{100 * min(rest):.1f} to {100 * max(rest):.1f} %"
        yield Input(f"{len(rest)} earlier", span, "measured here")


def _next(seen: DrySeen) -> Why:
    return Why(
        f"{seen.figure}, next batch",
        f"± {doubt(seen.learned.next_u)}",
        "The ± of what is known and how much batches differ, added in squares.",
        GUM_SQUARES,
        (
            Input("known", f"± {doubt(seen.learned.u)}", f"see {seen.figure}"),
            Input("from batch to batch", f"± {doubt(seen.learned.spread)}", SPREAD),
        ),
    )


def _batch(desk: Desk, seen: DrySeen, batch: BatchDried) -> Why:
    return Why(
        f"{seen.figure}, {batch.code}",
        f"{share_with_u(batch.value, batch.u)}, {about_dried(batch)}",
        _rule(seen, batch),
        MASSES,
        tuple(_inputs(desk, seen, batch)),
    )


def _rule(seen: DrySeen, batch: BatchDried) -> str:
    both = batch.by_marc and batch.by_residue
    if seen.share == WATER:
        return _DISSOLVED + _LEFT + _DRY_MASS + "the rest of what was weighed in was water."
    if both:
        return _DISSOLVED + _LEFT + _DRY_MASS + "what dissolved is taken as a share of it."
    if batch.by_residue:
        return _DISSOLVED + "It is taken as a share of the dry mass."
    return _MISSING


def _inputs(desk: Desk, seen: DrySeen, batch: BatchDried) -> Iterator[Input]:
    """Yield what was charged, how dry it was taken to be beforehand, and what was read."""
    (line,) = batch.strain.botanicals
    yield Input(line.name, line.typed, CHARGED)
    for spirit in batch.strain.spirits:
        yield from pour_of(spirit, CHARGED, desk.library)
    usual, figure = seen.believed[0], f"{WATER} {seen.name}"
    if line.moisture is None:
        yield Input(figure, share_with_u(usual.value, usual.u), usual.source)
    else:
        yield Input(figure, percent(line.moisture), GIVEN)
    if batch.by_residue:
        yield solids_of(desk.settings)
    readings = batch.strain.readings
    used = (*_MARC * batch.by_marc, *_RESIDUE * batch.by_residue)
    yield from (read_of(measure, readings[measure]) for measure in used)


def _before(seen: DrySeen) -> Input:
    usual = share_with_u(seen.usual.value, seen.usual.u)
    return Input("beforehand", usual, f"see {seen.figure}, beforehand")
