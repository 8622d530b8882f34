"""Decides, with a citable trail, whether a person working from a lift must be tied off."""

from . import _core
from ._core import *  # noqa: F401,F403 - _core holds public names alone
from ._core import __version__, has_receipts

__all__ = [name for name in vars(_core) if not name.startswith("_")] + ["__version__"]
