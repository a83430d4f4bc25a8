"""The exchange format as types. The JSON Schemas of the project say the same; a test holds the two together.

A dict that goes in may leave out what is `NotRequired`; any other field is an `InputError`, never ignored. A span is
`[start, end]` in bytes of the text's UTF-8: `text.encode()[start:end].decode()` cuts the words out.

Answers are `final`, so that `if "error" in answer` tells the two kinds of a batch apart for a type checker too.
"""

from typing import Literal, NotRequired, TypeAlias, TypedDict, final

FoodLevel: TypeAlias = Literal[3, 4, 5, 6, "easy to chew", 7]
"""An IDDSI food level. Easy to chew and regular both carry the number 7; the number means regular."""
DrinkLevel: TypeAlias = Literal[0, 1, 2, 3, 4]
"""An IDDSI liquid level, 0 (thin) to 4 (extremely thick)."""
Action: TypeAlias = Literal["serve", "remove", "ask", "return"]
"""What to do with the tray; a later one is worse."""
Presence: TypeAlias = Literal["contains", "may", "unknown", "free"]
"""What is known of a food in an item."""
Rule: TypeAlias = Literal["allergy", "intolerance", "texture", "liquid", "diet", "identity", "temperature", "order"]
"""The kind of rule that a finding comes from."""
AllergyKind: TypeAlias = Literal["allergy", "intolerance", "excluded"]
"""What an excluded food does to the person; `excluded` gives no reason and is to be confirmed."""
PieceSize: TypeAlias = Literal["adult", "paediatric"]
"""Whose piece sizes hold: a clinical decision, never worked out from an age."""
Field: TypeAlias = Literal["name", "ingredients"]
"""Which text of an item."""
Strength: TypeAlias = Literal["always", "often", "sometimes"]
"""How surely a food is made with another."""
ForkDrip: TypeAlias = Literal["through", "dollops", "mound"]
"""What it does between the tines of a fork."""
SpoonTilt: TypeAlias = Literal["pours", "drops", "slides", "sticks"]
"""What it does on a tilted spoon."""
ForkPressure: TypeAlias = Literal["light", "blanch", "resists"]
"""What a piece does under a fork; `blanch` is squashed when the thumbnail blanches."""

# What goes in.


class Allergy(TypedDict):
    """An entry of `allergies` with more to say than a word."""

    to: str
    kind: NotRequired[AllergyKind]
    """`allergy` where it is not stated."""
    severity: NotRequired[str | None]
    """In the order's words; `severe` and `anaphylaxis` count."""
    reaction: NotRequired[str | None]


class Order(TypedDict, total=False):
    """A diet order. One that states nothing at all is a missing order: `ask`."""

    resident: str | None
    """Opaque; compared with the tray's."""
    meal: str | None
    """Compared with the tray's."""
    allergies: list[str | Allergy] | None
    """Empty says "none known"; absent says "not stated"."""
    diets: list[str]
    """Diets, by any of their names."""
    food_level: FoodLevel | None
    """Absent: no restriction ordered."""
    liquid_level: DrinkLevel | None
    """Absent: no restriction ordered."""
    cleared: list[str]
    """What the order allows although a level would only be served after a question."""
    piece_size: PieceSize | None
    fluid_limit_ml: int | None
    """Millilitres a day, at most 10,000."""
    notes: list[str]
    """Remarks, read like card text."""
    text: str | None
    """What the diet card says."""


class TestResults(TypedDict, total=False):
    """Results of IDDSI tests on the food as served, at serving temperature."""

    flow_left_ml: float | None
    """Millilitres *left* in the 10 mL syringe after 10 seconds, 0 to 10; at most two decimals."""
    fork_drip: ForkDrip | None
    spoon_tilt: SpoonTilt | None
    lumps: bool | None
    """Whether a smooth food has lumps."""
    particle_width_mm: float | None
    """Width of the largest piece, above 0, at most 500 mm; at most two decimals."""
    particle_length_mm: float | None
    """Length of the largest piece, above 0, at most 500 mm; at most two decimals."""
    fork_pressure: ForkPressure | None
    fork_pressure_after_water: ForkPressure | None
    """The same after 1 mL of water and one minute: the test of transitional foods."""
    by: str | None
    """Who tested, for people."""
    at: str | None
    """When, for people."""


class Item(TypedDict):
    """One thing on the tray."""

    name: str
    """What the menu or the packet calls it."""
    ingredients: NotRequired[str | None]
    """The ingredient statement, when there is one."""
    place: NotRequired[str | None]
    """Where it lies, for people."""
    sealed: NotRequired[bool]
    """The closure is unbroken and the outside clean. Not stated counts as open."""
    tested: NotRequired[TestResults | None]


class Tray(TypedDict):
    """A tray as it stands before the resident."""

    resident: NotRequired[str | None]
    meal: NotRequired[str | None]
    items: list[Item]


class Check(TypedDict):
    """One check."""

    id: NotRequired[str | None]
    """The caller's own name for it; given back."""
    order: Order
    tray: Tray


class ReadAsk(TypedDict):
    """A food text."""

    id: NotRequired[str | None]
    name: str
    ingredients: NotRequired[str | None]
    tested: NotRequired[TestResults | None]


class CardAsk(TypedDict):
    """A diet card."""

    id: NotRequired[str | None]
    text: str


# What comes out: verdicts.


class TextStep(TypedDict):
    """Words of the item, and the concept they were read as."""

    step: Literal["text"]
    field: Field
    text: str
    span: list[int]
    read_as: str


class ClaimStep(TypedDict):
    """A claim that softened the way here."""

    step: Literal["claim"]
    field: Field
    text: str
    span: list[int]
    claim: str


class PrecautionStep(TypedDict):
    """The words stand under a precautionary statement."""

    step: Literal["precaution"]


class MoreGeneralStep(TypedDict):
    """The item names `concept`, and `than` is a kind of it that may be meant."""

    step: Literal["more-general"]
    concept: str
    than: str


class UnreadStep(TypedDict):
    """Words that were not understood."""

    step: Literal["unread"]
    field: Field
    text: str
    span: list[int]


class FormStep(TypedDict):
    """How a concept is ordinarily served."""

    step: Literal["form"]
    concept: str
    food: FoodLevel | None
    drink: DrinkLevel | None
    risks: list[str]
    prepared: list[str]
    source: list[str]


class TestedStep(TypedDict):
    """Tests of the actual food, and what they show; they outrank the ordinary form."""

    step: Literal["tested"]
    results: TestResults
    food_from: FoodLevel
    """Lower food levels are ruled out."""
    food_to: FoodLevel
    """The lowest food level whose tests were all passed."""
    drink: list[DrinkLevel] | None
    """The thinnest and the thickest liquid level that the results leave."""
    transitional: bool
    source: list[str]


class TraitStep(TypedDict):
    """A concept has a diet trait."""

    step: Literal["trait"]
    concept: str
    id: str
    source: list[str]


class SameGroupStep(TypedDict):
    """The item holds another food of a group that is asked about together."""

    step: Literal["same-group"]
    concept: str
    excluded: str
    source: list[str]


class RuleStep(TypedDict):
    """The rule of the order that all this meets."""

    step: Literal["rule"]
    order: str
    """The place in the order: `allergies[0]`, `food_level`."""
    says: str
    source: list[str]


# `from` is a word of Python's own, so these are written another way.
KindOfStep = TypedDict("KindOfStep", {"step": Literal["kind-of"], "from": str, "to": str, "source": list[str]})
"""`from` is a kind of `to`."""
MadeWithStep = TypedDict(
    "MadeWithStep",
    {"step": Literal["made-with"], "from": str, "to": str, "strength": Strength, "source": list[str]},
)
"""`from` is made with `to`."""
MayHideStep = TypedDict("MayHideStep", {"step": Literal["may-hide"], "from": str, "to": str, "source": list[str]})
"""The bare word `from` may hide `to`."""

Step: TypeAlias = (
    TextStep
    | KindOfStep
    | MadeWithStep
    | MayHideStep
    | ClaimStep
    | PrecautionStep
    | MoreGeneralStep
    | UnreadStep
    | FormStep
    | TestedStep
    | TraitStep
    | SameGroupStep
    | RuleStep
)
"""One step of a chain; `step` says which."""


class Finding(TypedDict):
    """One thing found, with its grounds."""

    item: int | None
    """The item, counted from 0; `None` for the order or the tray as a whole."""
    rule: Rule
    concept: str | None
    """The concept, diet or level that it is about."""
    presence: Presence | None
    action: Literal["remove", "ask", "return"]
    because: list[Step]
    """The chain from the words on the tray to what the order excludes."""
    say: str
    """The finding in plain words."""
    remedies: NotRequired[list[list[str]]]
    """Ways to bring the item within the ordered levels, each a list of preparations; the result must be tested."""


class UnreadText(TypedDict):
    """Words of an item that were not understood."""

    item: int
    field: Field
    text: str
    span: list[int]
    read_as: NotRequired[list[str]]
    """Foods that a misspelling may have been meant as; they only add hazard."""


class Assumption(TypedDict):
    """Something that had to be assumed."""

    item: int | None
    say: str


class OntologyStamp(TypedDict):
    """The ontology that an answer rests on."""

    version: str
    digest: str
    overlay: NotRequired[str]
    """Name and version of the overlay that lies over it."""


@final
class CheckAnswer(TypedDict):
    """The verdict, with everything it rests on."""

    id: NotRequired[str]
    verdict: Action
    findings: list[Finding]
    unread: list[UnreadText]
    assumptions: list[Assumption]
    say: str
    """The verdict in plain words."""
    caution: str
    """The standing caution; show it with every verdict."""
    ontology: OntologyStamp


# What comes out: food texts and diet cards.


class FormAnswer(TypedDict):
    """How a food is ordinarily served, or was by its tests."""

    food: FoodLevel | None
    drink: DrinkLevel | None
    risks: list[str]


class UnreadAnswer(TypedDict):
    """Words that were not understood."""

    text: str
    span: list[int]
    field: Field
    read_as: NotRequired[list[str]]


@final
class ReadAnswer(TypedDict):
    """What a food text holds."""

    id: NotRequired[str]
    holds: dict[str, Literal["contains", "may", "unknown"]]
    """The families and members whose presence is not `free`."""
    form: FormAnswer
    claims: list[str]
    unread: list[UnreadAnswer]
    trade_names: NotRequired[list[UnreadAnswer]]
    """Words that stand where a maker's name stands: only the label says what is in the food."""


class CardAllergy(TypedDict):
    """A food that a card excludes."""

    to: str
    """The word on the card."""
    concepts: list[str]
    """The concepts it was read as."""
    kind: AllergyKind
    severe: bool
    reactions: NotRequired[list[str]]
    span: list[int]


class Unclear(TypedDict):
    """A stretch of a card that must be asked about."""

    text: str
    span: list[int]
    why: str


@final
class CardAnswer(TypedDict):
    """What a diet card orders."""

    id: NotRequired[str]
    allergies: list[CardAllergy]
    none_known: bool
    diets: list[str]
    food_level: FoodLevel | None
    liquid_level: DrinkLevel | None
    cleared: NotRequired[list[str]]
    piece_size: NotRequired[PieceSize]
    fluid_limit_ml: int | None
    supplements: list[str]
    precautions: list[str]
    preferences: list[str]
    """Likes and dislikes; never a conflict."""
    drugs: list[str]
    """Drugs named among allergies; not judged."""
    denied: list[str]
    remarks: list[str]
    unclear: list[Unclear]


# What stands in the place of an answer in a batch.


class ErrorDetail(TypedDict):
    """Why a record could not be taken."""

    line: int
    """Its place in the batch, from 1."""
    field: str
    what: str
    remedy: str


@final
class ErrorAnswer(TypedDict):
    """An error in the place of an answer."""

    error: ErrorDetail
