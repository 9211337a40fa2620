// Taking a check on a phone: light, looks, number, result; and the queue when the connection drops, the page is loaded
// anew, the server dies between commit and reply, and two tabs are open. The records' answers come from a small model.
import assert from "node:assert/strict";
import { after, before, beforeEach, test } from "node:test";
import { desktop, fitsAcross, phone, picture, startBrowser, startProgram, tooSmall, violations } from "./browser.mjs";
import { mockFleet, mockRecords, sessionOf, sheetAt } from "./records_mock.mjs";

let program;
let browser;
let records;

before(async () => {
  program = await startProgram();
  browser = await startBrowser(program.origin, { viewport: phone, hasTouch: true, reducedMotion: "reduce" });
  await browser.page.goto(program.link);
  await browser.page.waitForURL(`${program.origin}/`);
  records = await mockRecords(browser.page);
  await mockFleet(browser.page);
});
after(async () => {
  await browser?.stop();
  await program?.stop();
});
beforeEach(async () => {
  if (!program) return;
  const { page } = browser;
  await page.context().setOffline(false);
  await page.setViewportSize(phone);
  Object.assign(records, { how: "", sheetGone: false, session: sessionOf("A. Assistant", 1), sheet: sheetAt() });
  await page.goto(`${program.origin}/lights`);
  await page.waitForSelector("main h1");
  await page.evaluate(
    () =>
      new Promise((resolve, reject) => {
        const asked = indexedDB.open("throughcure");
        asked.onsuccess = () => {
          const change = asked.result.transaction(["acts", "things"], "readwrite");
          change.objectStore("acts").clear();
          change.objectStore("things").clear();
          change.oncomplete = () => {
            asked.result.close();
            resolve();
          };
        };
        asked.onerror = () => reject(asked.error);
      }),
  );
  Object.assign(records, { posts: [], committed: [], byKey: new Map() });
});

/** What this device keeps, as it stands in its database. */
const kept = () =>
  browser.page.evaluate(
    () =>
      new Promise((resolve, reject) => {
        const asked = indexedDB.open("throughcure");
        asked.onsuccess = () => {
          const all = asked.result.transaction("acts").objectStore("acts").getAll();
          all.onsuccess = () => {
            asked.result.close();
            resolve(all.result);
          };
        };
        asked.onerror = () => reject(asked.error);
      }),
  );

const tap = (name) => browser.page.locator("label", { hasText: name }).first().tap();
const button = (name) => browser.page.getByRole("button", { name, exact: true });

async function open(id) {
  await browser.page.goto(`${program.origin}/check?light=${id}`);
  await browser.page.waitForSelector(`text=Light ${id}: look at it first`);
}

async function looks() {
  await tap("clean and whole");
  await tap("none on");
  await tap("standard, as always");
}

async function number(digits) {
  for (const digit of digits) await button(digit).tap();
  await button("Done").tap();
}

async function check(id, digits) {
  await open(id);
  await looks();
  await button("To the number").tap();
  await number(digits);
}

/** Waits until what is asked for is so. */
async function until(what, because) {
  for (let i = 0; i < 200; ++i) {
    if (await what()) return;
    await browser.page.waitForTimeout(50);
  }
  assert.fail(because);
}

test("from the list, what is due first, with seven taps and a number to the result", async () => {
  const { page } = browser;
  await page.goto(`${program.origin}/check`);
  await page.waitForSelector("text=Which light is checked?");
  const names = await page.locator("main li .name").allTextContents();
  assert.deepEqual(names, ["Light 2", "Light 4", "Light 3", "Light 1", "Light 5"]);
  assert.match(await page.locator("main li").first().textContent(), /watch.*3 days overdue/s);
  await page.getByRole("link", { name: /Light 3/ }).tap();
  await page.waitForURL(`${program.origin}/check?light=3`);
  assert.equal(await page.evaluate(() => document.activeElement?.tagName), "H1");
  assert.match(await page.textContent("summary"), /Room 1 · Radiometer A · 8 mm/);
  assert.equal(await page.locator("main input[type=radio]:checked").count(), 0, "no look is taken by default");
  await looks();
  await tap("full");
  await button("To the number").tap();
  assert.equal(await page.evaluate(() => document.activeElement?.id), "check-number");
  assert.equal(await page.getAttribute("#check-number", "inputmode"), "none", "the system's keys stay away");
  assert.match(await page.textContent("main"), /Orange shield between light and eyes/);
  await number("940");
  await page.waitForSelector("text=Light 3 gives 94 % of its baseline: fit for use.");
  assert.equal(await page.evaluate(() => document.activeElement?.tagName), "H1");
  assert.match(await page.locator("svg[role=img]").getAttribute("aria-label"), /940 mW\/cm².*limit 500, baseline 1,000, caution 2,000/);
  const [{ body, ticket }] = records.committed;
  assert.equal(ticket, "ticket-of-1");
  assert.deepEqual(
    [body.light, body.tip, body.radiometer, body.room, body.mode, body.shown_mw_cm2, body.battery, body.purpose],
    [3, 13, 1, 1, "standard", 940, 1, "check"],
  );
  assert.deepEqual([body.tip_clean, body.tip_whole, body.barrier_on], [true, true, false]);
  assert.deepEqual([body.barrier_smooth, body.vents_clear, body.disinfected], [null, null, null], "not looked at: null");
  await until(async () => (await kept()).length === 0, "what was seen is kept no longer");
});

test("what is missing is said where it is, and by keyboard alone it goes as well", async () => {
  const { page } = browser;
  await open(3);
  await button("To the number").focus();
  await page.keyboard.press("Enter");
  await until(() => page.evaluate(() => document.activeElement?.id === "check-tip-look"), "one is led to the first one");
  assert.match(await page.textContent("main"), /Say whether a barrier is on/);
  assert.deepEqual(await violations(page), []);
  await page.keyboard.press("Space");
  assert.ok(await page.locator("#check-tip-look").isChecked());
  await page.keyboard.press("Space");
  assert.ok(!(await page.locator("#check-tip-look").isChecked()), "a second one takes the look back");
  await page.keyboard.press("Space");
  for (const id of ["check-barrier-look", "check-mode"]) {
    await page.locator(`#${id}`).focus();
    await page.keyboard.press("Space");
  }
  await button("To the number").focus();
  await page.keyboard.press("Enter");
  await page.keyboard.type("8x7");
  await page.keyboard.press("Backspace");
  await page.keyboard.type("81");
  await page.keyboard.press("Enter");
  await page.waitForSelector("text=Light 3 gives 88 % of its baseline");
  assert.equal(records.committed[0].body.shown_mw_cm2, 881);
});

test("below the limit it is taken once more with what is asked said first, and then it has failed", async () => {
  const { page } = browser;
  await open(2);
  await tap("not clean");
  assert.match(await page.textContent("main"), /Clean it as its maker says/);
  await tap("snug, smooth");
  await tap("Plastic sleeve");
  await tap("standard, as always");
  await button("To the number").tap();
  await number("430");
  await page.waitForSelector("text=gives less than the limit");
  assert.deepEqual(await violations(page), []);
  await picture(page, "check-result-again-phone");
  await button("Take it once more").tap();
  assert.equal(await page.evaluate(() => document.activeElement?.id), "check-number");
  assert.match(await page.textContent("main"), /The tip is clean, no barrier is on, the battery is full, mode standard/);
  await picture(page, "check-once-more-phone");
  await number("420");
  await page.waitForSelector("text=Say above that it is so");
  assert.equal(records.committed.length, 1, "nothing is sent that nobody said");
  await page.getByRole("checkbox").tap();
  await button("Done").tap();
  await page.waitForSelector("text=Light 2 has failed");
  assert.equal(await page.getByRole("link", { name: "See which restorations are in doubt" }).getAttribute("href"), "/look-back/7");
  const [first, second] = records.committed.map((one) => one.body);
  assert.deepEqual([first.tip_clean, first.tip_whole, first.barrier_on, first.barrier], [false, null, true, 1]);
  assert.deepEqual([second.tip_clean, second.barrier_on, second.battery, second.tip_whole], [true, false, 1, null]);
  await picture(page, "check-result-failed-phone");
});

test("an alarm of the charts is told beside a good reading, and one that only the barrier raised asks for a reading without", async () => {
  const { page } = browser;
  await open(1);
  await tap("clean and whole");
  await tap("snug, smooth");
  await tap("Plastic sleeve");
  await tap("standard, as always");
  await tap("full");
  await button("To the number").tap();
  await number("880");
  await page.waitForSelector("h1:has-text('Good: 880 mW/cm2, 88 % of its baseline.')");
  const said = await page.textContent("main");
  assert.match(said, /watch: It has been drifting down since 2026-08-03\./);
  assert.match(said, /Take one more reading without the barrier: only readings with it on say so\./);
  assert.deepEqual(await violations(page), []);
  assert.deepEqual(await tooSmall(page), []);
  assert.ok(await fitsAcross(page));
  await picture(page, "check-result-alarm-phone");
  await button("Take it once more").tap();
  await page.waitForSelector("text=no barrier is on");
  await number("960");
  await page.waitForSelector("text=Say above that it is so");
  await page.getByRole("checkbox").tap();
  await button("Done").tap();
  await page.waitForSelector("text=Light 1 gives 96 % of its baseline: fit for use.");
  assert.doesNotMatch(await page.textContent("main"), /drifting/);
  assert.equal(records.committed[1].body.barrier_on, false);
});

test("a light without tips or mode says what is needed", async () => {
  const { page } = browser;
  await open(4);
  await tap("clean and whole");
  await tap("none on");
  await button("To the number").tap();
  await page.waitForSelector("text=This light has no tip on record");
  assert.deepEqual(await violations(page), []);
  assert.deepEqual(await tooSmall(page), []);
  assert.ok(await fitsAcross(page));
  await picture(page, "check-without-tips-phone");
  await page.goto(`${program.origin}/check?light=99`);
  await page.waitForSelector("text=This light is not on the list");
  records.session = sessionOf("V. Viewer", 9, "viewer");
  await page.goto(`${program.origin}/check?light=3`);
  await page.waitForSelector("text=A viewer looks on");
});

test("without a connection a check is begun and taken, says so, and goes in once by itself with its own time", async () => {
  const { page } = browser;
  await page.goto(`${program.origin}/check`);
  await page.waitForSelector("text=Which light is checked?");
  await page.context().setOffline(true);
  records.how = "gone";
  records.sheetGone = true;
  await page.getByRole("link", { name: /Light 3/ }).tap();
  await page.waitForSelector("text=No connection now: this is the list as it was kept");
  await looks();
  await button("To the number").tap();
  const before = Date.now();
  await number("910");
  await page.waitForSelector("text=Not sent yet");
  assert.equal(await page.textContent("h1"), "Light 3 shows 910\u00a0mW/cm², 91\u00a0% of its baseline.");
  assert.match(await page.textContent("header"), /1 check waits to be sent/);
  assert.deepEqual(await violations(page), []);
  await picture(page, "check-not-sent-phone");
  assert.equal(records.committed.length, 0);
  await page.waitForTimeout(1500);
  records.how = "";
  records.sheetGone = false;
  await page.context().setOffline(false);
  await page.waitForSelector("text=Light 3 gives 91 % of its baseline: fit for use.");
  assert.equal(records.committed.length, 1);
  const { body } = records.committed[0];
  assert.ok(Math.abs(Date.parse(body.taken_at) - before) < 2000, "the time it was taken, not the time it was sent");
  assert.doesNotMatch(await page.textContent("header"), /waits/);
  browser.faults.length = 0; // the browser itself reports what it could not fetch
});

test("what waits survives a reload, and is sent in order under whoever took it though another signed in", async () => {
  const { page } = browser;
  records.how = "gone";
  for (const [id, digits] of [["3", "930"], ["1", "920"]]) {
    await check(id, digits);
    await page.waitForSelector("text=Not sent yet");
  }
  assert.deepEqual((await kept()).map((one) => one.about), ["Light 3", "Light 1"]);
  await page.goto("about:blank");
  records.session = sessionOf("B. Other", 2);
  records.how = "";
  await page.goto(`${program.origin}/lights`);
  await until(() => records.committed.length === 2, "both are sent when the page is loaded again");
  assert.deepEqual(records.committed.map((one) => [one.body.light, one.ticket]), [[3, "ticket-of-1"], [1, "ticket-of-1"]]);
  assert.equal(records.posts.at(-1).token, "token-of-2", "by the session that is open now");
  await page.waitForSelector("text=2 checks went in, not seen yet");
  await page.getByRole("link", { name: "2 checks went in" }).tap();
  await page.waitForSelector("text=Light 1 gives 92 % of its baseline");
  assert.deepEqual(await violations(page), []);
  await picture(page, "check-waiting-answered-phone");
  await page.getByRole("button", { name: /^Seen: Light 3/ }).tap();
  await page.getByRole("button", { name: /^Seen: Light 1/ }).tap();
  await page.waitForSelector("text=Nothing waits on this device");
  assert.deepEqual(await kept(), []);
  browser.faults.length = 0;
});

test("the server dies between commit and reply: the retry carries the same key, and the check counts once", async () => {
  const { page } = browser;
  records.how = "dies";
  await check(3, "905");
  await page.waitForSelector("text=Not sent yet");
  await until(() => records.posts.length >= 2, "it is tried again");
  assert.equal(records.committed.length, 1);
  assert.equal((await kept()).length, 1, "for all the page knows it is not in");
  await page.reload();
  records.how = "";
  await until(async () => (await kept())[0]?.answer !== undefined, "the retry brings the answer");
  assert.equal(records.committed.length, 1);
  assert.equal(new Set(records.posts.map((one) => one.key)).size, 1);
  assert.match(records.posts[0].key, /^[A-Za-z0-9_-]{16,64}$/);
  browser.faults.length = 0;
});

test("signed out, it is kept and asks for a sign-in", async () => {
  const { page } = browser;
  await open(3);
  await looks();
  await button("To the number").tap();
  records.how = "signed out";
  await number("915");
  await page.waitForSelector("text=goes in once somebody has signed in");
  assert.equal(await page.getByRole("link", { name: "Sign in" }).getAttribute("href"), "/sign-in?to=%2Fcheck%3Flight%3D3");
  assert.equal((await kept()).length, 1);
  await page.waitForTimeout(1000);
  assert.ok(records.posts.length <= 4, `it is left alone until then, not sent ${records.posts.length} times`);
  records.how = "";
  records.session = sessionOf("B. Other", 2);
  await page.goto(`${program.origin}/lights`);
  await until(() => records.committed.length === 1, "it goes in");
  assert.equal(records.committed[0].ticket, "ticket-of-1");
  browser.faults.length = 0;
});

test("where a viewer is signed in it waits for somebody who may send it", async () => {
  const { page } = browser;
  await open(3);
  await looks();
  await button("To the number").tap();
  records.session = sessionOf("V. Viewer", 9, "viewer");
  records.how = "may not";
  await number("917");
  await page.waitForSelector("text=goes in once somebody has signed in");
  await page.waitForTimeout(1000);
  assert.ok(records.posts.length <= 4, `not sent ${records.posts.length} times`);
  assert.equal((await kept())[0].refused, undefined, "nothing is wrong with it");
  browser.faults.length = 0;
});

test("what is not taken says what is wrong, and is kept until a person throws it away", async () => {
  const { page } = browser;
  records.how = "refuses";
  await check(3, "99999");
  await page.waitForSelector("text=This check was not taken");
  const said = await page.textContent("main");
  assert.equal(said.match(/99999 is more than a radiometer shows\. Read it again\./g).length, 1, "once");
  await page.getByRole("link", { name: "See what waits" }).tap();
  await page.waitForSelector("text=1 check was not taken");
  await picture(page, "check-refused-phone");
  records.how = "";
  await page.reload();
  await page.waitForSelector("text=1 check was not taken");
  await page.getByRole("button", { name: /^Throw away: Light 3, 99,999/ }).tap();
  assert.equal((await kept()).length, 1, "asked once more first");
  assert.deepEqual(await violations(page), []);
  await page.getByRole("button", { name: /^Throw away: Light 3, 99,999/ }).tap();
  await page.waitForSelector("text=Nothing waits on this device");
  assert.equal(records.committed.length, 0);
  browser.faults.length = 0;
});

test("a browser that keeps nothing sends all the same, and says to leave the page open while it cannot", async () => {
  const { page } = browser;
  const other = await page.context().newPage();
  await other.addInitScript(() => Object.defineProperty(globalThis, "indexedDB", { value: undefined }));
  const model = await mockRecords(other);
  await mockFleet(other);
  model.how = "gone";
  await other.goto(`${program.origin}/check?light=3`);
  for (const look of ["clean and whole", "none on", "standard, as always"]) {
    await other.locator("label", { hasText: look }).first().tap();
  }
  await other.getByRole("button", { name: "To the number" }).tap();
  await other.keyboard.type("925");
  await other.keyboard.press("Enter");
  await other.waitForSelector("text=it is kept while this page is open");
  model.how = "";
  await other.waitForSelector("text=Light 3 gives 93 % of its baseline");
  assert.equal(model.committed.length, 1);
  await other.close();
});

test("where the browser closed the database under an open page, it is opened again", async () => {
  const { page } = browser;
  await open(3);
  await page.evaluate(
    () =>
      new Promise((resolve, reject) => {
        const asked = indexedDB.deleteDatabase("throughcure");
        asked.onsuccess = resolve;
        asked.onerror = () => reject(asked.error);
      }),
  );
  records.how = "gone";
  await looks();
  await button("To the number").tap();
  await number("944");
  await page.waitForSelector("text=Not sent yet");
  assert.equal((await kept()).length, 1);
  records.how = "";
  await page.waitForSelector("text=Light 3 gives 94 % of its baseline");
  browser.faults.length = 0; // the browser itself reports what it could not fetch
});

test("the list shows the room that was chosen the last time", async () => {
  const { page } = browser;
  await page.goto(`${program.origin}/check`);
  await page.getByRole("combobox", { name: "Room" }).selectOption("Room 2, upstairs");
  await page.reload();
  await page.waitForSelector("text=Which light is checked?");
  assert.deepEqual(await page.locator("main li .name").allTextContents(), ["Light 4", "Light 5"]);
  await page.getByRole("combobox", { name: "Room" }).selectOption("All rooms");
});

for (const locks of [true, false]) {
  test(`two tabs send it once, ${locks ? "by the browser's locks" : "by a note in the database, as on plain http"}`, async () => {
    const { page } = browser;
    const context = page.context();
    records.how = "gone";
    await check(3, "925");
    await page.waitForSelector("text=Not sent yet");
    await page.goto("about:blank");
    const two = [await context.newPage(), await context.newPage()];
    const model = await Promise.all(two.map((one) => mockRecords(one)));
    await Promise.all(two.map((one) => mockFleet(one)));
    const posts = [];
    for (const [i, one] of two.entries()) {
      if (!locks) await one.addInitScript(() => Object.defineProperty(navigator, "locks", { value: undefined }));
      await one.route("**/api/checks", async (route) => {
        posts.push(route.request().headers()["idempotency-key"]);
        await new Promise((resolve) => setTimeout(resolve, 400));
        return route.fallback();
      });
      await one.goto(`${program.origin}/lights`, { waitUntil: i === 0 ? "commit" : "load" });
    }
    await two[0].waitForSelector("text=1 check went in");
    await two[1].waitForSelector("text=1 check went in");
    await page.waitForTimeout(500);
    assert.equal(posts.length, 1, "one tab alone sent it");
    assert.equal(model.reduce((sum, one) => sum + one.committed.length, 0), 1);
    await Promise.all(two.map((one) => one.close()));
    browser.faults.length = 0;
  });
}

for (const [name, size] of [
  ["phone", phone],
  ["desktop", desktop],
]) {
  for (const colorScheme of ["light", "dark"]) {
    test(`on a ${name}, in ${colorScheme}, each step fits, is large enough for a glove, and axe finds nothing`, async () => {
      const { page } = browser;
      await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
      await page.setViewportSize(size);
      const look = async (step) => {
        assert.ok(await fitsAcross(page), step);
        assert.deepEqual(await violations(page), [], step);
        assert.deepEqual(await tooSmall(page), [], step);
        await picture(page, `check-${step}-${name}-${colorScheme}`);
      };
      await page.goto(`${program.origin}/check`);
      await page.waitForSelector("text=Which light is checked?");
      await look("list");
      await open(3);
      await look("looks");
      await looks();
      await tap("full");
      await look("looked");
      await button("To the number").tap();
      await look("keys");
      await number("940");
      await page.waitForSelector("text=fit for use");
      await look("result");
      await page.emulateMedia({ colorScheme: "light" });
    });
  }
}

test("nothing went wrong inside, and nobody else was asked for anything", () => {
  assert.deepEqual(browser.faults, []);
  assert.deepEqual(browser.strangers, []);
});
