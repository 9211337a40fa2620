// A restoration on record, corrected: the light that cured it, its tip, the time; what somebody else changed meanwhile is
// met, and what stood before stays to be read. The answers come from a record kept here, as the program would give them.
import assert from "node:assert/strict";
import { after, before, beforeEach, test } from "node:test";
import { described } from "./described.mjs";
import { lookAt, startBrowser, startProgram } from "./browser.mjs";
import { mockRecords, sessionOf } from "./records_mock.mjs";

let program;
let browser;
let records;
/** The record's revisions, and what was sent. */
let revisions;
let sent;

const first = () => ({
  chart: "INV-77",
  tooth: "36",
  surfaces: "DO",
  placed_at: new Date(2026, 2, 4, 9, 30).toISOString(),
  placed_by: 2,
  light: 2,
  tip: 12,
  material: "Universal paste, A3",
  lot: "L-310",
  barrier_pass: null,
  resolved_case: JSON.stringify({ version: 1, document: { light: { file: "lights/a.toml" } } }),
  probability: 0.97,
  seed: 1,
  engine: "0.1.0",
  note: null,
});
const revision = (number, name, record) => ({
  revision: number,
  at: new Date(2026, 2, 4 + number, 10).toISOString(),
  person: String(number),
  name,
  record,
});
const lamp = (id, file, tips) => ({
  id,
  name: `Lamp ${id}`,
  room_name: "Room 1",
  left_at: null,
  state: "in use",
  why: "",
  overdue: false,
  file,
  today: null,
  tips: tips.map(([tip, name]) => ({ id: tip, name, diameter_mm: 8 })),
});

before(async () => {
  program = await startProgram();
  browser = await startBrowser(program.origin, { reducedMotion: "reduce" });
  const { page } = browser;
  await page.goto(program.link);
  await page.waitForURL(`${program.origin}/`);
  records = await mockRecords(page);
  const sheet = described("RestorationSheet", {
    at: new Date().toISOString(),
    lights: [
      lamp(1, "lights/b.toml", [[11, "straight"]]),
      lamp(2, "lights/a.toml", [[12, "straight"], [13, "turbo"]]),
      lamp(3, "lights/a.toml", [[14, "narrow"], [15, "broad"]]),
    ],
    materials: [],
    barriers: [],
    people: [
      { id: 2, name: "D. Dentist", places: true },
      { id: 3, name: "E. Dentist", places: true },
      { id: 4, name: "F. Formerly", places: false },
    ],
  });
  await page.route("**/api/restoration-sheet?made=9", (route) => route.fulfill({ json: sheet }));
  await page.route("**/api/records/restoration/9/history", (route) =>
    route.fulfill({ json: described("History_restoration", { revisions }) }),
  );
  await page.route(/\/api\/records\/restoration\/9(\?|$)/, (route) => {
    const now = revisions.at(-1);
    if (route.request().method() === "GET") {
      const { revision: at, record } = now;
      return route.fulfill({ json: described("Kept_restoration", { id: 9, revision: at, record }) });
    }
    const read = Number(new URL(route.request().url()).searchParams.get("revision"));
    if (read !== now.revision) {
      return route.fulfill({ status: 409, json: { sentence: "This record was changed since it was read." } });
    }
    const record = described("restoration", route.request().postDataJSON());
    sent.push(record);
    if (record.tip === 15) {
      const problem = { field: "tip", what: "this tip belongs to another light", remedy: "Choose a tip of this light" };
      return route.fulfill({ status: 422, json: { sentence: "restoration: tip", problems: [problem] } });
    }
    revisions.push(revision(now.revision + 1, "C. Dentist", record));
    return route.fulfill({ json: described("Written", { id: 9, revision: now.revision + 1 }) });
  });
});
after(async () => {
  await browser?.stop();
  await program?.stop();
});
beforeEach(() => {
  revisions = [revision(1, "D. Dentist", first())];
  sent = [];
  records.session = sessionOf("C. Dentist", 2, "clinician");
});

const button = (name) => browser.page.getByRole("button", { name, exact: true });
const field = (name) => browser.page.getByLabel(new RegExp(`^${name}( \\(optional\\))?$`));
async function open() {
  await browser.page.goto(`${program.origin}/restoration/made/9`);
  await browser.page.waitForSelector("dl");
}

test("the light, its tip and the time are corrected; the tips are those of the light that is chosen", async () => {
  const { page } = browser;
  await open();
  await page.getByText("Lamp 2, Room 1, straight", { exact: true }).waitFor();
  await button("Correct what was typed").click();
  await field("Chart number").waitFor();
  assert.deepEqual(await field("Tip").locator("option").allTextContents(), ["straight", "turbo"]);
  await field("Light").selectOption({ label: "Lamp 1, Room 1" });
  assert.equal(await field("Tip").inputValue(), "11", "the only one it has");
  await field("Light").selectOption({ label: "Lamp 3, Room 1" });
  assert.equal(await field("Tip").inputValue(), "");
  await button("Save the correction").click();
  await page.getByText("It is empty. Choose one.").waitFor();
  assert.deepEqual(sent, []);
  await field("Tip").selectOption("15");
  await button("Save the correction").click();
  await page.getByText("This tip belongs to another light. Choose a tip of this light.").waitFor();
  assert.equal(await field("Tip").getAttribute("aria-invalid"), "true");
  assert.deepEqual(await lookAt(page, "made-correcting"), []);
  await field("Tip").selectOption("14");
  await field("Placed").fill("2026-03-03T08:15");
  await field("Lot").fill("");
  await button("Save the correction").click();
  await page.getByText("It was corrected. What stood there before stays in the log.").waitFor();
  assert.deepEqual(sent.at(-1), {
    ...first(),
    light: 3,
    tip: 14,
    lot: "",
    placed_at: new Date(2026, 2, 3, 8, 15).toISOString(),
  });
  await page.getByText("Lamp 3, Room 1, narrow", { exact: true }).waitFor();
  assert.equal(await page.getByText(/planned with another light/).count(), 0, "of the same make");
  await page.getByText("Corrected once").click();
  await page.getByText(/D\. Dentist: chart INV-77.*placed 4 Mar 2026, 09:30 with Lamp 2, Room 1, straight/s).waitFor();
  browser.faults.length = 0; // the browser itself reports the 422
});

test("the operator is shown beside who recorded it, and is corrected among those who may place", async () => {
  const { page } = browser;
  await open();
  await page.locator("dl > div", { hasText: "Operator" }).getByText("D. Dentist", { exact: true }).waitFor();
  await button("Correct what was typed").click();
  assert.deepEqual(await field("Operator").locator("option").allTextContents(), ["D. Dentist", "E. Dentist"]);
  assert.equal(await field("Tooth").count(), 0, "it is its case's");
  await field("Operator").selectOption({ label: "E. Dentist" });
  await button("Save the correction").click();
  await page.getByText("It was corrected.").waitFor();
  assert.deepEqual(sent, [{ ...first(), placed_by: 3 }]);
  await page.locator("dl > div", { hasText: "Operator" }).getByText("E. Dentist", { exact: true }).waitFor();
});

test("without a case its tooth, its surfaces and its material are corrected too", async () => {
  const { page } = browser;
  const bare = { ...first(), resolved_case: null, probability: null, seed: null, engine: null };
  revisions = [revision(1, "D. Dentist", bare)];
  await open();
  await button("Correct what was typed").click();
  await field("Tooth").fill("37");
  await field("Material").fill("Flowable, A2");
  assert.deepEqual(await lookAt(page, "made-bare"), []);
  await button("Save the correction").click();
  await page.getByText("It was corrected.").waitFor();
  assert.deepEqual(sent, [{ ...bare, tooth: "37", material: "Flowable, A2" }]);
});

test("a light of another make is said to be another than its case was planned with", async () => {
  const { page } = browser;
  revisions.push(revision(2, "C. Dentist", { ...first(), light: 1, tip: 11 }));
  await open();
  await page.getByText("Its case was planned with another light (lights/a.toml): what was worked out then holds for that one.").waitFor();
  assert.deepEqual(await lookAt(page, "made-other-light"), []);
});

test("what somebody else changed meanwhile is met, and nothing typed is lost", async () => {
  const { page } = browser;
  await open();
  await button("Correct what was typed").click();
  await field("Light").selectOption({ label: "Lamp 1, Room 1" });
  revisions.push(revision(2, "D. Dentist", { ...first(), surfaces: "MO" }));
  await button("Save the correction").click();
  await page.getByText("Somebody else changed this while you typed.").waitFor();
  await page.getByText("Taken over: DO became MO.").waitFor();
  await button("Save the correction").click();
  await page.getByText("It was corrected.").waitFor();
  assert.deepEqual(sent, [{ ...first(), surfaces: "MO", light: 1, tip: 11 }]);
  await page.getByText("Corrected 2 times").waitFor();
  browser.faults.length = 0; // the browser itself reports the 409
});

test("who may not correct it reads what was corrected", async () => {
  const { page } = browser;
  records.session = sessionOf("A. Assistant", 1, "assistant");
  revisions.push(revision(2, "C. Dentist", { ...first(), light: 3, tip: 14 }));
  await open();
  await page.getByText("Corrected once").waitFor();
  assert.equal(await button("Correct what was typed").count(), 0);
});

test("nothing went wrong inside, and nobody else was asked for anything", () => {
  assert.deepEqual(browser.faults, []);
  assert.deepEqual(browser.strangers, []);
});
