// Today and the lights with the program itself, on the demo's year of invented readings: the failing light is seen weeks
// before it falls below its limit, what is done to a light stands in its records, and a light withdrawn is told everywhere.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { crowdedWords, desktop, fitsAcross, phone, picture, startBrowser, startProgram, tooSmall, violations } from "./browser.mjs";

let program;
let browser;

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
const lamp = async (name) => (await api("/api/fleet")).lights.find((one) => one.name === name);
const button = (name) => browser.page.getByRole("button", { name, exact: true });

test("today says what the records say", async () => {
  const { page } = browser;
  const today = await api("/api/today");
  await page.goto(`${program.origin}/today`);
  await page.waitForSelector("text=Read at");
  assert.equal(await page.textContent("h1"), today.sentence);
  for (const { light, name } of today.wrong) {
    assert.equal(await page.getByRole("link", { name }).first().getAttribute("href"), `/lights/${light}`);
  }
  assert.ok(today.wrong.some((one) => one.name === "Lamp 2"));
  assert.deepEqual(await violations(page), []);
  await picture(page, "today-live-desktop");
});

test("the failing light is seen before it falls below its limit: its chart, alarms and forecast", async () => {
  const { page } = browser;
  const { id, state } = await lamp("Lamp 2");
  assert.equal(state, "watch");
  const document = await api(`/api/fleet/${id}`);
  const count = document.series.reduce((sum, one) => sum + one.points.length, 0);
  for (const [name, size] of [
    ["phone", phone],
    ["desktop", desktop],
  ]) {
    await page.setViewportSize(size);
    await page.goto(`${program.origin}/lights/${id}`);
    await page.waitForSelector("svg[role=img]");
    assert.equal(await page.textContent("h1"), document.sentence);
    const svg = page.locator("svg[role=img]");
    assert.equal(await svg.locator("circle.counts, circle.hollow").count(), count, "every raw reading is there");
    assert.ok((await svg.locator("path.alarm").count()) > 0);
    const falls = Date.parse(document.falls_below.p50);
    assert.ok(falls > Date.now() + 14 * 86_400_000, "weeks before");
    assert.match(await svg.getAttribute("aria-label"), /It falls below the limit about/);
    assert.deepEqual(await crowdedWords(page), []);
    assert.deepEqual(await tooSmall(page), []);
    assert.ok(await fitsAcross(page));
    assert.deepEqual(await violations(page), []);
    await picture(page, `fleet-live-${name}`);
  }
});

test("labels, a light's month, the month's report and a room's log open as PDFs, each of the chosen month", async () => {
  const { page } = browser;
  const printed = async (name) => {
    const link = page.getByRole("link", { name });
    assert.equal(await link.getAttribute("target"), "_blank");
    const answer = await page.request.get(`${program.origin}${await link.getAttribute("href")}`);
    assert.equal(answer.status(), 200, name);
    assert.equal((await answer.body()).subarray(0, 5).toString(), "%PDF-", name);
    return link.getAttribute("href");
  };
  await page.goto(`${program.origin}/lights`);
  await page.waitForSelector("text=Each line runs from 0");
  assert.equal(await printed("Labels for all lights (PDF)"), "/api/labels.pdf");
  const months = page.getByRole("combobox", { name: "Report: month" });
  const before = await months.locator("option").nth(1).getAttribute("value");
  await months.selectOption(before);
  assert.equal(await printed("Report (PDF)"), `/api/report.pdf?month=${before}`);
  await page.getByRole("combobox", { name: "Room" }).selectOption("Room 3");
  assert.match(await printed("Labels for the lights of Room 3 (PDF)"), /lights=\d+,\d+$/);
  await page.goto(`${program.origin}/lights/2`);
  await page.waitForSelector("svg[role=img]");
  assert.match(await printed("Its month (PDF)"), /light=2$/);
  assert.equal(await printed("Its label (PDF)"), "/api/labels.pdf?lights=2");
  await page.goto(`${program.origin}/setup/rooms`);
  await button("Room 2 Meter of the sterile room, every 7 days").click();
  assert.match(await printed("Log of its checks (PDF)"), /room-log\.pdf\?room=2&month=/);
  assert.deepEqual(await tooSmall(page), []);
  assert.deepEqual(await violations(page), []);
});

test("all of the demo's lights are drawn with their words apart", async () => {
  const { page } = browser;
  const { lights } = await api("/api/fleet");
  assert.equal(lights.length, 5);
  for (const size of [phone, desktop]) {
    await page.setViewportSize(size);
    await page.goto(`${program.origin}/lights`);
    await page.waitForSelector("text=Each line runs from 0");
    assert.equal(await page.locator("main > .rows li").count(), 5);
    assert.ok(await fitsAcross(page));
    for (const { id } of lights) {
      await page.goto(`${program.origin}/lights/${id}`);
      await page.waitForSelector("svg[role=img]");
      assert.deepEqual(await crowdedWords(page), [], `light ${id} at ${size.width}`);
    }
  }
});

test("a tip and what was done stand in the light's records", async () => {
  const { page } = browser;
  const { id } = await lamp("Lamp 3");
  await page.goto(`${program.origin}/lights/${id}`);
  await page.waitForSelector("svg[role=img]");
  await button("Note what was done").click();
  await page.getByLabel("What was done, or happened").selectOption("cleaned");
  await page.getByLabel("Note").fill("With the maker's wipes.");
  await button("Keep it in the record").click();
  await page.waitForSelector("text=It is in the record.");
  await page.locator("summary", { hasText: "What happened (1)" }).click();
  await page.waitForSelector("text=cleaned, With the maker's wipes.");
  await page.locator("summary", { hasText: "Tips (1)" }).click();
  await button("Add a tip").click();
  await page.getByLabel("Name", { exact: true }).fill("turbo");
  await page.getByLabel("Optical diameter, mm").fill("11");
  await button("Add the tip").click();
  await page.waitForSelector("text=The tip is on record.");
  assert.deepEqual((await api(`/api/fleet/${id}`)).tips.map((one) => [one.name, one.diameter_mm]), [["straight", 7.5], ["turbo", 11]]);
});

test("a light withdrawn with its reason is withdrawn everywhere, and is not returned before its good checks", async () => {
  const { page } = browser;
  const { id } = await lamp("Lamp 4");
  await page.goto(`${program.origin}/lights/${id}`);
  await page.waitForSelector("svg[role=img]");
  await button("Withdraw it").click();
  await page.getByLabel("Why is it withdrawn?").fill("Its lens is loose.");
  await button("Withdraw it").click();
  await page.waitForSelector("text=It is withdrawn, and a look-back is open.");
  await page.waitForSelector("p.state:has-text('withdrawn')");
  await button("Return it to use").click();
  await page.waitForSelector("text=Check it again.");
  assert.deepEqual(await violations(page), []);
  await page.goto(`${program.origin}/today`);
  await page.waitForSelector("text=One light is withdrawn");
  await page.waitForSelector("h2:has-text('Look-backs')");
  await page.goto(`${program.origin}/check?light=${id}`);
  await page.waitForSelector("text=Good checks count towards its return");
  browser.faults.length = 0; // the browser itself reports the 422
});

test("nothing went wrong inside, and nobody else was asked for anything", () => {
  assert.deepEqual(browser.faults, []);
  assert.deepEqual(browser.strangers, []);
});
