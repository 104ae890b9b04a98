"""Which names the public signatures use: read from the sources' own annotations, aliases too."""

from __future__ import annotations

import ast
import dataclasses
import inspect
import sys
from collections.abc import Iterator
from functools import cache
from importlib import import_module

# A name, and the module of ours that defines it.
Named = tuple[str, str]


def used_by(thing: object) -> set[Named]:
    """Return the names of ours that the annotations of a function, a class or an alias hold."""
    return {
        found
        for module, annotation in _annotations(thing)
        for name in _names_in(annotation)
        if (found := defined(module, name)) is not None and not name.startswith("_")
    }


def members_of(name: str, module: str) -> set[Named]:
    """Return the names of ours that an alias, as `Rack = RailRack | BayRack`, is made of."""
    value = _assigned(module).get(name)
    names = _names_in(ast.unparse(value)) if value is not None else set()
    return {found for each in names if (found := defined(module, each)) is not None}


def closure(names: dict[str, str]) -> tuple[set[Named], dict[str, set[str]]]:
    """Return all names reached from some public ones, and those that stand for two things."""
    todo: list[Named] = list(names.items())
    seen = set(todo)
    while todo:
        name, module = todo.pop()
        thing = getattr(import_module(module), name)
        reached = used_by(thing) | members_of(name, module)
        todo += sorted(reached - seen)
        seen |= reached
    homes: dict[str, set[str]] = {}
    for name, module in seen:
        homes.setdefault(name, set()).add(module)
    return seen, {name: modules for name, modules in homes.items() if len(modules) > 1}


def _annotations(thing: object) -> Iterator[tuple[str, str]]:
    if inspect.isfunction(thing):
        yield from ((thing.__module__, str(text)) for text in thing.__annotations__.values())
    if not inspect.isclass(thing):
        return
    for kind in thing.__mro__:
        if not kind.__module__.startswith("fitcheck."):
            continue
        own = inspect.get_annotations(kind)
        yield from ((kind.__module__, str(text)) for name, text in own.items() if not name.startswith("_"))
        for name, member in kind.__dict__.items():
            held = member.fget if isinstance(member, property) else getattr(member, "__func__", member)
            if (name == "__init__" or not name.startswith("_")) and inspect.isfunction(held):
                yield from _annotations(held)


def _names_in(text: str) -> set[str]:
    # A type inside Literal[...] is no name, whatever it is called.
    try:
        tree = ast.parse(text, mode="eval")
    except SyntaxError:
        return set()
    return {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}


@cache
def _assigned(module: str) -> dict[str, ast.expr]:
    """Return what a module gives names to at its top: its aliases and constants."""
    tree = ast.parse(inspect.getsource(import_module(module)))
    found: dict[str, ast.expr] = {}
    for node in tree.body:
        if isinstance(node, ast.Assign):
            found |= {target.id: node.value for target in node.targets if isinstance(target, ast.Name)}
    return found


@cache
def _imported(module: str) -> dict[str, tuple[str, str]]:
    """Return what a module imports from ours: the name here, with the module and the name there."""
    tree = ast.parse(inspect.getsource(import_module(module)))
    return {
        alias.asname or alias.name: (node.module, alias.name)
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("fitcheck.")
        for alias in node.names
    }


def defined(module: str, name: str) -> Named | None:
    """Return where a name that a module uses is defined; None where that is not in fitcheck."""
    if name in _imported(module):
        there, theirs = _imported(module)[name]
        return defined(there, theirs)
    import_module(module)
    value = getattr(sys.modules[module], name, None)
    is_class = inspect.isclass(value) and value.__module__ == module
    is_alias = (
        name in _assigned(module) and not inspect.isfunction(value) and not dataclasses.is_dataclass(value)
    )
    return (name, module) if is_class or is_alias else None
