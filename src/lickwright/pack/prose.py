"""How does the teacher's prose reach the page and the handout?"""

from __future__ import annotations

from typing import Any

from markdown_it import MarkdownIt
from markdown_it.tree import SyntaxTreeNode

_WORDS = {"softbreak": " ", "hardbreak": "\n"}
_KINDS = {"em", "strong", "paragraph", "heading", "bullet_list", "ordered_list", "list_item",
          "blockquote", "link"}  # fmt: skip


def _reader() -> MarkdownIt:
    return MarkdownIt("commonmark", {"html": False})


def to_html(text: str) -> str:
    """Markdown as HTML; raw HTML is shown as text."""
    return str(_reader().render(text))


def to_tree(text: str) -> list[dict[str, Any]]:
    """Markdown as a tree of plain values for the handout's template."""
    root = SyntaxTreeNode(_reader().parse(text))
    return [_node(child) for child in root.children]


def _node(node: SyntaxTreeNode) -> dict[str, Any]:
    kind = node.type
    if kind == "inline":
        return {"kind": "group", "children": [_node(child) for child in node.children]}
    if kind in ("text", "code_inline", "fence", "code_block", "html_inline", "html_block"):
        code = kind in ("code_inline", "fence", "code_block")
        return {"kind": "code" if code else "text", "text": node.content, "children": []}
    if kind in _WORDS:
        return {"kind": "text", "text": _WORDS[kind], "children": []}
    if kind == "image":
        return {"kind": "text", "text": node.content, "children": []}
    if kind == "hr":
        return {"kind": "rule", "children": []}
    if kind not in _KINDS:
        raise ValueError(f"prose of the kind {kind!r} has no place in the handout")
    level = int(node.tag[1]) if kind == "heading" else 0
    target = str(node.attrs.get("href", "")) if kind == "link" else ""
    children = [_node(child) for child in node.children]
    return {"kind": kind, "level": level, "target": target, "children": children}
