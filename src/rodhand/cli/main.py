"""The `rodhand` command: every command that is whole, and one place that tells failures."""

from __future__ import annotations

import sys

import typer

from rodhand.cli import (
    LANGUAGE_ASKED,
    backup,
    book_pages,
    check,
    checks,
    claim,
    demo,
    enter,
    estimate,
    export,
    handover,
    import_,
    makeup,
    monday,
    order,
    plan,
    report,
    restore,
    season,
    serve,
    sheets,
    strike,
    trace,
    trust,
    turning,
    verify,
    why,
)
from rodhand.cli.exit_codes import ExitCode
from rodhand.cli.usage import UsageError, told
from rodhand.faults import BadInputError, CannotReadError, DamagedError
from rodhand.words import LANGUAGES, render_faults, say

# The commands' modules import heavy things inside their functions, so --help stays quick.
app = typer.Typer(
    name="rodhand",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)
app.command("check")(check.check)
app.command("makeup")(makeup.makeup)
app.command("enter", context_settings={"allow_extra_args": True, "ignore_unknown_options": True})(
    enter.enter
)
app.command("strike")(strike.strike)
app.command("rod")(book_pages.rod)
app.command("why")(why.why)
app.command("due")(book_pages.due)
app.command("checks")(checks.checks)
app.command("order")(order.order)
app.command("forecast")(season.forecast)
app.command("season")(season.season)
app.command("money")(season.money)
app.command("estimate")(estimate.estimate)
app.command("turning")(turning.turning)
app.command("trace")(trace.trace)
app.command("plan")(plan.plan)
app.command("report")(report.report)
app.command("sheets")(sheets.sheets)
app.command("import")(import_.import_file)
app.command("export")(export.export)
app.command("backup")(backup.backup)
app.command("restore")(restore.restore)
app.command("verify")(verify.verify)
app.command("handover")(handover.handover)
app.command("claim")(claim.claim)
app.command("schedule")(claim.schedule)
app.command("monday")(monday.monday)
app.command("serve")(serve.serve)
app.command("trust")(trust.trust)
app.command("demo")(demo.demo)


def main() -> None:
    """Run one command; bad input ends with 2, an unreadable or damaged file with 3, all told."""
    if LANGUAGE_ASKED not in LANGUAGES:
        words = say("common.no_language", asked=LANGUAGE_ASKED, known=", ".join(LANGUAGES))
        print(words, file=sys.stderr)
        sys.exit(ExitCode.BAD_INPUT)
    try:
        sys.exit(app(standalone_mode=False) or ExitCode.DONE)
    except UsageError as error:
        print(told(error, sys.argv[1:]), file=sys.stderr)
        sys.exit(ExitCode.BAD_INPUT)
    except typer.Abort:
        sys.exit(ExitCode.OVER_LIMIT)
    except BadInputError as error:
        print(render_faults(error), file=sys.stderr)
        sys.exit(ExitCode.BAD_INPUT)
    except DamagedError as error:
        print(say("copies.damaged", path=error.path, reason=error.reason), file=sys.stderr)
        sys.exit(ExitCode.CANNOT_READ)
    except CannotReadError as error:
        print(say("common.cannot_read", path=error.path, reason=error.reason), file=sys.stderr)
        sys.exit(ExitCode.CANNOT_READ)
