/** Bytes of a text in UTF-8, from the first to before the last. */
export type Span = [from: number, to: number];
/** IDDSI level on the food axis; 7 is regular. */
export type FoodLevel = 3 | 4 | 5 | 6 | "easy to chew" | 7;
/** IDDSI level on the drink axis: 0 thin to 4 extremely thick. */
export type DrinkLevel = 0 | 1 | 2 | 3 | 4;
/** Worst last: nothing found against the tray, take sealed items off, stop and ask, send the whole tray back. */
export type Action = "serve" | "remove" | "ask" | "return";
export type Rule = "allergy" | "intolerance" | "texture" | "liquid" | "diet" | "identity" | "temperature" | "order";
export type Presence = "contains" | "may" | "unknown" | "free";
export type Strength = "always" | "often" | "sometimes";
/** Which text of an item. */
export type Field = "name" | "ingredients";
export type AllergyKind = "allergy" | "intolerance" | "excluded";
/** Whose piece sizes hold. */
export type PieceSize = "adult" | "paediatric";
export type ForkDrip = "through" | "dollops" | "mound";
export type SpoonTilt = "pours" | "drops" | "slides" | "sticks";
export type ForkPressure = "light" | "blanch" | "resists";

/** One entry of the order's allergies, where a word is not enough. */
export interface Allergy {
  to: string;
  /** "allergy" when it is absent. */
  kind?: AllergyKind;
  severity?: string | null;
  reaction?: string | null;
}

/** What a person may have. An order that states nothing is a missing order: every tray is asked about. */
export interface Order {
  resident?: string | null;
  meal?: string | null;
  /** Empty: none known. Absent: not stated. */
  allergies?: (string | Allergy)[] | null;
  diets?: string[];
  /** Absent: no restriction ordered. */
  food_level?: FoodLevel | null;
  /** Absent: no restriction ordered. */
  liquid_level?: DrinkLevel | null;
  /** Mouth risks that are allowed although the level would ask about them. */
  cleared?: string[];
  piece_size?: PieceSize | null;
  /** Millilitres a day. */
  fluid_limit_ml?: number | null;
  notes?: string[];
  /** What the diet card says, as written. */
  text?: string | null;
}

/** Results of IDDSI tests on the food itself, at serving temperature. */
export interface TestResults {
  /** Millilitres left in the syringe after ten seconds. */
  flow_left_ml?: number | null;
  fork_drip?: ForkDrip | null;
  spoon_tilt?: SpoonTilt | null;
  lumps?: boolean | null;
  /** Millimetres. */
  particle_width_mm?: number | null;
  /** Millimetres. */
  particle_length_mm?: number | null;
  fork_pressure?: ForkPressure | null;
  /** After water and a minute's wait: the test of transitional foods. */
  fork_pressure_after_water?: ForkPressure | null;
  by?: string | null;
  at?: string | null;
}

/** One thing on the tray. */
export interface Item {
  name: string;
  /** The ingredient statement, as printed. */
  ingredients?: string | null;
  place?: string | null;
  /** Closure unbroken and outside clean. */
  sealed?: boolean;
  tested?: TestResults | null;
}

export interface Tray {
  resident?: string | null;
  meal?: string | null;
  items: Item[];
}

/** One check. Fields that are not listed are refused. */
export interface Check {
  /** Yours; given back. */
  id?: string | null;
  order: Order;
  tray: Tray;
}

/** One step of the chain behind a finding. Ids are those of the ontology; `source` holds keys of its bibliography. */
export type Step =
  | { step: "text"; field: Field; text: string; span: Span; read_as: string }
  | { step: "kind-of"; from: string; to: string; source: string[] }
  | { step: "made-with"; from: string; to: string; strength: Strength; source: string[] }
  | { step: "may-hide"; from: string; to: string; source: string[] }
  | { step: "claim"; field: Field; text: string; span: Span; claim: string }
  | { step: "precaution" }
  | { step: "more-general"; concept: string; than: string }
  | { step: "unread"; field: Field; text: string; span: Span }
  | {
      step: "form";
      concept: string;
      food: FoodLevel | null;
      drink: DrinkLevel | null;
      risks: string[];
      prepared: string[];
      source: string[];
    }
  | { step: "trait"; concept: string; id: string; source: string[] }
  | { step: "same-group"; concept: string; excluded: string; source: string[] }
  | { step: "rule"; order: string; says: string; source: string[] }
  | {
      step: "tested";
      results: TestResults;
      food_from: FoodLevel;
      food_to: FoodLevel;
      drink: [from: DrinkLevel, to: DrinkLevel] | null;
      transitional: boolean;
      source: string[];
    };

export interface Finding {
  /** The item, counted from 0; `null` for the order itself. */
  item: number | null;
  rule: Rule;
  concept: string | null;
  presence: Presence | null;
  action: Exclude<Action, "serve">;
  because: Step[];
  /** In plain words. */
  say: string;
  /** Ways to bring the item within the ordered levels, each a list of preparations; test the result. */
  remedies?: string[][];
}

/** Words that were not understood. */
export interface Unread {
  text: string;
  span: Span;
  field: Field;
  /** Foods that a misspelling may have been meant as; they only add hazard. */
  read_as?: string[];
}

export interface Verdict {
  id?: string;
  verdict: Action;
  findings: Finding[];
  unread: (Unread & { item: number })[];
  assumptions: { item: number | null; say: string }[];
  /** In plain words. */
  say: string;
  /** To be shown with every verdict. */
  caution: string;
  ontology: { version: string; digest: string; overlay?: string };
}

/** A food text to read. */
export interface Food {
  id?: string | null;
  name: string;
  ingredients?: string | null;
  tested?: TestResults | null;
}

/** What a food text holds. */
export interface Reading {
  id?: string;
  /** Reported families and members that are not free. */
  holds: Record<string, Exclude<Presence, "free">>;
  form: { food: FoodLevel | null; drink: DrinkLevel | null; risks: string[] };
  claims: string[];
  unread: Unread[];
  /** Words in the place of a maker's name; what they hold is unknown. */
  trade_names?: Unread[];
}

/** A diet card to read. */
export interface Card {
  id?: string | null;
  text: string;
}

/** What a diet card orders. */
export interface CardReading {
  id?: string;
  allergies: {
    to: string;
    concepts: string[];
    kind: AllergyKind;
    severe: boolean;
    reactions?: string[];
    span: Span;
  }[];
  none_known: boolean;
  diets: string[];
  food_level: FoodLevel | null;
  liquid_level: DrinkLevel | null;
  cleared?: string[];
  piece_size?: PieceSize;
  fluid_limit_ml: number | null;
  supplements: string[];
  precautions: string[];
  preferences: string[];
  drugs: string[];
  denied: string[];
  remarks: string[];
  unclear: { text: string; span: Span; why: string }[];
}

export interface Versions {
  library: string;
  ontology: string;
  /** Of the ontology's content, the overlay included. */
  digest: string;
  /** Of the exchange format. */
  format: number;
}

/** One thing wrong with an overlay. */
export interface Problem {
  file: string;
  entry: string;
  what: string;
  remedy: string;
}

/** An input or overlay that could not be taken. It is never judged as if it were empty. */
export class SalverError extends Error {
  /** The field, or the place in the text. */
  readonly field: string;
  readonly what: string;
  readonly remedy: string;
  /** All that is wrong with an overlay; empty for other inputs. */
  readonly problems: Problem[];
}

/** An ontology made ready to judge. Nothing is stored between calls. Every method throws `SalverError`. */
export interface Checker {
  check(check: Check): Verdict;
  read(food: Food): Reading;
  card(card: Card): CardReading;
  /** JSON text in and out, byte for byte that of the library. */
  checkJson(json: string): string;
  readJson(json: string): string;
  cardJson(json: string): string;
  versions(): Versions;
}

export interface LoadOptions {
  /** A facility's own file, as JSON text. */
  overlay?: string;
  /** The module, where it is not fetched or read from beside this package. The first `load` decides. */
  wasm?: BufferSource | Response | Promise<Response> | WebAssembly.Module;
}

/** Makes a checker over the ontology inside the module. */
export function load(options?: LoadOptions): Promise<Checker>;
