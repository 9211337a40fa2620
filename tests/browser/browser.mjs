// What the browser tests share: the program started on a free port with a demo folder of its own, and a browser with a
// profile of its own that has signed in.
import { spawn } from "node:child_process";
import { mkdir, mkdtemp, readFile, rm } from "node:fs/promises";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";

// The packages are those of the page's own package.json.
const require = createRequire(new URL("../../web/package.json", import.meta.url));
const { chromium } = require("playwright-core");
const axePath = require.resolve("axe-core/axe.min.js");

export const phone = { width: 390, height: 844 };
export const desktop = { width: 1280, height: 800 };

const program = process.env.THROUGHCURE_PROGRAM;
const screenshots = process.env.THROUGHCURE_SCREENSHOTS;

/** Starts `throughcure serve --demo`; `link` signs in once, `origin` is where it listens. */
export async function startProgram() {
  return start(["--demo"]);
}

/** Starts `throughcure serve` on an empty folder: a practice that is new. `code` makes its lead's account. */
export async function startPractice() {
  const started = await start([]);
  const code = started.said.match(/code (\S+)/)?.[1];
  if (!code) throw new Error("the program printed no code");
  return { ...started, code };
}

async function start(how) {
  const folder = await mkdtemp(join(tmpdir(), "throughcure-browser-"));
  const child = spawn(program, ["serve", ...how, "--port", "0", "--data", join(folder, "demo")], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  const lines = createInterface({ input: child.stdout })[Symbol.asyncIterator]();
  const said = (await lines.next()).value ?? "";
  const link = said.match(/http:\S+/)?.[0];
  if (!link) throw new Error("the program printed no link");
  return {
    said,
    link,
    origin: new URL(link).origin,
    data: join(folder, "demo"),
    async stop() {
      const ended = new Promise((resolve) => child.once("exit", resolve));
      child.kill("SIGTERM");
      const status = await ended;
      await rm(folder, { recursive: true, force: true });
      return status;
    },
  };
}

/** A browser with an empty profile. Whatever it asks for beside `origin` fails the test that looks at `strangers`. */
export async function startBrowser(origin, options = {}) {
  const profile = await mkdtemp(join(tmpdir(), "throughcure-profile-"));
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: "/usr/bin/chromium",
    headless: true,
    viewport: desktop,
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--enable-unsafe-swiftshader",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
    ...options,
  });
  const page = context.pages()[0] ?? (await context.newPage());
  const faults = [];
  const strangers = [];
  page.on("pageerror", (error) => faults.push(String(error)));
  page.on("console", (message) => {
    if (message.type() === "error") faults.push(message.text());
  });
  page.on("request", (request) => {
    const url = request.url();
    if (!url.startsWith(`${origin}/`) && !url.startsWith("blob:")) strangers.push(url);
  });
  return {
    page,
    faults,
    strangers,
    async stop() {
      await context.close();
      await rm(profile, { recursive: true, force: true });
    },
  };
}

/** Makes the lead's account of a new practice, and signs the page's browser in as the lead. */
export async function beginPractice(page, practice, name = "B. Lead", password = "a kettle under the stairs") {
  await page.goto(`${practice.origin}/sign-in`);
  const status = await page.evaluate(
    async (body) =>
      (
        await fetch("/api/door/begin", {
          method: "POST",
          headers: { "content-type": "application/json" },
          body: JSON.stringify(body),
        })
      ).status,
    {
      code: practice.code,
      name,
      sign_in_name: "lead",
      password,
      site: { name: "Main site", time_zone: "Europe/Lisbon" },
    },
  );
  if (status !== 201) throw new Error(`the practice was not begun: ${status}`);
}

/** A change sent beside the page, as from another device of the person who is signed in. */
export async function change(page, method, path, body) {
  return page.evaluate(
    async ([method, path, body]) => {
      const session = await (await fetch("/api/session")).json();
      const answer = await fetch(path, {
        method,
        headers: { "content-type": "application/json", "x-throughcure-token": session.page_token },
        body: JSON.stringify(body),
      });
      return { status: answer.status, body: answer.status === 204 ? null : await answer.json() };
    },
    [method, path, body],
  );
}

/**
 * Looks at a view as it is, on a phone and a desk, light and dark, at 320 px and in forced colours: what axe-core finds,
 * what sticks out to the right, what a glove would miss; nothing where all is well.
 */
export async function lookAt(page, name) {
  const wrong = [];
  for (const [size, on] of [
    [phone, "phone"],
    [desktop, "desktop"],
  ]) {
    await page.setViewportSize(size);
    for (const colorScheme of ["light", "dark"]) {
      await page.emulateMedia({ colorScheme });
      wrong.push(...(await violations(page)).map((one) => `${name}, ${on}, ${colorScheme}: ${one}`));
      await picture(page, `${name}-${on}-${colorScheme}`);
    }
    if (!(await fitsAcross(page))) wrong.push(`${name} sticks out to the right on a ${on}`);
    wrong.push(...(await tooSmall(page)));
  }
  await page.setViewportSize({ width: 320, height: 640 });
  if (!(await fitsAcross(page))) wrong.push(`${name} sticks out to the right at 320 px`);
  await page.setViewportSize(desktop);
  await page.emulateMedia({ colorScheme: "light", forcedColors: "active" });
  await picture(page, `${name}-forced`);
  await page.emulateMedia({ colorScheme: "light", forcedColors: "none" });
  return wrong;
}

/** What axe-core finds wrong with the page as it is now, in one line each. */
export async function violations(page) {
  // Run from a context of the debugger, not from a script element: the page allows none but its own.
  await page.evaluate(await readFile(axePath, "utf8"));
  const result = await page.evaluate(() =>
    globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }),
  );
  return result.violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.target.join(" ")).join("; ")}`);
}

/** Keeps a picture of the whole page in the build folder, for a person to look at. */
export async function picture(page, name) {
  if (!screenshots) return;
  await mkdir(screenshots, { recursive: true });
  await page.screenshot({ path: join(screenshots, `${name}.png`), fullPage: true });
}

/** Whether nothing sticks out of the page to the right. */
export function fitsAcross(page) {
  return page.evaluate(() => document.documentElement.scrollWidth <= document.documentElement.clientWidth);
}

/** What a glove would miss: things to touch in the view that are less than 44 px high or wide. */
export function tooSmall(page) {
  return page.locator(":is(a, button, summary, select, input, [role=slider]):visible").evaluateAll((all) =>
    all
      .map((one) => (one.matches("[type=checkbox]") ? one.closest("label") : one))
      .filter((one) => !one.matches(".skip"))
      .filter((one) => {
        const { width, height } = one.getBoundingClientRect();
        return width < 44 || height < 44;
      })
      .map((one) => one.outerHTML),
  );
}

/** Words of the pictures that lie over one another, or out of their picture; each letter keeps a pixel of its own. */
export function crowdedWords(page) {
  return page.locator("svg[role=img]").evaluateAll((all) =>
    all.flatMap((svg) => {
      const frame = svg.getBoundingClientRect();
      const texts = [...svg.querySelectorAll("text")].map((text) => ({
        words: text.textContent,
        // The line's room above and below the letters is free to overlap.
        box: ((box) => ({ left: box.left + 1, right: box.right - 1, top: box.top + 3, bottom: box.bottom - 3 }))(
          text.getBoundingClientRect(),
        ),
      }));
      const outside = texts
        .filter(({ box }) => box.left < frame.left - 2 || box.right > frame.right + 2)
        .map(({ words }) => `${words} is cut off`);
      const over = texts.flatMap((one, i) =>
        texts
          .slice(i + 1)
          .filter(
            ({ box }) =>
              box.left < one.box.right && one.box.left < box.right && box.top < one.box.bottom && one.box.top < box.bottom,
          )
          .map((other) => `${one.words} lies over ${other.words}`),
      );
      return [...outside, ...over];
    }),
  );
}
