"""What does the desk answer, said for programs (OpenAPI 3.1)?"""

from __future__ import annotations

from typing import Any

from lickwright import __version__

_TEXT = {"type": "string", "maxLength": 2000}
_LESSON = {"type": "string", "maxLength": 1 << 20}
_TEXTS = {"type": "array", "items": _TEXT}


def _object(needed: dict[str, Any], may: dict[str, Any] | None = None) -> dict[str, Any]:
    return {"type": "object", "properties": needed | (may or {}), "required": list(needed)}


def _number(low: int, high: int) -> dict[str, Any]:
    return {"type": ["integer", "null"], "minimum": low, "maximum": high}


_PHRASE = {"text": _LESSON, "name": _TEXT}
_MOVE = {
    "key": _TEXT, "pattern": _number(1, 5), "octave": _number(-4, 4), "tuning": _TEXT,
    "capo": _number(0, 12), "chord": _TEXT,
}  # fmt: skip
_NAME = {"name": "name", "in": "path", "required": True, "schema": _TEXT}
_SAID = _object({"what": {"type": "string"}, "mend": {"type": "string"}})

_PUPIL = {"name": "name", "in": "query", "required": True, "schema": _TEXT}

# Path, method, what it does, body, parameters, status when all is well.
_ROUTES: tuple[tuple[str, str, str, dict[str, Any] | None, list[dict[str, Any]], int], ...] = (
    ("/api/words", "get", "What can be written where in a lesson.", None, [], 200),
    ("/api/lessons", "get", "All lessons of the folder.", None, [], 200),
    ("/api/lessons", "post", "A new lesson: a starter, a text, or like another.",
     _object({"name": _TEXT}, {"text": _LESSON, "like": _TEXT, "fresh": {"type": "boolean"}}),
     [], 201),
    ("/api/lessons/{name}", "get", "The text of a lesson.", None, [_NAME], 200),
    ("/api/lessons/{name}", "put", "Save a lesson that was read as `version`.",
     _object({"text": _LESSON}, {"version": _TEXT}), [_NAME], 200),
    ("/api/lessons/{name}", "delete", "Put a lesson into the bin.", None, [_NAME], 200),
    ("/api/rename", "post", "Give a lesson another name.",
     _object({"name": _TEXT, "to": _TEXT}), [], 200),
    ("/api/bin", "get", "What lies in the bin.", None, [], 200),
    ("/api/bin", "delete", "Empty the bin.", None, [], 200),
    ("/api/bin/restore", "post", "Take a lesson out of the bin.", _object({"id": _TEXT}), [], 200),
    ("/api/earlier", "get", "The earlier versions of a lesson, or the text of one.", None,
     [{"name": "name", "in": "query", "required": True, "schema": _TEXT},
      {"name": "id", "in": "query", "required": False, "schema": _TEXT}], 200),
    ("/api/read", "post", "Problems and pictures of a text.",
     _object({"text": _LESSON}, {"have": _TEXTS}), [], 200),
    ("/api/mend", "post", "The text with all mends that need no guessing.",
     _object({"text": _LESSON}), [], 200),
    ("/api/tidy", "post", "The text with aligned columns.", _object({"text": _LESSON}), [], 200),
    ("/api/phrase", "post", "One phrase up close.", _object(_PHRASE), [], 200),
    ("/api/places", "post", "Where else a phrase can be played.", _object(_PHRASE), [], 200),
    ("/api/move", "post", "A phrase moved.", _object(_PHRASE, _MOVE), [], 200),
    ("/api/finger", "post", "Another finger on one note.",
     _object(_PHRASE | {"note": _TEXT, "finger": _TEXT}), [], 200),
    ("/api/strings", "post", "On which other strings a note could be played.",
     _object(_PHRASE | {"note": _TEXT}), [], 200),
    ("/api/way-out", "post", "One of the ways out of what is too hard.",
     _object(_PHRASE | {"trouble": {"type": "integer", "minimum": 0, "maximum": 999},
                        "way": {"type": "integer", "minimum": 0, "maximum": 999}}), [], 200),
    ("/api/pupils", "get", "Of whom something is kept.", None, [], 200),
    ("/api/pupil", "get", "All that is kept of a pupil.", None, [_PUPIL], 200),
    ("/api/pupil", "delete", "Delete all that is kept of a pupil.", None, [_PUPIL], 200),
    ("/api/sound", "post", "What a player of a phrase needs.", _object(_PHRASE), [], 200),
    ("/api/builds", "post", "Build the pack of a saved lesson.",
     _object({"name": _TEXT}, {"keys": _TEXTS, "audio": _TEXTS}), [], 202),
    ("/api/builds/{id}", "get", "How far a build is.", None,
     [{"name": "id", "in": "path", "required": True, "schema": _TEXT}], 200),
    ("/api/builds/{id}", "delete", "Stop a build.", None,
     [{"name": "id", "in": "path", "required": True, "schema": _TEXT}], 200),
)  # fmt: skip


def description() -> dict[str, Any]:
    """The description as plain values."""
    paths: dict[str, dict[str, Any]] = {}
    for path, method, what, body, parameters, well in _ROUTES:
        paths.setdefault(path, {})[method] = _operation(what, body, parameters, well)
    return {
        "openapi": "3.1.0",
        "info": {"title": "The teacher's desk of Lickwright", "version": __version__},
        "paths": paths,
    }


def _operation(
    what: str, body: dict[str, Any] | None, parameters: list[dict[str, Any]], well: int
) -> dict[str, Any]:
    said = {"description": "Why not, in plain words.", "content": _json(_SAID)}
    found: dict[str, Any] = {
        "summary": what,
        "responses": {
            str(well): {"description": "Done.", "content": _json({"type": "object"})},
            "4XX": said,
            "507": said,
        },
    }
    if parameters:
        found["parameters"] = parameters
    if body is not None:
        found["requestBody"] = {"required": True, "content": _json(body)}
    return found


def _json(schema: dict[str, Any]) -> dict[str, Any]:
    return {"application/json": {"schema": schema}}
