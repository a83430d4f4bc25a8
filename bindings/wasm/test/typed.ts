// Compiled, not run: the types as a user meets them.

import { load, SalverError } from "../pkg/index.js";
import type { Action, Check, Step, Verdict } from "../pkg/index.js";

const check: Check = {
  order: { allergies: ["sesame", { to: "milk", kind: "intolerance" }], food_level: "easy to chew", liquid_level: 2 },
  tray: { items: [{ name: "falafel", ingredients: null, sealed: false, tested: { fork_pressure: "light" } }] },
};

const words: Record<Action, string> = { serve: "serve", remove: "take off", ask: "ask", return: "send back" };

function said(step: Step): string {
  switch (step.step) {
    case "text":
    case "unread":
      return `${step.text} at ${step.span[0]}`;
    case "kind-of":
    case "made-with":
    case "may-hide":
      return `${step.from} > ${step.to}`;
    case "rule":
      return step.says;
    default:
      return step.step;
  }
}

export async function tray(): Promise<string> {
  const checker = await load({ overlay: "{}", wasm: new Uint8Array() });
  try {
    const verdict: Verdict = checker.check(check);
    const chain = verdict.findings.flatMap((finding) => finding.because.map(said));
    return [words[verdict.verdict], checker.versions().digest, checker.card({ text: "NPO" }).diets, ...chain].join("; ");
  } catch (error) {
    if (error instanceof SalverError) return `${error.field} ${error.what} ${error.remedy} ${error.problems.length}`;
    throw error;
  }
}

// @ts-expect-error a misspelt field
export const misspelt: Check = { order: { alergies: [] }, tray: { items: [] } };
// @ts-expect-error no such level
export const level: Check = { order: { food_level: 8 }, tray: { items: [] } };
