"""Is this meal tray safe for this diet order? One `Checker` answers.

It supports trained staff and does not replace them: it judges words, not the food on the plate, and never says "safe",
only "nothing found against this tray".
"""

import json
from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

from salver import _native, types
from salver.errors import InputError, OntologyError, OntologyProblem
from salver.types import CardAnswer, CardAsk, Check, CheckAnswer, ErrorAnswer, ReadAnswer, ReadAsk

__all__ = ["FORMAT_VERSION", "Checker", "InputError", "OntologyError", "OntologyProblem", "__version__", "types"]

__version__ = _native.VERSION
#: The version of the exchange format.
FORMAT_VERSION: int = _native.FORMAT_VERSION

_Ask = TypeVar("_Ask")
_Answer = TypeVar("_Answer")


class Checker(_native.Checker):
    """The ontology made ready to judge. Make one, once, and share it: it never changes, and threads use it together.

    `overlay` is a facility's own file over the ontology, as JSON text. `OntologyError` lists every problem in it.

    `check_json`, `read_json` and `card_json` take JSON as `str` or `bytes` and give the library's own bytes back in
    the same type. `check`, `read` and `card` take and give the dicts of `salver.types`. An input that cannot be taken
    raises `InputError`; it is never judged as if it were empty. Other threads run while the library works.
    """

    __slots__ = ()

    def check(self, check: Check, /) -> CheckAnswer:
        """Judge a tray against an order."""
        answer: CheckAnswer = json.loads(self.check_json(_json(check)))
        return answer

    def read(self, ask: ReadAsk, /) -> ReadAnswer:
        """Say what a food text holds."""
        answer: ReadAnswer = json.loads(self.read_json(_json(ask)))
        return answer

    def card(self, ask: CardAsk, /) -> CardAnswer:
        """Say what a diet card orders."""
        answer: CardAnswer = json.loads(self.card_json(_json(ask)))
        return answer

    def check_all(self, checks: Iterable[Check], /) -> Iterator[CheckAnswer | ErrorAnswer]:
        """Judge many trays, one by one as the answers are asked for, in the order given.

        Where `check` would raise `InputError`, an `ErrorAnswer` stands in the place of the answer.
        """
        return _each(self.check, iter(checks))

    def read_all(self, asks: Iterable[ReadAsk], /) -> Iterator[ReadAnswer | ErrorAnswer]:
        """Say what many food texts hold; as `check_all`."""
        return _each(self.read, iter(asks))

    def card_all(self, asks: Iterable[CardAsk], /) -> Iterator[CardAnswer | ErrorAnswer]:
        """Say what many diet cards order; as `check_all`."""
        return _each(self.card, iter(asks))


def _each(answer: Callable[[_Ask], _Answer], asks: Iterator[_Ask]) -> Iterator[_Answer | ErrorAnswer]:
    for line, ask in enumerate(asks, 1):
        result: _Answer | ErrorAnswer
        try:
            result = answer(ask)
        except InputError as error:
            result = {"error": {"line": line, "field": error.field, "what": error.what, "remedy": error.remedy}}
        yield result


def _json(value: object) -> str:
    try:
        return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    except (TypeError, ValueError, RecursionError) as error:
        remedy = "give dicts, lists, text, numbers, booleans and None only"
        raise InputError("the input", f"cannot be written as JSON: {error}", remedy) from error
