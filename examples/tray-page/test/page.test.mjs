// The page, driven as a person drives it: typing, keys, looking.

import assert from "node:assert/strict";
import { mkdir, readFile, readdir } from "node:fs/promises";
import { createRequire } from "node:module";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";
import { serve } from "./site.mjs";

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const AXE = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const WIDTHS = [320, 360, 768, 1280];
const FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];

let browser;
let site;

before(async () => {
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: FLAGS });
  site = await serve();
  await mkdir(here("shots"), { recursive: true });
});

after(async () => {
  await browser?.close();
  await site?.stop();
});

/** A fresh browser profile on the page; anything that the page complains about fails the test. */
async function open(t, { width = 360, height = 740, url = site.url, scheme = "light", expectErrors = false } = {}) {
  const context = await browser.newContext({ viewport: { width, height }, colorScheme: scheme });
  context.setDefaultTimeout(15_000);
  const page = await context.newPage();
  const complaints = [];
  page.on("console", (message) => ["error", "warning"].includes(message.type()) && complaints.push(message.text()));
  page.on("pageerror", (error) => complaints.push(error.message));
  t.after(async () => {
    await context.close();
    if (!expectErrors) assert.deepEqual(complaints, []);
  });
  await page.goto(url);
  return page;
}

const ready = (page) => page.locator("#versions", { hasText: "salver" }).waitFor();
const word = (page) => page.locator("#answer-title").innerText();
const press = async (page, ...keys) => {
  for (const key of keys) await page.keyboard.press(key);
};
const focused = (page) => page.evaluate(() => document.activeElement.getAttribute("aria-label") ?? document.activeElement.labels?.[0]?.innerText ?? document.activeElement.innerText);
const checkTray = (page) => page.getByRole("button", { name: "Check the tray" }).click();
const said = (page, words) => page.locator("#live", { hasText: words }).waitFor({ state: "attached" });

/** Fills the form in with one paste of the items. */
async function fill(page, card, items) {
  await page.getByLabel("What the card says").fill(card);
  await paste(page, page.locator(".name").first(), items.join("\n"));
}

async function paste(page, field, text) {
  await field.evaluate((element, pasted) => {
    const clipboardData = new DataTransfer();
    clipboardData.setData("text/plain", pasted);
    const event = new ClipboardEvent("paste", { clipboardData, bubbles: true, cancelable: true });
    if (element.dispatchEvent(event)) element.value += pasted;
  }, text);
}

async function example(page, resident) {
  const fold = page.locator(".end details");
  if (!(await fold.evaluate((details) => details.open))) await fold.locator("summary").click();
  await page.getByRole("button", { name: resident }).click();
}

async function assertNoOverflow(page, name) {
  const wide = await page.evaluate(() => {
    const edge = document.documentElement.clientWidth;
    const past = [...document.querySelectorAll("body *")].filter((e) => e.checkVisibility() && !e.closest(".unseen, .symbols") && e.getBoundingClientRect().right > edge + 0.5);
    return { edge, scroll: document.documentElement.scrollWidth, past: past.slice(0, 3).map((e) => e.outerHTML.slice(0, 120)) };
  });
  assert.ok(wide.scroll <= wide.edge && wide.past.length === 0, `${name}: ${JSON.stringify(wide)}`);
}

async function assertAccessible(page, name) {
  const small = await page.locator("button:visible, summary:visible, .tick:visible, input[type=text]:visible, textarea:visible").evaluateAll((all) => all.filter((e) => e.getBoundingClientRect().height < 44).map((e) => e.outerHTML));
  assert.deepEqual(small, [], `${name}: 44 px to touch`);
  await page.evaluate(AXE);
  const { violations, incomplete } = await page.evaluate(() => globalThis.axe.run(document, { rules: { "target-size": { enabled: true } } }));
  const told = (list) => list.map((v) => `${v.id}: ${v.help}: ${v.nodes.map((n) => n.target.join(" ")).join(", ")}`);
  assert.deepEqual(told(violations), [], name);
  // What the audit could not decide about colours fails too: every ground here is plain.
  assert.deepEqual(told(incomplete.filter((v) => v.id === "color-contrast")), [], name);
}

test("keyboard only: a card, two items, the verdict, its chain", async (t) => {
  const page = await open(t);
  await ready(page);
  await press(page, "Tab");
  assert.match(await focused(page), /Go to the verdict/);
  await press(page, "Tab");
  assert.match(await focused(page), /What the card says/);
  await page.keyboard.type("Allergy: sesame. Soft & bite-sized.");
  await press(page, "Tab");
  assert.match(await focused(page), /Resident on the card/);
  await page.keyboard.type("R-27");
  await press(page, "Tab");
  assert.match(await focused(page), /Item 1/);
  await page.keyboard.type("falafel with tahini sauce");
  await press(page, "Enter");
  assert.match(await focused(page), /Item 2/);
  await page.keyboard.type("salt packet");
  await press(page, "Tab", "Space", "Tab");
  assert.match(await focused(page), /Take out Item 2, salt packet/);
  await press(page, "Tab", "Enter", "Tab");
  assert.match(await focused(page), /Ingredient list of Item 2/);
  await page.keyboard.type("salt");
  await press(page, "Tab", "Enter");
  assert.match(await focused(page), /Item 3/);
  await press(page, "Enter"); // an empty last row: on to the check
  assert.match(await focused(page), /Check the tray/);
  await press(page, "Enter");
  await said(page, "Return. Send this tray back");
  assert.equal(await word(page), "Return");
  assert.equal(await page.locator(".verdict .what").innerText(), "R-27: 2 items checked");
  assert.match(await page.locator(".verdict .say").innerText(), /Tahini sauce contains sesame/);
  const why = page.locator(".finding summary").first();
  for (let n = 0; n < 4 && !(await why.evaluate((e) => e === document.activeElement)); n += 1) await press(page, "Tab");
  assert.match(await focused(page), /^Why/);
  await press(page, "Enter");
  const chain = await page.locator(".finding .chain").first().innerText();
  assert.match(chain, /“tahini sauce” in the name is read as tahini sauce\.\s+Tahini sauce is always made with sesame\. Source: .+\s+The diet card says “sesame”\./);
});

test("each verdict says what to do, with the caution, in words that are large enough", async (t) => {
  const page = await open(t);
  await ready(page);
  for (const [resident, title, says] of [
    ["R-63", "Return", /^Send this tray back; take nothing off it\. Grilled chicken sausage contains milk/],
    ["R-45", "Ask", /^Stop and ask the nurse, dietitian or kitchen\./],
    ["R-38", "Remove", /^Take off: salt packet\. Then serve\./],
    ["R-52", "Serve", /^Nothing found against this tray\.$/],
  ]) {
    await example(page, resident);
    await checkTray(page);
    await said(page, `${title}. `);
    assert.equal(await word(page), title);
    assert.match(await page.locator(".verdict .say").innerText(), says);
    assert.match(await page.locator("#answer .caution").innerText(), /supports trained staff and does not replace them/);
    const look = await page.evaluate(() => {
      const size = (query) => parseFloat(getComputedStyle(document.querySelector(query)).fontSize);
      const box = (query) => document.querySelector(query).getBoundingClientRect();
      return { word: size(".verdict h2"), say: size(".verdict .say"), top: box(".verdict").top, strip: box(".caution-strip").bottom - innerHeight, sign: box(".verdict .sign").width };
    });
    assert.ok(look.word >= 46 && look.say >= 23 && look.sign > 30, JSON.stringify(look));
    assert.ok(look.top >= 0 && look.top < 40 && Math.abs(look.strip) < 1, `verdict in view, caution strip too: ${JSON.stringify(look)}`);
  }
});

test("the words that caused a finding are marked, in names and in ingredient lists, with accents and emoji", async (t) => {
  const page = await open(t);
  await fill(page, "ALLERGY: milk", ["zorble 🍵 crème brûlée", "cre\u0300me bru\u0302le\u0301e 👩🏽‍🍳", "grilled sausage"]);
  const row = page.locator(".item").nth(2);
  await row.locator("summary").click();
  await row.locator(".ingredients").fill(`pork 🐖, café, jalapeño, ${"water, ".repeat(80)}whey powder, salt`);
  await checkTray(page);
  await page.locator(".verdict").waitFor();
  const found = await page.locator(".finding").evaluateAll((all) => all.map((f) => ({
    about: f.querySelector(".about").textContent,
    causes: [...f.querySelectorAll("mark.cause")].map((m) => m.textContent),
    text: f.querySelector(".quoted")?.textContent,
  })));
  const causes = (item) => found.filter((f) => f.about === item).flatMap((f) => f.causes);
  assert.ok(causes("Item 1").includes("crème brûlée"), JSON.stringify(found));
  assert.ok(causes("Item 2").includes("cre\u0300me bru\u0302le\u0301e"), JSON.stringify(found));
  assert.ok(causes("Item 3").includes("whey powder"), JSON.stringify(found));
  const label = found.find((f) => f.causes.includes("whey powder")).text;
  assert.ok(label.includes(" … ") && label.length < 250, `a long label is shown around its mark: ${label}`);
  const unread = await page.locator(".part mark.unread").allTextContents();
  assert.ok(unread.includes("zorble"), JSON.stringify(unread));
  assert.equal(await page.locator(".part h3", { hasText: "Not understood" }).count(), 1);
});

test("every span and every step of every shared case is shown as its own words", async (t) => {
  const page = await open(t);
  const folder = here("../../../tests/cases/");
  const cases = (await Promise.all((await readdir(folder)).map(async (f) => JSON.parse(await readFile(folder + f, "utf8"))))).flatMap((file) => file.cases ?? file);
  assert.ok(cases.length > 100);
  const faults = await page.evaluate(async (all) => {
    const at = (path) => import(new URL(path, location.href).href);
    const [{ load }, { pieces }, { sentence }, { verdictView }] = await Promise.all(["salver/index.js", "parts/spans.js", "parts/words.js", "parts/verdict.js"].map(at));
    const checker = await load();
    const wrong = [];
    for (const { name, order, tray } of all) {
      const verdict = checker.check({ order, tray });
      for (const { item, because } of verdict.findings) {
        for (const step of because) {
          const words = sentence(step);
          if (/[{}]|undefined|null|NaN/u.test(words)) wrong.push([name, words]);
          if (!step.span || step.span[0] === step.span[1]) continue;
          const [mark] = pieces(tray.items[item][step.field], [{ span: step.span, kind: "cause" }]).filter((p) => p.kind);
          if (mark.text !== step.text) wrong.push([name, mark.text, step.text]);
        }
      }
      const view = document.createElement("div");
      view.append(...verdictView(verdict, tray.items, ""));
      if (view.querySelectorAll(".finding").length !== verdict.findings.length) wrong.push([name, "findings"]);
      if (!view.textContent.includes(verdict.caution)) wrong.push([name, "caution"]);
      if (!view.textContent.includes(verdict.say)) wrong.push([name, "say"]);
    }
    return wrong;
  }, cases.map(({ name, order, tray }) => ({ name, order, tray })));
  assert.deepEqual(faults, []);
});

test("what was read from the card stands beside it, with what was not understood", async (t) => {
  const page = await open(t);
  await page.getByLabel("What the card says").fill("É. Allergy: milk (severe). Level 6, mildly thick. Grue bop. Likes purple.");
  const reading = page.locator("#reading");
  await reading.waitFor();
  await reading.locator("dt", { hasText: "Not understood" }).waitFor();
  const facts = await reading.locator("dl").innerText();
  for (const fact of [/Must not have\s+milk \(allergy, severe\)/, /Food\s+level 6 Soft & Bite-Sized/, /Liquids\s+level 2 Mildly Thick/, /Diet\s+nothing read/, /Likes and dislikes\s+[Pp]urple/]) {
    assert.match(facts, fact);
  }
  assert.deepEqual(await reading.locator(".quoted mark.cause").allTextContents(), ["milk"]);
  assert.match((await reading.locator(".quoted mark.unread").allTextContents()).join(" "), /Grue/);
});

test("empty input is asked for, never judged", async (t) => {
  const page = await open(t);
  await ready(page);
  await checkTray(page);
  await said(page, "Not checked.");
  assert.match(await focused(page), /What the card says/);
  assert.equal(await page.locator(".error:visible").count(), 2);
  assert.equal(await page.locator("[aria-invalid=true]").count(), 2);
  assert.equal(await page.locator(".verdict").count(), 0);
  await page.getByLabel("What the card says").fill("Allergy: milk");
  assert.equal(await page.locator(".error:visible").count(), 0, "typing takes the errors away");
  await page.locator(".sealed").first().check();
  await checkTray(page);
  assert.equal(await page.locator(".error:visible").innerText(), "Name this item.");
  assert.match(await focused(page), /Item 1/);
  await page.locator(".name").first().fill("tea");
  await page.getByRole("button", { name: "Add an item" }).click(); // stays empty: left out
  await checkTray(page);
  await page.locator(".verdict").waitFor();
  assert.match(await page.locator(".verdict .what").innerText(), /^1 item checked$/);
});

test("what is past a bound is refused with its place and remedy", async (t) => {
  const page = await open(t);
  await fill(page, "Allergy: milk", ["tea", `${"long name ".repeat(300)}`]);
  await checkTray(page);
  await said(page, "Not checked. Item 2");
  assert.match(await focused(page), /Item 2/);
  assert.match(await page.locator(".error:visible").innerText(), /over the bound of 2000; split or shorten/);
  assert.equal(await word(page), "Not checked");
  await page.getByRole("button", { name: "Clear for the next tray" }).click();
  await fill(page, "Allergy: milk", Array.from({ length: 201 }, () => "tea"));
  await checkTray(page);
  await said(page, "The tray: 201 items is over the bound of 200");
  assert.equal(await page.locator(".verdict").count(), 0);
  await page.getByLabel("What the card says").fill("é".repeat(5001));
  await page.locator("#reading-body", { hasText: "10002 bytes is over the bound of 10000" }).waitFor();
  await checkTray(page);
  await said(page, "Not checked. The diet card: 10002 bytes");
  assert.match(await focused(page), /What the card says/);
});

test("a change takes the verdict away", async (t) => {
  const page = await open(t);
  for (const change of [
    () => page.getByLabel("What the card says").fill("Allergy: fish."),
    () => page.locator(".name").first().fill("cod"),
    () => page.locator(".sealed").first().click(),
    () => page.getByRole("button", { name: /^Take out/ }).first().click(),
    () => page.getByRole("button", { name: "Add an item" }).click(),
    () => page.getByLabel("Resident on the tray ticket").fill("R-5"),
  ]) {
    await fill(page, "Allergy: fish", ["apple juice", "water"]);
    await checkTray(page);
    await page.locator(".verdict").waitFor();
    await change();
    assert.equal(await page.locator(".verdict").count(), 0);
    assert.match(await page.locator("#answer .notice").innerText(), /changed after the last check/);
    await said(page, "Check");
  }
});

test("items are added, pasted, numbered and taken out; the wrong resident is seen; clear leaves nothing", async (t) => {
  const page = await open(t);
  await fill(page, "Allergy: milk", ["tea", "", "  toast ", "jam"]);
  const names = () => page.locator(".name").evaluateAll((all) => all.map((e) => e.value));
  assert.deepEqual(await names(), ["tea", "toast", "jam"]);
  await page.getByRole("button", { name: "Take out Item 2, toast" }).click();
  assert.deepEqual(await names(), ["tea", "jam"]);
  assert.match(await focused(page), /Item 2/);
  assert.equal(await page.getByRole("button", { name: "Take out Item 2, jam" }).count(), 1);
  await page.getByLabel("Resident on the card").fill("R-27");
  await page.getByLabel("Resident on the tray ticket").fill("R-72");
  await checkTray(page);
  await said(page, "Return. Wrong tray.");
  await page.getByRole("button", { name: "Clear for the next tray" }).last().click();
  assert.deepEqual(await page.locator("form input[type=text], form textarea").evaluateAll((all) => all.map((e) => e.value)), ["", "", "", "", ""]);
  assert.equal(await page.locator("#reading").isVisible(), false);
  assert.equal(await page.locator(".verdict").count(), 0);
  assert.match(await focused(page), /What the card says/);
});

test("no violation in an axe audit and no sideways scrolling, at every width, light and dark", async (t) => {
  for (const scheme of ["light", "dark"]) {
    const page = await open(t, { scheme });
    await ready(page);
    const everywhere = async (name) => {
      for (const width of scheme === "light" ? WIDTHS : [360, 1280]) {
        await page.setViewportSize({ width, height: 740 });
        await assertNoOverflow(page, `${name} at ${width}, ${scheme}`);
        // So tall that the caution strip lies over nothing.
        await page.setViewportSize({ width, height: await page.evaluate(() => document.documentElement.scrollHeight + 50) });
        await page.screenshot({ path: here(`shots/${name}-${width}-${scheme}.png`) });
        await assertAccessible(page, `${name} at ${width}, ${scheme}`);
      }
    };
    await everywhere("start");
    await checkTray(page);
    await everywhere("errors");
    for (const resident of ["R-63", "R-45", "R-38", "R-52"]) {
      await example(page, resident);
      await checkTray(page);
      await page.locator(".verdict").waitFor();
      await page.locator("details").evaluateAll((all) => all.forEach((d) => (d.open = true)));
      await everywhere(`verdict-${resident}`);
    }
  }
});

test("a very long tray with very long words", async (t) => {
  const page = await open(t);
  await ready(page);
  const items = Array.from({ length: 200 }, (_, n) => (n % 2 ? `crème brûlée number ${n}` : `${"unbroken".repeat(30)}${n}`));
  await fill(page, `Allergy: milk. Level 5. ${"zorble".repeat(60)}`, items);
  await checkTray(page);
  await page.locator(".verdict").waitFor();
  assert.equal(await page.locator(".verdict .what").innerText(), "200 items checked");
  assert.ok((await page.locator(".finding").count()) >= 200);
  assert.ok(await page.evaluate(() => Math.abs(document.querySelector(".verdict").getBoundingClientRect().top) < 40), "the verdict is in view");
  for (const width of WIDTHS) {
    await page.setViewportSize({ width, height: 740 });
    await assertNoOverflow(page, `long tray at ${width}`);
  }
});

test("nothing typed leaves the page or stays behind", async (t) => {
  const page = await open(t);
  await ready(page);
  await page.locator("#offline", { hasText: "Works offline" }).waitFor();
  const requests = [];
  page.on("request", (request) => requests.push(request.url()));
  const before = site.asked.length;
  await page.getByLabel("Resident on the card").fill("R-91");
  await fill(page, "Allergy: milk. Xyzzyword", ["zorble tea", "jam"]);
  await checkTray(page);
  await page.locator(".verdict").waitFor();
  assert.deepEqual(requests, []);
  assert.equal(site.asked.length, before);
  const kept = await page.evaluate(async () => {
    const texts = [];
    for (const name of await caches.keys()) {
      const cache = await caches.open(name);
      for (const request of await cache.keys()) texts.push(request.url, await (await cache.match(request)).text());
    }
    return { local: localStorage.length, session: sessionStorage.length, cookies: document.cookie, databases: (await indexedDB.databases()).length, address: location.href, texts: texts.join("\n") };
  });
  assert.deepEqual({ ...kept, texts: null }, { local: 0, session: 0, cookies: "", databases: 0, address: site.url, texts: null });
  assert.doesNotMatch(kept.texts, /R-91|Xyzzyword/);
  await page.reload();
  await ready(page);
  assert.deepEqual(await page.locator("form input[type=text], form textarea").evaluateAll((all) => all.map((e) => e.value).join("")), "");
});

test("works offline: reload without a network, then check", async (t) => {
  const own = await serve();
  const page = await open(t, { url: own.url });
  await page.locator("#offline", { hasText: "Works offline" }).waitFor();
  await own.stop();
  await page.context().setOffline(true);
  await page.reload();
  await ready(page);
  await example(page, "R-38");
  await checkTray(page);
  await said(page, "Remove. Take off: salt packet.");
  assert.equal(await word(page), "Remove");
});

test("a newer version replaces the kept one whole, and the page says so", async (t) => {
  let release = 1;
  const stamp = (path, body) => {
    if (path === "/salver/offline.js") return body.toString().replace(/version: "\w+"/, `version: "release-${release}"`);
    if (path === "/index.html") return body.toString().replace("<h1>", `<h1 data-release="${release}">`);
    return body;
  };
  const own = await serve({ edit: stamp });
  t.after(() => own.stop());
  const page = await open(t, { url: own.url });
  await page.locator("#offline", { hasText: "Works offline" }).waitFor();
  release = 2;
  await page.evaluate(async () => (await navigator.serviceWorker.ready).update());
  await page.locator("#offline", { hasText: "A newer version of this page is here" }).waitFor();
  assert.equal(await page.locator("h1").getAttribute("data-release"), "1", "the open page stays as it is");
  await page.reload();
  assert.equal(await page.locator("h1").getAttribute("data-release"), "2");
  assert.deepEqual(await page.evaluate(() => caches.keys()), ["tray-page release-2"]);
});

test("the security policy refuses foreign scripts, markup and connections", async (t) => {
  const page = await open(t, { expectErrors: true });
  await ready(page);
  const refused = await page.evaluate(async (elsewhere) => {
    const outcome = {};
    try { outcome.markup = (document.body.innerHTML = "<p>x</p>") && false; } catch { outcome.markup = true; }
    outcome.connection = await fetch(elsewhere).then(() => false, () => true);
    const style = document.createElement("p");
    style.setAttribute("style", "position: fixed");
    document.body.append(style);
    outcome.style = getComputedStyle(style).position !== "fixed";
    await new Promise((done) => setTimeout(done)); // the test driver's own calls may eval
    try { outcome.eval = (0, eval)("1") !== 1; } catch { outcome.eval = true; }
    return outcome;
  }, site.url.replace("localhost", "127.0.0.1"));
  assert.deepEqual(refused, { markup: true, connection: true, style: true, eval: true });
  const handlers = await page.evaluate(() => [...document.querySelectorAll("*")].flatMap((e) => e.getAttributeNames().filter((name) => /^on|^style$/.test(name))));
  assert.deepEqual(handlers, ["style"], "only the one that this test added");
});

test("hostile text stays text", async (t) => {
  const page = await open(t);
  const text = `<img src=x onerror="document.title='gone'"><b>milk</b>`;
  await fill(page, `Allergy: milk. ${text}`, [text, "tea"]);
  await checkTray(page);
  await page.locator(".verdict").waitFor();
  assert.equal(await page.locator("main img, main b").count(), 0);
  assert.equal(await page.title(), "Tray and card");
});

test("where the checker does not load, the page says that nothing was checked", async (t) => {
  const own = await serve({ without: ".wasm" });
  t.after(() => own.stop());
  const page = await open(t, { url: own.url, expectErrors: true });
  await page.locator("#answer-title", { hasText: "Not working" }).waitFor();
  await fill(page, "Allergy: milk", ["tea", "jam"]);
  assert.equal(await word(page), "Not working", "typing does not take it away");
  await checkTray(page);
  await said(page, "Nothing was checked");
  assert.equal(await page.locator(".verdict").count(), 0);
  await assertAccessible(page, "not working");
});
