// The shell of the page: signing in, the five places, what is not there yet, a phone and a desktop.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { desktop, fitsAcross, phone, picture, startBrowser, startProgram, violations } from "./browser.mjs";
import { mockFleet } from "./records_mock.mjs";

let program;
let browser;

before(async () => {
  program = await startProgram();
  browser = await startBrowser(program.origin);
  await mockFleet(browser.page);
});
after(async () => {
  await browser?.stop();
  assert.equal(await program?.stop(), 0);
});

test("without a session every view leads to the sign-in, which says in a sentence how to come in", async () => {
  const { page, faults } = browser;
  await page.goto(`${program.origin}/lights`);
  await page.waitForURL(`${program.origin}/sign-in?to=%2Flights`);
  await page.waitForSelector("text=This is a demo");
  assert.match(await page.textContent("main"), /throughcure serve/);
  assert.equal(await page.locator("nav").count(), 0, "no places for somebody who is not signed in");
  assert.deepEqual(await violations(page), []);
  await picture(page, "signed-out");
  faults.length = 0; // the browser itself reports the 401
});

test("the link signs in once and leads to today", async () => {
  const { page } = browser;
  await page.goto(program.link);
  await page.waitForURL(`${program.origin}/`);
  await page.waitForSelector("main h1");
  await page.waitForSelector("text=Demo: everything in this practice is invented");
  await page.goto(program.link);
  assert.equal(await page.textContent("h1"), "This link does not work any more");
  browser.faults.length = 0; // the browser itself reports the 403
  await page.goto(`${program.origin}/`);
  await page.waitForSelector("nav a[aria-current=page]");
  await page.waitForSelector("text=Take a check");
  await page.goto(`${program.origin}/restoration`);
  await page.waitForSelector("text=Which restoration is to be planned?");
  assert.equal(await page.locator("main li a").count(), 3, "the demo's three cases");
});

test("five places, and a plain sentence where an address leads nowhere", async () => {
  const { page } = browser;
  assert.deepEqual(await page.locator("nav a").allTextContents(), [
    "Today",
    "Lights",
    "Restoration",
    "Look-back",
    "Setup",
  ]);
  await page.goto(`${program.origin}/setup/other`);
  await page.waitForSelector("text=Nothing is here");
  await page.getByRole("link", { name: "Go to today" }).click();
  await page.waitForURL(`${program.origin}/today`);
  assert.equal(await page.evaluate(() => document.activeElement?.tagName), "H1", "a new view is read from its heading");
});

test("by keyboard alone: skip link, strip, focus that can be seen", async () => {
  const { page } = browser;
  await page.goto(`${program.origin}/setup`);
  await page.waitForSelector("text=What is to be set up?");
  await page.waitForSelector("text=sign out");
  await page.keyboard.press("Tab");
  const skip = page.getByRole("link", { name: "Skip to the answer" });
  assert.ok(await skip.evaluate((link) => link === document.activeElement && link.getBoundingClientRect().left >= 0));
  await page.keyboard.press("Enter");
  assert.equal(await page.evaluate(() => document.activeElement?.textContent), "What is to be set up?");
  await page.keyboard.press("Shift+Tab");
  const focused = await page.evaluate(() => {
    const style = getComputedStyle(document.activeElement);
    return [document.activeElement.textContent, style.outlineStyle, style.outlineWidth];
  });
  assert.deepEqual(focused, ["sign out", "solid", "2px"]);
  await page.keyboard.press("Shift+Tab");
  await page.keyboard.press("Shift+Tab");
  await page.keyboard.press("Shift+Tab");
  await page.keyboard.press("Enter");
  await page.waitForURL(`${program.origin}/look-back`);
});

for (const [name, size] of [
  ["phone", phone],
  ["desktop", desktop],
]) {
  test(`on a ${name} everything fits, is large enough to touch, and axe finds nothing`, async () => {
    const { page } = browser;
    await page.setViewportSize(size);
    for (const path of ["/", "/lights", "/restoration", "/setup", "/nowhere/at/all"]) {
      await page.goto(`${program.origin}${path}`);
      await page.waitForSelector("main h1");
      if (path === "/nowhere/at/all") continue;
      assert.ok(await fitsAcross(page), `${path} sticks out to the right`);
      assert.deepEqual(await violations(page), []);
      const small = await page
        .locator("a:visible, button:visible, summary:visible")
        .evaluateAll((all) =>
          all.filter((one) => one.getBoundingClientRect().height < 44).map((one) => one.textContent),
        );
      assert.deepEqual(small, []);
    }
    browser.faults.length = 0; // the browser itself reports the 404
    const heights = await page.goto(`${program.origin}/setup`).then(() => page.locator("nav li").first().boundingBox());
    const strip = await page.locator("nav").boundingBox();
    assert.ok(strip.height < 2 * heights.height, "the strip is one line");
    await picture(page, `setup-${name}`);
  });
}

test("nothing went wrong inside, and nobody else was asked for anything", () => {
  assert.deepEqual(browser.faults, []);
  assert.deepEqual(browser.strangers, []);
});
