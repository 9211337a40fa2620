// Setting up a new practice, against the program itself: rooms, equipment, materials, people, limits; two people at one
// record; who changed what; and the audit log, exported and verified by the program.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { beginPractice, change, lookAt, picture, startBrowser, startPractice } from "./browser.mjs";

let practice;
let browser;

before(async () => {
  practice = await startPractice();
  browser = await startBrowser(practice.origin, { timezoneId: "Europe/Lisbon" });
  await beginPractice(browser.page, practice);
  browser.faults.length = 0; // the browser itself reports the 401 of a page that asked who is there
});
after(async () => {
  await browser?.stop();
  assert.equal(await practice?.stop(), 0);
});

const look = async (name) => assert.deepEqual(await lookAt(browser.page, name), []);
const button = (name) => browser.page.getByRole("button", { name, exact: true });
const field = (label) => browser.page.getByLabel(new RegExp(`^${label}( \\(optional\\))?$`));
const open = (path) => browser.page.goto(`${practice.origin}${path}`);
const heading = (words) => browser.page.getByRole("heading", { level: 1, name: words }).waitFor();
const row = (name) => browser.page.getByRole("button", { name }).first();

test("a room is added to the site; days between checks are a whole number", async () => {
  const { page } = browser;
  await open("/setup/rooms");
  await heading("No room is on record: begin with one.");
  await button("Add a room").click();
  assert.equal(await page.evaluate(() => document.activeElement?.tagName), "INPUT");
  await button("Add it").click();
  await page.getByText("It is empty. Fill it in.").waitFor();
  await field("Name").fill("Room 1");
  await field("Days between checks, days").fill("3,5");
  await button("Add it").click();
  await page.getByText("“3,5” is no whole number").waitFor();
  await look("setup-room-new");
  await field("Days between checks, days").fill("400");
  await button("Add it").click();
  await page.getByText(/400 is not between 1 and 92/).waitFor();
  browser.faults.length = 0; // the browser itself reports the 422
  await field("Days between checks, days").fill("5");
  await button("Add it").click();
  await heading("1 room in 1 site");
  await row(/^Room 1/).waitFor();
  assert.match(await row(/^Room 1/).textContent(), /every 5 days/);
});

test("equipment: a radiometer with its certificate, a light with its papers, a barrier with a decimal comma", async () => {
  const { page } = browser;
  await open("/setup/equipment");
  await heading("0 lights, 0 radiometers, 0 barriers");
  await button("Add a radiometer").click();
  await field("Name").fill("Radiometer A");
  await field("Serial number").fill("R-77");
  await field("Aperture, mm").fill("8");
  const answers = field("Wavelengths that it answers to");
  assert.deepEqual(await answers.locator("option").allTextContents(), ["not known", "blue", "violet and blue"]);
  await answers.selectOption({ label: "violet and blue" });
  await button("Add it").click();
  await row(/^Radiometer A/).click();
  await button("Add a certificate").click();
  const inner = page.locator(".inner");
  await inner.getByLabel("Its number").fill("C-2026-14");
  await inner.getByLabel("Issued by").fill("A laboratory");
  await inner.getByLabel("Calibrated on").fill("2026-03-29");
  await inner.getByLabel("Valid until").fill("2027-03-28");
  await inner.getByLabel(/^Expanded uncertainty/).fill("6,5");
  await button("Add it").click();
  await row(/^C-2026-14/).click();
  let sent;
  await page.route("**/api/attachments?*", (route) => {
    const request = route.request();
    sent = { url: request.url(), name: request.headers()["x-file-name"], body: request.postDataBuffer().toString() };
    return route.fulfill({ status: 201, json: { id: 1, media: "pdf", size: 19, sha256: "" } });
  });
  await inner.getByLabel(/^Add its scan/).setInputFiles({
    name: "certificate für A.pdf",
    mimeType: "application/pdf",
    buffer: Buffer.from("%PDF-1.4\n%invented\n"),
  });
  await inner.getByText("certificate für A.pdf is on file.").waitFor();
  assert.match(sent.url, /\?belongs_to=certificate&record=1&about=certificate$/);
  assert.equal(decodeURIComponent(sent.name), "certificate für A.pdf");
  assert.match(sent.body, /^%PDF-1\.4/);
  await page.unroute("**/api/attachments?*");

  await open("/setup/equipment");
  await button("Add a light").click();
  await field("Name").fill("Light 1");
  await field("Serial number").fill("S-101");
  await field("Output that its maker claims, mW/cm²").fill("1 200");
  await field("National approval, its number").fill("N-5");
  await field("Approved by").fill("An authority");
  await field("Warranty until").fill("2028-02-29");
  await field("Emits violet too").selectOption({ label: "yes" });
  await field("Who says what it gives").selectOption({ label: "a laboratory measured it" });
  await look("setup-light-new");
  await button("Add it").click();
  await heading("1 light, 1 radiometer, 0 barriers");
  assert.match(await row(/^Light 1/).textContent(), /Room 1, serial S-101, not accepted yet/);

  await button("Add a barrier").click();
  await field("Name").fill("Plastic sleeve");
  await field("Lets through, %").fill("92,5");
  await field("Where that comes from").fill("measured here");
  await button("Add it").click();
  await row(/^Plastic sleeve/).waitFor();
  assert.match(await row(/^Plastic sleeve/).textContent(), /92\.5.%/);
  const kept = await page.evaluate(async () => ({
    light: (await (await fetch("/api/records/light/1")).json()).record,
    barrier: (await (await fetch("/api/records/barrier/1")).json()).record,
    certificate: (await (await fetch("/api/records/certificate/1")).json()).record,
    radiometer: (await (await fetch("/api/records/radiometer/1")).json()).record,
  }));
  assert.equal(kept.light.emits_violet, true);
  assert.equal(kept.light.claim_measured, true);
  assert.equal(kept.radiometer.spectral_class, "broad");
  assert.equal(kept.light.claimed_mw_cm2, 1200);
  assert.equal(kept.barrier.pass, 0.925);
  assert.equal(kept.certificate.expanded_uncertainty, 0.065);
  assert.match(kept.light.warranty_until, /^2028-02-29/);
  await look("setup-equipment");
});

test("what a radiometer was once said to answer to is not known, and stays on record until another is chosen", async () => {
  const { page } = browser;
  const { record, revision } = await page.evaluate(async () => (await fetch("/api/records/radiometer/1")).json());
  const other = { ...record, spectral_class: "400 to 500 nm" };
  assert.equal((await change(page, "PUT", `/api/records/radiometer/1?revision=${revision}`, other)).status, 200);
  const kept = () =>
    page.evaluate(async () => (await (await fetch("/api/records/radiometer/1")).json()).record.spectral_class);
  await open("/setup/equipment");
  await row(/^Radiometer A/).click();
  const answers = field("Wavelengths that it answers to");
  assert.equal(await answers.locator("option:checked").textContent(), "not known: “400 to 500 nm”");
  await answers.selectOption({ label: "blue" });
  await answers.selectOption({ label: "not known: “400 to 500 nm”" });
  await button("Keep the change").click();
  await page.getByText("Radiometer A: the change is kept.").waitFor();
  assert.equal(await kept(), "400 to 500 nm");
  await row(/^Radiometer A/).click();
  await answers.selectOption({ label: "blue" });
  await button("Keep the change").click();
  await page.getByText("Radiometer A: the change is kept.").waitFor();
  assert.equal(await kept(), "blue");
  await row(/^Radiometer A/).click();
  await page.getByText("Who changed what, when").last().click();
  await page.getByText("Wavelengths that it answers to: not known: “400 to 500 nm” became blue").waitFor();
});

test("what somebody else changed meanwhile is shown, and nothing typed is lost", async () => {
  const { page } = browser;
  await open("/setup/equipment");
  await row(/^Light 1/).click();
  await field("Name").fill("Light 1, blue dot");
  await field("Battery").fill("lithium");
  const { record, revision } = await page.evaluate(async () => (await fetch("/api/records/light/1")).json());
  const other = { ...record, name: "Light one", claimed_mw_cm2: 1250 };
  assert.equal((await change(page, "PUT", `/api/records/light/1?revision=${revision}`, other)).status, 200);
  await button("Keep the change").click();
  await page.getByText("Somebody else changed this while you typed").waitFor();
  browser.faults.length = 0; // the browser itself reports the 409
  assert.equal(await field("Name").inputValue(), "Light 1, blue dot");
  assert.equal(await field("Battery").inputValue(), "lithium");
  assert.equal(await field("Output that its maker claims, mW/cm²").inputValue(), "1250");
  await page.getByText("Meanwhile: Light 1 became Light one.").waitFor();
  await page.getByText(/Taken over: 1200.mW\/cm² became 1250.mW\/cm²/).waitFor();
  await look("setup-meanwhile");
  await button("Keep the change").click();
  await row(/^Light 1, blue dot/).waitFor();
  const now = await page.evaluate(async () => (await (await fetch("/api/records/light/1")).json()).record);
  assert.deepEqual([now.name, now.battery, now.claimed_mw_cm2], ["Light 1, blue dot", "lithium", 1250]);

  await row(/^Light 1, blue dot/).click();
  await page.getByText("Who changed what, when").click();
  await page.getByText("Name: Light one became Light 1, blue dot").waitFor();
  await page.getByText("Battery: nothing became lithium").waitFor();
  assert.equal(await page.getByText(/, B\. Lead$/).count(), 3);
  await look("setup-history");
});

test("materials: a lot, a scrape test and a disc", async () => {
  const { page } = browser;
  await open("/setup/materials");
  await heading("No material is on record.");
  await button("Add a material").click();
  await field("Name").fill("Universal paste");
  await field("Shade").fill("A2");
  await field("Exposure by its instructions, s").fill("20");
  await button("Add it").click();
  await row(/^Universal paste, A2/).click();
  await button("Add a lot").click();
  await field("Lot number").fill("L-1");
  await field("Expires on").fill("2020-02-29");
  await button("Add it").click();
  await heading("1 material; 1 lot is past the date");
  await button("Add a scrape test").click();
  await page.getByLabel("Material", { exact: true }).selectOption({ label: "Universal paste, A2" });
  await page.getByLabel("Light", { exact: true }).selectOption({ label: "Light 1, blue dot" });
  await page.getByLabel("Exposure, s").fill("20");
  await page.getByLabel("Length left, mm").fill("4,6");
  await button("Add it").click();
  await row(/4\.6 mm left after 20 s/).waitFor();
  await button("Add a reading through a disc").click();
  await page.getByLabel("Material", { exact: true }).selectOption({ label: "Universal paste, A2" });
  await page.getByLabel("Light", { exact: true }).selectOption({ label: "Light 1, blue dot" });
  await page.getByLabel("Radiometer", { exact: true }).selectOption({ label: "Radiometer A" });
  await page.getByLabel("Thickness of the disc, mm").fill("2");
  await page.getByLabel("It shows through the disc, mW/cm²").fill("150");
  await page.getByLabel("It shows without the disc, mW/cm²").fill("1000");
  await button("Add it").click();
  await row(/2 mm: 15 % through/).waitFor();
  await look("setup-materials");
  assert.deepEqual(browser.faults, []);
});

test("people: a code is shown once, large; roles change; who leaves stays in the records", async () => {
  const { page } = browser;
  await open("/setup/people");
  await heading("1 person works here");
  await button("Add a person").click();
  await field("Name").fill("C. Assistant");
  await field("Sign-in name").fill("assistant");
  await button("Add and make a code").click();
  await page.getByText("The code for C. Assistant").waitFor();
  const code = await page.locator(".digits").textContent();
  assert.match(code, /^\S{8,}$/);
  assert.match(await page.locator(".code").textContent(), /\/join/);
  await look("setup-people-code");
  await button("I have passed it on").click();
  assert.equal(await page.getByText(code).count(), 0);
  await row(/^C\. Assistant/).click();
  await page.getByLabel("Role", { exact: true }).selectOption({ index: 2 });
  await button("Keep the change").click();
  await page.getByText("C. Assistant: the change is kept.").waitFor();
  assert.match(await row(/^C\. Assistant/).textContent(), /clinician, has a code, no password yet/);
  await row(/^C\. Assistant/).click();
  await look("setup-people");
  await button("Give a new code").click();
  await page.getByText("The code for C. Assistant").waitFor();
  assert.notEqual(await page.locator(".digits").textContent(), code);
  await row(/^C\. Assistant/).click();
  await page.getByLabel("Works here").uncheck();
  await button("Keep the change").click();
  await heading("1 person works here");
  assert.match(await row(/^C\. Assistant/).textContent(), /does not work here any more/);
  assert.deepEqual(browser.faults, []);
});

test("a limit is chosen with its source, and as delivered again", async () => {
  const { page } = browser;
  await open("/setup/policy");
  await heading("All limits and intervals are as delivered");
  await look("setup-policy");
  const change = page.getByRole("button", { name: /^Change: Lowest output/ });
  await change.click();
  await page.getByLabel("Value, mW/cm²").fill("600");
  await button("Choose it").click();
  await page.getByText("It is empty. Fill it in.").waitFor();
  await page.getByLabel("Where it comes from").fill("Chosen by the practice for its deep boxes");
  await button("Choose it").click();
  await heading("The practice has chosen 1 of 11 values itself");
  await page.getByText("600 mW/cm²").waitFor();
  await picture(page, "setup-policy-chosen");
  await change.click();
  await page.getByText("Who changed what, when").click();
  await page.getByText(/Value: 600/).waitFor();
  await button("Leave it").click();
  await page.getByRole("button", { name: /^As delivered again/ }).click();
  await page.getByText(/as delivered again\.$/).waitFor();
  await page.getByText("500 mW/cm²").waitFor();
  assert.deepEqual(browser.faults, []);
});

test("the audit log says for whom it is where it is refused", async () => {
  const { page } = browser;
  const sentence = "The log holds what all sites do: one who leads everywhere reads and exports it.";
  await page.route("**/api/audit?*", (route) => route.fulfill({ status: 403, json: { sentence } }));
  await open("/setup/audit");
  await heading("The audit log cannot be shown");
  await page.getByText(sentence).waitFor();
  assert.equal(await page.getByRole("link", { name: "Export the log" }).count(), 0);
  await page.unroute("**/api/audit?*");
  browser.faults.length = 0; // the browser reports the 403
});

test("the audit log names every change, keeps what is private, and is verified elsewhere", async () => {
  const { page } = browser;
  await open("/setup/audit");
  await heading(/^\d+ changes are in the log, in order$/);
  await page.getByText("name: Light one became Light 1, blue dot").waitFor();
  await page.getByText("name: private").first().waitFor();
  assert.equal(await page.getByText("C. Assistant").count(), 0, "people are named by who did it, never as what was written");
  await look("setup-audit");
  const folder = await mkdtemp(join(tmpdir(), "throughcure-audit-"));
  try {
    const coming = page.waitForEvent("download");
    await page.getByRole("link", { name: "Export the log" }).click();
    const file = join(folder, "audit-log.jsonl");
    await (await coming).saveAs(file);
    const command = await page.locator("code").textContent();
    const [, root, size] = command.match(/--root (\w+) --size (\d+)/);
    const verify = () =>
      execFileSync(process.env.THROUGHCURE_PROGRAM, ["audit", "verify", file, "--root", root, "--size", size]);
    verify();
    const text = await readFile(file, "utf8");
    await writeFile(file, text.replace("Light one", "Light two"));
    assert.throws(verify, (error) => error.status === 1);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
  browser.faults.length = 0; // the browser itself may report that a download took the place of a view
});

test("who may only look is offered nothing to change", async () => {
  const { page } = browser;
  const { person } = await page.evaluate(async () => (await fetch("/api/session")).json());
  const { body } = await change(page, "POST", "/api/people", {
    name: "D. Viewer",
    role: "viewer",
    site: person.site,
    everywhere: false,
    sign_in_name: "viewer",
  });
  await page.getByRole("button", { name: "sign out" }).click();
  await page.waitForURL(`${practice.origin}/sign-in`);
  await open(`/join?code=${body.code}`);
  await field("New password").or(page.locator("#new-password")).first().fill("seven grey umbrellas");
  await button("Set the password and come in").click();
  await page.getByRole("link", { name: "D. Viewer" }).waitFor();
  browser.faults.length = 0; // the browser itself reports the 401, and what Today has nothing to show of
  for (const path of ["/setup/rooms", "/setup/equipment", "/setup/materials", "/setup/people", "/setup/policy"]) {
    await open(path);
    await page.waitForSelector("ul.rows li");
    assert.equal(await page.getByRole("button", { name: /^(Add|Change|Give)/ }).count(), 0, path);
  }
  await open("/setup/audit");
  await heading("The audit log cannot be shown");
  await page.getByText("Only the lead may do this").waitFor();
  browser.faults.length = 0; // the browser itself reports the 403
  assert.deepEqual(browser.strangers, []);
});
