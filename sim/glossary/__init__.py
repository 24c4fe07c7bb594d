"""The glossary: every word of the trade and of the standards that lessons, coach and console use.

A window asks `explain` for a word and `found_in` for the words of a text; a terminal has `what`.
"""

from sim.glossary.derived import explain
from sim.glossary.finding import Found, by_form, found_in, near
from sim.glossary.table import GROUPS, TERMS
from sim.glossary.term import Group, Term

__all__ = ["GROUPS", "TERMS", "Found", "Group", "Term", "by_form", "explain", "found_in", "near"]
