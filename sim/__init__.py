"""drycycle: a training saw that can be run wrong on purpose."""

__version__ = "0.2.0"
