// The screen of one light, fed with a document whose values are known.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import {
  crowdedWords,
  desktop,
  fitsAcross,
  phone,
  picture,
  startBrowser,
  startProgram,
  tooSmall,
  violations,
} from "./browser.mjs";
import { light, onAxis, rows } from "./light_document.mjs";

const sentence =
  "This tip, 8\u00a0mm wide, gives 1,000\u00a0mW/cm²; at 8\u00a0mm distance 41\u00a0% of the irradiance on its axis is left.";

let program;
let browser;

before(async () => {
  program = await startProgram();
  browser = await startBrowser(program.origin, { acceptDownloads: true });
  await browser.page.goto(program.link);
  await browser.page.waitForURL(`${program.origin}/`);
  await browser.page.route("**/api/lights", (route) => route.fulfill({ json: { lights: rows } }));
  await browser.page.route(`**/api/lights/${light.id}`, (route) => route.fulfill({ json: light }));
});
after(async () => {
  await browser?.stop();
  await program?.stop();
});

/** What a button of the page hands over to be kept. */
async function kept(name) {
  const download = browser.page.waitForEvent("download");
  await browser.page.getByRole("button", { name }).click();
  const file = await download;
  return { name: file.suggestedFilename(), text: await readFile(await file.path(), "utf8") };
}

test("from the list to the light: the sentence is the heading, and is read first", async () => {
  const { page } = browser;
  await page.goto(`${program.origin}/lights`);
  await page.waitForSelector("text=2 lights; one file cannot be read");
  assert.match(await page.textContent("main"), /-8 is below the least allowed/);
  await page.getByRole("link", { name: light.name }).click();
  await page.waitForURL(`${program.origin}/lights/${light.id}`);
  await page.waitForSelector("svg");
  assert.equal(await page.textContent("h1"), sentence);
  assert.equal(await page.evaluate(() => document.activeElement?.tagName), "H1");
  assert.equal(await page.title(), `${light.name} · throughcure`);
});

test("the pictures say what they show, with labels on what they name", async () => {
  const { page } = browser;
  const said = await page.getByRole("img").evaluateAll((all) => all.map((one) => one.getAttribute("aria-label")));
  assert.equal(said.length, 3);
  assert.match(said[0], /^Map of the beam at the tip: 1,400\s?mW/);
  assert.match(said[1], /41\s% of that at 8 mm/);
  assert.match(said[2], /peak at 458 nm; 100\s% of the power lies from 385 to 515 nm, under 1\s% below/);
  const map = await page.getByRole("img").nth(0).locator("text").allTextContents();
  for (const label of ["400", "1,200", "mW/cm²", "tip, 8\u00a0mm", "8", "mm"]) assert.ok(map.includes(label), label);
  assert.equal(await page.getByRole("img").nth(1).locator("circle.raw").count(), 6, "raw readings are always visible");
});

test("isolines stand where the values are", async () => {
  // At 400 mW/cm2 the spot's own law, on the line through its middle to the right, gives x = 0.6 + s sqrt(2 ln 3.5) =
  // 4.4 mm, outside the tip: the line must follow the tip's edge, 4 mm, to within half a pixel and the soft edge.
  const { page } = browser;
  const reach = await page
    .getByRole("img")
    .nth(0)
    .evaluate((map) => {
      const level = [...map.querySelectorAll("text")].findIndex((one) => one.textContent === "400");
      const texts = [...map.querySelectorAll("text.label")].map((one) => one.textContent);
      const lines = [...map.querySelectorAll("path.on-dark, path.on-light")];
      const box = lines[texts.indexOf("400")].getBBox();
      const tip = map.querySelector("circle.tip");
      const pxPerMm = Number(tip.getAttribute("r")) / 4;
      return level < 0 ? NaN : (box.x + box.width - Number(tip.getAttribute("cx"))) / pxPerMm;
    });
  assert.ok(Math.abs(reach - 4) < 0.2, `the line of 400 mW/cm2 reaches ${reach} mm`);
});

test("numbers are folded until asked, by keyboard too", async () => {
  const { page } = browser;
  assert.equal(await page.locator("table").isVisible(), false);
  await page.locator("summary").focus();
  await page.keyboard.press("Enter");
  assert.equal(await page.locator("table").isVisible(), true);
  const table = await page.textContent("table");
  assert.match(table, /Radiant exitance\s*1,000\s?mW\/cm²\s*895 to 1,110/);
  assert.match(table, /ISO 11146-1 \(standard\)/);
  assert.deepEqual(await violations(page), []);
});

test("a plot can be kept as SVG and as CSV", async () => {
  const svg = await kept("Save as SVG: What distance costs");
  assert.equal(svg.name, "demo-light-blue-and-violet-what-distance-costs.svg");
  assert.match(svg.text, /^<\?xml[^>]*\?>\s*<svg [^>]*xmlns="http:\/\/www.w3.org\/2000\/svg"/);
  assert.doesNotMatch(svg.text, /class=|var\(/, "it stands by itself");
  assert.match(svg.text, /41\s% left at 8\s?mm/);
  const csv = await kept("Save as CSV: What distance costs");
  const lines = csv.text.split("\r\n");
  assert.equal(lines[0], "distance [mm],irradiance [mW/cm2],kind");
  assert.equal(lines[1], `0,${onAxis(0)},model`);
  assert.equal(lines.filter((line) => line.endsWith(",measured")).length, 6);
  assert.equal((await kept("Save as CSV: The beam at the tip")).text.split("\r\n").length, 81 * 81 + 2);
  assert.equal((await kept("Save as CSV: The spectrum")).text.split("\r\n").length, 181 + 2);
});

for (const [name, size] of [
  ["phone", phone],
  ["desktop", desktop],
]) {
  for (const colorScheme of ["light", "dark"]) {
    test(`on a ${name}, in ${colorScheme}, it fits and axe finds nothing`, async () => {
      const { page } = browser;
      await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
      await page.setViewportSize(size);
      await page.goto(`${program.origin}/lights/${light.id}`);
      await page.waitForSelector("svg");
      assert.ok(await fitsAcross(page));
      assert.deepEqual(await violations(page), []);
      await picture(page, `light-${name}-${colorScheme}`);
      assert.deepEqual(await crowdedWords(page), []);
      assert.deepEqual(await tooSmall(page), []);
    });
  }
}

test("the demo's own light is drawn with its words apart, on a phone too", async () => {
  const { page } = browser;
  await page.unroute(`**/api/lights/${light.id}`);
  for (const size of [phone, desktop]) {
    await page.setViewportSize(size);
    await page.goto(`${program.origin}/lights/demo-light`);
    await page.waitForSelector("text=left at 8 mm");
    assert.deepEqual(await crowdedWords(page), []);
    await picture(page, `light-demo-${size.width}`);
  }
});

test("a light that is not there is said in a sentence", async () => {
  const { page } = browser;
  await page.goto(`${program.origin}/lights/none`);
  await page.waitForSelector("text=This light cannot be shown");
  await page.getByRole("link", { name: "Go to all lights" }).click();
  await page.waitForSelector("text=2 lights");
  browser.faults.length = 0; // the browser itself reports the 404
});

test("when the program is gone the page says what to do", async () => {
  const { page } = browser;
  await program.stop();
  await page.getByRole("link", { name: light.name }).click();
  await page.unroute("**/api/lights");
  await page.getByRole("link", { name: "Lights", exact: true }).click();
  await page.waitForSelector("text=The program does not answer");
  program = undefined;
});

test("nobody else was asked for anything", () => assert.deepEqual(browser.strangers, []));
