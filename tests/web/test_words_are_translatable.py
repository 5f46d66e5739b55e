"""Every visible word of the templates can be translated, and Babel finds them all."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from babel.messages.extract import extract_from_dir

WEB = Path(__file__).parents[2] / "src" / "pinset" / "web"
TEMPLATES = sorted((WEB / "jinja2").rglob("*.html"))
MAPPING = Path(__file__).parents[2] / "babel.cfg"
SPOKEN = ("aria-label", "placeholder", "title", "alt", "data-away")
UNITS = {"kg", "°C", "pinset"}  # the same in every language, and our own name
WORD = re.compile(r"[A-Za-zÀ-ž]{2,}")


class Visible(HTMLParser):
    """Collects the words a reader sees or hears that stand in the template itself."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, _tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found += [value or "" for name, value in attrs if name in SPOKEN]

    def handle_data(self, data: str) -> None:
        self.found.append(data)


def words_outside(template: str) -> list[str]:
    """Return visible words that no translation function wraps."""
    text = re.sub(r"\{#.*?#\}", "", template, flags=re.DOTALL)
    text = re.sub(r"\{%.*?%\}", "", text, flags=re.DOTALL)
    text = re.sub(r"\{\{.*?\}\}", "", text, flags=re.DOTALL)
    reader = Visible()
    reader.feed(text)
    words = [word for piece in reader.found for word in WORD.findall(piece)]
    return [word for word in words if word not in UNITS]


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_no_visible_word_stands_outside_a_translation(path: Path) -> None:
    assert words_outside(path.read_text(encoding="utf-8")) == []


def test_the_net_catches_a_bare_word_and_a_bare_label() -> None:
    assert words_outside('<p>{{ _("fine") }} bare</p>') == ["bare"]
    assert words_outside('<a aria-label="spoken">{% if x %}{{ x }}{% endif %}</a>') == ["spoken"]


def test_babel_finds_the_words_of_templates_and_of_python() -> None:
    assert "[jinja2: **/jinja2/**.html]" in MAPPING.read_text(encoding="utf-8")
    found = {
        (Path(name).suffix, message if isinstance(message, str) else message[0])
        for name, _line, message, _comments, _context in extract_from_dir(
            str(WEB),
            method_map=[("**/jinja2/**.html", "jinja2"), ("**.py", "python")],
            options_map={"**/jinja2/**.html": {"newstyle_gettext": "true", "silent": "false"}},
            keywords={
                "_": None,
                "gettext": None,
                "gettext_lazy": None,
                "ngettext": (1, 2),
            },
        )
    }
    in_templates = sum(suffix == ".html" for suffix, _message in found)
    called = sum(
        len(re.findall(r"\b(?:_|ngettext)\(", path.read_text(encoding="utf-8")))
        for path in TEMPLATES
    )
    assert (".html", "%(num)s lot") in found, "plurals are found too"
    assert (".py", "Thursday") in found
    assert in_templates > 100
    assert called >= in_templates
