"""Hosts' lists of what slots of breaks cost."""

from rating.release.intake.slots.layout import Layout
from rating.release.intake.slots.reader import read
from rating.release.intake.slots.settling import Found
from rating.release.intake.slots.words import SlotNames

__all__ = ["Found", "Layout", "SlotNames", "read"]
