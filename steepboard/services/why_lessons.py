"""Why what is known of the liquid that solids hold is what it is: beforehand, now, each batch."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.domain.records import Measure
from steepboard.domain.why import Input, Why
from steepboard.services.lessons import about, with_u
from steepboard.services.straining import shown
from steepboard.services.why_charge import CHARGED, dryness_of, kept_of, pour_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from steepboard.services.desk import Desk
    from steepboard.services.lessons import BatchSeen, GroupSeen, PlantSeen
    from steepboard.store.strains import Read, Strain

UPDATE = (
    "published: Gelman and others, Bayesian Data Analysis, 3rd ed., 5.4; from memory. How much "
    "class and botanicals may differ is assumed"
)
SPREAD = "worked out of the batches; at least a tenth of the ± beforehand, assumed"
GUM_SQUARES = "published: JCGM 100:2008 (GUM), 5.1.2"
MASSES = "masses add up, and volumes follow by the density of the liquor"


def of_groups(desk: Desk, groups: Iterable[GroupSeen]) -> tuple[Why, ...]:
    """Return the answers for all that is shown of what jars taught."""
    return tuple(answer for group in groups for answer in of_group(desk, group))


def of_group(desk: Desk, group: GroupSeen) -> Iterator[Why]:
    """Yield the answers for one kind of material."""
    before = with_u(group.usual.mean, group.usual.sd)
    yield Why(
        "beforehand",
        f"{before} mL by each {group.gram} of {group.material}, {group.separation}",
        "What such solids hold before any of them was weighed here.",
        group.usual.source,
    )
    for plant in group.plants:
        yield _known(group, plant)
        yield _next(plant)
        yield _in_range(plant)
        for batch in plant.shown:
            yield _batch(desk, group, plant, batch)


def _known(group: GroupSeen, plant: PlantSeen) -> Why:
    kin = f"{plant.kin} batches, see each" if plant.kin else "no batch yet"
    return Why(
        plant.name,
        f"{with_u(plant.learned.mean, plant.learned.u)} mL",
        "What was taken to be so beforehand and what each batch measured, each weighed by how sure "
        "it is: by its own ±, and by how much batches differ. Others of its kind, strained alike, "
        "move what is expected of it a little; a batch far from the others counts for little.",
        UPDATE,
        (
            Input("beforehand", f"{with_u(group.usual.mean, group.usual.sd)} mL", "see beforehand"),
            *(
                Input(
                    one.code,
                    f"{one.value:.2f} mL, counted with ± {max(one.counted_u, 0.01):.2f}",
                    f"see {one.code}",
                )
                for one in plant.shown
            ),
            *_earlier(plant),
            Input("others of its kind", kin, "measured here"),
            Input("from batch to batch", f"± {plant.learned.spread:.2f} mL", SPREAD),
        ),
    )


def _earlier(plant: PlantSeen) -> Iterator[Input]:
    """Yield what the batches that are not listed said together."""
    rest = plant.batches[len(plant.shown) :]
    if rest:
        low, high = min(one.value for one in rest), max(one.value for one in rest)
        yield Input(f"{len(rest)} earlier", f"{low:.2f} to {high:.2f} mL", "measured here")


def _next(plant: PlantSeen) -> Why:
    known = plant.learned
    return Why(
        f"next batch of {plant.name}",
        f"± {known.next_u:.2f} mL",
        "The ± of what is known and how much batches differ, added in squares.",
        GUM_SQUARES,
        (
            Input("known", f"± {known.u:.2f} mL", f"see {plant.name}"),
            Input("from batch to batch", f"± {known.spread:.2f} mL", SPREAD),
        ),
    )


def _in_range(plant: PlantSeen) -> Why:
    words = {True: "within its range", False: "outside its range", None: "not read"}
    return Why(
        f"as expected, {plant.name}",
        f"{plant.as_expected} of {plant.judged}",
        "Jars that bottled a volume within the 80 % range worked out by what was known when they "
        "were charged; of honest ranges 8 in 10 hold, in the long run.",
        "as it was read; see range of each jar",
        tuple(
            Input(one.code, words[one.as_expected], f"see range of {one.code}")
            for one in plant.batches
        ),
    )


def _batch(desk: Desk, group: GroupSeen, plant: PlantSeen, batch: BatchSeen) -> Why:
    rule = (
        "The wet marc, less what cannot dissolve or less the dried marc, in mL, by each "
        f"{group.gram}. What the straining lacks or has too much beyond 2 % counts as its ±."
        if batch.marc_weighed
        else "The liquid that neither came out nor stayed elsewhere: held by the solids, by each "
        f"{group.gram}. Its ± counts 1 % for what evaporates or is spilt unseen."
    )
    if len(batch.strain.botanicals) > 1:
        rule += " Of several botanicals each takes its share of what is unusual."
    if group.usual.per_dry:
        rule += (
            " The grams are as dry as the botanical is believed to be now; the balance of the jar "
            "goes by what was believed as it was charged, so the two may differ a little. The ± is "
            "that of what was read: a wrong belief of how dry it is would move all its jars alike."
        )
    return Why(
        batch.code,
        f"{with_u(batch.value, batch.u)} mL of {plant.name}, {about(batch)}",
        rule,
        f"{MASSES}; that a straining closes to 2 % is common practice, no source",
        tuple(_inputs(desk, batch.strain)),
    )


def _inputs(desk: Desk, jar: Strain) -> Iterator[Input]:
    """Yield what was charged, how dry that is known to be now, and what was read."""
    library = desk.library
    for line in jar.botanicals:
        yield Input(line.name, line.typed, CHARGED)
    for spirit in jar.spirits:
        yield from pour_of(spirit, CHARGED, library)
    for line in jar.botanicals:
        yield from dryness_of(line, library)
    for measure, read in jar.readings.items():
        yield read_of(measure, read)
    if Measure.FILTER_AFTER not in jar.readings:
        yield kept_of(jar.kept_ml, desk.settings)


def read_of(measure: Measure, read: Read) -> Input:
    """Return a reading with the step of its instrument."""
    step = shown(measure, read.resolution)
    return Input(measure.value, shown(measure, read.value), f"measured here, to {step}")
