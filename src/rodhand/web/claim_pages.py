"""The pages of a break or loss, and the insurer's schedule."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import quote

from fastapi import FastAPI, Request
from fastapi.responses import RedirectResponse, Response
from starlette.datastructures import UploadFile

from rodhand.book.claim.claim import Claim, claim_of
from rodhand.book.claim.photos import sha256_of
from rodhand.book.claim.subject import NoSuchSubjectError
from rodhand.book.opening import open_assessment
from rodhand.book.owner.schedule import ScheduleView, schedule_view
from rodhand.faults import BadInputError, Fault
from rodhand.sheets.claim_file import PAPER, claim_file, claim_zip
from rodhand.sheets.paper import BookFacts, paper_pdf
from rodhand.sheets.schedule_paper import schedule_csv, schedule_paper
from rodhand.web.asked import system_of
from rodhand.web.bore_pictures import ONE_AT_A_TIME
from rodhand.web.desk import Desk, FolderDesk, NotHereError, folder_desk
from rodhand.web.pages import page_or_twin, sent_file

SEE_OTHER = 303
PDF, ZIP, CSV = "application/pdf", "application/zip", "text/csv; charset=utf-8"


def add_claim(app: FastAPI, desk: Desk) -> None:
    """Add the pages of breaks and losses and the schedule; a desk without a folder gets none.

    Parameters
    ----------
    app : FastAPI
        The application.
    desk : Desk
        Its desk; a `FolderDesk` where there is a real book.
    """
    book = folder_desk(desk)
    if book is None:
        return
    _add_file(app, book)
    _add_photo(app, desk, book)
    _add_schedule(app, book)


def _claim(request: Request, book: FolderDesk, name: str) -> Claim:
    photos = request.query_params.get("photos", "").strip()
    try:
        with ONE_AT_A_TIME:
            return claim_of(book.folder, name, book.as_of, Path(photos) if photos else None)
    except NoSuchSubjectError as error:
        raise NotHereError(name) from error


def _part(request: Request, book: FolderDesk, name: str) -> tuple[bytes, bytes]:
    """The paper alone, and the whole file as a zip."""
    found = _claim(request, book, name)
    made = claim_file(found, book.folder.resolve().name, system_of(request), book.as_of)
    return made.parts[PAPER], claim_zip(made)


def _add_file(app: FastAPI, book: FolderDesk) -> None:
    @app.get("/claim/{name:path}/claim.pdf")
    def paper(request: Request, name: str) -> Response:
        return sent_file(_part(request, book, name)[0], PDF, f"{name}-claim.pdf")

    @app.get("/claim/{name:path}/claim.zip")
    def whole(request: Request, name: str) -> Response:
        return sent_file(_part(request, book, name)[1], ZIP, f"{name}-claim.zip")

    @app.get("/claim/{name:path}")
    def page(request: Request, name: str) -> Response:
        found = _claim(request, book, name)
        photos = request.query_params.get("photos", "").strip()
        asked = f"?photos={quote(photos, safe='')}" if photos else ""
        return page_or_twin(
            request, "claim.html", found.view, lambda: {"photos": photos, "asked": asked}
        )


def _add_photo(app: FastAPI, desk: Desk, book: FolderDesk) -> None:
    @app.post("/claim/{name:path}/photo")
    async def photo(request: Request, name: str) -> Response:
        form = await request.form()
        sent, note = form.get("file"), form.get("note")
        if not isinstance(sent, UploadFile) or not sent.filename:
            raise BadInputError([Fault("claim_no_photo", column="file")])
        things = [thing.name for thing in _claim(request, book, name).view.things]
        payload = {
            "things": ", ".join(things) or name,
            "photo": Path(sent.filename).name,
            "sha256": sha256_of(sent.file),
            "note": note.strip() if isinstance(note, str) else "",
        }
        desk.enter("photo", {column: text for column, text in payload.items() if text}, "", "")
        return RedirectResponse(f"/claim/{quote(name, safe='')}#photos", SEE_OTHER)


def _add_schedule(app: FastAPI, book: FolderDesk) -> None:
    def opened() -> tuple[ScheduleView, BookFacts]:
        with ONE_AT_A_TIME:
            assessment = open_assessment(book.folder, book.as_of)
        read = assessment.book
        facts = BookFacts.of(book.folder, read)
        return schedule_view(assessment), facts

    @app.get("/schedule")
    def schedule(request: Request) -> Response:
        return page_or_twin(request, "schedule.html", opened()[0])

    @app.get("/schedule.csv")
    def table() -> Response:
        return sent_file(schedule_csv(opened()[0]).encode(), CSV, "schedule.csv")

    @app.get("/schedule.pdf")
    def paper(request: Request) -> Response:
        view, facts = opened()
        return sent_file(paper_pdf(schedule_paper(view, facts, system_of(request))), PDF,
                     "schedule.pdf")  # fmt: skip
