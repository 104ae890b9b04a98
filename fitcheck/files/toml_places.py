"""The line of a TOML file on which each key stands.

The standard reader (tomllib) keeps no lines, so the text is read a second time, by tree-sitter's TOML
grammar, and only when there is a fault to place.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tree_sitter import Node

# Keys and, inside arrays, indices from 0: ("tanks", "long", "fittings", 1, "size", 0).
TomlPath = tuple[str | int, ...]


def lines_of(text: str) -> dict[TomlPath, int]:
    """Return the line, from 1, of every table, key and array item of a TOML text by its path.

    The text must be one that tomllib reads. A table that is only named in the headers of the tables
    inside it stands where it is first named.
    """
    import tree_sitter_toml
    from tree_sitter import Language, Parser

    root = Parser(Language(tree_sitter_toml.language())).parse(text.encode()).root_node
    lines: dict[TomlPath, int] = {}
    arrays: dict[TomlPath, int] = {}
    for node in root.named_children:
        if node.type == "pair":
            _note_pair(node, (), lines)
        elif node.type in ("table", "table_array_element"):
            prefix = _header(node, arrays, lines)
            for child in node.named_children:
                if child.type == "pair":
                    _note_pair(child, prefix, lines)
    return lines


def line_of(path: TomlPath, lines: dict[TomlPath, int]) -> int:
    """Return the line of `path`, or of the nearest thing that holds it."""
    while path and path not in lines:
        path = path[:-1]
    return lines.get(path, 1)


def _header(node: Node, arrays: dict[TomlPath, int], lines: dict[TomlPath, int]) -> TomlPath:
    """Return the path of a [table] or [[table]]; `arrays` counts the [[tables]] met so far."""
    keys = list(_keys(node.named_children[0]))
    path: TomlPath = ()
    for i, key in enumerate(keys):
        path = (*path, key)
        lines.setdefault(path, _line(node))
        if i == len(keys) - 1 and node.type == "table_array_element":
            arrays[path] = arrays.get(path, 0) + 1
        if path in arrays:
            path = (*path, arrays[path] - 1)
            lines.setdefault(path, _line(node))
    lines[path] = _line(node)
    return path


def _note_pair(node: Node, prefix: TomlPath, lines: dict[TomlPath, int]) -> None:
    # A comment at the end of the line may come after the two.
    key_node, value_node = node.named_children[:2]
    path = prefix
    for key in _keys(key_node):
        path = (*path, key)
        lines.setdefault(path, _line(node))
    _note_value(value_node, path, lines)


def _note_value(node: Node, path: TomlPath, lines: dict[TomlPath, int]) -> None:
    inside = [child for child in node.named_children if child.type not in ("comment", "ERROR")]
    if node.type == "inline_table":
        for pair in inside:
            _note_pair(pair, path, lines)
    elif node.type == "array":
        for i, item in enumerate(inside):
            lines.setdefault((*path, i), _line(item))
            _note_value(item, (*path, i), lines)


def _keys(node: Node) -> Iterator[str]:
    """Give the names in a key: a, "a b", a.b.c."""
    if node.type == "dotted_key":
        for child in node.named_children:
            yield from _keys(child)
    elif node.type == "quoted_key":
        written = (node.text or b"").decode()
        yield from tomllib.loads(f"{written} = 0")
    else:
        yield (node.text or b"").decode()


def _line(node: Node) -> int:
    return node.start_point[0] + 1
