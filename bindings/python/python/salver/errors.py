"""The exceptions of `salver`. Both are `ValueError`s."""

from collections.abc import Iterable
from typing import NamedTuple

__all__ = ["InputError", "OntologyError", "OntologyProblem"]


class InputError(ValueError):
    """An input could not be taken: too large, not JSON, a field that is not known or a value that is not one.

    It is never judged as if it were empty.
    """

    field: str
    """The field that is wrong, as a path (`order.allergies[0].to`), or the place in the JSON text."""
    what: str
    """What is wrong."""
    remedy: str
    """What to do about it."""

    def __init__(self, field: str, what: str, remedy: str) -> None:
        super().__init__(field, what, remedy)
        self.field, self.what, self.remedy = field, what, remedy

    def __str__(self) -> str:
        return f"{self.field}: {self.what}; {self.remedy}"


class OntologyProblem(NamedTuple):
    """One thing wrong with an overlay."""

    file: str
    """The file it stands in; `overlay` for the overlay."""
    entry: str
    """The entry's id, or the place in the file."""
    what: str
    """What is wrong."""
    remedy: str
    """What to do about it."""

    def __str__(self) -> str:
        return f"{self.file}: {self.entry}: {self.what}; {self.remedy}"


class OntologyError(ValueError):
    """An overlay could not be laid over the ontology."""

    problems: list[OntologyProblem]
    """Every problem found, not only the first."""

    def __init__(self, problems: Iterable[tuple[str, str, str, str]]) -> None:
        self.problems = [OntologyProblem(*problem) for problem in problems]
        super().__init__(self.problems)

    def __str__(self) -> str:
        return "\n".join([f"the ontology has {len(self.problems)} problem(s)", *map(str, self.problems)])
