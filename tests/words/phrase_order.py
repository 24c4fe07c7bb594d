"""The order of a list of phrases: sections by who says them, and within a section by context and English.

    python -m tests.words.phrase_order      puts every list in order, after entries were added

Two people who add phrases then seldom write in the same place. The texts of a scenario stay in the
order in which they are read.
"""

from pathlib import Path
from typing import NamedTuple

from sim.resources import shipped
from sim.words.phrases import read_entries

SCENARIO = "scenario "  # begins the title of a section that holds one scenario's texts
SEVERAL = "several wings, or tables and files that name no wing"
_HEAD = "# == "  # begins the line of a section's title


class Section(NamedTuple):
    """The entries under one title, each as the lines that it has in the file."""

    title: str
    entries: list[str]


def lists() -> list[Path]:
    """Return the lists that ship: one file a language."""
    return sorted((shipped("art") / "locale").glob("*.po"))


def sections(text: str) -> list[Section]:
    """Return the sections of a list; what stands before the first title has an empty one."""
    found = [Section("", [])]
    for block in text.strip().split("\n\n"):
        first, _, rest = block.partition("\n")
        if first.startswith(_HEAD):
            found.append(Section(first.removeprefix(_HEAD), []))
            block = rest
        if block:
            found[-1].entries.append(block)
    return found


def phrases(section: Section) -> dict[str, str]:
    """Return what a section translates, by gettext's key for it."""
    return read_entries("\n".join(section.entries), section.title)


def in_order(text: str) -> str:
    """Return a list with the entries of every section in their order."""
    told = []
    for title, entries in sections(text):
        if not title.startswith(SCENARIO):
            entries = sorted(entries, key=lambda entry: [*read_entries(entry, title)])
        told += [f"{_HEAD}{title}", *entries] if title else entries
    return "\n\n".join(told) + "\n"


if __name__ == "__main__":
    for path in lists():
        path.write_text(in_order(path.read_text(encoding="utf-8")), encoding="utf-8")
