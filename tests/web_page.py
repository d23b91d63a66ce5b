"""HTML pages, read for tests: their words, and that nothing in them acts or fetches."""

import re
from html.parser import HTMLParser


class Parsed(HTMLParser):
    """Elements with their attributes, and the text outside of style sheets."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self._inside = ""
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        self._inside = tag

    def handle_endtag(self, tag: str) -> None:
        self._inside = ""

    def handle_data(self, data: str) -> None:
        if self._inside != "style":
            self.words.append(data)

    @property
    def text(self) -> str:
        """All words, single spaces between."""
        return " ".join(" ".join(self.words).split())


HARMFUL = {"script", "img", "iframe", "object", "embed", "link", "base", "form", "a"}


def assert_harmless(text: str) -> None:
    """No script, no handler, nothing fetched, no style but our own."""
    for tag, attributes in Parsed(text).elements:
        assert tag not in HARMFUL
        assert not [name for name in attributes if name.startswith("on")]
        assert not {"src", "href", "srcset", "action"} & set(attributes)
        style = attributes.get("style") or ""
        assert re.fullmatch(r"(position:absolute|width:[\d.]+%)?", style)
    (sheet,) = re.findall(r"<style>(.*?)</style>", text, re.DOTALL)
    assert set(re.findall(r"url\((.{0,21})", sheet)) <= {"data:font/ttf;base64,"}
    assert not re.search(r"url\([^)]*[^\w:/;,+=)][^)]*\)", sheet)
    assert "@import" not in sheet
