"""The published form of the document, and what is wrong with a row of it in plain words."""

from __future__ import annotations

import functools
import json
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from steepboard.text import visible

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from jsonschema import Draft202012Validator
    from jsonschema.exceptions import ValidationError

    from steepboard.store.intake import Path as Place

FORMAT, VERSION = "steepboard shelf", 1
_PACKAGE = Path(__file__).parents[2]
_TYPES = {
    "string": "text",
    "number": "a number",
    "integer": "a whole number",
    "boolean": "true or false",
    "object": "an object in { }",
    "array": "a list in [ ]",
}
_LONGEST = 40  # characters of a value that are shown; assumed, enough to find it again


def schema_path() -> Path:
    """Return where the schema lies: beside the package, or in it once it is installed."""
    inside = _PACKAGE / "config" / "schema"
    folder = inside if inside.is_dir() else _PACKAGE.parent / "config" / "schema"
    return folder / f"shelf-{VERSION}.json"


@functools.cache
def schema() -> dict[str, Any]:
    """Return the schema, read once."""
    told: dict[str, Any] = json.loads(schema_path().read_text(encoding="utf-8"))
    return told


@functools.cache
def _rows(name: str) -> dict[str, Any]:
    """Return the schema of a row of a list with what it refers to in its place: twice as quick."""

    def inlined(part: Any) -> Any:
        if isinstance(part, list):
            return [inlined(one) for one in part]
        if not isinstance(part, dict):
            return part
        if "$ref" in part:
            return inlined(schema()["$defs"][part["$ref"].rpartition("/")[2]])
        return {word: inlined(one) for word, one in part.items()}

    made: dict[str, Any] = inlined(schema()["properties"][name]["items"])
    return made


def of_part(name: str, way: Sequence[str]) -> dict[str, Any]:
    """Return what the schema says of a part of the rows of a list, by the way to it."""
    found = _rows(name)
    for word in way:
        found = found.get("items", found)["properties"][word]
    return found


def faults(name: str, row: object) -> Iterator[tuple[Place, str]]:
    """Yield where a row of the list `name` is not as the schema has it, and why."""
    errors = _validator(name).iter_errors(row)
    yield from dict.fromkeys((tuple(error.path), _why(error)) for error in errors)


@functools.cache
def _validator(name: str) -> Draft202012Validator:
    from jsonschema import Draft202012Validator, FormatChecker

    checker = FormatChecker(formats=())
    checker.checks("date", ValueError)(lambda value: bool(date.fromisoformat(value)))
    checker.checks("instant", ValueError)(lambda value: bool(datetime.fromisoformat(value)))
    return Draft202012Validator(_rows(name), format_checker=checker)


def _why(error: ValidationError) -> str:
    told = _REASONS.get(str(error.validator), lambda _: "{found} is not written as it should be")
    return told(error).replace("{found}", _shown(error.instance))


def _lacking(error: ValidationError) -> str:
    missing = (f"“{word}”" for word in error.validator_value if word not in error.instance)
    return f"it lacks {', '.join(missing)}"


def _neither(error: ValidationError) -> str:
    words = [" and ".join(f"“{word}”" for word in one["required"]) for one in error.validator_value]
    return f"it lacks {' or '.join(words)}, or has both"


def _unknown(error: ValidationError) -> str:
    known = error.schema["properties"]
    return ", ".join(_shown(word) for word in error.instance if word not in known) + " is not known"


_REASONS: Mapping[str, Callable[[ValidationError], str]] = {
    "required": _lacking,
    "oneOf": _neither,
    "additionalProperties": _unknown,
    "type": lambda error: f"{{found}} is not {_TYPES[error.validator_value]}",
    "enum": lambda error: f"{{found}} is none of {', '.join(error.validator_value)}",
    "const": lambda error: f"{{found}} is not {error.validator_value}",
    "minimum": lambda error: f"{{found}} is below {error.validator_value:g}",
    "maximum": lambda error: f"{{found}} is above {error.validator_value:g}",
    "exclusiveMinimum": lambda error: f"{{found}} is not above {error.validator_value:g}",
    "exclusiveMaximum": lambda error: f"{{found}} is not below {error.validator_value:g}",
    "maxLength": lambda error: f"{{found}} has more than {error.validator_value} characters",
    "minLength": lambda _: "it is empty",
    "minItems": lambda _: "it is empty",
}
"""By the word of JSON Schema that a row does not meet; `{found}` stands for what was found."""


def _shown(value: object) -> str:
    if isinstance(value, dict | list):
        return "this"
    text = visible(value if isinstance(value, str) else json.dumps(value))
    return f"“{text[:_LONGEST]}{'…' if text[_LONGEST:] else ''}”"
