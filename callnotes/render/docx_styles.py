"""Makes ``templates/closeout.docx``: a Word file that holds the styles of the report and nothing else.

Run ``python -m callnotes.render.docx_styles FILE`` to write it anew after a change here; a firm may as well
change the file in Word and put it in its own folder of templates.
"""

from __future__ import annotations

import io
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

FONT = "Arial"
INK, SOFT, ACCENT = "1A1A1A", "595959", "00588C"
PAGE_IN = (8.5, 11.0)
MARGINS_IN = (0.5, 0.65, 0.45, 0.65)


@dataclass(frozen=True)
class Style:
    """One style: size in points, color, weight, space before and after in points."""

    name: str
    size: float
    color: str = INK
    bold: bool = False
    before: float = 0.0
    after: float = 0.0
    spacing: float = 1.12
    keep: bool = False
    character: bool = False


STYLES = (
    Style("Normal", 9, after=3),
    Style("Heading 1", 16, ACCENT, after=6, keep=True),
    Style("Heading 2", 9, ACCENT, bold=True, before=7, after=1.5, keep=True),
    Style("Heading 3", 7, SOFT, bold=True, before=8, after=1, keep=True),
    Style("List Bullet", 9, after=0.5),
    Style("List Number", 9, after=0.5),
    Style("Head Text", 9, before=1, after=1, spacing=1.0),
    Style("Table Text", 8, before=1, after=1, spacing=1.0),
    Style("Table Head", 8, SOFT, before=1, after=1, spacing=1.0, keep=True),
    Style("Sign-off", 8, SOFT, before=0, after=0, spacing=1.0),
    Style("Made", 7, SOFT, after=1),
    Style("Footer", 7, SOFT),
    Style("Lead", 9, ACCENT, bold=True, character=True),
    Style("Soft", 9, SOFT, character=True),
)


def build_template() -> bytes:
    """The Word file with the styles, as bytes."""
    from docx import Document
    from docx.enum.style import WD_STYLE_TYPE
    from docx.shared import Inches

    document = Document()
    known = {style.name for style in document.styles}
    for style in STYLES:
        kind = WD_STYLE_TYPE.CHARACTER if style.character else WD_STYLE_TYPE.PARAGRAPH
        made = document.styles[style.name] if style.name in known else document.styles.add_style(style.name, kind)
        _shape(made, style)
    section = document.sections[0]
    section.page_width, section.page_height = (Inches(length) for length in PAGE_IN)
    section.top_margin, section.right_margin, section.bottom_margin, section.left_margin = map(Inches, MARGINS_IN)
    section.footer_distance = Inches(0.3)
    for paragraph in list(document.paragraphs):
        paragraph._element.getparent().remove(paragraph._element)
    out = io.BytesIO()
    document.save(out)
    return out.getvalue()


def _shape(made: Any, style: Style) -> None:
    from docx.oxml.ns import qn
    from docx.shared import Pt, RGBColor

    fonts = made.element.get_or_add_rPr().get_or_add_rFonts()
    for key in list(fonts.attrib):
        del fonts.attrib[key]
    for script in ("ascii", "hAnsi", "cs", "eastAsia"):
        fonts.set(qn(f"w:{script}"), FONT)
    made.font.color.rgb = RGBColor.from_string(style.color)
    made.font.bold = style.bold
    made.font.italic = False
    if style.character:
        return
    made.font.size = Pt(style.size)
    shape = made.paragraph_format
    shape.space_before, shape.space_after = Pt(style.before), Pt(style.after)
    shape.line_spacing, shape.keep_with_next, shape.widow_control = style.spacing, style.keep, True
    if style.name.startswith("List"):
        shape.left_indent, shape.first_line_indent = Pt(10), Pt(-10)


if __name__ == "__main__":
    Path(sys.argv[1]).write_bytes(build_template())
