"""Who is kept out, and what is refused: one test for each way in that is known.

The refusals follow RFC 9110 (status codes), RFC 6454 (Origin), RFC 6265bis (SameSite, HttpOnly)
and W3C Content Security Policy Level 3; the list of attacks is common practice for servers on
loopback addresses.
"""

from __future__ import annotations

import contextlib
import io
import os
import signal
import socket
import time
import zipfile
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from drills.stand import door, shelf
from drills.stand.app import make_app
from drills.stand.door import BODY_LIMIT, Keys
from drills.stand.pairing import CODE_DIGITS, MOST_WRONG, PAUSE, Pairing
from drills.stand.shelf import id_of
from tests.stand.standing import MARCH, Inside, Standing, below, standing, to_its_end
from tests.stand.wholeness import whole

HOST = "127.0.0.1:1"


@pytest.fixture(name="stand", scope="module")
def _stand(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Standing]:
    with standing(tmp_path_factory.mktemp("door"), "--hasty") as found:
        yield found


@pytest.fixture(name="client", scope="module")
def _client(stand: Standing) -> Iterator[httpx.Client]:
    with stand.client() as client:
        yield client


def test_the_key_becomes_a_cookie_that_scripts_and_other_sites_do_not_get(stand: Standing) -> None:
    answer = httpx.get(stand.address)
    cookie = answer.headers["set-cookie"].lower()
    assert answer.status_code == 303
    assert answer.headers["location"] == "/"
    assert "httponly" in cookie
    assert "samesite=strict" in cookie


@pytest.mark.parametrize("path", ["/", "/api/shelf", "/static/part.js", "/font/notes.woff2"])
def test_nobody_without_the_cookie(stand: Standing, path: str) -> None:
    assert httpx.get(f"{stand.origin}{path}").status_code == 403


def test_a_guessed_key_opens_nothing(stand: Standing) -> None:
    assert httpx.get(f"{stand.origin}/open?key=guess").status_code == 403
    assert httpx.get(f"{stand.origin}/open?key=").status_code == 403


def test_a_stolen_link_opens_nothing_after_the_end(tmp_path: Path) -> None:
    keys, host = Keys(), frozenset([HOST])
    link = f"/open?key={keys.key}"
    for own, status in ((keys, 303), (Keys(), 403)):
        assert Inside(make_app(tmp_path, own, host), HOST).get(link).status_code == status


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1", "127.0.0.1:1", "[::1]:80", ""])
def test_another_name_for_this_machine_is_not_answered(client: httpx.Client, host: str) -> None:
    """DNS rebinding: the browser asks us under the name of a stranger's site."""
    assert client.get("/api/shelf", headers={"Host": host}).status_code == 421


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "", "https://127.0.0.1"])
def test_another_site_cannot_change_anything(client: httpx.Client, origin: str) -> None:
    answer = client.post("/api/scores?name=x.musicxml", content=b"x", headers={"Origin": origin})
    assert answer.status_code == 403


def test_a_form_of_another_site_without_an_origin_cannot_either(stand: Standing) -> None:
    with stand.client() as client:
        del client.headers["Origin"]
        assert client.post("/api/list/put", json={}).status_code == 403


def test_web_sockets_are_refused(stand: Standing) -> None:
    key = "dGhlIHNhbXBsZSBub25jZQ=="  # RFC 6455, section 1.3
    upgrade = {"Connection": "Upgrade", "Upgrade": "websocket", "Sec-WebSocket-Version": "13"}
    with stand.client() as client:
        answer = client.get("/", headers={**upgrade, "Sec-WebSocket-Key": key})
    assert answer.status_code != 101


def test_every_answer_says_that_nothing_from_outside_may_run(client: httpx.Client) -> None:
    for path in ("/", "/api/shelf", "/api/place?score=x"):
        headers = client.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "script-src 'self'" in policy
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py",
        "/static/%2e%2e/app.py",
        "/static/..%2fapp.py",
        "/static/%2e%2e%2f%2e%2e%2f%2e%2e%2f%2e%2e%2fetc/passwd",
        "/take/..%2f..%2fetc%2fpasswd",
        "/file/..%2f../0",
        "//etc/passwd",
    ],
)
def test_no_path_leads_out(client: httpx.Client, path: str) -> None:
    cookie = "; ".join(f"{name}={value}" for name, value in client.cookies.items())
    url = httpx.URL(str(client.base_url)).copy_with(raw_path=path.encode())
    answer = client.send(httpx.Request("GET", url, headers={**client.headers, "Cookie": cookie}))
    assert answer.status_code in (404, 422)
    assert b"root:" not in answer.content
    assert b"import" not in answer.content


@pytest.mark.parametrize("score", ["../march.musicxml", "/etc/passwd", "march.musicxml", "%00"])
def test_a_score_is_named_by_its_id_only(client: httpx.Client, score: str) -> None:
    answer = client.get("/api/players", params={"score": score})
    assert answer.status_code == 422
    assert "no longer in the folder" in answer.json()["problem"]


@pytest.mark.parametrize(
    "name",
    [
        "../../evil.musicxml",
        "..\\..\\evil.musicxml",
        "/tmp/evil.musicxml",
        ".hidden.musicxml",
        "a\0b.musicxml",
        "CON.musicxml",
        "x" * 500 + ".musicxml",
    ],
)
def test_an_upload_is_stored_under_a_name_of_our_own(
    stand: Standing, client: httpx.Client, name: str
) -> None:
    before = {path.name for path in stand.folder.iterdir()}
    answer = client.post("/api/scores", params={"name": name}, content=b"<score-partwise/>")
    assert answer.status_code == 200
    assert not (stand.folder.parent / "evil.musicxml").exists()
    for new in {path.name for path in stand.folder.iterdir()} - before:
        assert not new.startswith(".")
        assert len(new) < 200
        (stand.folder / new).unlink()


@pytest.mark.parametrize("name", ["evil.html", "evil.svg", "evil.py", "book.toml", "x", ""])
def test_what_is_no_score_is_not_taken(client: httpx.Client, name: str) -> None:
    assert client.post("/api/scores", params={"name": name}, content=b"x").status_code == 422


def test_bombs_are_refused_in_words_and_the_server_goes_on(client: httpx.Client) -> None:
    entities = b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">' + b"".join(
        b'<!ENTITY %c "%s">' % (98 + n, b"&%c;" % (97 + n) * 10) for n in range(9)
    )
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("META-INF/container.xml", bytes(60_000_000))
    bombs = {"laughs.musicxml": entities + b"]><x>&j;</x>", "bomb.mxl": packed.getvalue()}
    for name, content in bombs.items():
        added = client.post("/api/scores", params={"name": name}, content=content)
        answer = client.get("/api/players", params={"score": added.json()["id"]})
        assert answer.status_code == 422
        assert name.partition(".")[0] in answer.json()["problem"]
        assert str(Path.home()) not in answer.text
    good = client.get("/api/players", params={"score": id_of(MARCH)})
    assert good.json()["title"]


def test_a_thousand_uploads_fill_no_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shelf, "MOST_SCORES", 5)
    keys = Keys()
    app = make_app(tmp_path, keys, frozenset([HOST]))

    async def flood() -> list[httpx.Response]:
        async with httpx.AsyncClient(
            transport=httpx.ASGITransport(app),
            base_url=f"http://{HOST}",
            headers={"Origin": f"http://{HOST}"},
            cookies={door.COOKIE: keys.cookie},
        ) as client:
            return [
                await client.post(f"/api/scores?name=n{n}.musicxml", content=f"{n}".encode())
                for n in range(1000)
            ]

    answers = to_its_end(flood())
    assert [answer.status_code for answer in answers].count(200) == 5
    assert len(list(tmp_path.iterdir())) == 5
    assert "scores already" in answers[-1].json()["problem"]


def test_a_body_that_says_it_is_too_long_is_not_read(stand: Standing, client: httpx.Client) -> None:
    cookie = "; ".join(f"{name}={value}" for name, value in client.cookies.items())
    head = (
        f"POST /api/scores?name=x.musicxml HTTP/1.1\r\nHost: {stand.host}\r\n"
        f"Origin: {stand.origin}\r\nCookie: {cookie}\r\nContent-Length: 10000000000\r\n\r\n"
    )
    with socket.create_connection(tuple(stand.host.split(":")), timeout=10) as line:  # type: ignore[arg-type]
        line.sendall(head.encode())
        assert b" 413 " in line.recv(200)


def test_a_stream_without_end_is_cut_off(client: httpx.Client) -> None:
    sent = 0

    def endless() -> Iterator[bytes]:
        nonlocal sent
        piece = bytes(1_000_000)
        while sent < 10_000_000_000:
            sent += len(piece)
            yield piece

    try:
        answer = client.post("/api/scores", params={"name": "x.musicxml"}, content=endless())
        assert answer.status_code == 413
    except httpx.TransportError:
        pass  # the connection was closed while we were still sending
    assert sent < 3 * BODY_LIMIT


def test_slow_requests_are_given_up(stand: Standing, client: httpx.Client) -> None:
    cookie = "; ".join(f"{name}={value}" for name, value in client.cookies.items())
    begun = (
        f"POST /api/scores?name=x.musicxml HTTP/1.1\r\nHost: {stand.host}\r\n"
        f"Origin: {stand.origin}\r\nCookie: {cookie}\r\nContent-Length: 100\r\n\r\nx"
    )
    host, port = stand.host.split(":")
    with contextlib.ExitStack() as lines:
        both = []
        for slow in (b"GET / HTTP/1.1\r\n", begun.encode()):
            line = lines.enter_context(socket.create_connection((host, int(port)), timeout=20))
            line.sendall(slow)
            both.append(line)
        for line in both:
            answer = line.recv(100)
            assert answer == b"" or b" 413 " in answer


@pytest.mark.parametrize("body", [b"", b"[]", b"nonsense", b"[" * 100_000, b'"x"'])
def test_what_is_no_data_is_refused_in_words(client: httpx.Client, body: bytes) -> None:
    answer = client.post("/api/loop", content=body)
    assert answer.status_code == 422
    assert "load it again" in answer.json()["problem"]


# --- tablets -----------------------------------------------------------------------


def paired(clock: list[float]) -> tuple[Pairing, list[str]]:
    said: list[str] = []
    pairing = Pairing("http://192.0.2.7:8600", said.append, lambda: clock[0])
    pairing.show()
    return pairing, said


def code_in(said: list[str]) -> str:
    line = next(line for line in reversed(said) if "code " in line)
    return line.rpartition(" ")[2]


def test_a_code_works_once() -> None:
    pairing, said = paired([0.0])
    code = code_in(said)
    assert len(code) == CODE_DIGITS
    key = pairing.let_in(code)
    assert key is not None
    assert pairing.knows(key)
    assert pairing.let_in(code) is None
    assert code_in(said) != code


def test_guessing_is_slowed_down() -> None:
    clock = [0.0]
    pairing, said = paired(clock)
    for _ in range(MOST_WRONG):
        assert pairing.let_in("00000000x") is None
    assert pairing.let_in(code_in(said)) is None, "even the right one, for a while"
    clock[0] = PAUSE
    assert pairing.let_in(code_in(said)) is not None


def test_tablets_are_sent_away() -> None:
    pairing, said = paired([0.0])
    key = pairing.let_in(code_in(said))
    assert key is not None
    assert pairing.send_away() == 1
    assert not pairing.knows(key)


def test_the_code_page_is_there_with_lan_only(tmp_path: Path) -> None:
    said: list[str] = []
    hosts = frozenset([HOST])
    alone = Inside(make_app(tmp_path, Keys(), hosts), HOST)
    assert alone.get("/pair").status_code == 403
    pairing = Pairing(f"http://{HOST}", said.append)
    pairing.show()
    assert "can read what is sent" in said[-1]
    client = Inside(make_app(tmp_path, Keys(), hosts, pairing), HOST)
    assert client.get("/pair").status_code == 200
    assert client.get("/").status_code == 403
    origin = {"Origin": f"http://{HOST}"}
    assert client.post("/pair", json={"code": "1"}, headers=origin).status_code == 403
    assert client.post("/pair", json={"code": code_in(said)}).status_code == 403, "no origin"
    assert client.post("/pair", json={"code": code_in(said)}, headers=origin).status_code == 200
    assert client.get("/").status_code == 200


# --- the end ------------------------------------------------------------------------


def test_killed_with_a_change_under_way(stand: Standing, client: httpx.Client) -> None:
    """The last test here: signal 9.  Its processes end with the server; nothing is lost."""
    version = client.get("/api/list").json()["version"]
    spot = {"version": version, "score": id_of(MARCH), "part": 2, "at": "33", "note": ""}
    assert client.post("/api/list/put", json=spot).status_code == 200
    judged = {"score": id_of(MARCH), "part": 2, "at": "33", "block": 1, "number": "60"}
    assert client.post("/api/right", json={**judged, "right": True}).status_code == 200
    with contextlib.suppress(httpx.TimeoutException):
        client.post("/api/right", json={**judged, "right": False}, timeout=0.02)
    workers = below(stand.process.pid)
    assert len(workers) >= 2
    os.kill(stand.process.pid, signal.SIGKILL)
    stand.process.wait(10)
    end = time.monotonic() + 10
    while any(Path(f"/proc/{worker}/cwd").exists() for worker in workers):
        assert time.monotonic() < end, "a process of it is left"
        time.sleep(0.02)
    whole(stand.folder, 1, 1)
