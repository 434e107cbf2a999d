"""Where each key of a TOML text stands: the parser of the standard library keeps no positions."""

from collections.abc import Iterator

import tree_sitter
import tree_sitter_toml

KeyPath = tuple[str | int, ...]

_LANGUAGE = tree_sitter.Language(tree_sitter_toml.language())


def key_lines(text: str) -> dict[KeyPath, int]:
    """Line of every key in a TOML text.

    Returns a dict from key path, for example ``("emergency", "number")`` or ``("people", 0, "role")``,
    to the line it stands on, counted from 1. Text that is not TOML gives what could be read of it.
    """
    root = tree_sitter.Parser(_LANGUAGE).parse(text.encode()).root_node
    lines: dict[KeyPath, int] = {}
    seen: dict[KeyPath, int] = {}
    for node in root.named_children:
        if node.type == "pair":
            lines.update(_pair(node, ()))
        elif node.type in ("table", "table_array_element"):
            path = _key(node.named_children[0])
            if node.type == "table_array_element":
                seen[path] = seen.get(path, -1) + 1
                path = (*path, seen[path])
            lines.setdefault(path, _line(node))
            for child in node.named_children[1:]:
                if child.type == "pair":
                    lines.update(_pair(child, path))
    return lines


def _pair(node: tree_sitter.Node, above: KeyPath) -> Iterator[tuple[KeyPath, int]]:
    path = (*above, *_key(node.named_children[0]))
    yield path, _line(node)
    if len(node.named_children) > 1:
        yield from _inside(node.named_children[1], path)


def _inside(node: tree_sitter.Node, path: KeyPath) -> Iterator[tuple[KeyPath, int]]:
    """What stands in an inline table or a list: its keys, its items."""
    if node.type == "inline_table":
        for child in node.named_children:
            if child.type == "pair":
                yield from _pair(child, path)
    if node.type == "array":
        items = [child for child in node.named_children if child.type != "comment"]
        for index, item in enumerate(items):
            yield (*path, index), _line(item)
            yield from _inside(item, (*path, index))


def _key(node: tree_sitter.Node) -> KeyPath:
    if node.type == "dotted_key":
        return tuple(part for child in node.named_children for part in _key(child))
    text = (node.text or b"").decode()
    return (text[1:-1] if node.type == "quoted_key" else text,)


def _line(node: tree_sitter.Node) -> int:
    return node.start_point[0] + 1
