"""Paper and foreign tables in: blank sheets, the grid they are typed into, tables of others."""

from __future__ import annotations

from fastapi import FastAPI

from rodhand.web.desk import folder_of
from rodhand.web.grid_pages import add_grids
from rodhand.web.sheet_pages import add_sheets
from rodhand.web.table_pages import add_table


def add_paper(app: FastAPI, desk: object) -> None:
    """Add these pages; a desk without a book's folder gets none.

    Parameters
    ----------
    app : FastAPI
        The application. The pages of bores must come after: their names are paths.
    desk : object
        Its desk.
    """
    folder = folder_of(desk)
    if folder is not None:
        add_grids(app, folder)
        add_sheets(app, folder)
        add_table(app, folder)
