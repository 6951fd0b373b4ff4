"""Was all made that has to be made when the package is built: fonts, page, desk?"""

from __future__ import annotations


class NotInstalledError(Exception):
    """A file that is made when the package is built is not there. `what`: which, in plain words."""

    def __init__(self, what: str) -> None:
        super().__init__(
            f"{what} is missing: Lickwright was not fully installed; in its own folder, "
            "`make clean` and then `make demo` install it anew, which needs the network once"
        )
