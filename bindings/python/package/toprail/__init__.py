"""Decides, with a citable trail, whether a person working from a lift must be tied off."""

from . import _columns, _core
from ._columns import (
    CLASS_DOES_NOT_APPLY,
    CLASS_NOT_KNOWN,
    ClassBytes,
    NUMBER_DOES_NOT_APPLY,
    NUMBER_NOT_KNOWN,
    OUTCOMES,
    Outcomes,
)
from ._core import *  # noqa: F401,F403 - _core holds public names alone
from ._core import __version__, has_plans, has_receipts

__all__ = [name for name in vars(_core) if not name.startswith("_")] + [
    "__version__", "OUTCOMES", "Outcomes", "ClassBytes", "CLASS_NOT_KNOWN", "CLASS_DOES_NOT_APPLY",
    "NUMBER_NOT_KNOWN", "NUMBER_DOES_NOT_APPLY"]
