"""The catalogue: botanicals, what a class of material holds back, cautions; each with sources."""

from __future__ import annotations

from steepboard.catalogue.cautions import caution, situation_cautions
from steepboard.catalogue.classes import absorption, class_defaults, class_label, classes
from steepboard.catalogue.library import SHIPPED, Library
from steepboard.catalogue.names import code_stem
from steepboard.catalogue.records import Absorption, Botanical, Caution, Sourced, Spirit, uniform_u

__all__ = [
    "SHIPPED",
    "Absorption",
    "Botanical",
    "Caution",
    "Library",
    "Sourced",
    "Spirit",
    "absorption",
    "all_botanicals",
    "caution",
    "class_defaults",
    "class_label",
    "classes",
    "code_stem",
    "find",
    "situation_cautions",
    "uniform_u",
]

find = SHIPPED.find
all_botanicals = SHIPPED.all_botanicals
