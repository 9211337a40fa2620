// A table of readings as a practice may have kept it, brought in with the program itself: semicolons, decimal commas,
// units in the cells, dates that can be two days, a light that nobody knows. It ends on the page of the light.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { beginPractice, change, lookAt, startBrowser, startPractice } from "./browser.mjs";

const table = [
  "Date;Lamp;Anzeige;Remarks",
  "03/04/2026 08:15;Lamp 1;1.050,5 mW/cm²;",
  '04/04/2026;S-101;1.048 mW/cm²;"after cleaning; new tip"',
  "05/04/2026;Lamp 9;990;",
  "06/04/2026;Lamp 2;n/a;battery empty",
  "",
  "07/04/2026;Lamp 2;870,5 mW/cm²;",
  " 08/04/2026 ; lamp 1 ;1.044;",
  "",
].join("\r\n");
const name = "Prüfungen der Lampen.csv";

let practice;
let browser;
let lamp;

before(async () => {
  practice = await startPractice();
  browser = await startBrowser(practice.origin, { timezoneId: "Europe/Lisbon", reducedMotion: "reduce" });
  const { page } = browser;
  await beginPractice(page, practice);
  const add = async (kind, record) => {
    const { status, body } = await change(page, "POST", `/api/records/${kind}`, record);
    assert.equal(status, 201, JSON.stringify(body));
    return body.id;
  };
  const room = await add("room", { site: 1, name: "Room 1" });
  await add("radiometer", { name: "Radiometer A", serial: "R-77" });
  for (const [called, serial] of [
    ["Lamp 1", "S-101"],
    ["Lamp 2", "S-102"],
  ]) {
    const light = await add("light", { room, name: called, serial });
    await add("tip", { light, name: "8 mm", diameter_mm: 8 });
    lamp ??= light;
  }
  browser.faults.length = 0; // the browser itself reports the 401 of a page that asked who is there
});
after(async () => {
  await browser?.stop();
  assert.equal(await practice?.stop(), 0);
});

const look = async (view) => assert.deepEqual(await lookAt(browser.page, view), []);
const button = (words) => browser.page.getByRole("button", { name: words });
const heading = (words) => browser.page.getByRole("heading", { level: 1, name: words }).waitFor();
async function upload() {
  const { page } = browser;
  await page.goto(`${practice.origin}/setup/import`);
  await page.getByLabel(/^The file: CSV/).setInputFiles({ name, mimeType: "text/csv", buffer: Buffer.from(table, "latin1") });
  await button("Look at it").click();
}

test("a messy table is asked about, looked at, and kept without the rows that cannot be read", async () => {
  const { page, faults } = browser;
  await upload();
  await heading(`6 rows of ${name}: 3 questions first.`);
  await look("import-live-questions");
  await page.getByText("Which column says it: Reading?").waitFor();
  await button("Anzeige").click();
  await page.getByText(/In which mode were the lights/).waitFor();
  await button("standard").click();
  await button("Day, month, year").click();
  await heading(`4 rows of ${name} are understood and 2 cannot be read.`);
  const first = page.locator("tbody tr").first();
  assert.match(await first.textContent(), /2026-04-03 08:15/);
  assert.match(await first.textContent(), /1,050\.5 mW\/cm²/);
  await page.getByRole("cell", { name: "after cleaning; new tip" }).waitFor();
  await page.getByText(/called "Lamp 9"/).waitFor();
  await page.getByText(/"n\/a" is no number/).waitFor();
  await look("import-live-rejected");
  await button("Leave all 2 rows out").click();
  await heading(`4 rows of ${name} are understood and 2 are left out.`);
  await button("Keep 4 rows").click();
  await heading("4 readings are kept; 2 rows were left out.");
  await page.getByRole("link", { name: "The lights" }).click();
  await page.getByRole("link", { name: /Lamp 1/ }).first().click();
  await page.waitForSelector("svg[role=img]");
  assert.equal(new URL(page.url()).pathname, `/lights/${lamp}`);
  const { series } = await (await page.request.get(`${practice.origin}/api/fleet/${lamp}`)).json();
  assert.deepEqual(
    series.flatMap((one) => one.points).map((one) => [one.at.slice(0, 16), one.shown_mw_cm2]),
    [
      ["2026-04-03T07:15", 1050.5],
      ["2026-04-04T11:00", 1048],
      ["2026-04-08T11:00", 1044],
    ],
    "by the clock of the site, in summer; noon where no time was written",
  );
  assert.equal(await page.locator("svg[role=img]").locator("circle.counts, circle.hollow").count(), 3);
  assert.deepEqual(faults, []);
});

test("lots come in with their materials; a month alone is said to be its last day", async () => {
  const { page, faults } = browser;
  await page.goto(`${practice.origin}/setup/import`);
  await page.getByRole("radio", { name: "lots of materials" }).check();
  await page.getByText("One row tells of one lot: the material").waitFor();
  const lots = "Product;Shade;Lot no.;Exp.\nUniversal paste;A2;L-1;03/2027\nUniversal paste;A2;L-2;31.12.2027\n";
  await page.getByLabel(/^The file: CSV/).setInputFiles({ name: "lots.csv", mimeType: "text/csv", buffer: Buffer.from(lots) });
  await button("Look at it").click();
  await heading("2 rows of lots.csv are understood.");
  await page.getByRole("cell", { name: "2027-03-31, the last day of that month" }).waitFor();
  await look("import-live-lots");
  await button("Keep 2 rows").click();
  await heading("2 lots of materials are kept.");
  await page.getByRole("link", { name: "The materials" }).click();
  await heading("1 material, no lot is past its date");
  await page.getByText("Universal paste, A2").first().waitFor();
  assert.deepEqual(faults, []);
});

test("the same table again brings nothing twice", async () => {
  await upload();
  await button("Anzeige").click();
  await button("standard").click();
  await button("Day, month, year").click();
  await heading(`0 rows of ${name} are understood, 4 are on record already and 2 cannot be read.`);
  await button("Leave all 2 rows out").click();
  await browser.page.getByText("There is no new row to keep.").waitFor();
  assert.deepEqual(browser.faults, []);
  assert.deepEqual(browser.strangers, []);
});
