// Objects in, objects out, over the JSON boundary of the library. No decision is made here.

const LONE_SURROGATE = /\p{Surrogate}/u;

/** An input or overlay that could not be taken. It is never judged as if it were empty. */
export class SalverError extends Error {
  constructor({ field, what, remedy, problems = [] }) {
    super(`${field}: ${what}; ${remedy}`);
    this.name = "SalverError";
    this.field = field;
    this.what = what;
    this.remedy = remedy;
    this.problems = problems;
  }
}

const refuse = (field, what, remedy) => new SalverError({ field, what, remedy });

function salverError(thrown) {
  if (!Array.isArray(thrown)) return new SalverError(thrown);
  const [{ file, entry, what, remedy }] = thrown;
  return new SalverError({ field: `${file}: ${entry}`, what, remedy, problems: thrown });
}

// The module throws its errors as JSON text; anything else is a fault of the machine (no memory left).
function answer(call) {
  try {
    return call();
  } catch (error) {
    if (typeof error === "string") throw salverError(JSON.parse(error));
    throw error;
  }
}

function text(json, field) {
  if (typeof json !== "string") throw refuse(field, `${typeof json} is not a string`, "pass JSON text");
  if (LONE_SURROGATE.test(json)) throw refuse(field, "half a character (a lone surrogate)", "pass well-formed text");
  return json;
}

function written(value) {
  let json;
  try {
    json = JSON.stringify(value);
  } catch (error) {
    throw refuse("the object", error.message, "pass plain data");
  }
  if (json === undefined) throw refuse("the object", `${typeof value} cannot be written as JSON`, "pass an object");
  return json;
}

class Checker {
  #engine;
  #mostBytes;

  constructor(engine, mostBytes) {
    this.#engine = engine;
    this.#mostBytes = mostBytes;
  }

  // No more than one unit past the bound is handed over: a huge text is refused and not copied.
  #bounded(json) {
    return text(json, "the JSON text").slice(0, this.#mostBytes + 1);
  }

  checkJson(json) {
    return answer(() => this.#engine.check(this.#bounded(json)));
  }

  readJson(json) {
    return answer(() => this.#engine.read(this.#bounded(json)));
  }

  cardJson(json) {
    return answer(() => this.#engine.card(this.#bounded(json)));
  }

  check(check) {
    return JSON.parse(this.checkJson(written(check)));
  }

  read(food) {
    return JSON.parse(this.readJson(written(food)));
  }

  card(card) {
    return JSON.parse(this.cardJson(written(card)));
  }

  versions() {
    const [library, ontology, digest, format] = JSON.parse(this.#engine.versions());
    return { library, ontology, digest, format };
  }
}

/**
 * Makes a checker over the ontology inside the module, which is loaded once. The code that lays an overlay over it is in a module
 * of its own, so that nobody else has to load it.
 */
export async function load({ overlay, wasm } = {}) {
  const given = overlay === undefined ? undefined : text(overlay, "overlay");
  const [glue, file] =
    given === undefined
      ? [await import("./salver.js"), new URL("salver_bg.wasm", import.meta.url)]
      : [await import("./salver_overlay.js"), new URL("salver_overlay_bg.wasm", import.meta.url)];
  await glue.default({ module_or_path: wasm ?? file });
  return new Checker(answer(() => new glue.Engine(given)), glue.most_bytes());
}
