// Recording a restoration with the program itself: one of the practice's lights is chosen as it is today, what was done goes
// on record with its case, the record is corrected without losing what stood, and its case opens again.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { lookAt, startBrowser, startProgram } from "./browser.mjs";

let program;
let browser;
// The light is followed through the tooth for real, on whatever machine this is.
const patience = { timeout: 100_000 };

before(async () => {
  program = await startProgram();
  browser = await startBrowser(program.origin, { reducedMotion: "reduce" });
  await browser.page.goto(program.link);
  await browser.page.waitForURL(`${program.origin}/`);
});
after(async () => {
  await browser?.stop();
  await program?.stop();
});

const api = async (path) => (await browser.page.request.get(`${program.origin}${path}`)).json();
const button = (name) => browser.page.getByRole("button", { name });

test("a light of the practice is planned with as it is today", async () => {
  const { page } = browser;
  const sheet = await api("/api/restoration-sheet");
  const lamp = sheet.lights.find((one) => one.name === "Lamp 3");
  await page.goto(`${program.origin}/restoration/class2-good`);
  await page.waitForSelector("#record", patience);
  await page.getByText("The case: tooth, cavity, paste, light").click();
  await page.locator("#own-light").selectOption({ label: `Lamp 3, ${lamp.room_name}: ${lamp.state}` });
  await page.getByText(/By its checks Lamp 3 gives/).waitFor();
  // The demo's light states 1000 mW/cm2 (demo/lights/demo-light.toml).
  const percent = await page.getByLabel(/output today/i).inputValue();
  assert.ok(Math.abs(Number(percent) - lamp.today.p50 / 10) < 0.1, `${percent} % of 1000 mW/cm2`);
});

test("what was done goes on record, once, with what is wrong said first", async () => {
  const { page } = browser;
  await button(/^Record it/).click();
  await page.getByText("Type the chart's number.").waitFor();
  assert.equal(await page.evaluate(() => document.activeElement?.id), "record-chart");
  await page.locator("#record-chart").fill("INV-77");
  await page.locator("#record-lot").fill("L-310");
  assert.equal(await page.locator("#record-surfaces").inputValue(), "DO");
  assert.deepEqual(await lookAt(page, "record"), []);
  const newest = async () => (await api("/api/records/restoration?limit=1&descending=true")).records[0];
  const before = await newest();
  await button(/^Record it/).click();
  const told = page.getByText(/Recorded: tooth \d\d, DO\./);
  await told.waitFor(patience);
  const { id, record } = await newest();
  assert.equal(id, before.id + 1);
  assert.equal(record.chart, "INV-77");
  assert.equal(record.material, "Universal paste, A3");
  const kept = JSON.parse(record.resolved_case);
  assert.equal(kept.version, 1);
  assert.ok(kept.document.light.output_share.sd > 0);
  assert.match(kept.document.light.output_share.source, /checks of Lamp 3/);
});

test("its record is corrected, and keeps what stood there", async () => {
  const { page } = browser;
  await page.getByRole("link", { name: "Open the record" }).click();
  await page.waitForURL(/\/restoration\/made\/\d+$/);
  await page.waitForSelector("dl");
  assert.match(await page.textContent("h1"), /^Tooth \d\d, DO: the chance that it cures through, as done, was/);
  assert.ok(!page.url().includes("INV"), "no chart number in an address");
  await button("Correct what was typed").click();
  await page.getByLabel("Chart number", { exact: true }).fill("INV-78");
  const lamp = page.getByLabel("Light", { exact: true });
  assert.match(await lamp.locator("option:checked").textContent(), /^Lamp 3, /);
  await lamp.selectOption({ label: "Lamp 2, Room 2" });
  await button("Save the correction").click();
  await page.getByText("It was corrected.").waitFor();
  await page.getByText("Corrected once").click();
  await page.getByText(/chart INV-77[^]*with Lamp 3, /).waitFor();
  await page.getByText("Lamp 2, Room 2, straight", { exact: true }).waitFor();
  assert.deepEqual(await lookAt(page, "made"), []);
  await page.goto(`${program.origin}/restoration`);
  await page.getByRole("link", { name: /chart INV-78/ }).waitFor();
  assert.deepEqual(await lookAt(page, "restorations"), []);
});

test("it is found by its chart number, which stands in no address", async () => {
  const { page } = browser;
  const asked = [];
  page.on("request", (request) => asked.push(request.url()));
  const chart = page.getByLabel("Chart number", { exact: true });
  await button("Find").click();
  await page.getByText("Type the chart's number.").waitFor();
  browser.faults.length = 0; // the browser itself reports the 422
  await chart.fill("INV-77");
  await button("Find").click();
  await page.getByText("No restoration of chart INV-77 is on record here.").waitFor();
  await chart.fill(" INV-78 ");
  await page.getByText("Of one tooth, of some time").click();
  await page.getByLabel(/^From/).fill("2020-01-01");
  await button("Find").click();
  await page.getByText("One restoration of chart INV-78 is on record.").waitFor();
  assert.deepEqual(await lookAt(page, "found"), []);
  assert.ok(asked.length > 0);
  for (const url of [...asked, page.url()]) assert.ok(!url.includes("INV-7"), url);
});

test("the case that was kept opens again", async () => {
  const { page } = browser;
  await page.getByRole("link", { name: /chart INV-78/ }).click();
  await page.getByRole("link", { name: "Open its case" }).click();
  await page.waitForSelector("#record", patience);
  assert.match(await page.locator("p.small.quiet").first().textContent(), /as recorded on/);
});

test("nothing went wrong on the way", () => {
  assert.deepEqual(browser.faults, []);
  assert.deepEqual(browser.strangers, []);
});
