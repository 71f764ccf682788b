"""A firm's own folder: overriding by name, adding and dropping sections; and what a broken template tells."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from callnotes.errors import TemplateError
from callnotes.render import render_report
from callnotes.render.context import Report, fields_told
from callnotes.resources import templates
from callnotes.trade import Trade

from .conftest import finished


def made(folder: Path, trade: Trade, kind: str = "md") -> str:
    return render_report(finished("split_block"), trade, kind=kind, templates=folder).decode()  # type: ignore[arg-type]


def test_firm_overrides_adds_and_drops_sections(tmp_path: Path, trade: Trade) -> None:
    (tmp_path / "70_materials.md.j2").write_text("**Parts.** {{ materials | series }}\n")
    (tmp_path / "closeout").mkdir()
    (tmp_path / "closeout" / "75_terms.md.j2").write_text(
        "## Terms\n\nWork order {{ call.work_order }}: thirty days.\n"
    )
    (tmp_path / "90_cautions.md.j2").write_text("")
    text = made(tmp_path, trade)
    assert "**Parts.** 2\u00a0bridging clips" in text
    assert "## Terms\n\nWork order 440712: thirty days." in text
    assert "Caution" not in text
    assert "<h2>Terms</h2>" in made(tmp_path, trade, "html")


def test_firm_words_styles_and_logo(tmp_path: Path, trade: Trade) -> None:
    (tmp_path / "words.toml").write_text('[points]\ndemarc = "service box"\n')
    (tmp_path / "style.css").write_text("h1 { color: black } </style><script>x</script>")
    (tmp_path / "logo.png").write_bytes(b"\x89PNG")
    page = made(tmp_path, trade, "html")
    assert "service box" in page
    assert "66 block" in page
    assert 'src="data:image/png;base64,iVBORw=="' in page
    assert page.count("</style>") == 1


@pytest.mark.parametrize(
    ("name", "content", "complaint"),
    [
        ("20_summary.md.j2", "fine\n{% if %}\n", r"20_summary\.md\.j2:2: "),
        ("20_summary.md.j2", "fine\n\n{{ story.nothing }}\n", r"20_summary\.md\.j2:3: .*nothing"),
        ("20_summary.md.j2", "{{ missing }}", r"20_summary\.md\.j2:1: .*missing"),
        ("20_summary.md.j2", "a\n{{ call.__class__.__mro__ }}", r"20_summary\.md\.j2:2: "),
        ("20_summary.md.j2", "a\n{{ 1 / 0 }}", r"20_summary\.md\.j2:2: division"),
        ("20_summary.md.j2", "{% include 'gone.j2' %}", r"20_summary\.md\.j2:1: .*gone"),
        ("path.svg.j2", "<svg>\n{{ picture.depth }}</svg>", r"path\.svg\.j2:2: .*depth"),
        ("page.html.j2", "{{ body", r"page\.html\.j2:1: "),
        ("words.toml", "[points]\ndemarc = \n", r"words\.toml:2: "),
        ("style.css", b"\xff\xfe", r"style\.css: "),
    ],
)
def test_broken_template_names_file_and_line(
    name: str, content: str | bytes, complaint: str, tmp_path: Path, trade: Trade
) -> None:
    (tmp_path / name).write_bytes(content if isinstance(content, bytes) else content.encode())
    with pytest.raises(TemplateError, match=complaint) as raised:
        made(tmp_path, trade, "html")
    assert "\n" not in str(raised.value)


def test_missing_folder_is_told(tmp_path: Path, trade: Trade) -> None:
    with pytest.raises(TemplateError, match="no folder"):
        made(tmp_path / "none", trade)


def test_word_template_must_be_one(tmp_path: Path, trade: Trade) -> None:
    (tmp_path / "closeout.docx").write_text("no")
    with pytest.raises(TemplateError, match=r"closeout\.docx: is no Word file"):
        render_report(finished("split_block"), trade, kind="docx", templates=tmp_path)


def test_word_template_without_our_styles(tmp_path: Path, trade: Trade) -> None:
    from docx import Document

    Document().save(str(tmp_path / "closeout.docx"))
    with pytest.raises(TemplateError, match="lacks a style"):
        render_report(finished("split_block"), trade, kind="docx", templates=tmp_path)


def test_every_value_has_its_help() -> None:
    told = fields_told()
    assert set(Report.__dataclass_fields__) == {name.removesuffix("[]") for name in told if "." not in name}
    assert all(told.values())
    assert "story.last_good.phrases[]" in told


def test_templates_use_only_values_that_are_promised() -> None:
    promised = {name.split(".")[0].removesuffix("[]") for name in fields_told()}
    from jinja2 import Environment, meta

    for path in sorted((templates() / "closeout").glob("*.md.j2")):
        used = meta.find_undeclared_variables(Environment(autoescape=True).parse(_unfiltered(path)))
        assert used <= promised, path.name


def _unfiltered(path: Path) -> str:
    """The template without filters of ours, which a bare environment does not know."""
    return re.sub(r"\| *(series|sentence|quoted|said|stop|mark|made_here)\b", "", path.read_text(encoding="utf-8"))
