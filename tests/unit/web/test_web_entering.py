"""Forms: every kind has one, faults stand beside their fields, nothing typed is lost."""

from __future__ import annotations

import pytest
from fastapi.testclient import TestClient
from web_reading import read
from web_sample_desk import SampleDesk

from rodhand.record.kinds import KINDS
from rodhand.web.app import NOT_BY_HAND, create_app
from rodhand.web.forms import build_form, payload_of


@pytest.fixture
def desk() -> SampleDesk:
    return SampleDesk()


@pytest.fixture
def client(desk: SampleDesk) -> TestClient:
    return TestClient(create_app(desk), base_url="http://127.0.0.1")


def values_of(html: str) -> dict[str, str]:
    """Typed values a form shows, by field."""
    return {
        given["name"]: given.get("value", "")
        for tag, given in read(html).tags
        if tag == "input" and "name" in given
    }


@pytest.mark.parametrize("kind", sorted(set(KINDS) - {"strike"}))
def test_every_kind_has_a_form_with_a_labelled_field_for_each_fact(
    client: TestClient, kind: str
) -> None:
    page = read(client.get(f"/enter/{kind}").text)
    labelled = {given.get("for") for tag, given in page.tags if tag == "label"}
    fields = ("input", "select", "textarea")
    names = {given.get("name") for tag, given in page.tags if tag in fields}
    for field in KINDS[kind].fields:
        assert f"v.{field.name}" in names
        assert f"v.{field.name}" in labelled


def test_the_list_names_every_kind_entered_by_hand(client: TestClient) -> None:
    links = {given.get("href") for tag, given in read(client.get("/enter").text).tags if tag == "a"}
    assert {f"/enter/{kind}" for kind in KINDS if kind not in NOT_BY_HAND} <= links
    assert not {f"/enter/{kind}" for kind in NOT_BY_HAND} & links


def test_what_is_entered_is_kept_as_typed_with_its_unit(
    client: TestClient, desk: SampleDesk
) -> None:
    answer = client.post(
        "/enter/thing",
        data={
            "v.thing": "H-9",
            "v.what": "head",
            "v.length": "2.50",
            "u.length": "ft",
            "happened": "2025-W20",
            "by": "AB",
        },
        follow_redirects=False,
    )
    assert answer.status_code == 303
    assert answer.headers["location"] == "/entry/e1"
    entry = desk.entries["e1"]
    assert entry.typed == {"thing": "H-9", "what": "head", "length_ft": "2.50"}
    assert (entry.happened, entry.by) == ("2025-W20", "AB")
    assert "2.50" in read(client.get("/entry/e1").text).plain


def test_a_bad_form_comes_back_whole_with_each_fault_at_its_field(client: TestClient) -> None:
    typed = {"v.length": "1O", "u.length": "ft", "v.note": "bent <b>", "happened": "May"}
    answer = client.post("/enter/thing", data=typed, follow_redirects=False)
    assert answer.status_code == 400
    values = values_of(answer.text)
    assert values["v.length"] == "1O"
    assert values["v.note"] == "bent <b>"
    assert values["happened"] == "May"
    page = read(answer.text)
    wrong = {
        given["name"]: given["aria-describedby"]
        for tag, given in page.tags
        if given.get("aria-invalid") == "true" and "name" in given
    }
    assert wrong == {"v.length": "f.length", "v.thing": "f.thing"}
    chosen = [given["value"] for tag, given in page.tags if tag == "option" and "selected" in given]
    assert "ft" in chosen
    assert any("found «1O»" in text for text in page.plain)


def test_the_same_fault_as_json_has_the_one_shape(client: TestClient) -> None:
    answer = client.post(
        "/enter/thing", data={"v.length": "1O"}, headers={"Accept": "application/json"}
    )
    assert answer.status_code == 400
    error = answer.json()["error"]
    assert set(error) == {"what", "needed", "do", "faults"}
    assert len(error["faults"]) == 2


def test_two_facts_with_one_column_stem_stay_apart() -> None:
    # push_m is a length pushed, push_min a time: one stem, two facts.
    kind = KINDS["reading"]
    typed = {"v.push": "4", "u.push": "ft", "v.push_time": "6", "u.push_time": "min"}
    assert payload_of(kind, typed) == {"push_ft": "4", "push_min": "6"}


def test_units_of_the_persons_system_come_first() -> None:
    fields = {field.name: field for field in build_form(KINDS["rod-type"], {}, "us").fields}
    assert fields["tube_od"].units[0] in ("in", "ft")
    assert fields["makeup"].unit == "ftlb"
    metric = {field.name: field for field in build_form(KINDS["rod-type"], {}, "metric").fields}
    assert metric["makeup"].unit == "Nm"


def test_striking_needs_a_reason_and_keeps_the_entry(client: TestClient) -> None:
    client.post("/enter/thing", data={"v.thing": "H-9", "v.what": "head"})
    refused = client.post("/entry/e1/strike", data={"why": "  "}, follow_redirects=False)
    assert refused.status_code == 400
    assert "why this entry is wrong" in read(refused.text).text
    answer = client.post("/entry/e1/strike", data={"why": "typed twice"}, follow_redirects=False)
    assert answer.status_code == 303
    page = read(client.get("/entry/e1").text)
    assert "Struck: typed twice" in page.plain
    assert "H-9" in page.plain
    assert not any(given.get("action", "").endswith("/strike") for _, given in page.tags)


def test_a_form_may_be_filled_by_a_link(client: TestClient) -> None:
    assert values_of(client.get("/enter/check?things=M1-01").text)["v.things"] == "M1-01"
