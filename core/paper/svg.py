# SPDX-License-Identifier: GPL-3.0-or-later
"""A page as SVG 1.1 at true size: one drawing unit is a millimetre."""

from html import escape

from .page import Line, Page, Words

__all__ = ["page_svg"]


def page_svg(page: Page) -> str:
    """The page as a file that needs nothing else."""
    size = f"{page.width_mm:g} {page.height_mm:g}"
    marks = "\n".join(_line(m) if isinstance(m, Line) else _words(m) for m in page.marks)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{page.width_mm:g}mm" '
        f'height="{page.height_mm:g}mm" viewBox="0 0 {size}" '
        f'font-family="Helvetica, Arial, sans-serif">\n<title>{escape(page.name)}</title>\n'
        f'<rect width="{page.width_mm:g}" height="{page.height_mm:g}" fill="#ffffff"/>\n'
        f"{marks}\n</svg>\n"
    )


def _grey(ink: float) -> str:
    return "#" + f"{round(255 * ink):02x}" * 3


def _line(line: Line) -> str:
    points = " ".join(f"{x:.3f},{y:.3f}" for x, y in line.points)
    dashes = " ".join(f"{dash:g}" for dash in line.dashes_mm)
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    fill = "none" if line.fill is None else _grey(line.fill)
    return (
        f'<{"polygon" if line.closed else "polyline"} points="{points}" fill="{fill}" '
        f'stroke="{_grey(line.ink)}" stroke-width="{line.width_mm:g}"{dashed}/>'
    )


def _words(words: Words) -> str:
    x, y = words.at
    weight = ' font-weight="bold"' if words.bold else ""
    turn = (
        f' transform="rotate({words.turn_degrees:g} {x:.3f} {y:.3f})"' if words.turn_degrees else ""
    )
    return (
        f'<text x="{x:.3f}" y="{y:.3f}" font-size="{words.size_mm:g}" '
        f'text-anchor="{words.anchor}" fill="{_grey(words.ink)}"'
        f"{weight}{turn}>"
        f"{escape(words.text)}</text>"
    )
