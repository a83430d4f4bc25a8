"""The types of `salver.types` say what the JSON Schemas say, field by field."""

import json
import typing
from types import NoneType, UnionType
from typing import Any, Literal, Union

import pytest
from conftest import ROOT

from salver import types


def kinds(hint: Any) -> set[Any]:
    """The members of a union, and the values of a literal; anything else is itself."""
    origin = typing.get_origin(hint)
    if origin in (Union, UnionType):
        return set().union(*map(kinds, typing.get_args(hint)))
    if origin is Literal:
        return {(value,) for value in typing.get_args(hint)}
    if origin in (typing.NotRequired, typing.Required):
        return kinds(typing.get_args(hint)[0])
    return {hint}


def alike(hint: Any, schema: dict[str, Any], place: str) -> None:
    """Fails where a type and a schema take different values."""
    found = kinds(hint)
    if "oneOf" in schema or "enum" in schema or "const" in schema:
        if "oneOf" in schema:
            rest = list(schema["oneOf"])
            assert len(found) == len(rest), place
            for one in found:
                (match,) = [s for s in rest if fits(one, s)]
                alike(one, match, f"{place}:{one}")
            return
        values = schema.get("enum", [schema.get("const")])
        assert found == {NoneType if value is None else (value,) for value in values}, place
        return
    names = schema["type"] if isinstance(schema["type"], list) else [schema["type"]]
    plain = {"string": str, "integer": int, "number": float, "boolean": bool, "null": NoneType}
    assert {plain[n] for n in names if n in plain} == {k for k in found if k in plain.values()}, place
    (made,) = [k for k in found if k not in plain.values()] or [None]
    assert (made is not None) == bool({"object", "array"} & set(names)), place
    if made is None:
        return
    if typing.get_origin(made) is list:
        (inner,) = typing.get_args(made)
        for part in schema.get("prefixItems", [schema.get("items")]):
            alike(inner, part, f"{place}[]")
    elif typing.get_origin(made) is dict:
        alike(typing.get_args(made)[1], schema["additionalProperties"], f"{place}{{}}")
    else:
        assert typing.is_typeddict(made), place
        assert schema["additionalProperties"] is False, place
        assert set(schema.get("required", [])) == made.__required_keys__, place
        hints = typing.get_type_hints(made)
        assert set(hints) == set(schema["properties"]), place
        for field, property in schema["properties"].items():
            alike(hints[field], property, f"{place}.{field}")


def fits(hint: Any, schema: dict[str, Any]) -> bool:
    """Whether a member of a `oneOf` is the one for this type: by its `step`, or by being a text or an object."""
    if not typing.is_typeddict(hint):
        return {str: "string"}[hint] == schema["type"]
    step = typing.get_type_hints(hint).get("step")
    return schema["type"] == "object" and (
        step is None or typing.get_args(step) == (schema["properties"]["step"]["const"],)
    )


@pytest.mark.parametrize(
    ("name", "hint"),
    [
        ("check", types.Check),
        ("verdict", types.CheckAnswer),
        ("read", types.ReadAnswer),
        ("card", types.CardAnswer),
    ],
)
def test_types_and_schemas_say_the_same(name: str, hint: Any) -> None:
    schema = json.loads((ROOT / f"tests/schemas/{name}.schema.json").read_text("utf-8"))
    alike(hint, schema, name)


def test_the_type_of_an_error_is_that_of_the_command_without_a_file() -> None:
    schema = json.loads((ROOT / "tests/schemas/error.schema.json").read_text("utf-8"))
    del schema["properties"]["error"]["properties"]["file"]
    alike(types.ErrorAnswer, schema, "error")
