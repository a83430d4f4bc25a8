"""What cannot be taken is a typed error with its place and remedy, and the checker goes on answering."""

import json
import pickle
import random
from collections.abc import Callable, Iterator
from typing import Any

import jsonschema
import pytest
from conftest import ROOT

import salver
from salver import InputError, OntologyError

GOOD: Any = {"order": {"allergies": []}, "tray": {"items": [{"name": "steamed rice"}]}}
VERBS = ["check", "read", "card"]


@pytest.fixture(autouse=True)
def still_answers(checker: salver.Checker) -> Iterator[None]:
    yield
    assert checker.check(GOOD)["verdict"] == "serve"


def refused(call: Callable[..., object], *arguments: object) -> InputError:
    with pytest.raises(InputError) as caught:
        call(*arguments)
    error = caught.value
    assert error.field and error.what and error.remedy
    assert str(error) == f"{error.field}: {error.what}; {error.remedy}"
    return error


def test_errors_are_the_librarys(checker: salver.Checker, command: Callable[..., list[bytes]]) -> None:
    bad: list[bytes] = [
        b"nonsense",
        b'{"order":{"alergies":[]},"tray":{"items":[]}}',
        b'{"order":{},"tray":{"items":[{"name":5}]}}',
        b'{"order":{"food_level":2},"tray":{"items":[]}}',
        b'{"order":{},"order":{},"tray":{"items":[]}}',
        b'{"order":{}}',
        b"[]",
        b"null",
        b'{"order":{},"tray":{"items":[]}} {}',
        json.dumps({"order": {"text": "a" * 10_001}, "tray": {"items": []}}).encode(),
        json.dumps({"order": {}, "tray": {"items": [{"name": "tea"}] * 201}}).encode(),
    ]
    for line, wanted in zip(bad, command("check", [json.dumps(GOOD).encode(), *bad])[1:], strict=True):
        expected = json.loads(wanted)["error"]
        for text in (line, line.decode()):
            error = refused(checker.check_json, text)
            assert {"field": error.field, "what": error.what, "remedy": error.remedy}.items() <= expected.items()


@pytest.mark.parametrize("verb", VERBS)
def test_garbage_and_truncated_text(verb: str, checker: salver.Checker) -> None:
    call = getattr(checker, f"{verb}_json")
    whole = {
        "check": b'{"order":{"allergies":["\xc3\xa9gg"]},"tray":{"items":[{"name":"caf\xc3\xa9"}]}}',
        "read": b'{"name":"caf\xc3\xa9 au lait"}',
        "card": b'{"text":"caf\xc3\xa9, NPO"}',
    }[verb]
    call(whole)
    for end in range(len(whole)):
        refused(call, whole[:end])
    chance = random.Random(1)
    for _ in range(2_000):
        refused(call, chance.randbytes(chance.randrange(40)))
    for _ in range(2_000):
        broken = bytearray(whole)
        broken[chance.randrange(len(whole))] = chance.randrange(256)
        try:
            json.loads(call(bytes(broken)))
        except InputError as error:
            assert error.remedy


@pytest.mark.parametrize("verb", VERBS)
def test_text_that_is_not_utf8(verb: str, checker: salver.Checker) -> None:
    call = getattr(checker, f"{verb}_json")
    assert refused(call, b"{\xff}").what == "not UTF-8 from byte 1 on"
    assert "surrogate" in refused(call, '{"text":"\ud800"}').what
    assert "surrogate" in refused(getattr(checker, verb), {"name": "\udfff"}).what


@pytest.mark.parametrize("verb", VERBS)
@pytest.mark.parametrize("value", [None, 5, bytearray(b"{}"), {}, ["{}"]])
def test_arguments_that_are_no_text(verb: str, value: object, checker: salver.Checker) -> None:
    with pytest.raises(TypeError):
        getattr(checker, f"{verb}_json")(value)
    if value is not None:
        with pytest.raises(TypeError):
            salver.Checker(value)  # type: ignore[arg-type]


@pytest.mark.parametrize("verb", VERBS)
def test_values_that_are_no_json(verb: str, checker: salver.Checker) -> None:
    call = getattr(checker, verb)
    circle: dict[str, object] = {}
    circle["order"] = circle
    deep: list[object] = []
    for _ in range(100_000):
        deep = [deep]
    for value in ({"order": {1, 2}}, {"order": object()}, {("a", "b"): 1}, circle, float("nan"), deep, 10**5_000):
        assert refused(call, value).field == "the input"
    for value in (None, True, 5, "text", [], [{}], {1: 2}, {None: 1}, {}):
        refused(call, value)
    with pytest.raises(TypeError):
        call()
    with pytest.raises(TypeError):
        call(GOOD, GOOD)


@pytest.mark.parametrize("verb", VERBS)
def test_huge_inputs(verb: str, checker: salver.Checker) -> None:
    field = {"check": "id", "read": "name", "card": "text"}[verb]
    text = json.dumps({field: "a" * 50_000_000})
    for given in (text, text.encode()):
        assert "bound of 4000000" in refused(getattr(checker, f"{verb}_json"), given).what
    assert "bound of 4000000" in refused(getattr(checker, verb), {field: "a" * 50_000_000}).what
    # Brackets are counted, not followed without end.
    refused(getattr(checker, f"{verb}_json"), "[" * 3_000_000)


def test_a_batch_holds_errors_in_their_place(checker: salver.Checker) -> None:
    asks: Any = [GOOD, {"order": {"alergies": []}, "tray": {"items": []}}, 5, {"order": {1}}, GOOD]
    answers = list(checker.check_all(iter(asks)))
    assert ["verdict" in answer for answer in answers] == [True, False, False, False, True]
    schema = json.loads((ROOT / "tests/schemas/error.schema.json").read_text("utf-8"))
    for line, answer in enumerate(answers, 1):
        if "error" in answer:
            jsonschema.Draft202012Validator(schema).validate(answer)
            assert answer["error"]["line"] == line
    assert [list(a) for a in (checker.read_all([]), checker.card_all([]))] == [[], []]
    with pytest.raises(TypeError):
        checker.check_all(5)  # type: ignore[arg-type]


def test_a_batch_takes_no_more_than_is_asked_for(checker: salver.Checker) -> None:
    def source() -> Iterator[Any]:
        yield GOOD
        raise LookupError("the caller's own fault passes through")

    answers = checker.check_all(source())
    assert "verdict" in next(answers)
    with pytest.raises(LookupError):
        next(answers)


def test_a_wrong_overlay_lists_every_problem() -> None:
    overlay = {
        "format": 1,
        "name": "a",
        "version": "1",
        "concepts": [
            {"id": "house-one", "names": ["house one"], "kinds_of": ["no-such-food"], "source": ["NOWHERE"]},
            {"id": "house-two", "names": ["house two"], "kinds_of": ["no-such-dish"], "source": ["NOWHERE"]},
        ],
    }
    for text in (json.dumps(overlay), "nonsense", "", "[]", '{"format":2,"name":"a","version":"1"}'):
        with pytest.raises(OntologyError) as caught:
            salver.Checker(text)
        problems = caught.value.problems
        assert problems and all(p.file and p.entry and p.what and p.remedy for p in problems)
        assert str(caught.value).splitlines()[0] == f"the ontology has {len(problems)} problem(s)"
    with pytest.raises(OntologyError) as caught:
        salver.Checker(json.dumps(overlay))
    assert {problem.entry for problem in caught.value.problems} >= {"house-one", "house-two"}
    assert refused(salver.Checker, b"\xff").field == "the overlay"
    with pytest.raises(OntologyError, match="over the bound"):
        salver.Checker(" " * 64_000_001)


def test_errors_can_be_pickled(checker: salver.Checker) -> None:
    error = refused(checker.check_json, "{")
    again = pickle.loads(pickle.dumps(error))
    assert (again.field, again.what, again.remedy) == (error.field, error.what, error.remedy)
    with pytest.raises(OntologyError) as caught:
        salver.Checker("{")
    assert pickle.loads(pickle.dumps(caught.value)).problems == caught.value.problems
