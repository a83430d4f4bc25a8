"""What the tests share: the cases of the project and the answers of the library's own command."""

import json
import os
import subprocess
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import pytest

import salver

ROOT = Path(__file__).parents[3]
EXAMPLES = [ROOT / "examples/trays.jsonl", ROOT / "examples/texture-trays.jsonl"]


def _cases() -> list[dict[str, Any]]:
    files = sorted((ROOT / "tests/cases").glob("*.json"))
    return [case for file in files for case in json.loads(file.read_text("utf-8"))["cases"]]


@pytest.fixture(scope="session")
def cases() -> list[dict[str, Any]]:
    """Every case of `tests/cases`."""
    cases = _cases()
    assert len(cases) >= 100
    return cases


@pytest.fixture(scope="session")
def checks(cases: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Every case, and every line of the examples, as a check."""
    lines = [json.loads(line) for file in EXAMPLES for line in file.read_text("utf-8").splitlines()]
    return [{"id": case["name"], "order": case["order"], "tray": case["tray"]} for case in cases] + lines


@pytest.fixture(scope="session")
def reads(checks: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Every item of every check, as a text to read."""
    fields = ("name", "ingredients", "tested")
    return [{k: item[k] for k in fields if k in item} for check in checks for item in check["tray"]["items"]]


@pytest.fixture(scope="session")
def cards(checks: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Every card text, note and diet of every check, as a card to read."""
    orders = [check["order"] for check in checks]
    texts = [text for o in orders for text in [o.get("text") or "", *o.get("notes", []), *o.get("diets", [])]]
    return [{"id": str(n), "text": text} for n, text in enumerate(texts)]


@pytest.fixture(scope="session")
def checker() -> salver.Checker:
    return salver.Checker()


@pytest.fixture(scope="session")
def command() -> Callable[..., list[bytes]]:
    """The answers of `salver VERB --json`: the library's own bytes, one line a record."""

    def run(verb: str, records: Iterable[bytes], *options: str) -> list[bytes]:
        records = list(records)
        text = b"".join(record + b"\n" for record in records)
        run = subprocess.run(
            [os.environ["SALVER_COMMAND"], verb, "--json", *options], input=text, capture_output=True, check=False
        )
        lines = run.stdout.splitlines()
        assert len(lines) == len(records), run.stderr.decode()
        return lines

    return run
