// The whole way of a check, with the program itself: taken by phone, judged, in the records; without a connection, with the
// server killed before its reply, and killed and started again while checks wait.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { after, before, test } from "node:test";
import { phone, picture, startBrowser, violations } from "./browser.mjs";

let folder;
let port = "0";
let child;
let browser;
let origin;

/** Starts the program on its folder, again at the same port; gives its link. */
async function start() {
  child = spawn(
    process.env.THROUGHCURE_PROGRAM,
    ["serve", "--demo", "--port", port, "--data", join(folder, "demo")],
    { stdio: ["ignore", "pipe", "inherit"] },
  );
  const lines = createInterface({ input: child.stdout })[Symbol.asyncIterator]();
  const link = (await lines.next()).value.match(/http:\S+/)[0];
  ({ origin, port } = new URL(link));
  return link;
}

/** Ends it with no chance to tidy up. */
async function kill() {
  const ended = new Promise((resolve) => child.once("exit", resolve));
  child.kill("SIGKILL");
  await ended;
}

before(async () => {
  folder = await mkdtemp(join(tmpdir(), "throughcure-live-"));
  const link = await start();
  browser = await startBrowser(origin, { viewport: phone, hasTouch: true, reducedMotion: "reduce" });
  await browser.page.goto(link);
  await browser.page.waitForURL(`${origin}/`);
  // An assistant joins with a password of her own: that sign-in is kept over a restart, the link's is not.
  const joined = await browser.page.evaluate(async () => {
    const { page_token } = await (await fetch("/api/session")).json();
    const [site] = (await (await fetch("/api/records/site")).json()).records;
    const send = (path, body) =>
      fetch(path, {
        method: "POST",
        headers: { "content-type": "application/json", "x-throughcure-token": page_token },
        body: JSON.stringify(body),
      });
    const person = { name: "Nell Ash", role: "assistant", site: site.id, everywhere: false, sign_in_name: "nell" };
    const { code } = await (await send("/api/people", person)).json();
    const answer = await send("/api/door/join", { code, password: "a grey heron stands still" });
    return [answer.status, (await answer.json()).person];
  });
  assert.equal(joined[0], 200);
  assert.deepEqual([joined[1].name, joined[1].role], ["Nell Ash", "assistant"]);
});
after(async () => {
  await browser?.stop();
  await kill();
  await rm(folder, { recursive: true, force: true });
});

const api = async (path) => (await browser.page.request.get(`${origin}${path}`)).json();
const readings = async (light) =>
  (await api(`/api/records/reading?light=${light}&order=taken_at&descending=true&limit=5`)).records.map((one) => one.record);
const lamp = async (name) => (await api("/api/check-sheet")).lights.find((one) => one.name === name);
const tap = (name) => browser.page.locator("label", { hasText: name }).first().tap();
const button = (name) => browser.page.getByRole("button", { name, exact: true });

async function toKeys(id) {
  await browser.page.goto(`${origin}/check?light=${id}`);
  await browser.page.waitForSelector("text=look at it first");
  await tap("clean and whole");
  await tap("none on");
  await tap("standard, as always");
  await tap("full");
  await button("To the number").tap();
}
async function number(digits) {
  for (const digit of String(digits)) await button(digit).tap();
  await button("Done").tap();
}
async function until(what, because) {
  for (let i = 0; i < 400; ++i) {
    if (await what()) return;
    await browser.page.waitForTimeout(50);
  }
  assert.fail(because);
}

test("a good check is judged at once, and stands in the records as it was looked at", async () => {
  const { page } = browser;
  const { id, last } = await lamp("Lamp 3");
  const shown = Math.round(last.baseline_mw_cm2 * 0.97);
  await toKeys(id);
  await number(shown);
  await page.waitForSelector("h1:has-text('Good: ')");
  assert.match(await page.textContent("h1"), /97 % of its baseline/);
  const [reading] = await readings(id);
  assert.deepEqual(
    [reading.shown_mw_cm2, reading.tip_clean, reading.tip_whole, reading.barrier_on, reading.vents_clear, reading.disinfected],
    [shown, true, true, false, null, null],
  );
  assert.ok(Date.parse(reading.arrived_at) - Date.parse(reading.taken_at) < 5000);
  assert.deepEqual(await violations(page), []);
});

test("too little is asked for once more; taken so it has failed, and a look-back is open", async () => {
  const { page } = browser;
  const { id } = await lamp("Lamp 5");
  await toKeys(id);
  await number(430);
  await page.waitForSelector("text=too little");
  await button("Take it once more").tap();
  await page.getByRole("checkbox").tap();
  await number(440);
  await page.waitForSelector("text=It failed again");
  assert.match(await page.getByRole("link", { name: "See which restorations are in doubt" }).getAttribute("href"), /^\/look-back\/\d+$/);
  assert.equal((await lamp("Lamp 5")).state, "withdrawn");
  await picture(page, "check-live-failed-phone");
});

test("the server dies between commit and reply: sent again with the same key it is in the records once", async () => {
  const { page } = browser;
  const { id, last } = await lamp("Lamp 1");
  const shown = Math.round(last.baseline_mw_cm2) - 7;
  const before = (await readings(id)).length;
  let cut = 0;
  await page.route("**/api/checks", async (route) => {
    if (cut > 0) return route.fallback();
    cut += 1;
    const response = await route.fetch();
    assert.equal(response.status(), 201, "the program has it");
    await kill();
    return route.abort("connectionreset");
  });
  await toKeys(id);
  await number(shown);
  await page.waitForSelector("text=Not sent yet");
  await start();
  await page.waitForSelector("h1:has-text('Good: ')", { timeout: 30_000 });
  await page.unroute("**/api/checks");
  const same = (await readings(id)).filter((one) => one.shown_mw_cm2 === shown);
  assert.equal(same.length, 1);
  assert.ok(before > 0);
  browser.faults.length = 0; // the browser itself reports what it could not fetch
});

test("taken while the program is gone, checks wait over a reload of the page and go in with the time they were taken", async () => {
  const { page } = browser;
  const { id, last } = await lamp("Lamp 3");
  const shown = Math.round(last.baseline_mw_cm2) - 13;
  await toKeys(id);
  await kill();
  const taken = Date.now();
  await number(shown);
  await page.waitForSelector("text=Not sent yet");
  // The program is gone, so the page cannot be loaded either: it is when the program is back.
  await page.waitForTimeout(2500);
  await start();
  await page.goto(`${origin}/lights`);
  await until(async () => (await readings(id))[0].shown_mw_cm2 === shown, "it goes in");
  const [reading] = await readings(id);
  assert.ok(Math.abs(Date.parse(reading.taken_at) - taken) < 2000);
  assert.ok(Date.parse(reading.arrived_at) - Date.parse(reading.taken_at) > 2000, "both times are kept");
  await page.waitForSelector("text=1 check went in, not seen yet");
  browser.faults.length = 0;
});

test("what the program does not take says why, and is kept", async () => {
  const { page } = browser;
  const { id } = await lamp("Lamp 3");
  await toKeys(id);
  await page.evaluate(() => {
    const real = Date;
    // A phone whose clock is far ahead.
    globalThis.Date = class extends real {
      constructor(...parts) {
        super(...(parts.length === 0 ? [real.now() + 3 * 86_400_000] : parts));
      }
    };
  });
  await number(960);
  await page.waitForSelector("text=This check was not taken");
  assert.match(await page.textContent("main"), /Set the clock of this device/);
  assert.match(await page.textContent("header"), /1 check was not taken/);
  browser.faults.length = 0; // the browser itself reports the 422
});

test("nothing went wrong inside, and nobody else was asked for anything", () => {
  assert.deepEqual(browser.faults, []);
  assert.deepEqual(browser.strangers, []);
});
