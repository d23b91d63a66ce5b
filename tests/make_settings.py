"""Writes the table of settings into README.md: ``python tests/make_settings.py``."""

from pathlib import Path

from voiceassist.app.settings.settings import ABOUT, Settings

README = Path(__file__).parents[1] / "README.md"
_MARK = "<!-- settings -->\n"


def table() -> str:
    """The table as it should be."""
    rows = ["| Name | Usual | What it sets | Option |", "| --- | --- | --- | --- |"]
    for name, about in ABOUT.items():
        usual = str(getattr(Settings(), name))
        cells = (_code(name), _code(usual), about.help, _code(about.option))
        rows.append(" ".join(f"| {cell}" if cell else "|" for cell in cells) + " |")
    return "".join(f"{row}\n" for row in rows)


def _code(text: str) -> str:
    return f"`{text}`" if text else ""


def written(readme: str) -> str:
    """The README with the table in the place of the one it has."""
    before, mark, after = readme.partition(_MARK)
    _, gap, rest = after.partition("\n\n")
    return before + mark + table() + gap[1:] + rest


if __name__ == "__main__":
    README.write_text(written(README.read_text(encoding="utf-8")), encoding="utf-8")
