"""Does the desk answer as it says, and refuse what a foreign page or a bad client tries?"""

from __future__ import annotations

import io
import json
import socket
import time
import zipfile
from base64 import b64decode
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
import soundfile
from served import LESSON, Desk

from lickwright.lesson import read_lesson

pytestmark = pytest.mark.xdist_group("desk")


@pytest.fixture
def client(desk: Desk) -> Iterator[httpx.Client]:
    with desk.client() as made:
        yield made


def build(client: httpx.Client, **wish: object) -> dict:
    begun = client.post("/api/builds", json=wish)
    assert begun.status_code == 202, begun.text
    until = time.monotonic() + 120
    while time.monotonic() < until:
        found = client.get(f"/api/builds/{begun.json()['id']}").json()
        if found["state"] not in ("waiting", "building"):
            return found
        time.sleep(0.1)
    raise AssertionError("the build does not end")


def test_the_list_says_what_is_in_each_lesson(client: httpx.Client) -> None:
    lessons = {each["name"]: each for each in client.get("/api/lessons").json()["lessons"]}
    evening = lessons["evening"]
    assert (evening["title"], evening["key"], evening["phrases"]) == ("Evening turns", "A minor", 2)
    assert evening["problems"] == 0
    low, high = evening["grade"]
    assert 0 < low <= high


def test_a_lesson_is_saved_under_its_version_only(client: httpx.Client, desk: Desk) -> None:
    made = client.post("/api/lessons", json={"name": "saved", "text": "one"}).json()
    well = client.put("/api/lessons/saved", json={"text": "two", "version": made["version"]})
    assert well.status_code == 200
    late = client.put("/api/lessons/saved", json={"text": "three", "version": made["version"]})
    assert late.status_code == 409
    assert late.json()["theirs"]["text"] == "two"
    assert (desk.folder / "saved.md").read_text() == "two"
    version = well.json()["version"]
    same = client.get("/api/lessons/saved", headers={"if-none-match": f'"{version}"'})
    assert same.status_code == 304


def test_only_what_changed_is_sent_again(client: httpx.Client) -> None:
    first = client.post("/api/read", json={"text": LESSON}).json()
    keys = [part["key"] for part in first["parts"]]
    assert all("html" in part for part in first["parts"])
    changed = LESSON.replace("Say it slowly.", "Say it twice.")
    again = client.post("/api/read", json={"text": changed, "have": keys}).json()
    assert [part["kind"] for part in again["parts"] if "html" in part] == ["prose"]


def test_a_spoiled_phrase_is_said_and_harms_no_other(client: httpx.Client) -> None:
    found = client.post("/api/read", json={"text": LESSON.replace("|5b7-7|", "|5b3-7|")}).json()
    parts = {part["id"]: part for part in found["parts"]}
    assert parts["up"]["key"] == ""
    assert "<svg" in parts["down"]["html"]
    (problem,) = found["problems"]
    assert problem["line"] == 10
    assert problem["mend"]


def test_a_phrase_up_close_with_places_moves_fingers(client: httpx.Client) -> None:
    own = {"text": LESSON, "name": "up"}
    close = client.post("/api/phrase", json=own).json()
    assert [hand["fret"] for hand in close["hands"]["notes"]] == [5, 7]
    places = client.post("/api/places", json=own).json()["places"]
    assert len(places) >= 2
    for place in places:
        assert read_lesson(place["block"]).problems == ()
    moved = client.post("/api/move", json=own | {"key": "C"}).json()
    (phrase,) = read_lesson(moved["block"]).lesson.phrases
    assert str(phrase.key) == "C minor"
    assert [note.fret for note in phrase.notes] == [8, 10]
    note = close["hands"]["notes"][1]["note"]
    other = client.post("/api/finger", json=own | {"note": note, "finger": "4"}).json()
    (fingered,) = read_lesson(other["block"]).lesson.phrases
    assert fingered.notes[1].finger is not None
    strings = client.post("/api/strings", json=own | {"note": note}).json()["strings"]
    assert {(each["string"], each["fret"]) for each in strings} >= {("D", 12), ("B", 3)}
    for each in strings:
        assert read_lesson(each["block"]).problems == ()
    assert client.post("/api/strings", json=own | {"note": "x"}).status_code == 404
    assert client.post("/api/move", json=own | {"key": "H"}).status_code == 400
    assert client.post("/api/move", json=own).status_code == 400
    assert client.post("/api/finger", json=own | {"note": "x", "finger": "4"}).status_code == 404
    assert client.post("/api/phrase", json=own | {"name": "lost"}).status_code == 404


def test_other_fingers_are_offered_for_a_written_one_too(client: httpx.Client) -> None:
    own = {"text": LESSON.replace("count |1   3|", "finger|3   2|\ncount |1   3|"), "name": "up"}
    close = client.post("/api/phrase", json=own).json()
    for hand in close["hands"]["notes"]:
        others = close["others"][hand["note"]]
        assert hand["finger"] not in [each["finger"] for each in others]
        extras = [each["extra"] for each in others]
        assert len(others) >= 2
        assert extras == sorted(extras)
        assert all(extra >= 0 for extra in extras)


def test_the_sound_of_a_phrase_can_be_decoded_and_is_as_long_as_it_says(
    client: httpx.Client,
) -> None:
    made = client.post("/api/sound", json={"text": LESSON, "name": "up"}).json()
    lead, rate = soundfile.read(io.BytesIO(b64decode(made["sounds"]["lead"])))
    last = made["data"]["rungs"][-1]
    assert last["tempo"] == 120
    assert len(lead) / rate > last["lead"] + last["round"]
    assert "band" in made["sounds"]


def test_a_pack_is_built_shown_and_taken_as_a_zip(client: httpx.Client, desk: Desk) -> None:
    found = build(client, name="evening", audio=[], keys=["C"])
    assert found["state"] == "done", found
    assert found["packs"] == ["evening-pack", "evening-in-C-minor-pack"]
    page = client.get("/packs/evening-pack/lesson.html")
    assert page.headers["content-security-policy"].startswith("sandbox")
    assert "Evening turns" in page.text
    archive = zipfile.ZipFile(io.BytesIO(client.get("/api/packs/evening-pack").content))
    assert archive.testzip() is None
    assert "evening-pack/handout.pdf" in archive.namelist()
    listed = {each["name"]: each for each in client.get("/api/lessons").json()["lessons"]}
    assert listed["evening"]["built"] is not None


def test_a_build_can_be_stopped_and_leaves_the_old_pack(client: httpx.Client, desk: Desk) -> None:
    text = LESSON.replace("Evening turns", "Long")
    client.post("/api/lessons", json={"name": "long", "text": text})
    begun = client.post("/api/builds", json={"name": "long", "audio": ["mp3", "flac"]}).json()
    client.delete(f"/api/builds/{begun['id']}")
    until = time.monotonic() + 100
    state = ""
    while time.monotonic() < until and state not in ("stopped", "done"):
        state = client.get(f"/api/builds/{begun['id']}").json()["state"]
        time.sleep(0.1)
    assert state == "stopped"
    assert not (desk.folder / "long-pack").exists()
    assert not [path for path in desk.folder.iterdir() if ".new-" in path.name]


FOREIGN = [
    {"host": "evil.example"},
    {"host": "127.0.0.1:1"},
    {"host": "localhost"},
    {"origin": "http://evil.example"},
    {"origin": "null"},
    {"origin": "http://127.0.0.1:1"},
    {"sec-fetch-site": "cross-site"},
    {"sec-fetch-site": "same-site", "sec-fetch-mode": "cors"},
]


@pytest.mark.parametrize("headers", FOREIGN, ids=str)
@pytest.mark.parametrize("path", ["/", "/api/lessons", "/packs/evening-pack/lesson.html"])
def test_a_foreign_page_gets_nothing(
    client: httpx.Client, headers: dict[str, str], path: str
) -> None:
    found = client.get(path, headers=headers)
    assert found.status_code in (403, 421)
    assert "Evening" not in found.text
    sent = client.post("/api/lessons", json={"name": "foreign"}, headers=headers)
    assert sent.status_code in (403, 421)


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", ""]
)
def test_what_a_form_of_a_foreign_page_can_send_is_refused(client: httpx.Client, kind: str) -> None:
    body = json.dumps({"name": "form"})
    found = client.post("/api/lessons", content=body, headers={"content-type": kind})
    assert found.status_code == 415


ESCAPES = [
    "..", "../evening", "%2e%2e%2fevening", "..%2f..%2fetc%2fpasswd", "....//evening",
    "/etc/passwd", "evening%00", "%c0%ae%c0%ae/x", "evening.md/../evening", ".lickwright",
]  # fmt: skip


@pytest.mark.parametrize("escape", ESCAPES)
@pytest.mark.parametrize(
    "path",
    ["/api/lessons/{}", "/packs/{}/pack.json", "/packs/evening-pack/{}", "/api/packs/{}",
     "/desk/{}", "/api/earlier?name={}"],
)  # fmt: skip
def test_no_address_leads_out_of_the_folder(desk: Desk, escape: str, path: str) -> None:
    (desk.folder.parent / "passwd").write_text("root:x")
    (desk.folder / "evening-pack").mkdir(exist_ok=True)
    request = f"GET {path.format(escape)} HTTP/1.1\r\nHost: 127.0.0.1:{desk.port}\r\n"
    with socket.create_connection(("127.0.0.1", desk.port), timeout=20) as connection:
        connection.sendall(f"{request}Connection: close\r\n\r\n".encode())
        answer = b""
        while piece := connection.recv(65536):
            answer += piece
    status = int(answer.split()[1])
    assert status in (400, 403, 404), answer[:200]
    assert b"root:" not in answer


def test_links_in_a_pack_do_not_lead_out(client: httpx.Client, desk: Desk) -> None:
    pack = desk.folder / "linked-pack"
    pack.mkdir()
    (pack / "pack.json").write_text("{}")
    secret = desk.folder.parent / "secret.txt"
    secret.write_text("secret")
    (pack / "leak.txt").symlink_to(secret)
    assert client.get("/packs/linked-pack/leak.txt").status_code == 404
    archive = zipfile.ZipFile(io.BytesIO(client.get("/api/packs/linked-pack").content))
    assert archive.namelist() == ["linked-pack/pack.json"]


def test_too_much_is_refused_at_once_or_as_soon_as_it_is_too_much(desk: Desk) -> None:
    head = (
        f"PUT /api/lessons/evening HTTP/1.1\r\nHost: 127.0.0.1:{desk.port}\r\n"
        "Content-Type: application/json\r\n"
    )
    for framing in ("Content-Length: 104857600\r\n", "Transfer-Encoding: chunked\r\n"):
        with socket.create_connection(("127.0.0.1", desk.port), timeout=30) as connection:
            connection.sendall(f"{head}{framing}\r\n".encode())
            sent, answer = 0, b""
            try:
                while sent < 100 << 20:
                    piece = b"x" * 65536
                    chunk = b"%x\r\n%s\r\n" % (len(piece), piece) if "chunked" in framing else piece
                    connection.sendall(chunk)
                    sent += len(piece)
            except OSError:
                pass  # the server has hung up
            try:
                answer = connection.recv(4096)
            except OSError:
                answer = b""
        assert not answer or answer.split()[1] == b"413"
        assert sent < 100 << 20, "it did not listen to the end"
    assert (desk.folder / "evening.md").read_text() == LESSON


def test_slow_clients_do_not_keep_others_waiting(desk: Desk, client: httpx.Client) -> None:
    slow = [socket.create_connection(("127.0.0.1", desk.port)) for _ in range(60)]
    for connection in slow:
        connection.sendall(
            f"POST /api/read HTTP/1.1\r\nHost: 127.0.0.1:{desk.port}\r\n"
            "Content-Type: application/json\r\nContent-Length: 1000\r\n\r\n{".encode()
        )
    assert client.get("/api/lessons").status_code == 200
    for connection in slow:
        connection.close()


@pytest.mark.parametrize(
    "body",
    [b"", b"[]", b"null", b"{", b'{"text":1}', b'{"text":"\\ud800"}', b"[" * 100_000, b"\xff",
     b'{"text":null}'],
)  # fmt: skip
@pytest.mark.parametrize("path", ["/api/read", "/api/mend", "/api/phrase", "/api/builds"])
def test_nonsense_gets_plain_words(client: httpx.Client, path: str, body: bytes) -> None:
    found = client.post(path, content=body, headers={"content-type": "application/json"})
    assert found.status_code in (400, 404, 413)
    assert found.json()["what"]


def test_what_is_no_list_is_said(client: httpx.Client) -> None:
    for have in ("x", [1], {}, [["x"]]):
        assert client.post("/api/read", json={"text": "", "have": have}).status_code == 400


def test_hostile_text_is_shown_and_not_run(client: httpx.Client) -> None:
    hostile = "<script>alert(1)</script>"
    text = LESSON.replace("Evening turns", hostile).replace("Say it slowly.", hostile)
    text = text.replace("```lick up\n", f"```lick up\ntitle: {hostile}\n")
    found = client.post("/api/read", json={"text": text}).json()
    html = "".join(part.get("html", "") for part in found["parts"])
    assert "<script>alert" not in html
    assert "&lt;script&gt;alert" in html
    moved = client.post("/api/move", json={"text": text, "name": "up", "key": "D"}).json()
    assert "<script>alert" not in moved["html"]


def test_the_pages_may_run_nothing_but_their_own_script(client: httpx.Client) -> None:
    policy = client.get("/").headers["content-security-policy"]
    assert "script-src 'self'" in policy
    assert "unsafe-inline" not in policy.partition("script-src")[2].partition(";")[0]
    assert "frame-ancestors 'none'" in policy


def test_it_listens_on_this_machine_only(desk: Desk) -> None:
    # Source of the table's form: proc(5) of Linux; 0A is the state of a socket that listens.
    rows = [row.split() for row in Path("/proc/net/tcp").read_text().splitlines()[1:]]
    listening = [row[1] for row in rows if row[3] == "0A" and row[1].endswith(f":{desk.port:04X}")]
    assert listening == [f"0100007F:{desk.port:04X}"]
