"""The published rows, each with what our arithmetic makes of it."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

from steepboard.domain import alcohol

REFERENCE = Path(__file__).parents[1] / "reference"

AIR_KG_M3 = 1.2  # air at room conditions, from memory; weighs in on specific gravity "in air"


@dataclass(frozen=True)
class Check:
    """One published figure against ours."""

    name: str
    source: str
    published: float
    ours: float
    tolerance: float


def rows(table: str) -> list[dict[str, str]]:
    """Return the rows of a reference table, misprints left out."""
    with (REFERENCE / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        found = list(csv.DictReader(line for line in file if not line.startswith("#")))
    return [row for row in found if "misprint" not in row.get("note", "")]


def at_20(percent: float, scale_c: float) -> float:
    """Return the strength at 20 °C of a percent by volume at another temperature."""
    return alcohol.strength_of(alcohol.mass_fraction_of(percent / 100, scale_c))


def densities() -> list[Check]:
    checks = []
    for i, row in enumerate(rows("density_checks")):
        value, t = float(row["value"]) / 100, float(row["temperature_c"])
        by_mass = row["basis"] == "mass_percent"
        ours = alcohol.density_kg_m3(value if by_mass else alcohol.mass_fraction_of(value), t)
        name = f"density {i}: {row['basis']} {row['value']} at {row['temperature_c']}"
        published = float(row["density_kg_m3"])
        checks.append(Check(name, row["source"], published, ours, float(row["tolerance"])))
    return checks


def specific_gravities() -> list[Check]:
    checks = []
    for i, row in enumerate(rows("specific_gravity_checks")):
        t, water_t = float(row["temperature_c"]), float(row["water_reference_c"])
        air = AIR_KG_M3 if row["weighed_in"] == "air" else 0.0
        strength = at_20(float(row["value"]), alcohol.PROOF_SCALE_C)
        liquid = alcohol.density_kg_m3(alcohol.mass_fraction_of(strength), t)
        ours = (liquid - air) / (alcohol.density_kg_m3(0.0, water_t) - air)
        name = f"specific gravity {i}: {row['value']} at {row['temperature_c']}"
        published = float(row["specific_gravity"])
        checks.append(Check(name, row["source"], published, ours, float(row["tolerance"])))
    return checks


def dilutions() -> list[Check]:
    checks = []
    for i, row in enumerate(rows("dilution_checks")):
        t, amount = float(row["temperature_c"]), float(row["initial_amount"])
        before = at_20(float(row["initial_abv_percent"]), t)
        after = at_20(float(row["target_abv_percent"]), t)
        if row["unit"] in ("g", "lb"):
            made = alcohol.dilute(alcohol.volume_ml(amount, before, t), before, after, t)
            ours, total = made.water_g, amount + made.water_g
        else:
            made = alcohol.dilute(amount, before, after, t)
            ours, total = made.water_ml, made.total_ml
        name = f"dilution {i}: {row['initial_abv_percent']} to {row['target_abv_percent']}"
        published, tolerance = float(row["water_to_add"]), float(row["tolerance_on_water"])
        checks.append(Check(name, row["source"], published, ours, tolerance))
        if row["final_amount"]:
            published = float(row["final_amount"])
            checks.append(Check(f"{name}, total", row["source"], published, total, tolerance))
    return checks


def temperatures() -> list[Check]:
    checks = []
    for i, row in enumerate(rows("temperature_checks")):
        per_strength = 200.0 if row["scale"] == "us_proof" else 100.0
        scale_c, t = float(row["graduated_at_c"]), float(row["liquid_temperature_c"])
        reading = float(row["reading"]) / per_strength
        if row["check"] == "apparent_to_true":
            strength = alcohol.hydrometer_strength(reading, t, scale_c)
            mass_fraction = alcohol.mass_fraction_of(strength)
            ours = alcohol.strength_of(mass_fraction, scale_c) * per_strength
        else:
            strength = at_20(reading * 100, scale_c)
            cool = alcohol.volume_at_20_ml(1.0, strength, scale_c)
            ours = alcohol.volume_at_20_ml(1.0, strength, t) / cool
        name = f"temperature {i}: {row['check']} {row['reading']} at {row['liquid_temperature_c']}"
        published = float(row["expected"])
        checks.append(Check(name, row["source"], published, ours, float(row["tolerance"])))
    return checks


def mixings() -> list[Check]:
    checks = []
    for i, row in enumerate(rows("mixing_checks")):
        # The strengths are at 20 °C; pure alcohol is pure on any scale.
        spirit = (float(row["spirit_volume"]), float(row["spirit_abv_percent"]) / 100)
        water = (float(row["water_volume"]), 0.0)
        ours = alcohol.blend([spirit, water], float(row["temperature_c"])).total_ml
        name = f"mixing {i}: {row['spirit_volume']} + {row['water_volume']}"
        published = float(row["final_volume"])
        checks.append(Check(name, row["source"], published, ours, float(row["tolerance"])))
    return checks


TABLES = {
    "density, kg/m³": densities,
    "specific gravity": specific_gravities,
    "water to add, per table": dilutions,
    "temperature, % vol, proof or factor": temperatures,
    "volume after mixing": mixings,
}
