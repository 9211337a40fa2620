// A case counts on what the practice's own light gives today: a new one by itself, another one by a button, and where it
// does not, the page says so. The answers come from a model known in closed form.
import assert from "node:assert/strict";
import { after, before, beforeEach, test } from "node:test";
import { lookAt, startBrowser, startProgram } from "./browser.mjs";
import { described } from "./described.mjs";
import { choices, mock, poor } from "./restoration_mock.mjs";

let program;
let browser;
let asked;
let sheet;

const file = poor.light.file;
/** Its file states 1000 mW/cm2; it gives 60 % of that. */
const lamp = (id, more = {}) => ({
  id,
  name: `Lamp ${id}`,
  room_name: "Room 1",
  left_at: null,
  state: "in use",
  why: "",
  overdue: false,
  file,
  today: { p10: 540, p50: 600, p90: 660 },
  tips: [{ id: 10 + id, name: "straight", diameter_mm: 8 }],
  ...more,
});

before(async () => {
  program = await startProgram();
  browser = await startBrowser(program.origin, { reducedMotion: "reduce" });
  const { page } = browser;
  await page.goto(program.link);
  await page.waitForURL(`${program.origin}/`);
  asked = await mock(page);
  const lights = choices.lights.map((one) => ({ ...one, exitance_mw_cm2: 1000 }));
  await page.route("**/api/choices", (route) => route.fulfill({ json: { ...choices, lights } }));
  await page.route("**/api/restoration-sheet", (route) =>
    route.fulfill({ json: described("RestorationSheet", sheet) }),
  );
});
after(async () => {
  await browser?.stop();
  await program?.stop();
});
beforeEach(async () => {
  sheet = { at: new Date().toISOString(), lights: [lamp(3)], materials: [], barriers: [], people: [] };
  await browser.page.goto(`${program.origin}/lights`);
  await browser.page.evaluate(() => sessionStorage.clear());
  asked.length = 0;
});

const newest = () => asked.filter((one) => one.what === "verdict").at(-1)?.question.document;
async function until(check, what) {
  for (let i = 0; i < 100; ++i) {
    if (newest() && check(newest())) return;
    await browser.page.waitForTimeout(50);
  }
  assert.fail(what);
}
const share = (document) => document.light.output_share?.value;

test("a new case counts on the only light by itself, before anything is chosen", async () => {
  await browser.page.goto(`${program.origin}/restoration/new/case`);
  await browser.page.waitForSelector(".state");
  await until((document) => share(document) === 0.6, "60 % of what the file states");
  assert.equal(await browser.page.getByText(/This case counts on/).count(), 0);
  assert.deepEqual(await lookAt(browser.page, "light-today"), []);
});

test("of two lights none is taken: the page says what it counts on, and each is one button away", async () => {
  const { page } = browser;
  sheet.lights = [lamp(3), lamp(4, { today: { p10: 700, p50: 800, p90: 900 } })];
  await page.goto(`${program.origin}/restoration/new/case`);
  await page.getByText("This case counts on what the file states, not on what one of your lights gives today.").waitFor();
  assert.equal(share(newest() ?? { light: {} }), undefined);
  await page.getByRole("button", { name: "Count on Lamp 4 as it is today" }).click();
  await until((document) => share(document) === 0.8, "Lamp 4");
  assert.equal(await page.getByText(/This case counts on/).count(), 0);
});

test("a case from a file says that it counts on the file, also where it is recorded", async () => {
  const { page } = browser;
  await page.goto(`${program.origin}/restoration/class2-poor`);
  const words = "This case counts on 90\u00a0% of what the file states, not on what Lamp 3 gives today.";
  await page.getByText(words, { exact: true }).waitFor();
  assert.equal(share(newest()), 0.9);
  await page.getByText(`${words} So does the chance that is recorded.`).waitFor();
  assert.deepEqual(await lookAt(page, "light-not-today"), []);
  await page.getByRole("button", { name: "Count on Lamp 3 as it is today" }).click();
  await until((document) => share(document) === 0.6, "60 %");
  assert.equal(await page.getByText(/This case counts on/).count(), 0);
});

test("a barrier of the practice's own is chosen in the case with what was measured of it", async () => {
  const { page } = browser;
  sheet.barriers = [{ id: 3, name: "Sleeve", pass: 0.85, pass_sd: 0.02, source: "measured here" }];
  await page.goto(`${program.origin}/restoration/class2-poor`);
  await page.waitForSelector(".state");
  await page.getByText("The case: tooth, cavity, paste, light").click();
  await page.getByRole("combobox", { name: "barrier" }).selectOption({ label: "Sleeve, lets 85\u00a0% through" });
  await until((document) => document.light.barrier_pass?.value === 0.85, "the own barrier");
  assert.deepEqual(newest().light.barrier_pass, {
    value: 0.85,
    sd: 0.02,
    kind: "derived",
    source: "Sleeve: measured here",
  });
  assert.equal(newest().light.barrier, undefined);
});

test("nothing went wrong inside, and nobody else was asked for anything", () => {
  assert.deepEqual(browser.faults, []);
  assert.deepEqual(browser.strangers, []);
});
