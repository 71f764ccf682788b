"""The parts of a Word file that python-docx has no call for, each as one small change of its XML."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

HAIR = "BFBFBF"
RULE = "1A1A1A"
CELL_GAP = 100  # twentieths of a point between columns
DECORATIVE = "{C183D7F6-B498-43B3-948B-1728B52AA6E4}"
DECORATIVE_NS = "http://schemas.microsoft.com/office/drawing/2017/decorative"


def column_widths(wished: Sequence[float], room_pt: float, *, pairs: bool = False) -> list[float]:
    """Widths in points of columns that wish to be so wide: the widest give way where the room is short.

    Where there is room to spare, the inner columns share it; of names and values (``pairs``) the inner values.
    """
    most = max(wished)
    while sum(min(width, most) for width in wished) > room_pt and most > room_pt / len(wished):
        most -= 1
    widths = [min(width, most) for width in wished]
    spare = room_pt - sum(widths)
    sharing = list(range(1, len(widths) - 1, 2 if pairs else 1)) or [len(widths) - 1]
    for place in sharing:
        widths[place] += spare / len(sharing)
    return widths


def set_table(table: Any, widths: Sequence[float], *, lined: bool) -> None:
    """Fixed widths, no outer margin on the left, and a hairline under each row if ``lined``."""
    from docx.enum.table import WD_TABLE_ALIGNMENT
    from docx.shared import Pt

    table.autofit = False
    table.alignment = WD_TABLE_ALIGNMENT.LEFT
    for column, width in zip(table.columns, widths, strict=True):
        column.width = Pt(width)
        for cell in column.cells:
            cell.width = Pt(width)
    lines = ("bottom", "insideH") if lined else ()
    properties = table._tbl.tblPr
    properties.append(_borders("w:tblBorders", lines, HAIR, 2))
    margins = _element("w:tblCellMar")
    for side, width in (("left", 0), ("right", CELL_GAP)):
        margins.append(_element(f"w:{side}", w=width, type="dxa"))
    properties.append(margins)


def set_row(row: Any, *, head: bool) -> None:
    """A row that does not break over pages; the head repeats on each."""
    properties = row._tr.get_or_add_trPr()
    properties.append(_element("w:cantSplit"))
    if head:
        properties.append(_element("w:tblHeader"))


def finish_table(table: Any, name: str) -> None:
    """What only the head and the sign-off have: lines above and below; rules to sign on."""
    from docx.shared import Pt

    if name == "head":
        table._tbl.tblPr.replace(_child(table, "w:tblBorders"), _borders("w:tblBorders", ("top", "bottom"), HAIR, 4))
        for cells, attribute in ((table.rows[0].cells, "space_before"), (table.rows[-1].cells, "space_after")):
            for cell in cells:
                setattr(cell.paragraphs[0].paragraph_format, attribute, Pt(4))
    following = table._parent.add_paragraph(style="Normal") if name == "head" else None
    if following is not None:
        following.paragraph_format.space_after = Pt(0)
        following.paragraph_format.line_spacing = Pt(5)
    if name == "sign_off":
        for cell in table._cells:
            paragraph = cell.paragraphs[0]
            paragraph.paragraph_format.space_before = Pt(24)
            paragraph.paragraph_format.right_indent = Pt(10)
            border = _element("w:pBdr")
            border.append(_element("w:top", val="single", sz=6, space=3, color=RULE))
            paragraph._p.get_or_add_pPr().append(border)


def move_right(paragraph: Any, ems: float | None) -> None:
    """Moves a number so that its decimal point stands under the others."""
    from docx.shared import Pt

    if ems:
        paragraph.paragraph_format.left_indent = Pt(ems * paragraph.style.font.size.pt)


def set_off(paragraph: Any) -> None:
    """Some space over the first paragraph of a section that has no heading."""
    from docx.shared import Pt

    paragraph.paragraph_format.space_before = Pt(4)


def soften(paragraph: Any, style: Any) -> None:
    for run in paragraph.runs:
        run.style = style


def center(paragraph: Any) -> None:
    from docx.enum.text import WD_ALIGN_PARAGRAPH
    from docx.shared import Pt

    paragraph.alignment = WD_ALIGN_PARAGRAPH.CENTER
    paragraph.paragraph_format.space_before = Pt(7)
    paragraph.paragraph_format.line_spacing = 1.0


def describe(shape: Any, words: str) -> None:
    """Alternative text for those who do not see the picture."""
    shape._inline.docPr.set("descr", words)
    shape._inline.docPr.set("title", "Path of test points")


def decorative(shape: Any) -> None:
    """A mark beside its word: a screen reader passes over it."""
    from docx.oxml import parse_xml

    for side in ("distT", "distB", "distL", "distR"):
        shape._inline.set(side, "0")
    drawing = "http://schemas.openxmlformats.org/drawingml/2006/main"
    shape._inline.docPr.append(
        parse_xml(
            f'<a:extLst xmlns:a="{drawing}"><a:ext uri="{DECORATIVE}">'
            f'<d:decorative xmlns:d="{DECORATIVE_NS}" val="1"/></a:ext></a:extLst>'
        )
    )
    shape._inline.docPr.set("descr", "")


def page_numbers(word: Any, order: str) -> None:
    """The footer of every page: the work order, and the page of how many."""
    paragraph = word.sections[0].footer.paragraphs[0]
    paragraph.style = word.styles["Footer"]
    for run in list(paragraph.runs):
        run._r.getparent().remove(run._r)
    paragraph.add_run(f"Work order {order}, page " if order else "Page ")
    _field(paragraph, "PAGE")
    paragraph.add_run(" of ")
    _field(paragraph, "NUMPAGES")


def svg_width(svg: str) -> float:
    """The width of a picture in its own units."""
    found = re.search(r'<svg[^>]*\swidth="([\d.]+)"', svg)
    return float(found[1]) if found else 600.0


def drop_date(properties: Any, name: str) -> None:
    """Takes a date out of the document's properties."""
    root = properties._element
    for element in list(root):
        if element.tag.endswith(f"}}{name}"):
            root.remove(element)


def _field(paragraph: Any, code: str) -> None:
    for kind in ("begin", None, "separate", "text", "end"):
        run = paragraph.add_run()
        if kind is None:
            text = _element("w:instrText")
            text.text = f" {code} "
            run._r.append(text)
        elif kind == "text":
            run.text = "1"
        else:
            run._r.append(_element("w:fldChar", fldCharType=kind))


def _borders(name: str, lines: Sequence[str], color: str, eighths: int) -> Any:
    borders = _element(name)
    for side in ("top", "left", "bottom", "right", "insideH", "insideV"):
        kind = "single" if side in lines else "nil"
        borders.append(_element(f"w:{side}", val=kind, sz=eighths, space=0, color=color))
    return borders


def _child(table: Any, name: str) -> Any:
    from docx.oxml.ns import qn

    return table._tbl.tblPr.find(qn(name))


def _element(name: str, **attributes: object) -> Any:
    from docx.oxml import OxmlElement
    from docx.oxml.ns import qn

    element = OxmlElement(name)
    for key, value in attributes.items():
        element.set(qn(f"w:{key}"), str(value))
    return element
