"""The JSON Schema of every answer: data beside this, a file a command, and `common.json` for what they share.

Drafts of 2020-12. A schema tells every key that an answer has today; later versions may add keys, so none
forbids others.
"""

from __future__ import annotations

import json
import re
from importlib import resources
from typing import Any

_DRAFT = "https://json-schema.org/draft/2020-12/schema"
_SHARED = "common"
_NAMED = re.compile(r'"#/\$defs/(\w+)"')


def of(command: str) -> dict[str, Any]:
    """The schema of what a command answers with --json, whole in itself, such as that of 'ledger verify'."""
    own, shared = _read(command), _read(_SHARED)["$defs"]
    own_parts = own.pop("$defs", {})
    parts: dict[str, Any] = {}
    left = [own]
    while left:
        for name in _NAMED.findall(json.dumps(left.pop())):
            if name not in parts:
                parts[name] = own_parts[name] if name in own_parts else shared[name]
                left.append(parts[name])
    title = f"boxwright {command} --json"
    return {"$schema": _DRAFT, "title": title, **own, "$defs": dict(sorted(parts.items()))}


def text_of(command: str) -> str:
    """The same as text."""
    return json.dumps(of(command), ensure_ascii=False, indent=2)


def _read(name: str) -> dict[str, Any]:
    file = resources.files(__name__).joinpath(f"{name.replace(' ', '-')}.json")
    found: dict[str, Any] = json.loads(file.read_text(encoding="utf-8"))
    return found
