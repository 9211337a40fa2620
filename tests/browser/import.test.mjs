// Bringing records in from a table, against the import's contract: what it asks, what it understood, rows that cannot be
// read, keeping it once.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { lookAt, startBrowser, startProgram } from "./browser.mjs";
import { mockImports } from "./import_mock.mjs";

let program;
let browser;
let imports;

before(async () => {
  program = await startProgram();
  browser = await startBrowser(program.origin);
  await browser.page.goto(program.link);
  await browser.page.waitForURL(`${program.origin}/`);
  imports = await mockImports(browser.page);
});
after(async () => {
  await browser?.stop();
  assert.equal(await program?.stop(), 0);
});

const look = async (name) => assert.deepEqual(await lookAt(browser.page, name), []);
const button = (name) => browser.page.getByRole("button", { name });
const heading = (words) => browser.page.getByRole("heading", { level: 1, name: words }).waitFor();
const open = () => browser.page.goto(`${program.origin}/setup/import`);
const choose = (name) =>
  browser.page.getByLabel(/^The file: CSV/).setInputFiles({ name, mimeType: "text/csv", buffer: Buffer.from("Gerät;Datum\n") });

test("it is a part of setting up, and says what a file is to hold", async () => {
  const { page } = browser;
  await page.goto(`${program.origin}/setup`);
  await page.getByRole("link", { name: /^Bring records in/ }).click();
  await heading("Records from a table that you have");
  await page.getByText("One row tells of one reading: which light").waitFor();
  await page.getByRole("radio", { name: "lights" }).check();
  await page.getByText("One row tells of one light: its name").waitFor();
  await button("Look at it").click();
  await page.getByText("Choose the file first.").waitFor();
  assert.equal(await page.evaluate(() => document.activeElement?.getAttribute("type")), "file");
  await look("import-begin");
  await choose("list.xlsx");
  await button("Look at it").click();
  await page.getByText("The file is no table. Save it as CSV.").waitFor();
  browser.faults.length = 0; // the browser itself reports the 422
});

test("what it cannot know is asked first, and the answers go where they belong", async () => {
  const { page } = browser;
  await open();
  await choose("Prüfungen 2026.csv");
  await button("Look at it").click();
  await heading("8 rows of Prüfungen 2026.csv: 2 questions first.");
  assert.equal(await page.evaluate(() => document.activeElement?.tagName), "H1");
  assert.equal(imports.sent.at(-1).name, "Prüfungen 2026.csv");
  assert.equal(await button(/^Keep/).count(), 0);
  await page.getByText("Answer the questions first.").waitFor();
  await look("import-questions");
  await button("4 March: the month first").click();
  await page.getByText("On which radiometer were they read?").waitFor();
  await heading("8 rows of Prüfungen 2026.csv: one question first.");
  assert.equal(imports.sent.at(-1).body.date_order, "mdy");
  assert.equal(await page.evaluate(() => document.activeElement?.tagName), "H1", "what is left is told anew");
  await button("Radiometer B").focus();
  await page.keyboard.press("Enter");
  await heading("5 rows of Prüfungen 2026.csv are understood, 1 is on record already and 2 cannot be read.");
  assert.equal(imports.sent.at(-1).body.constants.radiometer, "2");
  assert.equal(await page.locator("tbody tr").first().textContent().then((words) => words.includes("2026-03-04")), true);
  await page.getByText("1 row is on record already and is passed over.").waitFor();
});

test("which column holds what is said otherwise, by keys alone", async () => {
  const { page } = browser;
  const taken = page.getByLabel("How its dates are written");
  assert.equal(await taken.inputValue(), "mdy");
  await taken.focus();
  await taken.selectOption("dmy");
  await page.getByText("2026-04-03").waitFor();
  assert.ok(!(await page.getByLabel("Mode (optional)").isVisible()), "what nothing tells is folded");
  await page.getByText("What else a reading may hold").click();
  assert.ok(await page.getByLabel("Mode (optional)").isVisible());
  const note = page.getByLabel("Note (optional)", { exact: true });
  assert.equal(await note.inputValue(), "column 3");
  await note.selectOption("typed");
  const typed = page.getByLabel("Note of every row");
  await typed.fill("from the old list");
  await page.keyboard.press("Enter");
  await page.getByRole("cell", { name: "from the old list" }).first().waitFor();
  assert.deepEqual(
    [imports.sent.at(-1).body.columns.note, imports.sent.at(-1).body.constants.note],
    [null, "from the old list"],
  );
  await note.selectOption("column 3");
  await page.getByRole("cell", { name: "after cleaning" }).waitFor();
  assert.equal(imports.sent.at(-1).body.constants.note, null);
  await look("import-mapping");
});

test("rows that cannot be read say why, and are left out one by one or together", async () => {
  const { page } = browser;
  await page.getByText("Light: “Lamp X”. No light of this name is on record. Add the light first").waitFor();
  await page.getByText("Shown: “n/a”. It is no number.").waitFor();
  await page.getByText("2 rows cannot be read: mend them in the file, or leave them out.").waitFor();
  await look("import-rejected");
  await button("Leave it out (row 4)").click();
  await page.getByText("1 row is left out.").waitFor();
  await page.waitForFunction(() => document.activeElement?.textContent === "Leave it out (row 5)");
  await button("Take it in again").click();
  await button("Leave all 2 rows out").click();
  await heading("5 rows of Prüfungen 2026.csv are understood, 1 is on record already and 2 are left out.");
  assert.deepEqual(imports.sent.at(-1).body.leave_out, [4, 5]);
  await look("import-ready");
});

test("it is kept once, whatever becomes of the answer", async () => {
  const { page } = browser;
  imports.dropNext = true;
  await button("Keep 5 rows").click();
  await page.getByText("The program does not answer.").waitFor();
  browser.faults.length = 0; // the browser itself reports what it could not fetch
  await button("Keep 5 rows").click();
  await heading("5 readings are kept; 1 was on record already; 2 rows were left out.");
  const keys = imports.sent.filter((one) => one.act === "keep").map((one) => one.key);
  assert.equal(keys.length, 2);
  assert.equal(new Set(keys).size, 1);
  assert.equal(await page.evaluate(() => document.activeElement?.tagName), "H1");
  await page.getByRole("heading", { level: 2, name: "Check before use" }).waitFor();
  await page.getByText("Its newest reading, of 8 April 2026, is 490 mW/cm², and").waitFor();
  assert.equal(await page.getByRole("link", { name: "Lamp 2" }).getAttribute("href"), "/lights/2");
  await look("import-kept");
  await button("Bring in another file").click();
  await heading("Records from a table that you have");
});

test("a file that the program has forgotten is chosen again; one that is left is forgotten", async () => {
  const { page } = browser;
  await choose("a.csv");
  await button("Look at it").click();
  await heading(/^8 rows of a\.csv/);
  imports.gone = true;
  await button("4 March: the month first").click();
  await page.getByText("Choose the file again.").waitFor();
  await heading("Records from a table that you have");
  browser.faults.length = 0; // the browser itself reports the 404
  await choose("b.csv");
  await button("Look at it").click();
  await heading(/^8 rows of b\.csv/);
  await button("Choose another file").click();
  await heading("Records from a table that you have");
  await page.waitForFunction(() => true);
  assert.equal(imports.sent.at(-1).act, "delete");
});

test("nothing went wrong inside, and nobody else was asked for anything", () => {
  assert.deepEqual(browser.faults, []);
  assert.deepEqual(browser.strangers, []);
});
