// The whole way of the fleet, with the program itself and nothing in its folder: the lead begins the practice, adds a room, a
// radiometer and two lights with their papers, an assistant takes checks by phone, a year of readings (invented) shows the
// failing light weeks before it falls below its limit, the failed check opens a look-back that names the restorations since
// the last good one and no other, and the exported log verifies elsewhere until one byte is changed.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { phone, picture, startBrowser, startPractice, violations } from "./browser.mjs";

const day = 86_400_000;
let practice;
let desk;
let hand;

before(async () => {
  practice = await startPractice();
  desk = await startBrowser(practice.origin, { timezoneId: "Europe/Lisbon", reducedMotion: "reduce" });
  hand = await startBrowser(practice.origin, {
    timezoneId: "Europe/Lisbon",
    reducedMotion: "reduce",
    viewport: phone,
    hasTouch: true,
  });
});
after(async () => {
  await hand?.stop();
  await desk?.stop();
  assert.equal(await practice?.stop(), 0);
});

const open = (who, path) => who.page.goto(`${practice.origin}${path}`);
const button = (name) => desk.page.getByRole("button", { name, exact: true });
const field = (label) => desk.page.getByLabel(new RegExp(`^${label}( \\(optional\\))?$`));
const heading = (words) => desk.page.getByRole("heading", { level: 1, name: words }).waitFor();
const api = async (path) => (await desk.page.request.get(`${practice.origin}${path}`)).json();
const scan = (name) => ({ name, mimeType: "application/pdf", buffer: Buffer.from("%PDF-1.4\n%invented\n") });
const idOf = async (name) => (await api("/api/check-sheet")).lights.find((one) => one.name === name).id;

/** A light as its lead adds it: what stands on it, its tip, and its two papers. */
async function addLight(name, serial) {
  const { page } = desk;
  await open(desk, "/setup/equipment");
  await button("Add a light").click();
  await field("Name").fill(name);
  await field("Serial number").fill(serial);
  await field("Output that its maker claims, mW/cm²").fill("1000");
  await field("National approval, its number").fill(`N-${serial}`);
  await field("Approved by").fill("An authority");
  await button("Add it").click();
  await page.getByRole("button", { name: new RegExp(`^${name}`) }).first().waitFor();
  await open(desk, `/lights/${await idOf(name)}`);
  await page.locator("summary", { hasText: "Tips (0)" }).click();
  await button("Add a tip").click();
  await page.getByLabel("Name", { exact: true }).fill("8 mm");
  await page.getByLabel("Optical diameter, mm").fill("8");
  await button("Add the tip").click();
  await page.getByText("The tip is on record.").waitFor();
  await page.locator("summary", { hasText: "Papers (0)" }).click();
  for (const [about, paper] of [
    ["approval", `Approval of ${name}.pdf`],
    ["instructions", `Instructions, ${serial}.pdf`],
  ]) {
    await page.getByRole("combobox", { name: "Add a paper about" }).selectOption(about);
    await page.locator("input[type=file]").setInputFiles(scan(paper));
    await page.getByText(`${paper} is on file.`).waitFor();
  }
}

/** A table as a practice may have kept it, brought in over the page. */
async function bringIn(kind, lines, name) {
  const { page } = desk;
  await open(desk, "/setup/import");
  await page.getByRole("radio", { name: kind }).check();
  await page.getByLabel(/^The file: CSV/).setInputFiles({ name, mimeType: "text/csv", buffer: Buffer.from(lines.join("\n")) });
  await button("Look at it").click();
  await page.waitForSelector("h1:has-text('rows of')");
  await picture(page, `from-empty-import-${kind}`);
  if (kind === "Restorations") await page.getByRole("button", { name: "B. Lead", exact: true }).click();
  await page.getByRole("button", { name: /^Keep \d+ rows$/ }).click();
  await page.getByRole("heading", { level: 1, name: /are kept/ }).waitFor();
}

/** A restoration by the form: its practice has no file to plan with. */
async function recordUnplanned(chart, at, light) {
  const { page } = desk;
  await open(desk, "/setup/materials");
  await button("Add a material").click();
  await field("Name").fill("Universal paste");
  await field("Shade").fill("A3");
  await button("Add it").click();
  await heading("1 material, no lot is past its date");
  await open(desk, "/restoration");
  await button("Record one that was not planned").click();
  // The search below the list asks for a chart number too.
  const form = page.getByRole("region", { name: "Made without a plan" });
  const typed = (label) => form.getByLabel(new RegExp(`^${label}( \\(optional\\))?$`));
  await typed("Chart number").fill(chart);
  await typed("Tooth").fill("36");
  await typed("Surfaces").fill("DO");
  await typed("Light").selectOption({ label: `${light}, Room 1` });
  assert.notEqual(await typed("Tip").inputValue(), "", "it has one");
  assert.notEqual(await typed("Material").inputValue(), "", "there is one");
  await typed("Placed").fill(written(at).replace(" ", "T"));
  await picture(page, "from-empty-unplanned");
  assert.deepEqual(await violations(page), []);
  await button("Put it on record").click();
  await page.getByText("It is on record.").waitFor();
  await page.getByText(new RegExp(`chart ${chart}`)).waitFor();
}

/** "2026-11-27 09:30" by the clock of the site. */
function written(at) {
  return new Intl.DateTimeFormat("sv-SE", { timeZone: "Europe/Lisbon", dateStyle: "short", timeStyle: "short" }).format(at);
}

test("the lead begins, and adds a room and a radiometer with its certificate", async () => {
  const { page } = desk;
  await open(desk, `/begin?code=${practice.code}`);
  await field("Your name").fill("B. Lead");
  await field("Sign-in name").fill("lead");
  await field("Password").fill("a kettle under the stairs");
  await button("Make the account and begin").click();
  await page.getByRole("link", { name: "B. Lead" }).waitFor();
  await picture(page, "from-empty-today");
  await page.getByRole("link", { name: "Set up the practice" }).click();
  await heading("What is to be set up?");
  desk.faults.length = 0; // the browser itself reports the 401 of a page that asked who is there
  await open(desk, "/setup/rooms");
  await button("Add a room").click();
  await field("Name").fill("Room 1");
  await button("Add it").click();
  await heading("1 room in 1 site");
  await open(desk, "/setup/equipment");
  await button("Add a radiometer").click();
  await field("Name").fill("Radiometer A");
  await field("Serial number").fill("R-77");
  await button("Add it").click();
  await page.getByRole("button", { name: /^Radiometer A/ }).first().click();
  await button("Add a certificate").click();
  const inner = page.locator(".inner");
  await inner.getByLabel("Its number").fill("C-14");
  await inner.getByLabel("Issued by").fill("A laboratory");
  await inner.getByLabel("Calibrated on").fill(written(Date.now() - 100 * day).slice(0, 10));
  await inner.getByLabel("Valid until").fill(written(Date.now() + 265 * day).slice(0, 10));
  await button("Add it").click();
  await page.getByRole("button", { name: /^C-14/ }).click();
  await inner.getByLabel(/^Add its scan/).setInputFiles(scan("Certificate C-14.pdf"));
  await inner.getByText("Certificate C-14.pdf is on file.").waitFor();
});

test("two lights with their papers; what acceptance still wants is a first check", async () => {
  const { page } = desk;
  for (const [name, serial] of [
    ["Lamp 1", "S-101"],
    ["Lamp 2", "S-102"],
  ]) {
    await addLight(name, serial);
    await page.getByText("A first check, which becomes its baseline.").waitFor();
    // Everything else is there, once the page has been read again.
    await page.waitForFunction(() => document.querySelectorAll("p.missing + ul li").length === 1);
    assert.deepEqual(await violations(page), []);
  }
  await picture(page, "from-empty-papers");
  const papers = await page.getByRole("link", { name: "Instructions, S-102.pdf" }).getAttribute("href");
  const kept = await page.request.get(`${practice.origin}${papers}`);
  assert.equal((await kept.body()).toString(), "%PDF-1.4\n%invented\n");
  assert.equal(kept.headers()["x-content-type-options"], "nosniff");
});

test("an assistant joins on a phone and takes the first check; the light is accepted", async () => {
  await open(desk, "/setup/people");
  await button("Add a person").click();
  await field("Name").fill("C. Assistant");
  await field("Sign-in name").fill("assistant");
  await button("Add and make a code").click();
  await desk.page.getByText("The code for C. Assistant").waitFor();
  const code = await desk.page.locator(".digits").textContent();
  await open(hand, "/join");
  await hand.page.getByLabel("Code from the lead").fill(code);
  await hand.page.locator("#new-password").fill("seven grey umbrellas");
  await hand.page.getByRole("button", { name: "Set the password and come in" }).tap();
  await hand.page.waitForURL(`${practice.origin}/`);
  hand.faults.length = 0; // the browser itself reports the 401 of a page that asked who is there
  await toKeys("Lamp 1");
  await number(985);
  await hand.page.waitForSelector("h1:has-text('The first reading with this tip and radiometer: 985')");
  await picture(hand.page, "from-empty-first-check");
  await accept("Lamp 1");
});

async function accept(name) {
  await open(desk, `/lights/${await idOf(name)}`);
  await button("Accept it for use").click();
  await desk.page.getByText(`${name} is accepted.`).waitFor();
}
const tap = (name) => hand.page.locator("label", { hasText: name }).first().tap();
async function toKeys(name) {
  await open(hand, `/check?light=${await idOf(name)}`);
  await hand.page.waitForSelector("text=look at it first");
  await hand.page.waitForLoadState("networkidle");
  for (const [label, value] of [
    ["Radiometer", "Radiometer A"],
    ["Tip", "8 mm, 8 mm"],
  ]) {
    const choice = hand.page.getByLabel(label, { exact: true });
    if (await choice.isVisible()) await choice.selectOption({ label: value });
  }
  await tap("clean and whole");
  await tap("none on");
  const mode = hand.page.locator("#check-mode");
  if ((await mode.count()) > 0 && (await mode.evaluate((one) => one.tagName)) === "INPUT") await mode.fill("standard");
  else if (await hand.page.locator("label", { hasText: "standard, as always" }).count()) await tap("standard, as always");
  if (await hand.page.locator("#check-battery").count()) await tap("full");
  await hand.page.getByRole("button", { name: "To the number" }).tap();
}
async function number(digits) {
  for (const digit of String(digits)) await hand.page.getByRole("button", { name: digit, exact: true }).tap();
  await hand.page.getByRole("button", { name: "Done", exact: true }).tap();
}

// A reading a week, of 1000 mW/cm2 with a scatter of about 1 %, that from twenty weeks before its end loses 0.9 % a week: the
// last one is at 82 %. Invented; the scatter is a fixed row of numbers.
const scatter = [0.4, -1.1, 0.7, 0.2, -0.6, 1.3, -0.2, -0.9, 0.5, 1.0, -0.4, 0.1, -1.2, 0.8, -0.1, 0.6];
const weeks = 52;
const readingOf = (week) => Math.round(1000 * (1 - 0.009 * Math.max(0, week - (weeks - 20))) * (1 + scatter[week % 16] / 100));
const takenOf = (week) => Date.now() - 3 * day - (weeks - week) * 7 * day;

test("a year of readings shows the failing light weeks before it falls below its limit", async () => {
  const { page } = desk;
  const rows = Array.from({ length: weeks + 1 }, (_, week) => `${written(takenOf(week))},Lamp 2,${readingOf(week)},Radiometer A,standard`);
  await bringIn("Readings", ["Date,Light,Reading,Radiometer,Mode", ...rows], "readings.csv");
  await accept("Lamp 2");
  const id = await idOf("Lamp 2");
  const light = await api(`/api/fleet/${id}`);
  const points = light.series.flatMap((one) => one.points);
  assert.equal(points.length, weeks + 1);
  assert.ok(points.every((one) => one.shown_mw_cm2 > light.limit_mw_cm2), "every reading is above the limit");
  const alarms = light.series.flatMap((one) => one.alarms).filter((one) => Date.parse(one.at) > takenOf(weeks - 20));
  assert.ok(alarms.length > 0, "an alarm since it began to fail");
  const first = Math.min(...alarms.map((one) => Date.parse(one.at)));
  const weeksToSpare = (Date.now() - first) / (7 * day);
  assert.ok(weeksToSpare > 6, `the first alarm is ${weeksToSpare.toFixed(1)} weeks old, and it is still above its limit`);
  assert.ok(light.falls_below, "it is said when it is expected to fall below");
  await page.reload();
  await page.waitForSelector("svg[role=img]");
  await page.waitForSelector(".alarm");
  assert.notEqual(light.state, "in use");
  await picture(page, "from-empty-failing-desktop");
  await hand.page.goto(`${practice.origin}/lights/${id}`);
  await hand.page.waitForSelector("svg[role=img]");
  await picture(hand.page, "from-empty-failing-phone");
  await open(desk, "/");
  await page.getByText(/Lamp 2/).first().waitFor();
  await picture(page, "from-empty-today-failing");
});

test("the failed check opens a look-back that names the restorations since its last good one", async () => {
  const { page } = desk;
  const days = [
    ["K-1", 12, "Lamp 2"],
    ["K-2", 4, "Lamp 2"],
    ["K-3", 2.5, "Lamp 2"],
    ["K-4", 2, "Lamp 1"],
    ["K-5", 1, "Lamp 2"],
  ];
  await bringIn(
    "Restorations",
    [
      "Chart number,Date,Tooth,Surfaces,Light,Material",
      ...days.map(([chart, ago, light]) => `${chart},${written(Date.now() - ago * day)},36,DO,${light},Universal paste`),
    ],
    "restorations.csv",
  );
  await recordUnplanned("K-6", Date.now() - 0.1 * day, "Lamp 2");
  await toKeys("Lamp 2");
  await number(760);
  await hand.page.waitForSelector("text=too little");
  await picture(hand.page, "from-empty-again");
  await hand.page.getByRole("button", { name: "Take it once more" }).tap();
  await hand.page.getByRole("checkbox").tap();
  await number(755);
  await hand.page.waitForSelector("text=It failed again");
  await picture(hand.page, "from-empty-failed");
  await open(desk, "/look-back");
  await page.getByRole("link", { name: /Lamp 2/ }).first().click();
  await page.waitForURL(/\/look-back\/\d+$/);
  await heading(/3 still want a decision/);
  const text = await page.textContent("main");
  const named = [...new Set(text.match(/K-\d/g))].sort();
  assert.deepEqual(named, ["K-3", "K-5", "K-6"], "by this light, since its last good check");
  await picture(page, "from-empty-look-back");
  await page.setViewportSize(phone);
  await picture(page, "from-empty-look-back-phone");
  await page.setViewportSize({ width: 1280, height: 800 });
  await button("Tick all without a decision").click();
  await page.getByRole("radio", { name: "recall" }).check();
  await page.getByLabel("Reason").fill("Deep boxes");
  await page.getByLabel("Your password, as your signature").fill("a kettle under the stairs");
  await button("Sign the decision").click();
  await heading(/Every one is decided/);
});

test("the exported log verifies elsewhere, and no longer once a byte is changed", async () => {
  const { page } = desk;
  await open(desk, "/setup/audit");
  await heading(/^\d+ changes are in the log, in order$/);
  const folder = await mkdtemp(join(tmpdir(), "throughcure-elsewhere-"));
  try {
    const coming = page.waitForEvent("download");
    await page.getByRole("link", { name: "Export the log" }).click();
    const file = join(folder, "audit-log.jsonl");
    await (await coming).saveAs(file);
    const [, root, size] = (await page.locator("code").textContent()).match(/--root (\w+) --size (\d+)/);
    // Elsewhere: a folder and a home of its own, where this program has never run.
    const verify = () =>
      execFileSync(process.env.THROUGHCURE_PROGRAM, ["audit", "verify", file, "--root", root, "--size", size], {
        cwd: folder,
        env: { HOME: folder, PATH: process.env.PATH },
        stdio: ["ignore", "pipe", "pipe"],
      }).toString();
    assert.match(verify(), /^Intact/);
    const bytes = await readFile(file);
    for (const at of [Math.floor(bytes.length / 3), bytes.length - 10]) {
      const altered = Buffer.from(bytes);
      altered[at] ^= 1;
      await writeFile(file, altered);
      assert.throws(verify, (error) => error.status === 1, `byte ${at}`);
    }
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
});

test("nothing went wrong inside, and nobody else was asked for anything", () => {
  desk.faults = desk.faults.filter((one) => !/ERR_ABORTED/.test(one));
  assert.deepEqual(desk.faults, []);
  assert.deepEqual(hand.faults, []);
  assert.deepEqual([...desk.strangers, ...hand.strangers], []);
});
