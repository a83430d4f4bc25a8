"""A small program as a user writes it. `mypy --strict` takes it, and refuses the lines marked to be refused."""

from typing import assert_never

import salver
from salver.types import Check, CheckAnswer, ErrorAnswer, Item, Order, Step, TestResults


def chain(step: Step) -> str:
    """Every kind of step, each with its own fields; mypy knows when one is missing."""
    match step["step"]:
        case "text" | "claim" | "unread":
            return "words"
        case "kind-of" | "made-with" | "may-hide":
            return "edge"
        case "precaution" | "more-general" | "form" | "tested" | "trait" | "same-group":
            return "fact"
        case "rule":
            return "order"
        case other:
            assert_never(other)


def follow(step: Step) -> str:
    if step["step"] == "text":
        return f"{step['text']!r} is {step['read_as']}"
    if step["step"] == "made-with":
        return f"{step['strength']} made with {step['to']}"
    if step["step"] == "tested":
        return f"tested: {step['food_from']} to {step['food_to']}"
    if step["step"] == "rule":
        return f"{step['order']} says {step['says']}"
    return chain(step)


def show(answer: CheckAnswer | ErrorAnswer) -> str:
    if "error" in answer:
        return f"line {answer['error']['line']}: {answer['error']['what']}"
    return "\n".join(
        [answer["say"], *(follow(step) for finding in answer["findings"] for step in finding["because"])]
    )


def main() -> None:
    checker = salver.Checker()
    order: Order = {"allergies": ["sesame", {"to": "milk", "kind": "intolerance"}], "food_level": "easy to chew"}
    tested: TestResults = {"flow_left_ml": 6.2}
    items: list[Item] = [{"name": "falafel with tahini sauce"}, {"name": "tea", "tested": tested, "sealed": False}]
    check: Check = {"id": "a", "order": order, "tray": {"items": items}}

    answer = checker.check(check)
    assert answer["verdict"] == "return"
    assert "tahini" in show(answer)
    for each in checker.check_all([check, check]):
        assert show(each) == show(answer)
    sesame: str = checker.read({"name": "tahini"})["holds"]["sesame"]
    assert sesame == "contains"
    level: int | str | None = checker.card({"text": "IDDSI 5"})["food_level"]
    assert level == 5
    as_text: str = checker.check_json('{"order": {}, "tray": {"items": []}}')
    as_bytes: bytes = checker.check_json(b'{"order": {}, "tray": {"items": []}}')
    assert as_text.encode() == as_bytes
    version: str = checker.ontology["version"]
    assert version and salver.__version__

    misspelt: Order = {"alergies": ["sesame"]}  # type: ignore[typeddict-unknown-key]
    no_level: Order = {"food_level": 2}  # type: ignore[typeddict-item]
    no_name: Item = {"ingredients": "egg"}  # type: ignore[typeddict-item]
    for wrong in (misspelt, no_level):
        try:
            checker.check({"order": wrong, "tray": {"items": []}})
        except salver.InputError as error:
            assert error.field and error.what and error.remedy
        else:
            raise AssertionError(wrong)
    try:
        checker.check_json(5)  # type: ignore[type-var]
    except TypeError:
        pass
    try:
        checker.check({"order": {}, "tray": {"items": [no_name], "mael": "a"}})  # type: ignore[typeddict-unknown-key]
    except salver.InputError:
        pass
    try:
        salver.Checker("{}")
    except salver.OntologyError as error:
        remedies: list[str] = [problem.remedy for problem in error.problems]
        assert remedies
    else:
        raise AssertionError("an empty overlay")


if __name__ == "__main__":
    main()
