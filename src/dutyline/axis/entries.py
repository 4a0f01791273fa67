"""One entry of the file: from what stands there to a value, a word or a list of them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any

from dutyline.axis.fields import choice, nearest, plain
from dutyline.axis.forms import Field
from dutyline.core.dimensions import dimension
from dutyline.core.faults import ValueFault, quoted
from dutyline.core.numbers import stated_quantity
from dutyline.core.reading import read_value
from dutyline.core.values import Value

EXAMPLES: dict[str, str] = {
    "number": "0.1",
    "length": "300 mm",
    "angle": "90 deg",
    "time": "0.6 s",
    "mass": "40 kg",
    "inertia": "0.3 kg*cm^2",
    "force": "120 N",
    "torque": "2 N*m",
    "speed": "0.5 m/s",
    "angular-speed": "60 r/min",
    "acceleration": "5 m/s^2",
    "angular-acceleration": "20 rad/s^2",
    "jerk": "50 m/s^3",
    "angular-jerk": "500 rad/s^3",
    "stiffness": "60 N/um",
    "torsional-stiffness": "6000 N*m/rad",
    "lead": "10 mm",
    "rate": "30 /min",
    "frequency": "50 Hz",
    "bandwidth": "20 Hz",
    "gain": "60 /s",
    "voltage": "230 V",
    "current": "6 A",
    "resistance": "2 ohm",
    "inductance": "5 mH",
    "torque-constant": "0.7 N*m/A",
    "voltage-constant": "42 V/krpm",
    "temperature": "40 degC",
    "temperature-difference": "5 K",
    "viscous": "20 N*s/m",
    "rotary-viscous": "0.02 N*m*s/rad",
    "area": "0.06 m^2",
    "diameter-speed": "60000 mm*r/min",
    "pressure-speed": "0.1 MPa*m/s",
    "mass-per-length": "0.2 kg/m",
    "mass-flow": "2 kg/s",
    "expansion": "11.5e-6 1/K",
    "conductance": "5 W/K",
    "power": "300 W",
    "let-through": "500 A^2*s",
    "density": "7.85 g/cm^3",
}
"""A value of each dimension, for remedies."""

LONGEST_LINE, LONGEST_PAGE = 200, 10_000
"""Characters of a text on one line, and of one that may have several."""
_TURNS = frozenset(("LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"))
POINTS = 'Write it as in points = [["0 mm", "0 N"], ["20 mm", "300 N"]].'
SAMPLES = 'Write it as in points = [["0 ms", "0 mm"], ["10 ms", "0.2 mm"]].'
_ALONE = re.compile(r"\s*[+-]?[0-9]+(?:[.,][0-9]+)?\s*")
_SLOT = re.compile(r"^\s*([+-]?\d+(?:\.\d+)?)\s*[/:]\s*(\d+(?:\.\d+)?)\s*$")


def example(kind: str) -> str:
    """A value of a dimension as it may be written; empty where none is kept."""
    return EXAMPLES.get(dimension(kind).name, "")


def quantity(field: Field, raw: Any, kind: str) -> Value:
    """A quantity: text with a unit, a bare number, or a table that says more.

    Parameters
    ----------
    field : Field
        The field read; its limits hold.
    raw : object
        What stands in the file.
    kind : str
        Dimension needed.

    Raises
    ------
    ValueFault
        What was read and what is needed.
    """
    if isinstance(raw, list | tuple):
        read = f"read {shown(raw)}, a list; one value is needed: {dimension(kind).noun}."
        raise ValueFault(read, _write(field, kind))
    wanted = dimension(kind)
    if wanted.name != "number" and _bare(raw) and field.default and not _bare(field.default):
        read = f"read {shown(raw)}, a number without a unit; {wanted.noun} is needed."
        raise ValueFault(read, f'Write it with its unit, as in {field.name} = "{field.default}".')
    value = read_value(_spelled(raw), kind)
    check_text(value.note, several=True)
    _check_limits(field, value)
    return value


def _bare(raw: Any) -> bool:
    """Whether a number stands alone; zero needs its unit as well."""
    if isinstance(raw, str):
        return _ALONE.fullmatch(raw) is not None
    return isinstance(raw, int | float) and not isinstance(raw, bool)


def sample(field: Field, linear: bool) -> str:
    """How the field may be written, as a remedy; empty where a sample says nothing."""
    if field.takes == "points":
        return POINTS
    if field.takes == "samples":
        return SAMPLES
    if field.takes == "leader speed":
        return f'Write it as in {field.name} = "60 r/min", or in m/s.'
    written = _write(field, field.dimension(linear)) if field.quantity else ""
    return " ".join(part for part in (written, _usual(field, linear)) if part)


def _usual(field: Field, linear: bool | None = None) -> str:
    said = field.usual(linear)
    return f"Usual: {said}." if said else ""


def _spelled(raw: Any) -> Any:
    """The table of a value with its keys in lower case."""
    if isinstance(raw, Mapping):
        return {plain(str(key)): item for key, item in raw.items()}
    return raw


def _check_limits(field: Field, value: Value) -> None:
    for si in (value.si, value.low, value.high):
        said = "" if si is None else _limit_broken(field, si, value.unit)
        if said and si is not None:
            read = f'read "{value.typed}"; it has to be {said}.'
            raise ValueFault(read, _limit_remedy(field, si))


def _limit_broken(field: Field, si: float, unit: str) -> str:
    if field.above is not None and si <= field.above:
        return f"above {_limit(field.above, unit)}"
    if field.least is not None and si < field.least:
        return f"{_limit(field.least, unit)} or more"
    if field.most is not None and si > field.most:
        return f"{_limit(field.most, unit)} or less"
    return ""


def _limit(si: float, unit: str) -> str:
    """A limit in the unit a reader expects; nothing is nothing in any unit."""
    return f"{si:g}" if unit == "1" or si == 0.0 else stated_quantity(si, unit)


def _limit_remedy(field: Field, si: float) -> str:
    help_first = "Check the number and its unit."
    if si < 0.0 and (field.above == 0.0 or field.least == 0.0):
        help_first = "Leave out the minus sign; directions are stated elsewhere."
    elif field.most == 1.0 and 1.0 < si <= 100.0:
        help_first = f'Write "{si:g} %" if percent is meant.'
    return f"{help_first} {_usual(field)}".strip()


def _write(field: Field, kind: str) -> str:
    sample = example(kind)
    return f'Write it as in {field.name} = "{sample}".' if sample else ""


def whole(field: Field, raw: Any) -> Value:
    """A whole number, or a table that says more of it.

    Raises
    ------
    ValueFault
        Something else stands there, or it is outside its limits.
    """
    if isinstance(raw, Mapping):
        told = quantity(field, raw, "number")
        return replace(told, si=whole(field, raw["value"]).si)
    number = raw
    if isinstance(raw, str) and re.fullmatch(r"\s*[+-]?\d{1,15}\s*", raw):
        number = int(raw)
    if isinstance(number, float) and number.is_integer():
        number = int(number)
    if isinstance(number, bool) or not isinstance(number, int) or abs(number) > 10**15:
        read = f"read {shown(raw)}; a whole number is needed."
        raise ValueFault(read, f"Write it as in {field.name} = 2.")
    value = Value(float(number), "1", typed=str(raw).strip())
    _check_limits(field, value)
    return value


def fraction(field: Field, raw: Any) -> Value:
    """A ratio: a number, or two numbers as text (``"24/7"``), kept as typed.

    Raises
    ------
    ValueFault
        Something else stands there, or it is zero.
    """
    if isinstance(raw, Mapping) and _SLOT.match(str(raw.get("value"))):
        told = quantity(field, {**raw, "value": "1"}, "number")
        one = fraction(field, raw["value"])
        return replace(told, si=one.si, typed=one.typed)
    slot = _SLOT.match(raw) if isinstance(raw, str) else None
    if slot and Fraction(slot[2]) != 0:
        assert isinstance(raw, str)
        value = Value(float(Fraction(slot[1]) / Fraction(slot[2])), "1", typed=raw.strip())
    else:
        value = quantity(field, raw, "number")
    if value.si == 0.0:
        read = f"read {shown(raw)}; a ratio of zero moves nothing."
        raise ValueFault(read, "Give speed in over speed out, such as 5 or 24/7.")
    _check_limits(field, value)
    return value


def word(field: Field, raw: Any) -> str:
    """One of the choices of a field, in its canonical spelling.

    Raises
    ------
    ValueFault
        Not a text, or none of the choices.
    """
    several = ", ".join(field.choices)
    if not isinstance(raw, str):
        raise ValueFault(f"read {shown(raw)}; one of {several} is needed.", "Put it in quotes.")
    found = choice(raw, field.choices)
    if found is None:
        near = nearest(raw, field.choices)
        remedy = f'The nearest is "{near}".' if near else f"Choose one of {several}."
        raise ValueFault(f"read {shown(raw)}; there is no such {field.label.lower()}.", remedy)
    return found


def text(field: Field, raw: Any) -> str:
    """A text: one line, or several where the customer or the author speaks.

    Raises
    ------
    ValueFault
        Something else stands there, or nothing, or what cannot be shown.
    """
    if not isinstance(raw, str):
        raise ValueFault(f"read {shown(raw)}; a text is needed.", "Put it in quotes.")
    if field.required and not raw.strip():
        raise ValueFault("the text is empty.", f"Give the {field.label.lower()}.")
    check_text(raw, several=field.name in ("enquiry", "note"))
    return raw


def check_text(text: str, *, several: bool = False) -> None:
    """Refuse what would steer a screen or burst a table.

    Raises
    ------
    ValueFault
        Control characters, line breaks unless there may be several lines, or too many characters.
    """
    most = LONGEST_PAGE if several else LONGEST_LINE
    if len(text) > most:
        read = f"the text has {len(text)} characters; this version takes {most}."
        raise ValueFault(read, "Shorten it, or keep it in a file of its own.")
    plain = " ".join(text.split("\n")).replace("\t", " ") if several else text
    if plain.isprintable():
        return
    strange = next((c for c in plain if _steers(c)), None)
    if strange == "\n":
        raise ValueFault(f"read {shown(text)}; one line is needed.", "Join the lines.")
    if strange is not None:
        read = f"read {shown(text)}, which holds a character that cannot be shown."
        raise ValueFault(read, f"Take out U+{ord(strange):04X}.")


def _steers(character: str) -> bool:
    """Control characters, separators of lines, and marks that turn the order of letters."""
    if character.isprintable():
        return False
    kind = unicodedata.category(character)
    return kind in ("Cc", "Zl", "Zp", "Cs") or unicodedata.bidirectional(character) in _TURNS


def flag(field: Field, raw: Any) -> bool:
    """Yes or no, also as text.

    Raises
    ------
    ValueFault
        Something else stands there.
    """
    if isinstance(raw, bool):
        return raw
    if isinstance(raw, str) and plain(raw) in ("yes", "true", "no", "false"):
        return plain(raw) in ("yes", "true")
    read = f"read {shown(raw)}; yes or no is needed."
    raise ValueFault(read, f"Write {field.name} = true or {field.name} = false.")


def names(field: Field, raw: Any) -> tuple[str, ...]:
    """A list of names; a single name is a list of one.

    Raises
    ------
    ValueFault
        Something else stands there.
    """
    several = [raw] if isinstance(raw, str) else raw
    if not isinstance(several, list) or not all(isinstance(n, str) and n for n in several):
        read = f"read {shown(raw)}; a list of names is needed."
        raise ValueFault(read, f'Write it as in {field.name} = ["one", "two"].')
    return tuple(several)


def phases(field: Field, raw: Any) -> str:
    """``1``, ``3`` or ``dc`` as a word.

    Raises
    ------
    ValueFault
        Something else stands there.
    """
    found = plain(str(raw)) if isinstance(raw, str | int) and not isinstance(raw, bool) else ""
    if found not in ("1", "3", "dc"):
        read = f"read {shown(raw)}; 1, 3 or dc is needed."
        raise ValueFault(read, f"Write {field.name} = 3 for three-phase mains.")
    return found


def changes(raw: Any) -> dict[str, Any]:
    """Paths with what stands there instead; ``[set]`` with dotted keys is taken apart.

    Raises
    ------
    ValueFault
        No table of paths.
    """
    if not isinstance(raw, Mapping) or not raw:
        read = f"read {shown(raw)}; paths with what stands there instead are needed."
        raise ValueFault(read, 'Write set = { "load.mass" = "28 kg" }.')
    found: dict[str, Any] = {}
    for key, item in raw.items():
        if "." in key or not isinstance(item, Mapping):
            found[key] = item
        else:
            _flatten(key, item, found)
    for path, item in found.items():
        check_text(path)
        if isinstance(item, str):
            check_text(item, several=True)
    return found


def _flatten(path: str, item: Any, found: dict[str, Any]) -> None:
    if isinstance(item, Mapping) and item and "value" not in item and path.count(".") < 6:
        for key, inner in item.items():
            _flatten(f"{path}.{key}", inner, found)
    else:
        found[path] = item


def changes_text(changes: Mapping[str, Any]) -> str:
    """Changes on one line for people: ``load.mass 28 kg; phase.up.carry none``."""
    return "; ".join(f"{path} {_plainly(item)}" for path, item in changes.items())


def _plainly(item: Any) -> str:
    if isinstance(item, str):
        return item
    if isinstance(item, Mapping):
        return _plainly(item["value"]) if "value" in item else "a table"
    if isinstance(item, list):
        return ", ".join(_plainly(one) for one in item[:20]) or "none"
    return shown(item)


def rows(field: Field, raw: list[Any]) -> str:
    """How many tables stand in a list that is read later.

    Raises
    ------
    ValueFault
        None does.
    """
    if not raw:
        raise ValueFault("the list is empty.", f"Add a table, or leave {field.name} out.")
    return f"{len(raw)} of its own"


def shown(raw: Any) -> str:
    """What stands in the file, as in a sentence."""
    if isinstance(raw, str):
        return quoted(raw)
    if isinstance(raw, bool):
        return str(raw).lower()
    if isinstance(raw, Mapping):
        return "a table"
    if isinstance(raw, list):
        inside = ", ".join(shown(item) for item in raw[:3])
        return f"[{inside}{', ...' if len(raw) > 3 else ''}]"
    return str(raw)[:60]
