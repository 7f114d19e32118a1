"""What a page asks of the captain's table over HTTP."""

from collections.abc import Callable
from typing import Annotated, Any, Final

from pydantic import Field
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from holesim.common.toml_tables import Table
from holesim.errors import InputError
from holesim.reports.draw_words import price_text, short_price, total_of_draw
from holesim.team.draw_prices import DrawPrices, NoSuchDrawError, load_prices
from holesim.window.asked import read_asked
from holesim.window.captain.captain_order import Sides
from holesim.window.captain.squads import list_squads, team_dict, write_team
from holesim.window.captain.weekends import PlayedTable, weekend_dict, write_results
from holesim.window.folder import Folder
from holesim.window.threads import Worker

_HERE: Final = "/api/captain"
_MOST_DRAWS: Final = 80  # priced at once


class PricesAsked(Table):
    """Draws to price, by the table of a plan."""

    table: Annotated[str, Field(pattern="^[0-9a-f]{40}$")]
    draws: Annotated[list[Sides], Field(min_length=1, max_length=_MOST_DRAWS)]


class TeamWritten(Table):
    """A team to write, and the SHA-256 of the file that it replaces."""

    content: dict[str, Any]
    seen: str | None = None


def captain_routes(folder: Folder, files: Worker) -> list[Route]:
    """Return the routes of the captain's table.

    Parameters
    ----------
    files
        The thread that reads and writes files.
    """
    asked = _Asked(folder, files)
    return [
        Route(_HERE, asked.squads),
        Route(f"{_HERE}/prices", asked.prices, methods=["POST"]),
        Route(f"{_HERE}/teams/{{name:path}}", asked.team),
        Route(f"{_HERE}/teams/{{name:path}}", asked.keep_team, methods=["PUT"]),
        Route(f"{_HERE}/weekends/{{name:path}}", asked.weekend),
        Route(f"{_HERE}/weekends/{{name:path}}", asked.keep_results, methods=["PUT"]),
    ]


class _Asked:
    """Answers to what is asked of the captain's table."""

    def __init__(self, folder: Folder, files: Worker) -> None:
        self._folder, self._files = folder, files
        self._held: tuple[str, DrawPrices] | None = None

    async def squads(self, _: Request) -> Response:
        return await self._answer(lambda: list_squads(self._folder))

    async def team(self, request: Request) -> Response:
        return await self._answer(lambda: team_dict(self._folder, _name(request)))

    async def keep_team(self, request: Request) -> Response:
        asked = await read_asked(request, TeamWritten)
        name = _name(request)

        def keep() -> dict[str, Any]:
            return {"name": name, "sha256": write_team(self._folder, name, asked.content, asked.seen)}

        return await self._answer(keep)

    async def weekend(self, request: Request) -> Response:
        return await self._answer(lambda: weekend_dict(self._folder, _name(request)))

    async def keep_results(self, request: Request) -> Response:
        asked = await read_asked(request, PlayedTable)
        name = _name(request)

        def keep() -> dict[str, Any]:
            write_results(self._folder, name, asked)
            return weekend_dict(self._folder, name)

        return await self._answer(keep)

    async def prices(self, request: Request) -> Response:
        asked = await read_asked(request, PricesAsked)

        def price() -> dict[str, Any]:
            prices = self._prices(asked.table)
            return {"prices": [_priced(prices, draw) for draw in asked.draws]}

        return await self._answer(price)

    def _prices(self, table: str) -> DrawPrices:
        if self._held is None or self._held[0] != table:
            found = load_prices(table)
            if found is None:
                raise InputError("the plan", "", "is no longer kept here", "plan again")
            self._held = table, found
        return self._held[1]

    async def _answer(self, work: Callable[[], dict[str, Any]]) -> Response:
        return JSONResponse(await self._files.run(work))


def _priced(prices: DrawPrices, draw: list[list[int]]) -> dict[str, Any]:
    """Return what a draw costs, or why it cannot be played."""
    try:
        price = prices.price(draw)
    except NoSuchDrawError as error:
        return {"refused": str(error)}
    return {
        "text": price_text(price),
        "short": short_price(price),
        "total": total_of_draw(price),
        "same": price.same,
        "gain": price.gain.value,
        "sides": [f"{value:.2f}" if price.gain.unit == "points" else f"{value:.1f}" for value in price.sides],
    }


def _name(request: Request) -> str:
    name: str = request.path_params["name"]
    return name
