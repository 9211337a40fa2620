// The look-back: one sentence, the time in doubt, every restoration with its decision and signature; on a phone, a desk
// and paper.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { crowdedWords, desktop, lookAt, phone, picture, startBrowser, startPractice } from "./browser.mjs";
import { mockLookBacks, password } from "./lookback_mock.mjs";
import { sessionOf } from "./records_mock.mjs";

let practice;
let browser;
let state;

before(async () => {
  practice = await startPractice();
  browser = await startBrowser(practice.origin, { reducedMotion: "reduce" });
  state = await mockLookBacks(browser.page, sessionOf("D. Clinician", 2, "clinician"));
});
after(async () => {
  await browser?.stop();
  await practice?.stop();
});

const look = async (name) => assert.deepEqual(await lookAt(browser.page, name), []);
const button = (name) => browser.page.getByRole("button", { name, exact: true });
const open = (path) => browser.page.goto(`${practice.origin}${path}`);
const rows = () => browser.page.locator("ol.rows > li");

test("the list says what waits, and leads there", async () => {
  const { page } = browser;
  await open("/look-back");
  await page.getByRole("heading", { name: "One look-back is open: 24 restorations to decide." }).waitFor();
  await look("look-back-list");
  await page.getByRole("link", { name: /^Light 3.*open, 24 of 24/ }).click();
  await page.waitForURL(`${practice.origin}/look-back/7`);
  await page.getByRole("heading", { level: 1, name: /24 still want a decision/ }).waitFor();
});

test("one is opened by taking a light out of use, which is said before", async () => {
  const { page, faults } = browser;
  await open("/look-back");
  await button("Open a look-back of a light").click();
  const lights = page.getByLabel("Light", { exact: true });
  await lights.waitFor();
  assert.equal(await page.evaluate(() => document.activeElement?.tagName), "SELECT");
  const offered = await lights.locator("option").allTextContents();
  assert.deepEqual(offered, ["Choose one", "Light 1, Room 1", "Light 2, Room 1", "Light 3, Room 1", "Light 4, Room 2, upstairs", "Light 5, Room 2, upstairs, not accepted"]);
  await button("Withdraw it and open the look-back").click();
  await page.getByText("No light is chosen. Choose one.").waitFor();
  await page.getByText("It is empty. Say why: it stays in the record.").waitFor();
  assert.ok(!state.sent.some((one) => one.act === "open"));
  await lights.selectOption("3");
  await page.getByText("This withdraws Light 3 at once").waitFor();
  await look("look-back-open");
  await page.getByLabel("Why").fill("none");
  await button("Withdraw Light 3 and open the look-back").click();
  await page.getByText("It is withdrawn already. Nothing is to be done.").waitFor();
  assert.equal(await page.getByText(/withdrawn already/).count(), 1, "said once");
  faults.length = 0; // the browser itself reports the 422
  await page.getByLabel("Why").fill("Its lens is loose");
  await button("Withdraw Light 3 and open the look-back").click();
  await page.waitForURL(`${practice.origin}/look-back/7`);
  await page.getByRole("heading", { level: 1, name: /24 still want a decision/ }).waitFor();
  assert.deepEqual(state.sent.at(-1).body, { light: 3, note: "Its lens is loose" });
});

test("it is worked out again with its progress shown, and ranked by the chance of being under-cured", async () => {
  const { page } = browser;
  assert.match(await rows().first().textContent(), /% that the light was too weak/);
  assert.equal(await page.locator("svg[role=img] path.mark").count(), 24, "none is recomputed yet");
  await button("Work them out again").click();
  await page.getByRole("progressbar").waitFor();
  await page.locator("svg[role=img] circle.mark").first().waitFor();
  assert.equal(await page.locator("svg[role=img] circle.mark").count(), 19);
  assert.equal(await page.getByRole("progressbar").count(), 0);
  const chances = (await page.locator(".chance").allTextContents()).map((words) => Number(words.match(/\d+/)[0]));
  assert.deepEqual(chances, [...chances].sort((a, b) => b - a));
  assert.match(await rows().first().textContent(), /Chart K-4734, 26 O\s+92.%\s*under-cured/);
  assert.equal(await button("Work them out again").count(), 0);
});

test("the pictures: what the light gave with its alternatives, every restoration, no word over another", async () => {
  const { page } = browser;
  for (const size of [phone, desktop, { width: 320, height: 640 }]) {
    await page.setViewportSize(size);
    await page.waitForTimeout(100);
    assert.deepEqual(await crowdedWords(page), [], `at ${size.width} px`);
  }
  const words = await page.locator("svg[role=img]").first().textContent();
  for (const word of ["last good check", "withdrawn", "limit 500", "cleaned"]) assert.match(words, new RegExp(word));
  assert.match(words, /a step: 20.%/);
  assert.match(words, /a decline: 80.%/);
  assert.match(await page.locator("svg[role=img]").first().getAttribute("aria-label"), /went from about 800 to 320/);
  assert.match(await page.locator("svg[role=img]").last().getAttribute("aria-label"), /24 restorations/);
  await look("look-back");
});

test("a decision wants a reason and the password, and is signed for all that are ticked", async () => {
  const { page, faults } = browser;
  await button("Sign the decision").click();
  await page.getByText("No restoration is ticked. Tick those it is about.").waitFor();
  await page.getByLabel("Decide about chart K-4734, 26 O").check();
  await page.getByLabel("Decide about chart K-4733, 16 MOD").check();
  await page.getByRole("heading", { name: "Decide about 2 restorations" }).waitFor();
  await button("Decide about 2 restorations").click();
  assert.equal(await page.evaluate(() => document.activeElement?.getAttribute("type")), "radio");
  await page.getByRole("radio", { name: "recall", exact: true }).check();
  await page.getByLabel("Reason").fill("Deep boxes, below the limit");
  await page.getByLabel("Your password, as your signature").fill("not the one that it is");
  await button("Sign the decision").click();
  await page.getByText("That is not the right one. Type it again.").waitFor();
  // The bar lies over rows that scroll out from under it: axe takes one that is half hidden for a small one.
  const bar = page.locator(".stays");
  await bar.evaluate((one) => one.style.setProperty("position", "static"));
  await look("look-back-deciding");
  await bar.evaluate((one) => one.style.removeProperty("position"));
  assert.equal(state.signed, 0);
  assert.equal(await page.getByLabel("Reason").inputValue(), "Deep boxes, below the limit", "nothing typed is lost");
  faults.length = 0; // the browser itself reports the 422
  // The connection drops after they were taken: they are not taken twice.
  state.dropNext = true;
  await page.getByLabel("Your password, as your signature").fill(password);
  await button("Sign the decision").click();
  await page.getByText("The program does not answer").waitFor();
  faults.length = 0; // the browser itself reports the cut connection
  await page.getByLabel("Your password, as your signature").fill(password);
  await button("Sign the decision").click();
  await page.getByRole("heading", { level: 1, name: /22 still want a decision/ }).waitFor();
  assert.equal(state.signed, 2);
  const posts = state.sent.filter((one) => one.act === "decisions" && one.body.password === password);
  assert.equal(posts.length, 2, "one signature for both");
  assert.equal(posts[0].key, posts[1].key);
  assert.match(await rows().first().textContent(), /Decided: recall\.\s+Deep boxes, below the limit\.\s+Signed by D\. Clinician/);
  assert.equal(await page.locator("svg[role=img] .mark.decided").count(), 2);
});

test("it is listed page by page, and by what was decided", async () => {
  const { page } = browser;
  state.mostAtOnce = 10;
  const radio = (name) => page.getByRole("radio", { name });
  await radio("to decide 22").check();
  await page.getByText("Show more: 10 of 22 are shown").waitFor();
  assert.equal(await rows().count(), 10);
  await look("look-back-page-of");
  await page.getByText("Show more: 10 of 22 are shown").click();
  await page.getByText("Show more: 20 of 22 are shown").click();
  await page.waitForFunction(() => document.querySelectorAll("ol.rows > li").length === 22);
  assert.equal(await page.getByText(/Show more/).count(), 0);
  await radio("recall 2").check();
  await page.waitForFunction(() => document.querySelectorAll("ol.rows > li").length === 2);
  await radio("all 24").check();
  await page.getByText("Show more: 10 of 24 are shown").waitFor();
  await page.evaluate(() => {
    window.print = () => document.documentElement.setAttribute("data-printed", String(document.querySelectorAll("ol.rows > li").length));
  });
  await button("Print").click();
  await page.locator("html[data-printed='24']").waitFor();
  state.mostAtOnce = 1000;
});

test("it is closed once every restoration is decided, opened again, and merged", async () => {
  const { page } = browser;
  await button("Close it").click({ force: true }); // it says what it waits for
  await page.getByText("22 of them want a decision before it is closed.").waitFor();
  await button("Tick all without a decision").click();
  await page.getByRole("radio", { name: "watch", exact: true }).check();
  await page.getByLabel("Reason").fill("Shallow");
  await page.getByLabel("Your password, as your signature").fill(password);
  await button("Sign the decision").click();
  await page.getByRole("heading", { level: 1, name: /Every one is decided/ }).waitFor();
  assert.equal(state.signed, 24);
  assert.equal(state.sent.filter((one) => one.act === "decisions").at(-1).body.decisions.length, 22);
  await button("Close it").click();
  await page.getByText("It is closed.", { exact: true }).waitFor();
  assert.equal(await button("Sign the decision").count(), 0);
  await look("look-back-closed");
  await button("Open it again").click();
  await page.getByText("It is open again.").waitFor();
  await button("Merge it into another").click();
  await page.getByLabel(/looked at as one/).waitFor();
  await button("Merge").click();
  await page.getByText("It is merged into").waitFor();
  assert.deepEqual(state.sent.at(-1).body, { into: 5 });
  assert.deepEqual(browser.faults, []);
});

test("on paper: the picture and every decision, nothing to touch", async () => {
  const { page } = browser;
  await page.setViewportSize({ width: 720, height: 1018 });
  await page.emulateMedia({ media: "print" });
  await page.waitForTimeout(100);
  assert.equal(await page.locator("button:visible, input:visible, nav:visible").count(), 0);
  assert.equal(await rows().count(), 24);
  assert.equal(await page.locator("svg[role=img]:visible").count(), 2);
  const root = `over ${312 + state.signed} changes: ${Array(8).fill("0123abcd").join(" ")}`;
  assert.ok(await page.getByText(root).isVisible(), "what the audit log can be checked by");
  assert.ok(await page.getByText(`for --key: ${Array(8).fill("4567ef89").join(" ")}`).isVisible());
  await picture(page, "look-back-print");
  await page.emulateMedia({ media: "screen" });
  assert.ok(await page.getByText(root).isHidden(), "on paper only");
  assert.deepEqual(browser.strangers, []);
});
