// Runs in Node and in the page: every ask through the package, its answer against the library's bytes.

const text = (error) => JSON.stringify({ field: error.field, what: error.what, remedy: error.remedy });

/** What differs, at most ten; and how many were compared. */
export function compare({ SalverError }, plain, overlaid, asks) {
  const wrong = [];
  for (const [call, input, wanted, overlay] of asks) {
    let found;
    let expected = wanted;
    if (wanted.startsWith('{"error"')) {
      expected = text(JSON.parse(wanted).error);
    }
    try {
      found = (overlay ? overlaid : plain)[`${call}Json`](input);
    } catch (error) {
      if (!(error instanceof SalverError)) throw error;
      found = text(error);
    }
    if (found !== expected && wrong.length < 10) {
      wrong.push({ call, input: input.slice(0, 300), found: found.slice(0, 1000), expected: expected.slice(0, 1000) });
    }
  }
  return { wrong, compared: asks.length };
}

/** Inputs that are no text, no data or no size: each must be a `SalverError` with its three parts. */
export function refused({ SalverError }, checker) {
  const circular = {};
  circular.self = circular;
  const calls = {
    number: () => checker.checkJson(42),
    nothing: () => checker.checkJson(),
    null: () => checker.readJson(null),
    object: () => checker.cardJson({}),
    bytes: () => checker.checkJson(new Uint8Array(4)),
    surrogate: () => checker.readJson('{"name":"\ud800"}'),
    circular: () => checker.check(circular),
    big: () => checker.check({ order: {}, tray: { items: [] }, n: 1n }),
    undefined: () => checker.check(undefined),
    function: () => checker.read(() => 1),
    empty: () => checker.checkJson(""),
    long: () => checker.readJson(`{"name":"${"x".repeat(4_000_001)}"}`),
    huge: () => checker.checkJson(" ".repeat(300_000_000)),
    wide: () => checker.readJson(`{"name":"${"\u{1F374}".repeat(1_500_000)}"}`),
    items: () => checker.check({ order: { allergies: [] }, tray: { items: Array(201).fill({ name: "tea" }) } }),
    unknown: () => checker.check({ order: { alergies: [] }, tray: { items: [] } }),
  };
  const kept = [];
  for (const [name, call] of Object.entries(calls)) {
    try {
      call();
      kept.push(`${name} was taken`);
    } catch (error) {
      const good = error instanceof SalverError && [error.field, error.what, error.remedy].every((s) => typeof s === "string" && s);
      if (!good) kept.push(`${name}: ${error}`);
    }
  }
  return kept;
}
