// The newcomer's path on the program itself: open the poor demo case, bring the light near and upright by hand, add
// exposures from the sides once the band is off, and see the chance rise. What the physics says is not fixed here; that
// is the business of its own tests.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { desktop, picture, startBrowser, startProgram, violations } from "./browser.mjs";

/** The first answer about a tooth follows light through it; a slow machine takes its time. */
const patience = { timeout: 400_000 };

let program;
let browser;

before(async () => {
  program = await startProgram();
  browser = await startBrowser(program.origin, { acceptDownloads: true, reducedMotion: "reduce" });
  await browser.page.goto(program.link);
  await browser.page.waitForURL(`${program.origin}/`);
  await browser.page.setViewportSize(desktop);
});
after(async () => {
  await browser?.stop();
  await program?.stop();
});

const chances = [];

/** Waits for an answer as well as it can be told, and gives its chance in percent. */
async function answered() {
  const { page } = browser;
  await page.waitForFunction(
    () => {
      const state = document.querySelector(".state");
      return state !== null && !state.textContent.includes("…");
    },
    undefined,
    patience,
  );
  const text = await page.textContent(".state");
  const chance = Number(/cures through:\s*(?:under )?(\d+)\s%/.exec(text)[1]);
  chances.push(`${text.trim().replaceAll(/\s+/g, " ")}`);
  return { chance, text };
}

test("the poor demo case is under-cured", patience, async () => {
  const { page } = browser;
  await page.goto(`${program.origin}/restoration`);
  await page.getByRole("link", { name: "distal box, far and tilted" }).click();
  // Every share that the first answer's line shows, until it is there.
  await page.evaluate(() => {
    globalThis.shares = [];
    const look = () => {
      const far = document.querySelector("main progress[value]");
      if (far && far.value !== globalThis.shares.at(-1)) globalThis.shares.push(far.value);
      if (!document.querySelector(".state")) setTimeout(look, 50);
    };
    look();
  });
  const { text } = await answered();
  const shares = await page.evaluate(() => globalThis.shares);
  console.log(`# shown on the way: ${shares.map((one) => one.toFixed(2)).join(" ")}`);
  assert.ok(shares.length > 1, "the first answer takes some seconds, and says how far it is");
  assert.deepEqual(shares, shares.toSorted((a, b) => a - b), "it never falls back");
  assert.match(text, /under-cured/);
  assert.match(await page.textContent("h1"), /stays soft/);
  assert.match(await page.getByRole("img").first().getAttribute("aria-label"), /\w/);
  await picture(page, "restoration-live-poor");
});

test("near and upright under the finger, the chance rises", patience, async () => {
  const { page } = browser;
  const before = await answered();
  const tip = page.getByRole("slider", { name: "Standoff, exposure" });
  const box = await tip.boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let step = 1; step <= 20; ++step) {
    await page.mouse.move(x - 4 * step, y + 12 * step);
    await page.waitForTimeout(30);
  }
  await page.mouse.up();
  assert.ok(Number(await tip.getAttribute("aria-valuenow")) < 1);
  const tilt = page.getByRole("slider", { name: "Tilt, exposure" });
  await tip.focus();
  await page.keyboard.press("Home");
  await tilt.focus();
  await page.keyboard.press("Home");
  assert.equal(await tilt.getAttribute("aria-valuetext"), "upright");
  const after = await answered();
  assert.ok(after.chance > before.chance + 10, `${before.text} -> ${after.text}`);
  await picture(page, "restoration-live-upright");
});

test("from both sides once the band is off, it does not fall", patience, async () => {
  const { page } = browser;
  const before = await answered();
  await page.getByRole("button", { name: "Add: from buccal, band off" }).click();
  await page.getByRole("button", { name: "Add: from lingual, band off" }).click();
  const after = await answered();
  assert.ok(after.chance >= before.chance, `${before.text} -> ${after.text}`);
  assert.match(after.text, /through-cured|uncertain/);
  assert.deepEqual(await violations(page), []);
  await picture(page, "restoration-live-sides");
});

test("it becomes a case file", patience, async () => {
  const { page } = browser;
  const download = page.waitForEvent("download");
  await page.getByRole("button", { name: "Save the case as a file" }).click();
  const text = await readFile(await (await download).path(), "utf8");
  assert.equal(text.match(/\[\[exposure\]\]/g).length, 6);
  assert.match(text, /from = "buccal"/);
});

test("the tooth in 3-D comes from the same scene", patience, async () => {
  const { page } = browser;
  await page.getByText("The tooth in 3-D").click();
  await page.waitForSelector(".side", patience);
  await picture(page, "restoration-live-solid");
  console.log(`# ${chances.join(" | ")}`);
  assert.deepEqual(browser.faults, []);
  assert.deepEqual(browser.strangers, []);
});
