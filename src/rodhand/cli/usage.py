"""A command typed wrong, told like every other fault: what was found, needed, and what to do."""

from __future__ import annotations

import re
from collections.abc import Sequence

import typer

from rodhand.faults import BadInputError, Fault
from rodhand.words import render_faults

UsageError: type[Exception] = next(
    each for each in typer.BadParameter.__mro__ if each.__name__ == "UsageError"
)
"""What the parser of the command line raises; it has no public name of its own."""


def told(error: Exception, typed: Sequence[str]) -> str:
    """The fault of a command line in words, then how the command is written; help for nothing.

    Parameters
    ----------
    error : Exception
        A `UsageError`.
    typed : sequence of str
        What was typed behind the program's name.
    """
    if type(error).__name__ == "NoArgsIsHelpError":
        return str(getattr(error, "message", error))
    context = getattr(error, "ctx", None)
    if context is None or context.parent is None:
        return render_faults(BadInputError([_fault(error, typed, "rodhand")]))
    command = str(context.info_name)
    fault = _fault(error, typed, f"rodhand {command}")
    return "\n".join((render_faults(BadInputError([fault], command)), context.get_usage()))


def _fault(error: Exception, typed: Sequence[str], command: str) -> Fault:
    kind, message = type(error).__name__, str(getattr(error, "message", ""))
    values = {"command": command}
    if kind == "NoSuchOption":
        return Fault("usage_option", str(getattr(error, "option_name", "")), values=values)
    quoted = re.findall(r"'([^']*)'", message)  # the parser puts what was typed first, then choices
    parameter = getattr(error, "param", None)
    if parameter is None:
        return Fault("usage_command", quoted[0] if quoted else " ".join(typed), values=values)
    name = next((each for each in parameter.opts if each.startswith("--")), parameter.name)
    if kind == "MissingParameter":
        return Fault("usage_missing", column=name, values=values)
    if len(quoted) > 1:
        values["choices"] = ", ".join(quoted[1:])
        return Fault("usage_choice", quoted[0], column=name, values=values)
    return Fault("usage_value", _typed_under(parameter.opts, typed), column=name, values=values)


def _typed_under(names: Sequence[str], typed: Sequence[str]) -> str:
    """What stands behind an option on the command line; empty for an argument without a name."""
    for at, word in enumerate(typed):
        option, _, value = word.partition("=")
        if option in names:
            return value or (typed[at + 1] if at + 1 < len(typed) else "")
    return ""
