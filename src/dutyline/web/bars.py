"""The bar of one check as the ledger of the page draws it."""

from __future__ import annotations

from markupsafe import Markup, escape

from dutyline.app.workbench.wording import bar_place

_HEAD = (
    '<svg class="bar" viewBox="0 0 100 18" preserveAspectRatio="none" aria-hidden="true"'
    ' focusable="false">\n<rect class="btrack" x="0" y="7" width="80" height="4"/>'
)


def bar(used: float, reserve: float, state: str, was: float | None = None) -> Markup:
    """Used share, reserve hatched before the limit, limit post, and a ghost where it stood."""
    end = f"{bar_place(used):.2f}"
    hatched = ""
    if reserve > 0:
        start, width = 80 * (1 - reserve), 80 * reserve
        hatched = f'<rect class="bres" x="{start:.2f}" y="5" width="{width:.2f}" height="8"/>'
    ghost = "" if was is None else f'<path class="ghost" d="M{bar_place(was):.2f} 1V17"/>'
    return Markup(
        f'{_HEAD}{hatched}<rect class="bval {escape(state)}" x="0" y="6" width="{end}" height="6"/>'
        f'\n<path class="bend" d="M{end} 4V14"/><path class="blim" d="M80 2V16"/>{ghost}</svg>'
    )
