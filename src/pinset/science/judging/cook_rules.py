"""A farm's rule for its cooks as people type it: ``f0=15``, ``hold=121/15``, or both."""

from __future__ import annotations

from pinset.errors import InputError
from pinset.science.judging.records import Rule
from pinset.units import Quantity, parse

ACCEPTED = "f0=MINUTES, hold=DEGREES/MINUTES, or both with a comma, such as f0=15,hold=121/15"


def read_rule(text: str) -> Rule:
    """Return the rule a text asks for.

    Degrees may carry a unit (``hold=250F/15``); without one they are Celsius.

    Raises
    ------
    InputError
        If the text is no rule, or a number is out of range.

    Examples
    --------
    >>> read_rule("f0=15")
    Rule(f0=15.0, hold_c=None, hold_minutes=None)
    """
    asked: dict[str, float] = {}
    for part in text.replace(";", ",").split(","):
        name, equals, value = (each.strip() for each in part.partition("="))
        if not equals:
            raise InputError("rule", text, ACCEPTED)
        if name.lower() == "f0" and "f0" not in asked:
            asked["f0"] = _number(text, value)
        elif name.lower() == "hold" and "hold_c" not in asked:
            degrees, slash, minutes = (each.strip() for each in value.partition("/"))
            if not slash:
                raise InputError("rule", text, ACCEPTED)
            asked["hold_c"] = parse(Quantity.TEMPERATURE, degrees, "C", "rule")
            asked["hold_minutes"] = _number(text, minutes)
        else:
            raise InputError("rule", text, ACCEPTED)
    return Rule(**asked)


def _number(text: str, value: str) -> float:
    try:
        return float(value.removesuffix("min").strip())
    except ValueError:
        raise InputError("rule", text, ACCEPTED) from None


def rule_in_words(rule: Rule) -> str:
    """Return a rule as people read it: ``F0 15 min and 15 min at 121 °C``."""
    said = []
    if rule.f0 is not None:
        said.append(f"F0 {rule.f0:g} min")
    if rule.hold_minutes is not None:
        said.append(f"{rule.hold_minutes:g} min at {rule.hold_in_words}")
    return " and ".join(said)


def rule_from_words(words: str) -> Rule | None:
    """Return the rule that :func:`rule_in_words` wrote; None for no words.

    Raises
    ------
    InputError
        If the words are no rule.

    Examples
    --------
    >>> rule_from_words("F0 15 min and 15 min at 121 °C")
    Rule(f0=15.0, hold_c=121.0, hold_minutes=15.0)
    """
    if not words:
        return None
    asked: dict[str, float] = {}
    for part in words.split(" and "):
        match part.split():
            case ["F0", minutes, "min"] if "f0" not in asked:
                asked["f0"] = _number(words, minutes)
            case [minutes, "min", "at", degrees, "°C"] if "hold_c" not in asked:
                asked["hold_c"] = _number(words, degrees)
                asked["hold_minutes"] = _number(words, minutes)
            case _:
                raise InputError("rule", words, "F0 15 min, 15 min at 121 °C, or both with and")
    return Rule(**asked)
