"""Every case through the module: byte for byte what the library answers."""

import json
from collections.abc import Callable
from importlib.metadata import version
from typing import Any

import jsonschema
import pytest
from conftest import ROOT

import salver

OVERLAY = ROOT / "examples/overlay.json"


def text(value: object) -> str:
    """JSON as the library writes it."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


@pytest.fixture(params=["check", "read", "card"])
def verb(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def asks(verb: str, request: pytest.FixtureRequest) -> list[dict[str, Any]]:
    asks: list[dict[str, Any]] = request.getfixturevalue(f"{verb}s")
    return asks


def test_every_answer_is_byte_identical(
    verb: str, asks: list[dict[str, Any]], checker: salver.Checker, command: Callable[..., list[bytes]]
) -> None:
    answer, answer_json = getattr(checker, verb), getattr(checker, f"{verb}_json")
    batch = list(getattr(checker, f"{verb}_all")(asks))
    assert len(asks) == len(batch) > 100
    for ask, wanted, in_batch in zip(asks, command(verb, (text(ask).encode() for ask in asks)), batch, strict=True):
        assert answer_json(text(ask).encode()) == wanted
        assert answer_json(text(ask)) == wanted.decode()
        assert text(answer(ask)) == wanted.decode()
        assert text(in_batch) == wanted.decode()


def test_every_answer_holds_its_schema(verb: str, asks: list[dict[str, Any]], checker: salver.Checker) -> None:
    name = {"check": "verdict"}.get(verb, verb)
    schema = json.loads((ROOT / f"tests/schemas/{name}.schema.json").read_text("utf-8"))
    validator = jsonschema.Draft202012Validator(schema)
    for answer in getattr(checker, f"{verb}_all")(asks):
        validator.validate(answer)


def test_every_case_is_judged_as_it_says(cases: list[dict[str, Any]], checker: salver.Checker) -> None:
    for case in cases:
        answer = checker.check({"order": case["order"], "tray": case["tray"]})
        assert answer["verdict"] == case["verdict"], case["name"]


def test_an_overlay_answers_as_the_command_does(
    checks: list[dict[str, Any]], command: Callable[..., list[bytes]]
) -> None:
    overlay = OVERLAY.read_bytes()
    asks = [text(check).encode() for check in checks]
    wanted = command("check", asks, "--overlay", str(OVERLAY))
    for given in (overlay, overlay.decode()):
        checker = salver.Checker(overlay=given)
        assert [checker.check_json(ask) for ask in asks] == wanted
        assert json.loads(wanted[0])["ontology"] == checker.ontology
        assert checker.ontology["overlay"]


def test_versions(checker: salver.Checker) -> None:
    verdict = checker.check({"order": {}, "tray": {"items": []}})
    assert checker.ontology == verdict["ontology"]
    assert set(checker.ontology) == {"version", "digest"}
    assert salver.__version__ == version("salver")


def test_the_program_of_the_readme_prints_what_it_says(capsys: pytest.CaptureFixture[str]) -> None:
    readme = (ROOT / "bindings/python/README.md").read_text("utf-8")
    program = readme.split("```python\n")[1].split("```")[0]
    exec(program, {})
    assert capsys.readouterr().out == program.splitlines()[-1].removeprefix("# ") + "\n"


def test_spans_are_bytes_of_the_text(checker: salver.Checker) -> None:
    name = "purée d'épinards, zorble"
    (unread,) = [u for u in checker.read({"name": name})["unread"] if u["text"] == "zorble"]
    start, end = unread["span"]
    assert name.encode()[start:end].decode() == "zorble"
