// The practice's lights: the list, a light's page with its chart over time, what may be done by whom, papers, tips. The
// answers come from a failing light known in closed form.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, before, beforeEach, test } from "node:test";
import { crowdedWords, desktop, fitsAcross, phone, picture, startBrowser, startProgram, tooSmall, violations } from "./browser.mjs";
import { failingLight, keptOf, mockFleet, mockRecords, newLight, sessionOf } from "./records_mock.mjs";

let program;
let browser;
let records;
let fleet;

before(async () => {
  program = await startProgram();
  browser = await startBrowser(program.origin, { acceptDownloads: true, reducedMotion: "reduce" });
  await browser.page.goto(program.link);
  await browser.page.waitForURL(`${program.origin}/`);
  records = await mockRecords(browser.page);
  fleet = await mockFleet(browser.page);
});
after(async () => {
  await browser?.stop();
  await program?.stop();
});
beforeEach(async () => {
  if (!program) return;
  await browser.page.setViewportSize(desktop);
  records.session = sessionOf("L. Lead", 3, "lead");
  Object.assign(fleet, { acts: [], light: failingLight(), refuse: null, newLight: newLight(), corrected: undefined });
  fleet.kept = keptOf(fleet.light);
});

async function open(id = 2) {
  await browser.page.goto(`${program.origin}/lights/${id}`);
  await browser.page.waitForSelector("text=What to do");
}
const button = (name) => browser.page.getByRole("button", { name, exact: true });

test("the list has what needs somebody first, and the bench below under its own heading", async () => {
  const { page } = browser;
  await page.goto(`${program.origin}/lights`);
  await page.waitForSelector("text=6 lights: 3 in use, 1 to watch, 1 not accepted, 1 withdrawn; 2 checks are overdue");
  const rows = page.locator("main > .rows li");
  const names = await rows.locator(".name").allTextContents();
  assert.deepEqual(names, ["Light 2", "Light 4", "Light 1", "Light 3", "Light 5", "Light 6"]);
  assert.match(await rows.first().textContent(), /watch.*730\s?mW\/cm².*686 to 774.*3 days overdue.*below the limit about/s);
  await page.waitForSelector("h2:has-text('On the bench')");
  await page.getByRole("combobox", { name: "Room" }).selectOption("Room 1");
  assert.deepEqual(await rows.locator(".name").allTextContents(), ["Light 2", "Light 1", "Light 3"]);
  await page.getByRole("link", { name: /Light 2/ }).click();
  await page.waitForURL(`${program.origin}/lights/2`);
  await page.waitForSelector("svg[role=img]");
  assert.equal(await page.textContent("h1"), fleet.light.sentence);
  assert.equal(await page.evaluate(() => document.activeElement?.tagName), "H1");
  assert.equal(await page.title(), "Light 2 · throughcure");
});

test("the chart has every reading, hollow where it does not count, limits with their source, and the days to come", async () => {
  const { page } = browser;
  await open();
  const svg = page.locator("svg[role=img]");
  assert.match(await svg.getAttribute("aria-label"), /as Radiometer A shows it: 66 readings, 61 of them count.*limit 500.*Today about 648.*below the limit about/s);
  assert.equal(await svg.locator("circle.counts").count(), 61);
  assert.equal(await svg.locator("circle.hollow").count(), 5);
  assert.equal(await svg.locator("path.alarm").count(), 1);
  assert.equal(await svg.locator("line.event").count(), 2);
  const words = await svg.locator("text").allTextContents();
  for (const word of ["limit 500", "claim, here 1,091", "baseline 1,000", "chart, lower", "today"]) assert.ok(words.includes(word), word);
  // The limit lies where the axis says 500 is; the middle of the forecast crosses it where the mark stands.
  const geometry = await svg.evaluate((one) => {
    const y = (selector) => Number([...one.querySelectorAll(selector)].at(-1).getAttribute("y1"));
    const marks = [...one.querySelectorAll("text.end")].map((text) => [text.textContent, Number(text.getAttribute("y")) - 4]);
    const today = Number(one.querySelector("line.today").getAttribute("x1"));
    const crossing = one.querySelectorAll("circle.dot")[0];
    const path = one.querySelector("path.coming").getAttribute("d").slice(1).split("L").map((p) => p.split(" ").map(Number));
    return { limit: y("line.limit"), marks, today, cx: Number(crossing.getAttribute("cx")), cy: Number(crossing.getAttribute("cy")), path };
  });
  assert.ok(Math.abs(geometry.limit - geometry.marks.find(([words]) => words === "500")[1]) < 0.5);
  assert.ok(geometry.cx > geometry.today, "it is still to come");
  const [before, after] = geometry.path.flatMap((p, i) => (i > 0 && p[0] >= geometry.cx && geometry.path[i - 1][0] < geometry.cx ? [geometry.path[i - 1], p] : []));
  const at = before[1] + ((after[1] - before[1]) * (geometry.cx - before[0])) / (after[0] - before[0]);
  assert.ok(Math.abs(at - geometry.cy) < 1.5, `the middle is at ${at} where the mark is at ${geometry.cy}`);

  const box = await svg.boundingBox();
  const hollow = await svg.locator("circle.hollow").first().evaluate((one) => [Number(one.getAttribute("cx")), Number(one.getAttribute("cy"))]);
  await page.mouse.move(box.x + hollow[0], box.y + hollow[1]);
  await page.waitForSelector("text=does not count: the barrier was on");
  await page.mouse.move(box.x + 300, box.y + geometry.limit + 1);
  await page.waitForSelector("text=limit 500: under it a check fails, as Radiometer A shows it: the practice's lower limit");
  // A dot of the other radiometer lies where this one would have shown it: beside the claim's 1,091, not at its own 1,180.
  const small = await svg.locator('circle[r="2.4"]').first().evaluate((one) => [Number(one.getAttribute("cx")), Number(one.getAttribute("cy"))]);
  const thousand = geometry.marks.find(([words]) => words === "1,000")[1];
  assert.ok(Math.abs(small[1] - thousand) < 8, `${small[1]} beside ${thousand}`);
  await page.mouse.move(box.x + small[0], box.y + small[1]);
  await page.waitForSelector("text=on Radiometer B, 8 mm tip");
  await page.waitForSelector("text=drawn at 1,000, as Radiometer A shows it");
});

test("its numbers say on which scale each stands", async () => {
  const { page } = browser;
  await open();
  await page.locator("summary", { hasText: "Numbers" }).click();
  const row = async (name) => (await page.getByRole("row", { name }).locator("th, td").allTextContents()).join(" ").replace(/\s+/g, " ").trim();
  assert.equal(await row(/^Gives today/), "Gives today 730 mW/cm² 683 to 781, radiant exitance as estimated");
  assert.equal(await row(/^Limit of its checks/), "Limit of its checks 500 mW/cm² as Radiometer A shows it: the practice's lower limit");
  assert.equal(await row(/^First readings/), "First readings 92 % of the maker's claim 68 to 124 %, 8 times in 10");
});

test("it can be kept as SVG and as CSV", async () => {
  const { page } = browser;
  await open();
  const kept = async (name) => {
    const download = page.waitForEvent("download");
    await page.getByRole("button", { name }).click();
    const file = await download;
    return { name: file.suggestedFilename(), text: await readFile(await file.path(), "utf8") };
  };
  const svg = await kept("Save as SVG: Output over time");
  assert.equal(svg.name, "light-2-output-over-time.svg");
  assert.doesNotMatch(svg.text, /class=|var\(/);
  const csv = await kept("Save as CSV: Output over time");
  assert.equal(csv.text.split("\r\n").length, 1 + 66 + 76 + 2 + 1);
  assert.match(csv.text, /reading,[^\r]*,no,the barrier was on,[^\r]*\r\n/);
});

test("one may do what the role may, and no more", async () => {
  const { page } = browser;
  const acts = async () => page.locator("section .acts > :is(a, button)").allTextContents();
  for (const [role, expected] of [
    ["viewer", []],
    ["assistant", ["Take a check", "Note what was done"]],
    ["clinician", ["Take a check", "Note what was done", "Withdraw it"]],
  ]) {
    records.session = sessionOf("P. Person", 4, role);
    await open();
    if (role !== "viewer") await page.waitForSelector("section .acts > *");
    assert.deepEqual((await acts()).map((one) => one.trim()), expected, role);
  }
});

test("withdrawing wants a reason, and says what follows from it", async () => {
  const { page } = browser;
  await open();
  await button("Withdraw it").click();
  await page.waitForSelector("text=Why is it withdrawn?");
  assert.equal(await page.evaluate(() => document.activeElement?.tagName), "TEXTAREA");
  assert.match(await page.textContent("main"), /A look-back opens over every restoration since its last good check/);
  assert.deepEqual(await violations(page), []);
  await button("Withdraw it").click();
  await page.waitForSelector("text=Say why: it stays in the record");
  assert.deepEqual(fleet.acts, []);
  await page.keyboard.type("Its lens is loose.");
  await picture(page, "fleet-withdraw-desktop");
  await button("Withdraw it").click();
  await page.waitForSelector("text=It is withdrawn, and a look-back is open.");
  const doubted = page.getByRole("link", { name: "See which restorations are in doubt" });
  assert.equal(await doubted.getAttribute("href"), "/look-back/7");
  assert.deepEqual(await tooSmall(page), []);
  assert.equal(fleet.acts[0].path, "/api/fleet/2/withdraw");
  assert.deepEqual(fleet.acts[0].body, { because: "Its lens is loose." });
  assert.match(fleet.acts[0].key, /^[A-Za-z0-9_-]{16,64}$/);
});

test("a light that is not accepted says what is missing; what the server refuses is shown with its remedy", async () => {
  const { page } = browser;
  await open(5);
  assert.match(await page.textContent("main"), /Its national approval is not on file/);
  assert.match(await page.textContent("main"), /No reading is on record yet/);
  const problem = { field: "approval_number", what: "No national approval is on file.", remedy: "Attach its certificate." };
  fleet.refuse = { status: 422, json: { sentence: "Light 5 cannot be accepted yet.", problems: [problem] } };
  await button("Accept it for use").click();
  await page.waitForSelector("text=No national approval is on file. Attach its certificate.");
  await picture(page, "fleet-not-accepted-desktop");
  fleet.refuse = null;
  await button("Accept it for use").click();
  await page.waitForSelector("text=Light 5 is accepted.");
  assert.deepEqual(fleet.acts.map((one) => one.path), ["/api/fleet/5/accept", "/api/fleet/5/accept"]);
  assert.notEqual(fleet.acts[0].key, fleet.acts[1].key, "what was refused was not done");
  browser.faults.length = 0; // the browser itself reports the 422
});

test("papers and tips are added, and what was done is noted", async () => {
  const { page } = browser;
  await open();
  await page.locator("summary", { hasText: "Papers (1)" }).click();
  const facts = await page.locator("dl > div").allTextContents();
  assert.match(facts.join("; "), /National approval\s*N-5, An authority.*Portugal.*ran out on.*lithium-ion/s);
  assert.equal(await page.getByRole("link", { name: "Approval of Light 2.pdf" }).getAttribute("href"), "/api/attachments/5");
  await page.getByRole("combobox", { name: "Add a paper about" }).selectOption("certificate");
  await page.locator("input[type=file]").setInputFiles({ name: "Prüfung Nr. 1.pdf", mimeType: "application/pdf", buffer: Buffer.from("%PDF-1.7 ") });
  await page.waitForSelector("text=Prüfung Nr. 1.pdf is on file.");
  const { key, ...sent } = fleet.acts[0];
  assert.match(key, /^[0-9a-f]{32}$/);
  assert.deepEqual(sent, {
    path: "/api/attachments?belongs_to=light&record=2&about=certificate",
    name: "Pr%C3%BCfung%20Nr.%201.pdf",
    body: 9,
  });
  await page.locator("summary", { hasText: "Tips (1)" }).click();
  await button("Add a tip").click();
  await page.getByLabel("Name", { exact: true }).fill("Turbo, 11 mm");
  await page.getByLabel("Optical diameter, mm").fill("11");
  await button("Add the tip").click();
  await page.waitForSelector("text=The tip is on record. Its first reading begins a baseline.");
  assert.deepEqual(fleet.acts[1].body, { light: 2, name: "Turbo, 11 mm", diameter_mm: 11 });
  await button("Note what was done").click();
  await page.getByLabel("What was done, or happened").selectOption("battery_replaced");
  await button("Keep it in the record").click();
  await page.waitForSelector("text=It is in the record.");
  const { at, ...rest } = fleet.acts[2].body;
  assert.deepEqual(rest, { light: 2, told_by: 3, what: "battery_replaced", note: null });
  assert.ok(Math.abs(Date.parse(at) - Date.now()) < 5000);
});

test("a reading that was mistyped is corrected, with what stood before and who changed it", async () => {
  const { page } = browser;
  fleet.corrected = (_kind, id, record) => {
    const point = fleet.light.series[1].points.find((one) => one.reading === id);
    Object.assign(point, { shown_mw_cm2: record.shown_mw_cm2, share: record.shown_mw_cm2 / 1000, revision: point.revision + 1 });
  };
  await open();
  await page.locator("summary", { hasText: "Readings (66)" }).click();
  await page.waitForSelector("text=Radiometer A shows 0.85 of what Radiometer B shows, 0.82 to 0.88, from 5 pairs.");
  const last = page.getByRole("group", { name: "Readings" }).locator("tbody tr").first();
  assert.match(await last.textContent(), /arrived \d+ \w+ \d{4}, \d\d:\d\d/, "it waited on a phone");
  await last.getByRole("button", { name: /^Correct it ?: the reading of/ }).click();
  const showed = page.getByLabel("It showed, mW/cm²");
  await showed.waitFor();
  assert.equal(await page.evaluate(() => document.activeElement?.tagName), "INPUT");
  assert.equal(await showed.inputValue(), String(fleet.light.series[1].points[51].shown_mw_cm2));
  assert.deepEqual(await page.getByLabel("Radiometer", { exact: true }).locator("option").allTextContents(), ["Radiometer A", "Radiometer B"]);
  assert.deepEqual(await violations(page), []);
  assert.deepEqual(await tooSmall(page), []);
  assert.ok(await fitsAcross(page));
  await picture(page, "fleet-reading-desktop");

  // What the server refuses stands at its field.
  const problem = { field: "shown_mw_cm2", what: "99999 is not between 0 and 20000", remedy: "Give a number between them" };
  fleet.refuse = { status: 422, json: { sentence: "reading: shown_mw_cm2: 99999", problems: [problem] } };
  await showed.fill("99999");
  await button("Keep the correction").click();
  await page.waitForSelector("[aria-invalid]");
  assert.equal(
    await showed.evaluate((one) => document.getElementById(one.getAttribute("aria-describedby"))?.textContent),
    "99999 is not between 0 and 20000. Give a number between them.",
  );
  fleet.refuse = null;

  // Somebody else corrects the same one meanwhile.
  const kept = fleet.kept.get("reading/151");
  const theirs = { ...kept.at(-1).record, tip_clean: false };
  kept.push({ ...kept.at(-1), revision: 2, name: "B. Other", record: theirs });
  await showed.fill("712,5");
  await page.getByLabel("Battery, %").fill("80");
  await page.getByLabel("A barrier was on").check();
  await page.getByLabel("Which barrier").selectOption("1");
  await page.getByLabel("Note").last().fill("one digit was missing");
  await button("Keep the correction").click();
  await page.waitForSelector("text=Somebody else changed this while you typed.");
  await page.waitForSelector("text=Taken over: yes became no.");
  assert.equal(await showed.inputValue(), "712,5");
  fleet.acts.length = 0;
  await button("Keep the correction").click();
  await page.waitForSelector("text=The reading is corrected. What stood there before stays on record.");
  assert.match(fleet.acts[0].path, /^\/api\/records\/reading\/151\?revision=2$/);
  assert.deepEqual(fleet.acts[0].body, {
    ...theirs,
    shown_mw_cm2: 712.5,
    battery: 0.8,
    barrier_on: true,
    barrier: 1,
    note: "one digit was missing",
  });
  assert.match(await last.textContent(), /712\.5.*corrected/s);
  browser.faults.length = 0; // the browser itself reports the 422 and the 409

  // Who may not correct it reads who did.
  records.session = sessionOf("V. Viewer", 9, "viewer");
  await open();
  await page.locator("summary", { hasText: "Readings (66)" }).click();
  assert.equal(await page.getByRole("button", { name: /^Correct it/ }).count(), 0);
  await page.getByRole("button", { name: /^Who changed it/ }).click();
  await page.getByText("Who changed what, when").click();
  await page.waitForSelector("text=The tip was clean: yes became no");
  await page.waitForSelector("text=/, B\\. Other$/");
  assert.equal(await button("Keep the correction").count(), 0);
});

test("what was done is placed at its own time, with the room that a light was lent to", async () => {
  const { page } = browser;
  await open();
  await button("Note what was done").click();
  const deed = page.getByLabel("What was done, or happened");
  await deed.selectOption("lent");
  assert.equal(await page.getByLabel("When it was done").isVisible(), false, "it is now until one says otherwise");
  await page.getByLabel("Lent to").selectOption({ label: "Room 2, upstairs" });
  await page.getByText("Not now", { exact: true }).click();
  const when = page.getByLabel("When it was done");
  assert.match(await when.inputValue(), /^\d{4}-\d\d-\d\dT\d\d:\d\d$/);
  assert.deepEqual(await violations(page), []);
  assert.deepEqual(await tooSmall(page), []);
  await picture(page, "fleet-note-desktop");
  await when.fill("2026-03-04T08:30");
  await button("Keep it in the record").click();
  await page.waitForSelector("text=It is in the record.");
  const at = new Date(2026, 2, 4, 8, 30).toISOString();
  assert.deepEqual(fleet.acts[0].body, { light: 2, at, told_by: 3, what: "lent", room: 2, note: null });

  // Folded again it is now; a room is not kept with what moved nowhere; a time that is refused is said at its field.
  await button("Note what was done").click();
  await page.getByText("Not now", { exact: true }).click();
  await when.fill("2030-01-01T00:00");
  const problem = { field: "at", what: "it lies more than a day ahead", remedy: "Give the time at which it was done, once it is" };
  fleet.refuse = { status: 422, json: { sentence: "servicing: at", problems: [problem] } };
  await button("Keep it in the record").click();
  await page.waitForSelector("text=It lies more than a day ahead. Give the time at which it was done, once it is.");
  assert.equal(await when.getAttribute("aria-invalid"), "true");
  fleet.refuse = null;
  await page.getByText("Not now", { exact: true }).click();
  await deed.selectOption("lent");
  await page.getByLabel("Lent to").selectOption("1");
  await deed.selectOption("repaired");
  await button("Keep it in the record").click();
  await page.waitForSelector("text=It is in the record.");
  const { at: now, ...rest } = fleet.acts.at(-1).body;
  assert.deepEqual(rest, { light: 2, told_by: 3, what: "repaired", note: null });
  assert.ok(Math.abs(Date.parse(now) - Date.now()) < 5000);
  browser.faults.length = 0; // the browser itself reports the 422
});

test("what was noted wrongly is corrected", async () => {
  const { page } = browser;
  await open();
  await page.locator("summary", { hasText: "What happened (2)" }).click();
  await page.getByRole("button", { name: /^Correct it ?: dropped, from the tray/ }).click();
  await page.getByLabel("When", { exact: true }).waitFor();
  await page.getByLabel("When", { exact: true }).fill("2026-02-03T09:15");
  await page.getByLabel("What was done, or happened").selectOption("returned");
  await page.getByLabel(/^Room that it was lent to/).selectOption("2");
  await page.getByLabel(/^Note/).last().fill("");
  assert.deepEqual(await violations(page), []);
  assert.deepEqual(await tooSmall(page), []);
  await button("Keep the correction").click();
  await page.waitForSelector("text=It is corrected. What stood there before stays on record.");
  assert.equal(fleet.acts[0].path, "/api/records/servicing/2?revision=1");
  assert.deepEqual(fleet.acts[0].body, {
    light: 2,
    at: new Date(2026, 1, 3, 9, 15).toISOString(),
    told_by: 1,
    what: "returned",
    room: 2,
    note: null,
  });
  records.session = sessionOf("A. Assistant", 1, "assistant");
  await open();
  await page.locator("summary", { hasText: "What happened (2)" }).click();
  assert.equal(await page.getByRole("button", { name: /^Correct it/ }).count(), 0);
});

test("a tip is corrected by the lead, and others read who did", async () => {
  const { page } = browser;
  fleet.corrected = (_kind, id, { name, diameter_mm }) => {
    fleet.light = { ...fleet.light, tips: [{ id, revision: 2, name, diameter_mm }] };
  };
  await open();
  await page.locator("summary", { hasText: "Tips (1)" }).click();
  await page.getByRole("button", { name: /^Correct it ?: 8 mm tip$/ }).click();
  const diameter = page.getByLabel("Optical diameter, mm");
  await diameter.waitFor();
  assert.equal(await diameter.inputValue(), "8");
  assert.equal(await page.evaluate(() => document.activeElement?.tagName), "INPUT");
  await diameter.fill("7,5");
  assert.deepEqual(await violations(page), []);
  assert.deepEqual(await tooSmall(page), []);
  await button("Keep the correction").click();
  await page.waitForSelector("text=The tip is corrected. What stood there before stays on record.");
  assert.equal(fleet.acts[0].path, "/api/records/tip/12?revision=1");
  assert.deepEqual(fleet.acts[0].body, { light: 2, name: "8 mm tip", diameter_mm: 7.5 });
  await page.waitForSelector("text=/8 mm tip, 7.5.mm/");
  records.session = sessionOf("C. Dentist", 4, "clinician");
  await open();
  await page.locator("summary", { hasText: "Tips (1)" }).click();
  assert.equal(await page.getByRole("button", { name: /^Correct it ?: 8 mm tip$/ }).count(), 0);
  await page.getByRole("button", { name: /^Who changed it ?: 8 mm tip$/ }).click();
  await page.getByText("Who changed what, when").click();
  await page.waitForSelector("text=/Optical diameter: 8.mm became 7.5.mm/");
});

test("what is wrong with a paper or a tip stands at its field, with its remedy", async () => {
  const { page } = browser;
  await open();
  const refuses = (field, what, remedy) => {
    fleet.refuse = { status: 422, json: { sentence: `${field}: ${what}. ${remedy}.`, problems: [{ field, what, remedy }] } };
  };
  await page.locator("summary", { hasText: "Papers (1)" }).click();
  const file = page.getByLabel(/^The paper/);
  const described = (field) => field.evaluate((one) => document.getElementById(one.getAttribute("aria-describedby"))?.textContent);
  refuses("bytes", "this file is no PDF, PNG or JPEG", "Save or scan it as one of these three, and attach that");
  await file.setInputFiles({ name: "approval.pdf", mimeType: "application/pdf", buffer: Buffer.from("PK") });
  await page.waitForSelector("text=approval.pdf is not on file.");
  assert.equal(await described(file), "This file is no PDF, PNG or JPEG. Save or scan it as one of these three, and attach that.");
  assert.equal(await page.getByText("This file is no PDF").count(), 1, "it is said once");
  assert.equal(await file.inputValue(), "", "mended under its name, it can be chosen again");
  assert.deepEqual(await violations(page), []);
  refuses("about", "“approval” is not what a file shows", "Choose what it shows");
  await file.setInputFiles({ name: "approval.pdf", mimeType: "application/pdf", buffer: Buffer.from("%PDF-1.7 ") });
  const about = page.getByRole("combobox", { name: "Add a paper about" });
  await page.waitForSelector("select[aria-invalid]");
  assert.equal(await described(about), "“approval” is not what a file shows. Choose what it shows.");
  assert.equal(await file.getAttribute("aria-invalid"), null);
  fleet.refuse = null;
  await file.setInputFiles({ name: "approval.pdf", mimeType: "application/pdf", buffer: Buffer.from("%PDF-1.7 ") });
  await page.waitForSelector("text=approval.pdf is on file.");
  assert.equal(await about.getAttribute("aria-invalid"), null);

  await page.locator("summary", { hasText: "Tips (1)" }).click();
  await button("Add a tip").click();
  await page.getByLabel("Name", { exact: true }).fill("Turbo");
  await page.getByLabel("Optical diameter, mm").fill("110");
  refuses("diameter_mm", "110 is not between 1 and 30", "Give a number between them");
  await button("Add the tip").click();
  await page.waitForSelector("text=110 is not between 1 and 30. Give a number between them.");
  assert.equal(await described(page.getByLabel("Optical diameter, mm")), "110 is not between 1 and 30. Give a number between them.");
  browser.faults.length = 0; // the browser itself reports the 422
});

test("a lead who came in by PIN reads what asks for the password, and is not led to a refusal", async () => {
  const { page } = browser;
  records.session = { ...sessionOf("L. Lead", 3, "lead"), by_pin: true };
  await open(5);
  await page.waitForSelector("text=You came in by PIN. What only the lead may do asks for your password:");
  const link = page.getByRole("link", { name: "sign in with it" });
  assert.equal(await link.getAttribute("href"), "/sign-in?to=%2Flights%2F5");
  assert.equal(await button("Accept it for use").count(), 0);
  assert.ok(await button("Note what was done").isVisible());
  records.session = sessionOf("L. Lead", 3, "lead");
  await open(5);
  await page.waitForSelector("text=Accept it for use");
  assert.equal(await page.getByText("You came in by PIN").count(), 0);
});

test("a light that is not on record is said in a sentence", async () => {
  const { page } = browser;
  await page.goto(`${program.origin}/lights/99`);
  await page.waitForSelector("text=This light is not on record.");
  browser.faults.length = 0; // the browser itself reports the 404
});

for (const [name, size] of [
  ["phone", phone],
  ["desktop", desktop],
]) {
  for (const colorScheme of ["light", "dark"]) {
    test(`on a ${name}, in ${colorScheme}, list and page fit, and axe finds nothing`, async () => {
      const { page } = browser;
      await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
      await page.setViewportSize(size);
      for (const [view, path] of [["list", "/lights"], ["page", "/lights/2"]]) {
        await page.goto(`${program.origin}${path}`);
        await page.waitForSelector(view === "list" ? "text=On the bench" : "svg[role=img]");
        assert.ok(await fitsAcross(page), view);
        assert.deepEqual(await tooSmall(page), [], view);
        await picture(page, `fleet-${view}-${name}-${colorScheme}`);
        if (view === "page") {
          assert.deepEqual(await crowdedWords(page), []);
          for (const one of await page.locator("summary").all()) await one.click();
        }
        assert.deepEqual(await violations(page), [], view);
        assert.ok(await fitsAcross(page), `${view}, unfolded`);
        assert.deepEqual(await tooSmall(page), [], `${view}, unfolded`);
        if (view === "page") await picture(page, `fleet-unfolded-${name}-${colorScheme}`);
      }
      await page.emulateMedia({ colorScheme: "light" });
    });
  }
}

test("on paper it is ink, and what is folded is printed", async () => {
  const { page } = browser;
  await page.setViewportSize({ width: 720, height: 1000 });
  await open();
  await page.emulateMedia({ media: "print" });
  assert.ok(await page.getByText("Gives today").isVisible());
  assert.ok(!(await page.getByRole("button", { name: "Save as SVG" }).isVisible()));
  await picture(page, "fleet-page-print");
  await page.emulateMedia({ media: "screen" });
});

test("nothing went wrong inside, and nobody else was asked for anything", () => {
  assert.deepEqual(browser.faults, []);
  assert.deepEqual(browser.strangers, []);
});
