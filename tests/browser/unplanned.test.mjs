// A restoration that was not planned goes on record by a form: on a phone with what is preset, with each refusal at its
// field, and once. The answers come from a record kept here, as the program would give them.
import assert from "node:assert/strict";
import { after, before, beforeEach, test } from "node:test";
import { desktop, fitsAcross, lookAt, phone, startBrowser, startProgram, tooSmall } from "./browser.mjs";
import { described } from "./described.mjs";
import { mockRecords, sessionOf } from "./records_mock.mjs";

let program;
let browser;
let records;
let sheet;
/** What was sent, with its key; the rows of the list. */
let sent;
let rows;

const lamp = (id, tips, left_at = null) => ({
  id,
  name: `Lamp ${id}`,
  room_name: "Room 1",
  left_at,
  state: "in use",
  why: "",
  overdue: false,
  file: null,
  today: null,
  tips: tips.map((tip) => ({ id: tip, name: `tip ${tip}`, diameter_mm: 8 })),
});
const material = (id, name) => ({
  id,
  name,
  shade: "A3",
  file: null,
  ifu_seconds: null,
  ifu_increment_mm: null,
  lots: [{ number: `L-${id}`, expires_at: null }],
});

before(async () => {
  program = await startProgram();
  browser = await startBrowser(program.origin, { reducedMotion: "reduce" });
  const { page } = browser;
  await page.goto(program.link);
  await page.waitForURL(`${program.origin}/`);
  records = await mockRecords(page);
  await page.route("**/api/restoration-sheet", (route) =>
    route.fulfill({ json: described("RestorationSheet", sheet) }),
  );
  await page.route("**/api/restorations", (route) => route.fulfill({ json: { restorations: [] } }));
  await page.route(/\/api\/records\/restoration\?/, (route) =>
    route.fulfill({ json: described("List_restoration", { records: rows, more: false }) }),
  );
  await page.route("**/api/unplanned-restorations", (route) => {
    const body = described("NewUnplanned", route.request().postDataJSON());
    sent.push({ body, key: route.request().headers()["idempotency-key"] });
    if (body.tooth === "39") {
      const problem = { field: "tooth", what: "there is no such tooth in ISO 3950", remedy: "Write two digits" };
      return route.fulfill({ status: 422, json: { sentence: "tooth", problems: [problem] } });
    }
    const { barrier: _barrier, material: of, ...same } = body;
    const named = sheet.materials.find((one) => one.id === of);
    rows = [
      {
        id: 41,
        revision: 1,
        record: {
          ...same,
          placed_at: body.placed_at ?? new Date().toISOString(),
          material: `${named.name}, ${named.shade}`,
          probability: null,
        },
      },
      ...rows,
    ];
    return route.fulfill({ status: 201, json: described("Written", { id: 41, revision: 1 }) });
  });
});
after(async () => {
  await browser?.stop();
  await program?.stop();
});
beforeEach(async () => {
  sent = [];
  rows = [];
  records.session = sessionOf("C. Dentist", 2, "clinician");
  sheet = {
    at: new Date().toISOString(),
    lights: [lamp(1, [11])],
    materials: [material(5, "Universal paste")],
    barriers: [{ id: 3, name: "Sleeve", pass: 0.9, pass_sd: 0.02, source: "measured here" }],
    people: [
      { id: 2, name: "C. Dentist", places: true },
      { id: 3, name: "E. Dentist", places: true },
    ],
  };
  await browser.page.setViewportSize(desktop);
  await browser.page.goto(`${program.origin}/lights`);
  await browser.page.evaluate(() => localStorage.removeItem("throughcure recorded with"));
});

const button = (name) => browser.page.getByRole("button", { name, exact: true });
/** The search below the list asks for a chart number too. */
const form = () => browser.page.getByRole("region", { name: "Made without a plan" });
const field = (name) => form().getByLabel(new RegExp(`^${name}( \\(optional\\))?$`));
async function begin() {
  await browser.page.goto(`${program.origin}/restoration`);
  await button("Record one that was not planned").click();
  await field("Chart number").waitFor();
}

test("on a phone chart, tooth and lot are typed, and all else is preset", async () => {
  const { page } = browser;
  await page.setViewportSize(phone);
  await begin();
  assert.equal(await field("Light").inputValue(), "1");
  assert.equal(await field("Tip").inputValue(), "11");
  assert.equal(await field("Material").inputValue(), "5");
  assert.equal(await field("Barrier").inputValue(), "");
  assert.equal(await field("Operator").inputValue(), "2");
  assert.equal(await field("Tooth").getAttribute("inputmode"), "numeric");
  await field("Chart number").fill("INV-77");
  await field("Tooth").fill("46");
  await field("Surfaces").fill("MO");
  await field("Lot").fill("L-5");
  assert.equal(await fitsAcross(page), true);
  assert.deepEqual(await tooSmall(page), []);
  assert.deepEqual(await lookAt(page, "unplanned-phone"), []);
  await button("Put it on record").click();
  await page.getByText("It is on record.").waitFor();
  assert.deepEqual(sent[0].body, {
    chart: "INV-77",
    tooth: "46",
    surfaces: "MO",
    lot: "L-5",
    light: 1,
    tip: 11,
    material: 5,
    barrier: null,
    placed_by: 2,
    placed_at: null,
    note: null,
  });
  assert.match(sent[0].key, /^[0-9a-f]{32}$/);
  assert.equal(await page.getByRole("link", { name: "Open the record" }).getAttribute("href"), "/restoration/made/41");
  await page.getByText("Tooth 46, MO, chart INV-77").waitFor();
});

test("what is missing, and what is refused, is said at its field", async () => {
  const { page } = browser;
  await begin();
  await button("Put it on record").click();
  await page.getByText("It is empty. Fill it in.").first().waitFor();
  assert.deepEqual(sent, []);
  await field("Chart number").fill("INV-78");
  await field("Tooth").fill("39");
  await button("Put it on record").click();
  await page.getByText("There is no such tooth in ISO 3950. Write two digits.").waitFor();
  assert.equal(await field("Tooth").getAttribute("aria-invalid"), "true");
  assert.deepEqual(await lookAt(page, "unplanned-refused"), []);
  await field("Tooth").fill("36");
  await button("Put it on record").click();
  await page.getByText("It is on record.").waitFor();
  assert.equal(sent.length, 2);
  browser.faults.length = 0; // the browser itself reports the 422
});

test("with several lights and pastes it begins with those that were used last", async () => {
  sheet.lights = [lamp(1, [11]), lamp(2, [21, 22]), lamp(3, [31], "2026-11-24T12:00:00Z")];
  sheet.materials.push(material(6, "Flowable"));
  await begin();
  assert.equal(await field("Light").inputValue(), "");
  await field("Light").selectOption("2");
  await field("Tip").selectOption("22");
  await field("Material").selectOption("6");
  await field("Barrier").selectOption("3");
  await field("Operator").selectOption("3");
  await field("Chart number").fill("INV-79");
  await field("Tooth").fill("75");
  await button("Put it on record").click();
  await browser.page.getByText("It is on record.").waitFor();
  await button("Record one that was not planned").click();
  assert.equal(await field("Light").inputValue(), "2");
  assert.equal(await field("Tip").inputValue(), "22");
  assert.equal(await field("Material").inputValue(), "6");
  assert.equal(await field("Barrier").inputValue(), "3");
  assert.equal(await field("Operator").inputValue(), "2", "whoever records it");
  assert.equal(await field("Chart number").inputValue(), "");
  await field("Light").selectOption({ label: "Lamp 3, Room 1, until 24 Nov 2026" });
  assert.equal(await field("Tip").inputValue(), "31");
});

test("without a material on record it leads to where one is added", async () => {
  sheet.materials = [];
  await browser.page.goto(`${program.origin}/restoration`);
  await button("Record one that was not planned").click();
  await browser.page.getByText("There is no material on record yet.").waitFor();
  assert.equal(
    await browser.page.getByRole("link", { name: "Add one first" }).getAttribute("href"),
    "/setup/materials",
  );
});

test("an assistant sees what was made, and no form", async () => {
  records.session = sessionOf("A. Assistant", 1, "assistant");
  await browser.page.goto(`${program.origin}/restoration`);
  await browser.page.getByRole("heading", { name: "No restoration is on record yet" }).waitFor();
  assert.equal(await button("Record one that was not planned").count(), 0);
});

test("nothing went wrong inside, and nobody else was asked for anything", () => {
  assert.deepEqual(browser.faults, []);
  assert.deepEqual(browser.strangers, []);
});
