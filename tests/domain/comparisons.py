"""Each published formula rebuilt by our planner with its own spread."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from steepboard.catalogue import load
from steepboard.domain.liquor import Liquor, Pour, Solid, liquor
from steepboard.domain.planning import Plan, Terms, plan_for_yield, plan_from
from steepboard.domain.records import Separation
from steepboard.domain.roots import root_between
from steepboard.domain.washing import rinse
from tests.domain.formulas import DAMPENED, IN_PARTS, MADE_UP, TABLE, TOLD, Drug

KEPT_ML, KEPT_U_ML = 6.0, 3.0  # the house settings: what filter and vessel keep; assumed
GLYCERIN_G_ML = 1.26  # from memory
ALCOHOL = (0.94, 0.95)  # "alcohol" of the old US texts, by volume; ratios.csv, from memory
DILUTED = (0.484, 0.495)  # "diluted alcohol" of the US texts; ratios.csv F16, F17, from memory


@dataclass(frozen=True)
class Comparison:
    """A published figure, or its range, against ours with its 80 % interval or its own range."""

    row_id: str
    what: str
    published: tuple[float, float]
    ours: tuple[float, float, float]
    holds: bool
    how: str
    row: dict[str, str]

    @property
    def difference(self) -> float:
        """Ours less published, relative, from middle to middle."""
        middle = sum(self.published) / 2
        return (self.ours[1] - middle) / middle

    def __str__(self) -> str:
        low, middle, high = self.ours
        return (
            f"{self.row_id} {self.row['name']} ({self.row['text']}), {self.what}: published "
            f"{self.published}, ours {middle:.4g} ({low:.4g} to {high:.4g}); {self.how}; "
            f"source: {self.row['source']}; {self.row['obtained']}"
        )


def terms(drugs: tuple[Drug, ...], strength: float, poured_ml: float, way: Separation) -> Terms:
    """Return what our planner is asked with for such a jar."""
    ratio = poured_ml / sum(drug.mass_g for drug in drugs)
    materials = tuple(drug.material(way) for drug in drugs)
    return Terms(strength, materials, KEPT_ML, KEPT_U_ML, ratio=ratio)


def planned(drugs: tuple[Drug, ...], strength: float, poured_ml: float, way: Separation) -> Plan:
    """Return what our planner says of such a jar."""
    asked = terms(drugs, strength, poured_ml, way)
    return plan_from(asked, botanical_g=sum(drug.mass_g for drug in drugs))


def yields() -> Iterator[Comparison]:
    """Compare bottled volumes that are told."""
    for name, (drugs, strength, poured_ml, told_ml, way) in TOLD.items():
        plan = planned(drugs, strength, poured_ml, way)
        low, middle, high = plan.low_ml, plan.expected_ml, plan.high_ml
        yield Comparison(
            name,
            "product, mL",
            told_ml,
            (low, middle, high),
            low <= told_ml[1] and told_ml[0] <= high,
            "our interval meets the range told",
            TABLE[name.split()[0]],
        )


def drug_masses() -> Iterator[Comparison]:
    """Compare the drug that is told with what our planner weighs for the middle of what is told."""
    for name, (drugs, strength, poured_ml, told_ml, way) in TOLD.items():
        drug_g = sum(drug.mass_g for drug in drugs)
        plan = plan_for_yield(sum(told_ml) / 2, terms(drugs, strength, poured_ml, way))
        least, most = (
            plan.botanical_g * told_ml[i] / ml for i, ml in ((0, plan.high_ml), (1, plan.low_ml))
        )
        yield Comparison(
            name,
            "drug, g",
            (drug_g, drug_g),
            (least, plan.botanical_g, most),
            least <= drug_g <= most,
            "to bottle the product told",
            TABLE[name.split()[0]],
        )


def made_up() -> Iterator[Comparison]:
    """Compare with the volume that a strained jar was made up to."""
    for name, (drugs, way) in MADE_UP.items():
        row = TABLE[name]
        strength, poured_ml = _strength(row), float(row["solvent_ml"])
        plan = planned(drugs, strength, poured_ml, way)
        low, middle, high = plan.low_ml, plan.expected_ml, plan.high_ml
        to_ml = float(row["product_ml"])
        how = "as it runs off"
        if middle < to_ml:
            held_ml = plan.liquor.volume_ml - middle
            rinsed = rinse(held_ml, plan.liquor.true_strength, middle, to_ml - middle, strength)
            rinse_ml, fetched = to_ml - middle, 1 - rinsed.left
            how = f"rinsed with {rinse_ml:.0f} mL, which fetch {100 * fetched:.0f} % of the held"
        yield Comparison(
            name, "product, mL", (to_ml, to_ml), (low, middle, high), low <= to_ml, how, row
        )


def dampened() -> Iterator[Comparison]:
    """Compare what drained solids hold with what only dampens them."""
    for name, drugs in DAMPENED.items():
        row = TABLE[name]
        poured_ml = float(row["product_ml"] or 700)  # F29 percolates to 700 mL
        plan = planned(drugs, _strength(row), poured_ml, Separation.DRIP)
        least_ml = float(row["moistening_ml"])
        held_ml = [
            plan.liquor.volume_ml - KEPT_ML - ml
            for ml in (plan.high_ml, plan.expected_ml, plan.low_ml)
        ]
        yield Comparison(
            name,
            "held, mL",
            (least_ml, least_ml),
            (held_ml[0], held_ml[1], held_ml[2]),
            held_ml[1] >= least_ml,
            "a floor: what only dampens the powder",
            row,
        )


def in_parts() -> Iterator[Comparison]:
    """Compare the strength of solvents that are told in parts; ranges are told to half a %."""
    for name, (alcohol_ml, water_ml, glycerin_ml) in IN_PARTS.items():
        row = TABLE[name]
        low, high = (
            100 * mixed([(alcohol_ml, of), (water_ml, 0.0)], glycerin_ml).true_strength
            for of in ALCOHOL
        )
        told = float(row["abv_low_pct"]), float(row["abv_high_pct"])
        yield Comparison(
            name,
            "solvent, % vol",
            told,
            (low, (low + high) / 2, high),
            told[0] - 0.25 <= low and high <= told[1] + 0.25,
            "masses add; for alcohol of 94 to 95 %",
            row,
        )


def end_strengths() -> Iterator[Comparison]:
    """Compare the strength that the finished tincture was found to have."""
    for name, told, ours, how in (
        ("F11", (62.0, 72.0), [_lemon(of) for of in (0.94, 0.949, 0.96)], "rinsed to volume"),
        ("F18", (43.0, 47.0), [_glycerin(of) for of in (*DILUTED, 0.49)], "glycerin 50 in 1000"),
        ("F23", (38.0, 42.0), [_vanilla(of) for of in (*DILUTED, 0.49)], "200 g sugar in 1000"),
    ):
        low, middle, high = sorted(100 * strength for strength in ours)
        holds = told[0] <= low and high <= told[1]
        yield Comparison(name, "end, % vol", told, (low, middle, high), holds, how, TABLE[name])


def all_comparisons() -> list[Comparison]:
    """Return every comparison, as they are printed."""
    return [*yields(), *drug_masses(), *made_up(), *dampened(), *in_parts(), *end_strengths()]


def mixed(
    spirits: list[tuple[float, float]], glycerin_ml: float = 0.0, solids: tuple[Solid, ...] = ()
) -> Liquor:
    """Return spirits of (mL, strength) mixed; glycerin counts as a solid of its own volume."""
    glycerin = Solid(glycerin_ml * GLYCERIN_G_ML, 0.0, 1.0)
    pours = [Pour(*spirit) for spirit in spirits]
    return liquor([glycerin, *solids], pours, 1 / GLYCERIN_G_ML)


def _strength(row: dict[str, str]) -> float:
    return (float(row["abv_low_pct"]) + float(row["abv_high_pct"])) / 200


def _lemon(of: float) -> float:
    """F11: 500 g of fresh peel in 900 mL, filtered, the residue rinsed to 1000 mL."""
    drugs, way = MADE_UP["F11"]
    plan = planned(drugs, of, 900.0, way)
    middle, made = plan.expected_ml, plan.liquor
    held_ml = made.volume_ml - middle
    return rinse(held_ml, made.true_strength, middle, 1000.0 - middle, of).pooled_strength


def _glycerin(of: float) -> float:
    """F18: the solvent is 50 mL of glycerin and 950 of diluted alcohol; 57 g of dry drugs."""
    moisture, _ = load.class_defaults("seed")
    return mixed([(950.0, of)], 50.0, (Solid(57.0, moisture.value, 0.0),)).true_strength


def _vanilla(of: float) -> float:
    """F23: 100 g beans, 200 mL water, 207 of alcohol, 200 g sugar, diluted alcohol to 1000 mL."""
    moisture, soluble = load.class_defaults("bean")
    solids = [Solid(200.0, 0.0, 1.0), Solid(100.0, moisture.value, soluble.value)]

    def with_ml(diluted_ml: float) -> Liquor:
        return liquor(solids, [Pour(200.0, 0.0), Pour(207.0, 0.945), Pour(diluted_ml, of)])

    return with_ml(
        root_between(lambda ml: with_ml(ml).volume_ml - 1000.0, 0.0, 1000.0)
    ).true_strength
