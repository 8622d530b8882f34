"""What the columns of a plan are. Nothing is copied but lists of texts; what would have to be copied
is refused with a word on what to do."""

from collections.abc import Mapping, Sequence
from typing import Any, Optional, Union

#: A byte of an outcome is its place here.
OUTCOMES = ("required", "required with exception", "not required", "not addressed", "undetermined",
            "no answer")
#: "Not known" and "does not apply" in columns of class bytes (uint8) and of whole numbers (int64).
CLASS_NOT_KNOWN, CLASS_DOES_NOT_APPLY = 255, 254
NUMBER_NOT_KNOWN, NUMBER_DOES_NOT_APPLY = -(2**63), -(2**63) + 1

# By the letter of the buffer's format; int64 is one or the other.
_KINDS = {"d": "reals", "l": "numbers", "q": "numbers"}
_TAKEN = ("float64, int64, bool, ClassBytes of a uint8 array, a pandas categorical, a pair of an int8 "
          "array and its texts, or a list of str")


class ClassBytes:
    """A uint8 array whose bytes are those of Plan.class_of. Named, since small numbers or zeros and
    ones in a uint8 array would else be read as classes without a word."""

    def __init__(self, values: Any) -> None:
        self.values = values


class Outcomes(Mapping):
    """Bytes of outcomes by duty, as arrays of uint8; see OUTCOMES. Parts of one array, `bytes`."""

    def __init__(self, duties: list[str], all_bytes: Any, searched: int, without_values: int,
                 no_answer: int) -> None:
        self.duties = duties
        #: One row for each duty.
        self.bytes = all_bytes
        #: Cases that went through the exact search.
        self.searched = searched
        #: Cases left wider, since a column held class bytes of a fact that needs values.
        self.without_values = without_values
        self.no_answer = no_answer

    def __getitem__(self, duty: str) -> Any:
        try:
            return self.bytes[self.duties.index(duty)]
        except ValueError:
            raise KeyError(duty) from None

    def __iter__(self):
        return iter(self.duties)

    def __len__(self) -> int:
        return len(self.duties)


def _buffer(name: str, values: Any) -> memoryview:
    try:
        view = memoryview(values)
    except (TypeError, ValueError, BufferError):
        raise TypeError(f'"{name}" is of no kind that is read in place; give {_TAKEN}') from None
    if view.ndim != 1:
        raise ValueError(f'"{name}" has {view.ndim} dimensions')
    if not view.contiguous:
        raise ValueError(f'the values of "{name}" do not lie side by side; '
                         "numpy.ascontiguousarray makes a copy that does")
    return view


def _missing(value: Any) -> bool:
    # None, NaN, and what pandas calls NA, which compares with nothing.
    return (value is None or (isinstance(value, float) and value != value)
            or type(value).__name__ == "NAType")


def _list(name: str, values: Sequence) -> tuple[str, str, list, str, list]:
    texts = ["not known" if _missing(each) else each for each in values]
    if not all(isinstance(each, str) for each in texts):
        raise TypeError(f'"{name}" holds something that is no str; give {_TAKEN}')
    return name, "texts", texts, "", []


def _codes(name: str, codes: Any, texts: Sequence[str]) -> tuple:
    view = _buffer(name, codes)
    texts = list(texts)
    if not all(isinstance(each, str) for each in texts):
        raise TypeError(f'the texts of "{name}" are str')
    if view.format != "b":
        # More categories than a byte has numbers: views of the texts, one for each case.
        return _list(name, [texts[code] if code >= 0 else None for code in view])
    return name, "codes", view, "", texts


def _column(name: str, values: Any, unit: str) -> tuple:
    if isinstance(values, tuple):
        if len(values) != 2:
            raise TypeError(f'"{name}" is a tuple but no pair of codes and texts')
        return _codes(name, *values)
    if isinstance(values, ClassBytes):
        view = _buffer(name, values.values)
        if view.format != "B":
            raise TypeError(f'the class bytes of "{name}" are a uint8 array')
        return name, "classes", view, "", []
    array = getattr(values, "array", values)  # what a pandas series holds
    if hasattr(array, "categories") and hasattr(array, "codes"):
        return _codes(name, array.codes, array.categories)
    if hasattr(array, "to_numpy"):  # PandasArray and its like; refused below when it has a mask
        array = array.to_numpy()
    if isinstance(array, list) or getattr(array, "dtype", None) == object:
        return _list(name, array)
    view = _buffer(name, array)
    if view.format == "?":
        return name, "codes", view, "", ["no", "yes"]  # bytes of 0 and 1
    if view.format == "B":
        raise TypeError(f'"{name}" is a uint8 array, which may be numbers or classes: give numbers as '
                        "int64, yes and no as bool, and bytes of class_of as ClassBytes(values)")
    if view.format not in _KINDS:
        raise TypeError(f'"{name}" holds values of format "{view.format}"; give {_TAKEN}')
    return name, _KINDS[view.format], view, unit, []


def read(columns: Any, units: Mapping[str, str], cases: Optional[int]) -> tuple[list[tuple], int]:
    """Columns (a mapping of names to values, or a data frame) as the module takes them, and how
    many cases there are."""
    if not hasattr(columns, "items"):
        raise TypeError("columns are a mapping of names to values, or a pandas.DataFrame")
    read_columns = []
    for name, values in columns.items():
        if not isinstance(name, str):
            raise TypeError("the name of a column is a str")
        if name in (each[0] for each in read_columns):
            raise ValueError(f'there are two columns "{name}"')
        column = _column(name, values, units.get(name, ""))
        if name in units and column[1] not in _KINDS.values():
            raise ValueError(f'a unit is for numbers alone, and "{name}" holds {column[1]}: '
                             "a text names its own unit, so leave the fact out of units")
        read_columns.append(column)
    names = {each[0] for each in read_columns}
    for name in units:
        if name not in names:
            raise KeyError(f'there is a unit for "{name}", which is no column')
    length = cases
    for name, _, values, *_ in read_columns:
        length = len(values) if length is None else length
        if len(values) != length:
            raise ValueError(f'"{name}" holds {len(values)} cases and not {length}')
    if length is not None and length < 0:
        raise ValueError("cases is a whole number from 0")
    return read_columns, length or 0


Column = Union[Any, tuple[Any, Sequence[str]], Sequence[Optional[str]]]
