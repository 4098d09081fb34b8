"""An answer as one HTML file: its sentences, its plots as inline SVG, its tables; nothing is loaded."""

import html
from pathlib import Path

from firmware.base.errors import UsageError
from hil.season.answer import Answer, Block, Plot

STYLE = """
body { font: 15px/1.45 system-ui, sans-serif; max-width: 60rem; margin: 2rem auto; padding: 0 1rem }
figure { margin: 1.5rem 0 } figure svg { width: 100%; height: auto }
figcaption, caption { font-weight: 600; text-align: left; padding: .3rem 0 }
table { border-collapse: collapse; margin: 1.2rem 0 }
td, th { padding: .15rem .8rem; border-bottom: 1px solid #dde }
td + td, th + th { text-align: right; font-variant-numeric: tabular-nums } th:first-child { text-align: left }
"""


def write(answer: Answer, path: Path) -> None:
    """Write the page. Raises UsageError: not writable, or matplotlib is not there."""
    text = page(answer)
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise UsageError(f"the page cannot be written: {error.strerror or error}", str(path)) from None


def page(answer: Answer) -> str:
    """The page as text."""
    title = html.escape(answer.title)
    plots = "".join(_figure(plot, number) for number, plot in enumerate(answer.plots))
    sentences = "".join(f"<p>{html.escape(sentence)}</p>\n" for sentence in answer.sentences)
    tables = "".join(_table(block) for block in answer.blocks)
    return (
        f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title>{title}</title>'
        f"<style>{STYLE}</style></head><body>\n<h1>{title}</h1>\n{sentences}{plots}{tables}</body></html>\n"
    )


def _figure(plot: Plot, number: int) -> str:
    caption = html.escape(plot.caption)
    return f"<figure><figcaption>{caption}</figcaption>{_own_ids(plot.draw(), number)}</figure>\n"


def _own_ids(svg: str, number: int) -> str:
    """The ids of a plot made its own: several plots are in one page."""
    for before in ('id="', 'xlink:href="#', "url(#"):
        svg = svg.replace(before, f"{before}plot{number}_")
    return svg


def _table(block: Block) -> str:
    head = "".join(f"<th>{html.escape(heading)}</th>" for heading in block.headings)
    rows = "".join(
        "<tr>" + "".join(f"<td>{html.escape(cell)}</td>" for cell in row) + "</tr>\n" for row in block.rows
    )
    return f"<table><caption>{html.escape(block.title)}</caption><tr>{head}</tr>\n{rows}</table>\n"
