"""Templates -> pages, each with what its script needs to speak to this start of the station."""

from __future__ import annotations

import secrets

from starlette.responses import HTMLResponse

from weighstation.report.page.page_html import environment

PACKAGE = "weighstation.station.pages"


class Paper:
    """What pages are written on.

    Attributes
    ----------
    token : str
        Whatever changes something must carry it; new at every start.
    server : str
        Differs after every start, so that a page notices that it is an old one.
    """

    def __init__(self) -> None:
        self.token = secrets.token_urlsafe(24)
        self.server = secrets.token_hex(8)
        self._templates = environment(PACKAGE)

    def page(self, name: str, *, status: int = 200, **said: object) -> HTMLResponse:
        """Return a page.

        Parameters
        ----------
        name : str
            Of its template.
        status : int
            Of HTTP.
        said : object
            What the template shows, by name.

        Returns
        -------
        HTMLResponse
        """
        template = self._templates.get_template(name)
        written = template.render(token=self.token, server=self.server, **said)
        return HTMLResponse(written, status)

    def closed(self, why: str) -> HTMLResponse:
        """Return what is shown to somebody who is not let in; it carries nothing of the station.

        Parameters
        ----------
        why : str
            ``unknown`` where a device is not paired, ``spent`` where its link is no good.

        Returns
        -------
        HTMLResponse
        """
        text = self._templates.get_template("closed.html").render(why=why)
        return HTMLResponse(text, 403)
