"""The JSON Schemas (draft 2020-12) of the project files, made from the records themselves.

    python -m workbench.store.schemas resources/schema

writes the committed files; a test fails when they are not fresh. Descriptions come from the
docstrings of the records. Unknown fields are allowed everywhere, because a newer version may have
written them.
"""

from __future__ import annotations

import dataclasses
import inspect
import json
import re
import sys
import types
from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from pathlib import Path
from typing import Any, Union, get_args, get_origin, get_type_hints

from workbench.domain.boat import Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Inspection
from workbench.domain.ledger import Ledger
from workbench.domain.money import Money
from workbench.domain.quantity import Quantity
from workbench.store.codec import ALWAYS_WRITTEN, plan_of
from workbench.store.loading import ComparablesFile, PricesFile, ProjectFile
from workbench.store.schema_words import WORDS

Schema = dict[str, Any]

RECORDS: Mapping[str, type[Any]] = {
    "project": ProjectFile,
    "boat": Boat,
    "inspection": Inspection,
    "ledger": Ledger,
    "comparables": ComparablesFile,
    "overrides-prices": PricesFile,
}
DIALECT = "https://json-schema.org/draft/2020-12/schema"
_ID = {"type": "string", "pattern": "^[a-z0-9][a-z0-9-]{0,39}$"}
_SPECIAL: Mapping[tuple[type[Any], str], Schema] = {
    (Boat, "id"): _ID,
    (ProjectFile, "boats"): {"type": "array", "items": _ID, "uniqueItems": True},
    (ProjectFile, "format_version"): {
        "type": "array",
        "items": {"type": "integer", "minimum": 0, "maximum": 10000},
        "minItems": 2,
        "maxItems": 2,
    },
    (Money, "currency"): {"type": "string", "pattern": "^[A-Z]{3}$"},
    (Quantity, "unit"): {"type": "string", "minLength": 1},
}
_PLAIN: Mapping[Any, Schema] = {
    str: {"type": "string"},
    bool: {"type": "boolean"},
    int: {"type": "integer"},
    float: {"type": "number"},
    object: {},
    Decimal: {
        "type": "string",
        "pattern": r"^-?[0-9]+(\.[0-9]+)?([eE][+-]?[0-9]{1,3})?$",
    },
    date: {"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"},
    datetime: {
        "type": "string",
        "pattern": r"^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]{6})?)?$",
    },
}


def schema_of(name: str) -> Schema:
    """The schema of one of the files in `RECORDS`."""
    definitions: dict[str, Schema] = {}
    body = _record(RECORDS[name], definitions)
    schema = {"$schema": DIALECT, "title": f"{name}.json", **body}
    if definitions:
        schema["$defs"] = dict(sorted(definitions.items()))
    return schema


def schema_text(name: str) -> str:
    """The schema as it stands in its file."""
    return json.dumps(schema_of(name), indent=2, ensure_ascii=False) + "\n"


def _record(record: type[Any], definitions: dict[str, Schema]) -> Schema:
    hints = get_type_hints(record)
    words = _attribute_words(record)
    required = [n for n, plan in plan_of(record).fields.items() if plan.required]
    required += [n for n in plan_of(record).fields if n in ALWAYS_WRITTEN and n not in required]
    if record is ProjectFile:
        required.append("format_version")
    properties = {}
    for name in plan_of(record).fields:
        special = _SPECIAL.get((record, name))
        shape = special or _shape(hints[name], definitions)
        known = words.get(name) or WORDS.get(f"{record.__name__}.{name}") or WORDS[name]
        properties[name] = {**shape, "description": known}
    schema: Schema = {"description": _first_sentence(record), "type": "object"}
    if required:
        schema["required"] = sorted(required)
    return {**schema, "properties": properties}


def _shape(hint: Any, definitions: dict[str, Schema]) -> Schema:
    """The schema of one type."""
    origin = get_origin(hint)
    if origin in (Union, types.UnionType):
        shapes = [_shape(p, definitions) for p in get_args(hint) if p is not type(None)]
        return shapes[0] if len(shapes) == 1 else {"anyOf": shapes}
    if origin is tuple:
        return {"type": "array", "items": _shape(get_args(hint)[0], definitions)}
    if origin is FrozenMap:
        inner = _shape(get_args(hint)[1], definitions)
        return {"type": "object", "additionalProperties": inner}
    if isinstance(hint, type) and issubclass(hint, Enum):
        return {"type": "string", "enum": [member.value for member in hint]}
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        if hint.__name__ not in definitions:
            definitions[hint.__name__] = {}
            definitions[hint.__name__] = _record(hint, definitions)
        return {"$ref": f"#/$defs/{hint.__name__}"}
    return _PLAIN[hint]


def _first_sentence(record: type[Any]) -> str:
    text = inspect.cleandoc(record.__doc__ or "")
    return " ".join(text.split("\n\n")[0].split())


def _attribute_words(record: type[Any]) -> dict[str, str]:
    """What the Attributes section of a docstring says, by field."""
    text = inspect.cleandoc(record.__doc__ or "")
    _, _, section = text.partition("Attributes\n----------\n")
    words: dict[str, str] = {}
    for names, said in re.findall(r"^(\S[^\n]*)\n((?:[ ]{4}[^\n]*\n?|\n)+)", section, re.MULTILINE):
        for name in names.split(", "):
            words[name] = " ".join(said.split())
    return words


def main(arguments: list[str]) -> int:
    """Write all schemas into the folder named by the only argument."""
    folder = Path(arguments[0])
    for name in RECORDS:
        (folder / f"{name}.schema.json").write_text(schema_text(name), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
