"""Who may ask: this machine's own browser, forms of these pages only; errors in one shape."""

from __future__ import annotations

import pytest
from fastapi.testclient import TestClient
from web_reading import read
from web_sample_desk import SampleDesk

from rodhand.faults import CannotReadError
from rodhand.web.app import create_app
from rodhand.web.guard import host_of

HOME = "http://127.0.0.1:8765"


class BrokenDesk(SampleDesk):
    """A desk whose book cannot be read, and whose yard has a fault of the program."""

    def office(self):  # type: ignore[no-untyped-def]
        raise CannotReadError("/somewhere/book", "disk gone")

    def yard(self):  # type: ignore[no-untyped-def]
        raise ZeroDivisionError("inner thing")


@pytest.fixture(scope="module")
def client() -> TestClient:
    return TestClient(create_app(BrokenDesk()), base_url=HOME)


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("/nope", 404),
        ("/bore/B-99", 404),
        ("/bore/B-2?at=deep", 400),
        ("/bore/B-2?at=nan", 400),
        ("/bore/B-2?at=inf", 400),
        ("/thing/none", 404),
        ("/entry/none", 404),
        ("/enter/none", 404),
        ("/office", 503),
        ("/yard", 500),
    ],
)
def test_errors_have_one_shape_in_json_and_on_the_page(
    client: TestClient, path: str, status: int
) -> None:
    answer = client.get(path, headers={"Accept": "application/json"})
    assert answer.status_code == status
    error = answer.json()["error"]
    assert set(error) == {"what", "needed", "do", "faults"}
    assert all(error[part] for part in ("what", "needed", "do"))
    page = client.get(path, headers={"Accept": "text/html"})
    assert page.status_code == status
    text = read(page.text).text
    assert error["what"] in text
    assert error["needed"] in text
    assert error["do"] in text


def test_a_fault_of_the_program_shows_nothing_of_its_inside(client: TestClient) -> None:
    assert "inner thing" not in client.get("/yard").text


def test_a_method_not_known_is_told(client: TestClient) -> None:
    answer = client.delete("/office", headers={"Accept": "application/json"})
    assert answer.status_code == 405
    assert "cannot be used in that way" in answer.json()["error"]["what"]


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://elsewhere.test"},
        {"Origin": "null"},
        {"Origin": "http://127.0.0.1:9999"},
        {"Origin": "https://127.0.0.1:8765"},
        {"Sec-Fetch-Site": "cross-site"},
    ],
)
def test_a_form_from_elsewhere_is_refused(headers: dict[str, str]) -> None:
    desk = SampleDesk()
    client = TestClient(create_app(desk), base_url=HOME)
    answer = client.post("/enter/thing", data={"v.thing": "H-9", "v.what": "head"}, headers=headers)
    assert answer.status_code == 403
    assert desk.entries == {}


@pytest.mark.parametrize(
    "headers", [{}, {"Origin": HOME}, {"Origin": HOME, "Sec-Fetch-Site": "same-origin"}]
)
def test_a_form_of_these_pages_is_taken(headers: dict[str, str]) -> None:
    desk = SampleDesk()
    client = TestClient(create_app(desk), base_url=HOME)
    client.post("/enter/thing", data={"v.thing": "H-9", "v.what": "head"}, headers=headers)
    assert list(desk.entries) == ["e1"]


@pytest.mark.parametrize("host", ["elsewhere.test", "192.168.1.9:8765", "127.0.0.1.elsewhere.test"])
def test_a_foreign_host_name_is_refused(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"Host": host}).status_code == 403


def test_host_without_port() -> None:
    assert host_of("[::1]:8765") == "::1"
    assert host_of("LOCALHOST:1") == "localhost"


@pytest.mark.parametrize("path", ["/", "/nope", "/yard", "/static/rodhand.css", "/index.json"])
def test_headers_keep_a_page_to_its_own_files(client: TestClient, path: str) -> None:
    headers = client.get(path).headers
    policy = headers["content-security-policy"]
    assert "default-src 'self'" in policy
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    assert headers["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize("path", ["/", "/bore/B-2", "/blocks", "/enter/thing"])
def test_nothing_is_inline_or_from_another_host(client: TestClient, path: str) -> None:
    for tag, given in read(client.get(path).text).tags:
        assert "style" not in given, tag
        assert not [name for name in given if name.startswith("on")], tag
        for name in ("src", "href", "action"):
            assert not given.get(name, "").startswith(("http:", "https:", "//")), given
