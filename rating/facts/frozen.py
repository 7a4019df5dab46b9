"""Making a value of the facts one that nobody can change: its mappings refuse, its lists become tuples."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from types import MappingProxyType
from typing import Any, NoReturn


class FrozenDict(dict[Any, Any]):
    """A dictionary that is only read."""

    __slots__ = ()

    def _refuse(self, *_: object, **__: object) -> NoReturn:
        raise TypeError("facts are not changed")

    __setitem__ = _refuse
    __delitem__ = _refuse
    __ior__ = update = setdefault = pop = popitem = clear = _refuse

    def __reduce__(self) -> tuple[Any, ...]:
        return FrozenDict, (dict(self),)

    def __deepcopy__(self, _: object) -> FrozenDict:
        return self


def frozen(value: Any) -> Any:
    """The value with every mapping, list and set in it made one that is only read.

    Frozen dataclasses keep their identity; rows of tables, which are named tuples of texts, are as they are.
    """
    if is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            old = getattr(value, field.name)
            new = frozen(old)
            if new is not old:
                object.__setattr__(value, field.name, new)
        return value
    if isinstance(value, FrozenDict | MappingProxyType):
        return value
    if isinstance(value, Mapping):
        return FrozenDict({key: frozen(one) for key, one in value.items()})
    if isinstance(value, set):
        return frozenset(value)
    if isinstance(value, list):
        return tuple(frozen(one) for one in value)
    if type(value) is tuple and value and (is_dataclass(value[0]) or isinstance(value[0], Mapping | list)):
        made = tuple(frozen(one) for one in value)
        return value if all(new is old for new, old in zip(made, value, strict=True)) else made
    return value
