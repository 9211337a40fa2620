// The door, against the program itself with a new practice: the first start, signing in and out, joining by a code, a
// password and a PIN of one's own, changing over on a device that stays in a room.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { change, lookAt, picture, startBrowser, startPractice } from "./browser.mjs";
import { mockFleet } from "./records_mock.mjs";

const leadPassword = "a kettle under the stairs";
const otherPassword = "seven grey umbrellas";
const pin = "290316";
let practice;
let browser;

before(async () => {
  practice = await startPractice();
  browser = await startBrowser(practice.origin, { timezoneId: "Europe/Lisbon" });
  await mockFleet(browser.page);
});
after(async () => {
  await browser?.stop();
  assert.equal(await practice?.stop(), 0);
});

const button = (name) => browser.page.getByRole("button", { name, exact: true });
const field = (label) => browser.page.getByLabel(label, { exact: true });

const look = async (name) => assert.deepEqual(await lookAt(browser.page, name), []);

test("a new practice is begun by the code of the terminal; what is wrong is said at its field", async () => {
  const { page, faults } = browser;
  await page.goto(`${practice.origin}/sign-in`);
  await page.getByRole("link", { name: "Make the lead’s account" }).click();
  await page.waitForURL(`${practice.origin}/begin`);
  assert.equal(await page.evaluate(() => document.activeElement?.tagName), "H1");
  await page.goto(`${practice.origin}/begin?code=${practice.code}`);
  await page.waitForSelector("text=Begin: make the lead’s account");
  assert.equal(await page.evaluate(() => location.search), "", "the code does not stay in the address");
  assert.equal(await field("Code from the terminal").inputValue(), practice.code);
  assert.equal(await field("Its time zone").inputValue(), "Europe/Lisbon");
  await look("begin");
  await field("Your name").fill("B. Lead");
  await field("Sign-in name").fill("lead");
  await field("Password").fill("short");
  await button("Make the account and begin").click();
  await page.waitForSelector("[aria-invalid=true]");
  assert.equal(await page.evaluate(() => document.activeElement?.id), "new-password");
  assert.match(await page.locator("#new-password-wrong").textContent(), /12/);
  await picture(page, "begin-wrong");
  faults.length = 0; // the browser itself reports the 401 and the 422
  await field("Password").fill(leadPassword);
  await button("Make the account and begin").click();
  await page.waitForURL(`${practice.origin}/`);
  await page.getByRole("link", { name: "B. Lead" }).waitFor();
});

test("a secret can be shown, pasted, and is named to what keeps passwords", async () => {
  const { page } = browser;
  await page.goto(`${practice.origin}/join?code=abc`);
  const secret = page.locator("#new-password");
  assert.equal(await secret.getAttribute("autocomplete"), "new-password");
  assert.equal(await secret.getAttribute("type"), "password");
  await page.getByRole("button", { name: "Show New password" }).click();
  assert.equal(await secret.getAttribute("type"), "text");
  await secret.focus();
  await page.keyboard.insertText("pasted as one piece");
  assert.equal(await secret.inputValue(), "pasted as one piece");
  await page.goto(`${practice.origin}/sign-in`);
  assert.equal(await page.locator("#sign-in-name").getAttribute("autocomplete"), "username");
  assert.equal(await page.locator("#password").getAttribute("autocomplete"), "current-password");
});

test("signing out leads to the sign-in, and signing in back to where one wanted to go", async () => {
  const { page, faults } = browser;
  await page.goto(`${practice.origin}/setup`);
  await button("sign out").click();
  await page.waitForURL(`${practice.origin}/sign-in`);
  assert.equal(await page.locator("nav").count(), 0);
  await page.goto(`${practice.origin}/setup/me`);
  await page.waitForURL(`${practice.origin}/sign-in?to=%2Fsetup%2Fme`);
  await page.waitForSelector("text=You go on to it from here");
  await look("sign-in");
  await field("Sign-in name").fill("lead");
  await field("Password").fill("not the one that it is");
  await button("Sign in").click();
  await page.waitForSelector("text=do not go together");
  await picture(page, "sign-in-wrong");
  await field("Password").fill(leadPassword);
  await page.getByLabel("This device stays in a room").check();
  await page.keyboard.press("Enter");
  await page.waitForURL(`${practice.origin}/setup/me`);
  faults.length = 0; // the browser itself reports the 401 and the 403
});

test("one sets a PIN and a new password; the session goes on", async () => {
  const { page, faults } = browser;
  await page.waitForSelector("text=B. Lead, lead");
  await look("me");
  await page.locator("#pin-password").fill(leadPassword);
  await page.locator("#pin").fill("123456");
  await button("Set the PIN").click();
  await page.waitForSelector("#pin-wrong");
  faults.length = 0; // the browser itself reports the 422
  await page.locator("#pin").fill(pin);
  await button("Set the PIN").click();
  await page.waitForSelector("text=The PIN is set");
  await page.locator("#old-password").fill(leadPassword);
  await page.locator("#new-password").fill(otherPassword);
  await button("Set the password").click();
  await page.waitForSelector("text=The password is set");
  // A change with the new page token goes through.
  await page.locator("#pin-password").fill(otherPassword);
  await page.locator("#pin").fill(pin);
  await button("Set the PIN").click();
  await page.waitForSelector("text=The PIN is set");
  assert.deepEqual(faults, []);
});

test("somebody joins by the lead's code on the same device, and people change over by PIN", async () => {
  const { page, faults } = browser;
  const { person } = await page.evaluate(async () => (await fetch("/api/session")).json());
  const { body: invited } = await change(page, "POST", "/api/people", {
    name: "C. Assistant",
    role: "assistant",
    site: person.site,
    everywhere: false,
    sign_in_name: "assistant",
  });
  await page.goto(`${practice.origin}/join`);
  await page.waitForSelector("text=Choose your password");
  await look("join");
  await field("Code from the lead").fill("not a code");
  await field("New password").fill(leadPassword);
  await button("Set the password and come in").click();
  await page.waitForSelector("#code-wrong");
  faults.length = 0; // the browser itself reports the 422
  await field("Code from the lead").fill(`  ${invited.code} `);
  await button("Set the password and come in").click();
  await page.waitForURL(`${practice.origin}/`);
  await page.getByRole("link", { name: "C. Assistant" }).waitFor();
  assert.equal(await page.getByRole("link", { name: "change", exact: true }).count(), 0, "no PINs on a device of one's own");

  await page.goto(`${practice.origin}/sign-in?to=%2Fsetup`);
  await field("Sign-in name").fill("assistant");
  await field("Password").fill(leadPassword);
  await page.getByLabel("This device stays in a room").check();
  await button("Sign in").click();
  await page.waitForURL(`${practice.origin}/setup`);
  await page.getByRole("link", { name: "change", exact: true }).click();
  await page.waitForSelector("text=Who takes over here?");
  await page.getByRole("button", { name: "B. Lead, lead" }).waitFor();
  await look("change-over");
  await page.getByRole("button", { name: "B. Lead, lead" }).click();
  await page.waitForSelector("text=B. Lead: your PIN");
  for (const key of "999999") await button(key).click();
  await look("pin");
  await button("Change over").click();
  await page.getByText("That is not the right one").waitFor();
  faults.length = 0; // the browser itself reports the 422
  for (const key of pin) await button(key).click();
  await button("Change over").click();
  await page.waitForURL(`${practice.origin}/`);
  await page.getByRole("link", { name: "B. Lead" }).waitFor();
});

test("a lead who came in by PIN is told what opens the lead's acts, and comes back to them", async () => {
  const { page } = browser;
  await page.goto(`${practice.origin}/setup/policy`);
  await page.waitForSelector("text=You came in by PIN. What only the lead may do asks for your password");
  await page.waitForSelector("text=as delivered");
  assert.equal(await page.getByRole("button", { name: /^Change: / }).count(), 0);
  await look("by-pin");
  await page.getByRole("link", { name: "sign in with it" }).click();
  await page.waitForURL(`${practice.origin}/sign-in?to=%2Fsetup%2Fpolicy`);
  await field("Sign-in name").fill("lead");
  await field("Password").fill(otherPassword);
  await button("Sign in").click();
  await page.waitForURL(`${practice.origin}/setup/policy`);
  await page.getByRole("button", { name: /^Change: / }).first().waitFor();
  assert.equal(await page.getByText("You came in by PIN").count(), 0);
});

test("from a check that asks for a sign-in one comes back to the check", async () => {
  const { page, faults } = browser;
  await page.getByRole("button", { name: "sign out" }).click();
  await page.waitForURL(`${practice.origin}/sign-in`);
  await page.goto(`${practice.origin}/check?light=3`);
  await page.getByRole("main").getByRole("link", { name: "Sign in" }).click();
  await page.waitForURL(`${practice.origin}/sign-in?to=%2Fcheck%3Flight%3D3`);
  await field("Sign-in name").fill("lead");
  await field("Password").fill(otherPassword);
  await button("Sign in").click();
  await page.waitForURL(`${practice.origin}/check?light=3`);
  faults.length = 0; // the browser itself reports the 401, and what a check of no light is refused
});

test("another server is never where one wanted to go", async () => {
  const { page, faults } = browser;
  await page.goto(`${practice.origin}/sign-in?to=%2F%2Felsewhere.example%2F`);
  await field("Sign-in name").fill("lead");
  await field("Password").fill(otherPassword);
  await button("Sign in").click();
  await page.waitForURL(`${practice.origin}/`);
  assert.deepEqual(faults, []);
  assert.deepEqual(browser.strangers, []);
});
