"""A book served on a network: who has no key gets nothing, a key holder everything but the disk."""

from __future__ import annotations

import re
import stat
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from web_sample_desk import SampleDesk

from rodhand.web.app import create_app
from rodhand.web.door import FILE, Door, new_key, plain

MACHINE = ("127.0.0.1", 50000)
PHONE = ("192.168.7.20", 50000)
ADDRESS = "http://192.168.7.1:8420"
HOME = "http://127.0.0.1:8420"


@pytest.fixture
def desk() -> SampleDesk:
    return SampleDesk()


@pytest.fixture
def door(tmp_path: Path) -> Door:
    return Door(tmp_path / "book", 8420)


def client(desk: SampleDesk, door: Door, peer: tuple[str, int], base: str) -> TestClient:
    return TestClient(create_app(desk, door), base_url=base, client=peer, follow_redirects=False)


@pytest.fixture
def phone(desk: SampleDesk, door: Door) -> TestClient:
    return client(desk, door, PHONE, ADDRESS)


@pytest.fixture
def holder(phone: TestClient, door: Door) -> TestClient:
    answer = phone.post("/key", data={"key": door.key.lower().replace("-", " ")})
    assert answer.headers["location"] == "/"
    return phone


THING = {"v.thing": "H-9", "v.what": "head"}


def test_a_stranger_can_neither_look_nor_write(phone: TestClient, desk: SampleDesk) -> None:
    for path in ("/", "/yard", "/bore/B-2", "/thing/M1-01", "/enter", "/workbook.xlsx", "/claim/x"):
        assert phone.get(path).headers.get("location") == "/key", path
    assert phone.get("/index.json").status_code == 403
    assert phone.post("/enter/thing", data=THING).status_code == 403
    assert phone.post("/units", data={"units": "us"}).status_code == 403
    assert desk.entries == {}


@pytest.mark.parametrize("host", ["127.0.0.1:8420", "localhost:8420", "[::1]:8420"])
def test_a_loopback_name_from_the_network_opens_nothing(phone: TestClient, host: str) -> None:
    headers = {"Host": host, "X-Forwarded-For": "127.0.0.1", "Forwarded": "for=127.0.0.1"}
    assert phone.get("/", headers=headers).headers["location"] == "/key"
    assert phone.get("/phones", headers=headers).status_code == 403
    assert phone.post("/enter/thing", data=THING, headers=headers).status_code == 403


def test_another_name_on_this_machine_opens_nothing(desk: SampleDesk, door: Door) -> None:
    """A page of another site that points its own name at this machine."""
    own = client(desk, door, MACHINE, "http://elsewhere.test:8420")
    assert own.get("/").headers["location"] == "/key"
    assert own.get("/phones").status_code == 403


@pytest.mark.parametrize("typed", ["", "-", "AAAAA-AAAAA", "é", "'; --"])
def test_a_wrong_key_opens_nothing(phone: TestClient, typed: str) -> None:
    answer = phone.post("/key", data={"key": typed})
    assert answer.status_code == 403
    assert "set-cookie" not in answer.headers
    assert phone.get("/").headers["location"] == "/key"


def test_the_key_opens_looking_and_entering(holder: TestClient, desk: SampleDesk) -> None:
    assert holder.get("/").status_code == 200
    assert holder.post("/enter/thing", data=THING).headers["location"] == "/entry/e1"
    assert list(desk.entries) == ["e1"]


@pytest.mark.parametrize(
    "path",
    ["/copies", "/copies/compare?copy=x", "/phones", "/phones.json", "/claim/B-2?photos=/",
     "/claim/B-2/claim.zip?photos=."],
)  # fmt: skip
def test_what_shows_or_writes_the_disk_stays_at_the_machine(holder: TestClient, path: str) -> None:
    assert holder.get(path).status_code == 403
    assert holder.post(path).status_code == 403


def test_a_form_of_another_site_is_refused_in_spite_of_the_key(
    holder: TestClient, desk: SampleDesk
) -> None:
    answer = holder.post("/enter/thing", data=THING, headers={"Origin": "http://elsewhere.test"})
    assert answer.status_code == 403
    assert desk.entries == {}


def test_the_cookie_is_kept_from_scripts_and_other_sites(phone: TestClient, door: Door) -> None:
    told = phone.post("/key", data={"key": door.key}).headers["set-cookie"].lower()
    assert "httponly" in told
    assert "samesite=lax" in told


def test_the_machine_itself_needs_no_key_and_shows_it(desk: SampleDesk, door: Door) -> None:
    own = client(desk, door, MACHINE, HOME)
    assert own.get("/").status_code == 200
    assert door.key in own.get("/phones").text
    assert door.key not in own.get("/phones.json").text


def test_a_new_key_shuts_the_old_one_out(holder: TestClient, desk: SampleDesk, door: Door) -> None:
    old = door.key
    client(desk, door, MACHINE, HOME).post("/phones/key")
    assert door.key != old
    assert holder.get("/").headers["location"] == "/key"
    assert holder.post("/key", data={"key": old}).status_code == 403


def test_without_a_door_the_page_says_that_no_phone_comes_in(desk: SampleDesk) -> None:
    text = TestClient(create_app(desk), base_url=HOME).get("/phones").text
    assert "on this machine only" in text
    assert "--network" in text


def test_the_key_is_kept_for_the_next_start_and_from_others(tmp_path: Path) -> None:
    folder = tmp_path / "a book"
    key = Door(folder, 8420).key
    assert Door(folder, 8421).key == key
    assert stat.S_IMODE((folder / FILE).stat().st_mode) == 0o600
    (folder / FILE).write_text("\n")
    assert plain(Door(folder, 8420).key) != ""


def test_keys_are_long_and_differ() -> None:
    keys = {new_key() for _ in range(200)}
    assert len(keys) == 200
    assert all(re.fullmatch(r"[2-9A-HJKMNP-Z]{5}-[2-9A-HJKMNP-Z]{5}", key) for key in keys)
