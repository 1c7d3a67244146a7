"""Every fault that stops an act, one class for each cause; the data is in the attributes.

What a person should merely look at is not a fault but a finding (`domain.findings`).
"""

from __future__ import annotations

from steepboard.errors.acts import (
    AlreadyDrawn,
    DeadlyPlant,
    Doubtful,
    DrawnBefore,
    NeedsAcknowledging,
    NoReason,
    NotEnough,
    NotForDrinking,
    NothingDue,
    NothingToUndo,
    TakeBackFirst,
    TooLate,
    WrongState,
)
from steepboard.errors.amounts import BadAmount, NoAnswer, NothingWeighed, OutOfRange, TooStrong
from steepboard.errors.base import SteepboardError
from steepboard.errors.files import (
    AlreadyThere,
    BadCatalogue,
    BadCell,
    BadDocument,
    BadList,
    BadRows,
    BadSettings,
    NotInCsv,
    NotOurs,
    RecordUnusable,
    ShelfNotEmpty,
    TooNew,
)
from steepboard.errors.names import (
    NoCurrency,
    NoPrice,
    NotDrawnBy,
    NotKept,
    OtherTincture,
    UnknownBottle,
    UnknownJar,
    UnknownMaterial,
    UnknownStock,
    UnknownWord,
)
from steepboard.errors.printing import DoesNotFit, FontUnusable, UnknownSheet, Unprintable
from steepboard.errors.running import AlreadyRunning, DemoOpen, NoTerminal, ServiceRefused

__all__ = [
    "AlreadyDrawn",
    "AlreadyRunning",
    "AlreadyThere",
    "BadAmount",
    "BadCatalogue",
    "BadCell",
    "BadDocument",
    "BadList",
    "BadRows",
    "BadSettings",
    "DeadlyPlant",
    "DemoOpen",
    "DoesNotFit",
    "Doubtful",
    "DrawnBefore",
    "FontUnusable",
    "NeedsAcknowledging",
    "NoAnswer",
    "NoCurrency",
    "NoPrice",
    "NoReason",
    "NoTerminal",
    "NotDrawnBy",
    "NotEnough",
    "NotForDrinking",
    "NotInCsv",
    "NotKept",
    "NotOurs",
    "NothingDue",
    "NothingToUndo",
    "NothingWeighed",
    "OtherTincture",
    "OutOfRange",
    "RecordUnusable",
    "ServiceRefused",
    "ShelfNotEmpty",
    "SteepboardError",
    "TakeBackFirst",
    "TooLate",
    "TooNew",
    "TooStrong",
    "UnknownBottle",
    "UnknownJar",
    "UnknownMaterial",
    "UnknownSheet",
    "UnknownStock",
    "UnknownWord",
    "Unprintable",
    "WrongState",
]
