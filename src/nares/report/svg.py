"""Turns a matplotlib figure into an SVG a page may hold: themed by the page, readable without sight.

The page's security policy forbids inline styles, so every ``style`` attribute becomes presentation
attributes. The page's theme colours the plot: a stand-in colour of `INKS` becomes a class that the
style sheet paints, in light and in dark.
"""

import io
import xml.etree.ElementTree as ET
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matplotlib.figure import Figure

SVG = "http://www.w3.org/2000/svg"

INKS = {
    "#010101": "ink",
    "#020202": "faint",
    "#030303": "line",
    "#040404": "band",
    "#050505": "second",
    "#060606": "paper",
}
"""Stand-in colours to draw with, and the class each becomes: ``plot-fill-ink``, ``plot-stroke-ink``."""

INK, FAINT, LINE, BAND, SECOND, PAPER = INKS


def figure_svg(figure: "Figure", *, title: str, description: str) -> str:
    """Write a figure as one ``<svg>`` element.

    Args:
        figure: Drawn only with the colours of `INKS`.
        title: What the plot is; spoken first by a screen reader.
        description: What it shows, in words with numbers.
    """
    from matplotlib import rc_context

    raw = io.StringIO()
    with rc_context({"svg.fonttype": "none", "svg.hashsalt": title, "svg.id": None}):
        figure.savefig(raw, format="svg", transparent=True, metadata={"Date": None, "Creator": None})
    root = ET.fromstring(raw.getvalue())
    for element in root.iter():
        _restyle(element)
        if element.tag == f"{{{SVG}}}g":
            element.attrib.pop("id", None)  # the same in every figure; nothing refers to them
    _drop(root, f"{{{SVG}}}metadata")
    _drop(root, f"{{{SVG}}}style")
    _name(root, title, description)
    ET.register_namespace("", SVG)
    ET.register_namespace("xlink", "http://www.w3.org/1999/xlink")
    return ET.tostring(root, encoding="unicode")


def _restyle(element: ET.Element) -> None:
    """Replace the style attribute by presentation attributes and theme classes."""
    style = element.attrib.pop("style", "")
    said = dict(part.split(":", 1) for part in style.split(";") if ":" in part)
    values = {key.strip(): value.strip() for key, value in said.items()}
    for key in ("fill", "stroke"):
        if element.get(key) in INKS:
            values.setdefault(key, element.attrib.pop(key))
    classes = [f"plot-{key}-{INKS[values.pop(key)]}" for key in ("fill", "stroke") if values.get(key) in INKS]
    values.pop("font-family", None)
    values.pop("font-style", None)
    if font := values.pop("font", None):
        values["font-size"] = next(word for word in font.split() if word.endswith("px"))
    for key, value in values.items():
        element.set(key, value)
    if classes:
        element.set("class", " ".join(classes))


def _drop(root: ET.Element, tag: str) -> None:
    for parent in list(root.iter()):
        for child in [child for child in parent if child.tag == tag]:
            parent.remove(child)


def _name(root: ET.Element, title: str, description: str) -> None:
    for key in ("width", "height"):
        root.attrib.pop(key, None)
    root.set("role", "img")
    root.set("class", "plot")
    for tag, text in (("desc", description), ("title", title)):
        element = ET.Element(f"{{{SVG}}}{tag}")
        element.text = text
        root.insert(0, element)
