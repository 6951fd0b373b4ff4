"""What does axe-core say of a page? Source of its rules: WCAG 2.2, levels A and AA (W3C)."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Page

SCRIPT = Path(__file__).parent.parent / "web" / "node_modules" / "axe-core" / "axe.min.js"
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


def found_by_axe(page: Page) -> list[str]:
    """Each thing that is wrong, with the first place where it is."""
    if not SCRIPT.exists():
        if os.environ.get("CI") == "true":
            pytest.fail("axe-core is missing: install the package anew")
        pytest.skip("axe-core is missing: install the package anew")
    page.evaluate(SCRIPT.read_text(encoding="utf-8"))
    found = page.evaluate(
        "rules => axe.run(document, {runOnly: {type: 'tag', values: rules}})", RULES
    )
    return [
        f"{each['id']}: {each['help']}: {each['nodes'][0]['html'][:200]}"
        for each in found["violations"]
    ]
