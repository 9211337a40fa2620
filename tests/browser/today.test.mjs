// The Today page: a sentence, what is wrong, what is due, what changed, look-backs; on a phone, a desk and a wall.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { desktop, fitsAcross, phone, picture, startBrowser, startProgram, tooSmall, violations } from "./browser.mjs";
import { mockFleet, mockRecords, todayAt } from "./records_mock.mjs";

const wall = { width: 1920, height: 1080 };
let program;
let browser;
let fleet;

before(async () => {
  program = await startProgram();
  browser = await startBrowser(program.origin, { reducedMotion: "reduce" });
  await browser.page.goto(program.link);
  await browser.page.waitForURL(`${program.origin}/`);
  await mockRecords(browser.page);
  fleet = await mockFleet(browser.page);
});
after(async () => {
  await browser?.stop();
  await program?.stop();
});

test("one sentence first, then what is wrong and due, each leading to where it is done", async () => {
  const { page } = browser;
  await page.goto(`${program.origin}/today`);
  await page.waitForSelector(`text=${fleet.today.sentence}`);
  assert.equal(await page.textContent("h1"), fleet.today.sentence);
  assert.equal(await page.locator("nav a[aria-current=page]").textContent(), "Today");
  const link = (name) => page.getByRole("link", { name }).first();
  assert.match(await link(/Light 6.*withdrawn/s).getAttribute("href"), /^\/lights\/6$/);
  assert.equal(await link(/Light 2.*3 days overdue/s).getAttribute("href"), "/check?light=2");
  assert.equal(await link(/Light 3.*due today/s).getAttribute("href"), "/check?light=3");
  assert.equal(await link(/12 restorations wait for a decision/).getAttribute("href"), "/look-back/7");
  assert.equal(await link(/certificate of Radiometer B.*ran out on/s).getAttribute("href"), "/setup/equipment");
  assert.equal(await link(/warranty of Light 2.*ran out on/s).getAttribute("href"), "/lights/2");
  assert.equal(await link(/lot 2210.*until/s).getAttribute("href"), "/setup/materials");
  await link(/Light 2.*3 days overdue/s).click();
  await page.waitForSelector("text=Light 2: look at it first");
});

test("the month's report and the log of a room can be printed from it, and not from a wall", async () => {
  const { page } = browser;
  await page.goto(`${program.origin}/today`);
  const report = page.getByRole("link", { name: "Report (PDF)" });
  const log = page.getByRole("link", { name: "Log of its checks (PDF)" });
  await log.waitFor();
  assert.match(await report.getAttribute("href"), /^\/api\/report\.pdf\?month=\d{4}-\d\d$/);
  await page.getByRole("combobox", { name: "Log of checks: room" }).selectOption("Room 2, upstairs");
  assert.match(await log.getAttribute("href"), /^\/api\/room-log\.pdf\?room=2&month=\d{4}-\d\d$/);
  await page.goto(`${program.origin}/today?wall`);
  await page.waitForSelector(`text=${fleet.today.sentence}`);
  assert.equal(await report.count(), 0);
});

test("a backup that lacks a file is told, with the file's name", async () => {
  const { page } = browser;
  const sentence = "The backup of the day lacks a file and has all else.";
  fleet.today = { ...todayAt(), backup: { sentence, files: ["“scan.pdf”: the approval of light 2 is gone or cannot be read"] } };
  await page.goto(`${program.origin}/today`);
  await page.waitForSelector(`text=${sentence}`);
  await page.waitForSelector("text=“scan.pdf”: the approval of light 2 is gone or cannot be read");
  assert.deepEqual(await violations(page), []);
  fleet.today = todayAt();
});

test("with nothing to do it says so", async () => {
  const { page } = browser;
  fleet.today = { ...todayAt(), sentence: "Every light is fit for use.", due: [], wrong: [], runs_out: [], changed: [], look_backs: [] };
  await page.goto(`${program.origin}/today`);
  await page.waitForSelector("text=Every light is fit for use.");
  assert.match(await page.textContent("main"), /Nothing is wrong that the records know of.*No check is due/s);
  assert.deepEqual(await violations(page), []);
  fleet.today = todayAt();
});

test("it is read anew when one comes back to it, and without a connection says how old it is", async () => {
  const { page } = browser;
  await page.goto(`${program.origin}/today`);
  await page.waitForSelector(`text=${fleet.today.sentence}`);
  fleet.today = { ...todayAt(), sentence: "Another day." };
  await page.evaluate(() => document.dispatchEvent(new Event("visibilitychange")));
  await page.waitForSelector("text=Another day.");
  await page.context().setOffline(true);
  await page.route("**/api/today", (route) => route.abort("connectionrefused"));
  await page.evaluate(() => document.dispatchEvent(new Event("visibilitychange")));
  await page.waitForSelector("text=What stands here was read at");
  await page.context().setOffline(false);
  await page.unroute("**/api/today");
  await page.route("**/api/today", (route) => route.fulfill({ json: fleet.today }));
  fleet.today = todayAt();
  browser.faults.length = 0; // the browser itself reports what it could not fetch
});

for (const [name, size, path] of [
  ["phone", phone, "/today"],
  ["desktop", desktop, "/today"],
  ["wall", wall, "/today?wall"],
]) {
  for (const colorScheme of ["light", "dark"]) {
    test(`on a ${name}, in ${colorScheme}, it fits and axe finds nothing`, async () => {
      const { page } = browser;
      await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
      await page.setViewportSize(size);
      await page.goto(`${program.origin}${path}`);
      await page.waitForSelector(`text=${fleet.today.sentence}`);
      assert.ok(await fitsAcross(page));
      assert.deepEqual(await violations(page), []);
      assert.deepEqual(await tooSmall(page), []);
      await picture(page, `today-${name}-${colorScheme}`);
      if (name !== "wall") return;
      assert.equal(await page.locator("nav").isVisible(), false, "nothing is in its way");
      const least = await page.locator("main :is(li, p)").evaluateAll((all) =>
        Math.min(...all.filter((one) => one.textContent.trim() && one.checkVisibility()).map((one) => parseFloat(getComputedStyle(one).fontSize))),
      );
      assert.ok(least >= 24, `the smallest letters are ${least} px`);
      const { bottom } = await page.locator("main").evaluate((one) => one.getBoundingClientRect());
      assert.ok(bottom <= size.height, "all of it is on the wall at once");
    });
  }
}

test("nothing went wrong inside, and nobody else was asked for anything", () => {
  assert.deepEqual(browser.faults, []);
  assert.deepEqual(browser.strangers, []);
});
