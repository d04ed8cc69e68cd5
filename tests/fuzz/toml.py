"""Writing TOML: just what a brief or a file of own kinds needs."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import Any


class Raw(str):
    """TOML that is written as it stands, sound or not."""


def dumps(tables: dict[str, Any]) -> str:
    """Values as TOML: scalars first, then each table, then each list of tables."""
    return "\n".join(_lines(tables, ())) + "\n"


def _lines(table: dict[str, Any], path: tuple[str, ...]) -> list[str]:
    plain, deeper = [], []
    for key, value in table.items():
        here = (*path, _key(key))
        if isinstance(value, dict):
            deeper += ["", f"[{'.'.join(here)}]", *_lines(value, here)]
        elif isinstance(value, list) and value and all(isinstance(v, dict) for v in value):
            for one in value:
                deeper += ["", f"[[{'.'.join(here)}]]", *_lines(one, here)]
        else:
            plain.append(f"{_key(key)} = {_value(value)}")
    return plain + deeper


def _key(key: str) -> str:
    return key if key.isascii() and key.isidentifier() else _text(key)


def _value(value: Any) -> str:
    if isinstance(value, Raw):
        return str(value)
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, list):
        return f"[{', '.join(_value(part) for part in value)}]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items()) + "}"
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    return repr(value)


def _text(text: str) -> str:
    def letter(c: str) -> str:
        if c in '"\\':
            return f"\\{c}"
        return c if c.isprintable() else f"\\U{ord(c):08x}"

    return f'"{"".join(map(letter, text))}"'
