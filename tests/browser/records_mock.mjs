// The records as the server answers for them, from a model small enough to work out by hand: a light's baseline is
// 1,000 mW/cm2, a reading below the limit of 500 is asked for once more and, taken so, has failed. Keys are kept as the
// server keeps them: the same key and body get the same answer again, and count once.

const hour = 3_600_000;

/** The practice at an instant: what is due is due by this device's clock. */
export function sheetAt(now = Date.now()) {
  const iso = (hours) => new Date(now + hours * hour).toISOString();
  const light = (id, room, due, more = {}) => ({
    id,
    name: `Light ${id}`,
    serial: `S-${100 + id}`,
    room,
    state: "in use",
    mode: "standard",
    battery: true,
    tips: [{ id: 10 + id, name: "8 mm", diameter_mm: 8 }],
    last: { at: iso(due - 168), shown_mw_cm2: 950, tip: 10 + id, radiometer: 1, share: 0.95 },
    due: iso(due),
    overdue: due < 0,
    ...more,
  });
  return {
    at: iso(0),
    limits: { lower_mw_cm2: 500, upper_mw_cm2: 2000 },
    rooms: [
      { id: 1, name: "Room 1", radiometer: 1 },
      { id: 2, name: "Room 2, upstairs", radiometer: null },
    ],
    radiometers: [
      { id: 1, name: "Radiometer A", certificate_until: iso(2000), expired: false },
      { id: 2, name: "Radiometer B", certificate_until: iso(-50), expired: true },
    ],
    barriers: [
      { id: 1, name: "Plastic sleeve", pass: 0.9 },
      { id: 2, name: "Thick sleeve", pass: 0.8 },
    ],
    lights: [
      light(1, 1, 100),
      light(2, 1, -72, { state: "watch" }),
      light(3, 1, 2),
      light(4, 2, -24, { battery: false, mode: null, tips: [] }),
      light(5, 2, 50, { state: "not accepted", last: null, due: null }),
    ],
  };
}

export const sessionOf = (name, account, role = "assistant") => ({
  demo: true,
  version: "0.1.0",
  page_token: `token-of-${account}`,
  ticket: `ticket-of-${account}`,
  account,
  person: { id: account, name, role, site: 1, everywhere: false },
  by_pin: false,
  shared: true,
  pins_until: null,
});

function answerOf(body, reading) {
  const share = body.shown_mw_cm2 / 1000;
  const common = { reading, share, baseline_mw_cm2: 1000, steps: [], ask: null, look_back: null, state: "in use" };
  const name = `Light ${body.light}`;
  if (body.shown_mw_cm2 >= 500) {
    return { ...common, verdict: "good", sentence: `${name} gives ${Math.round(100 * share)} % of its baseline: fit for use.` };
  }
  if (body.tip_clean && !body.barrier_on && body.battery === 1) {
    return {
      ...common,
      verdict: "failed",
      sentence: `${name} has failed: it is withdrawn, and a look-back is open.`,
      steps: ["Take it out of the room."],
      look_back: 7,
      state: "withdrawn",
    };
  }
  return {
    ...common,
    verdict: "again",
    sentence: `${name} gives less than the limit of 500 mW/cm².`,
    steps: ["Clean the tip, take the barrier off, charge the battery."],
    ask: {
      why: "It shows less than the limit; a dirty tip, a barrier or a low battery can do that.",
      barrier_on: false,
      clean_tip: true,
      full_battery: true,
    },
    state: "watch",
  };
}

/**
 * Puts the records in the server's place. `records.how` says what becomes of the next posts: "" as usual, "dies" takes
 * the check and never answers, "gone" takes nothing, "signed out", "refuses". `records.committed` are the checks taken.
 */
export async function mockRecords(page, session = sessionOf("A. Assistant", 1)) {
  const records = { session, sheet: sheetAt(), how: "", posts: [], committed: [], byKey: new Map(), sheetGone: false };
  await page.route("**/api/session", (route) =>
    records.session ? route.fulfill({ json: records.session }) : route.fulfill({ status: 401, json: { sentence: "You are not signed in." } }),
  );
  await page.route("**/api/check-sheet", (route) => {
    if (records.sheetGone) return route.abort("connectionrefused");
    return records.session
      ? route.fulfill({ json: records.sheet })
      : route.fulfill({ status: 401, json: { sentence: "You are not signed in." } });
  });
  await page.route("**/api/checks", async (route) => {
    const headers = route.request().headers();
    const body = route.request().postDataJSON();
    const key = headers["idempotency-key"];
    records.posts.push({ key, ticket: headers["x-throughcure-ticket"], token: headers["x-throughcure-token"], body });
    if (records.how === "gone") return route.abort("connectionrefused");
    if (records.how === "signed out" || !records.session) {
      return route.fulfill({ status: 401, json: { sentence: "You are not signed in." } });
    }
    if (headers["x-throughcure-token"] !== records.session.page_token) {
      return route.fulfill({ status: 403, json: { sentence: "This page is of an earlier sign-in." } });
    }
    if (records.how === "refuses") {
      const problem = { field: "shown_mw_cm2", what: "99999 is more than a radiometer shows.", remedy: "Read it again." };
      return route.fulfill({ status: 422, json: { sentence: "This check cannot be taken as it is.", problems: [problem] } });
    }
    const known = records.byKey.get(key);
    if (!known) {
      records.committed.push({ key, body, ticket: headers["x-throughcure-ticket"] });
      records.byKey.set(key, { text: JSON.stringify(body), answer: answerOf(body, records.committed.length) });
    } else if (known.text !== JSON.stringify(body)) {
      return route.fulfill({ status: 409, json: { sentence: "This key was used for another check." } });
    }
    if (records.how === "dies") return route.abort("connectionreset");
    return route.fulfill({ status: 201, json: records.byKey.get(key).answer });
  });
  return records;
}
