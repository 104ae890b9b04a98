"""The same pages as one file for a browser: nothing is fetched, it prints as it stands."""

from __future__ import annotations

import functools
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from fitcheck.draw import ink
from fitcheck.draw.paper_sizes import SIZES_PT, PaperName
from fitcheck.draw.sheet_sections import Picture
from fitcheck.draw.svg import svg
from fitcheck.sheet.paper import MARGIN_PT, Laid
from fitcheck.sheet.pdf import MADE_BY
from fitcheck.sheet.rows import LEAST_PT, TONES, WORKED_BY_PT, lead_pt

if TYPE_CHECKING:
    from jinja2 import Environment

HERE = Path(__file__).parent
# The typeface of paper where it is there, else one as wide.
FACES = "'DejaVu Sans', Verdana, sans-serif"
# A browser sets lines a little wider apart than paper does, and may have to do with a wider typeface.
_LOOSER = 0.95


def html_of(pages: Sequence[Laid], title: str) -> str:
    """Return pages as one HTML file, its pictures and its style in it."""
    size = pages[0].size_pt
    return (
        _environment()
        .get_template("sheet.html")
        .render(
            pages=pages, title=title, made_by=MADE_BY, size=size, margin=MARGIN_PT, looser=_LOOSER, **_looks()
        )
    )


def page_html(laid: Laid) -> str:
    """Return one page of such a file as the inside of a browser's page; its style is `style_css`'s."""
    template = _environment().get_template("page.html")
    return template.render(laid=laid, looser=_LOOSER, margin=MARGIN_PT)


def style_css(paper: PaperName) -> str:
    """Return the style that `page_html` wants, for this paper."""
    return _environment().get_template("sheet.css").render(size=SIZES_PT[paper], margin=MARGIN_PT, **_looks())


def _looks() -> dict[str, object]:
    return {"ink": ink, "tones": TONES, "faces": FACES, "least": LEAST_PT, "worked_by": WORKED_BY_PT}


@functools.cache
def _environment() -> Environment:
    """Read the templates once: that takes longer than to fill them."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined
    from markupsafe import Markup

    environment = Environment(
        loader=FileSystemLoader(HERE),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["svg"] = lambda picture: Markup(_svg(picture))  # noqa: S704 - svg escapes its words
    environment.filters["kept"] = ink.kept
    environment.filters["lead_pt"] = lambda lead, share, width: round(lead_pt(lead, share, width), 2)
    environment.filters["kind"] = lambda section: type(section).__name__
    return environment


def _svg(picture: Picture) -> str:
    return svg(picture.marks, picture.size_pt, picture.says)
