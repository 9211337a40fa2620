// The records as the server answers for them, from a model small enough to work out by hand: a light's baseline is
// 1,000 mW/cm2, a reading below the limit of 500 is asked for once more and, taken so, has failed. Keys are kept as the
// server keeps them: the same key and body get the same answer again, and count once.

import { described } from "./described.mjs";

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
    last: { at: iso(due - 168), shown_mw_cm2: 950, tip: 10 + id, radiometer: 1, share: 0.95, baseline_mw_cm2: 1000, limit_mw_cm2: 500 },
    due: iso(due),
    overdue: due < 0,
    ...more,
  });
  return described("CheckSheet", {
    at: iso(0),
    limits: { lower_mw_cm2: 500, upper_mw_cm2: 2000, alert_share: 0, action_share: 0 },
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
  });
}

export const sessionOf = (name, account, role = "assistant") =>
  described("Session", {
    demo: true,
    version: "0.1.0",
    page_token: `token-of-${account}`,
    ticket: `ticket-of-${account}`,
    account,
    person: { id: account, name, role, site: 1, everywhere: false },
    by_pin: false,
    shared: true,
    pins_until: new Date(Date.now() + 8 * hour).toISOString(),
  });

function answerOf(body, reading) {
  const share = body.shown_mw_cm2 / 1000;
  const common = { reading, share, baseline_mw_cm2: 1000, limit_mw_cm2: 500, steps: [], ask: null, watch: null, look_back: null, state: "in use" };
  const name = `Light ${body.light}`;
  // Its chart has an alarm from what was read of it, all with the barrier on, until a reading without it says otherwise.
  if (body.light === 1 && body.barrier_on) {
    return {
      ...common,
      verdict: "good",
      sentence: `Good: ${body.shown_mw_cm2} mW/cm2, ${Math.round(100 * share)} % of its baseline.`,
      state: "watch",
      watch: "It has been drifting down since 2026-08-03.",
      ask: {
        why: "Take one more reading without the barrier: only readings with it on say so.",
        barrier_on: false,
        clean_tip: true,
        full_battery: true,
      },
    };
  }
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
    if (records.how === "may not") {
      return route.fulfill({ status: 403, json: { sentence: "Checks are taken by an assistant, a clinician or a lead." } });
    }
    if (records.how === "refuses") {
      const problem = { field: "shown_mw_cm2", what: "99999 is more than a radiometer shows.", remedy: "Read it again." };
      return route.fulfill({ status: 422, json: { sentence: "reading: shown_mw_cm2: 99999 is more than a radiometer shows. Read it again.", problems: [problem] } });
    }
    const known = records.byKey.get(key);
    if (!known) {
      records.committed.push({ key, body, ticket: headers["x-throughcure-ticket"] });
      records.byKey.set(key, { text: JSON.stringify(body), answer: described("CheckAnswer", answerOf(body, records.committed.length)) });
    } else if (known.text !== JSON.stringify(body)) {
      return route.fulfill({ status: 409, json: { sentence: "This key was used for another check." } });
    }
    if (records.how === "dies") return route.abort("connectionreset");
    return route.fulfill({ status: 201, json: records.byKey.get(key).answer });
  });
  return records;
}

const week = 168 * hour;
const day = 24 * hour;

/**
 * A light that fails: a year of weekly readings on a baseline of 1,000 mW/cm2 shown, for 30 weeks level, then down by
 * 1.6 % of it a week; the barrier was on in every tenth. Its radiant exitance is 1.1 times what is shown, 8 in 10 within
 * 7 %, and the forecast goes on down with an interval that widens by 1 % a week. Before that, half a year on another
 * radiometer, which showed 1.18 times as much.
 */
export function failingLight(now = Date.now()) {
  const iso = (at) => new Date(at).toISOString();
  const shareAt = (k) => (k < 30 ? 1 : 1 - 0.016 * (k - 30));
  const start = now - 52 * week;
  const points = Array.from({ length: 52 }, (_, k) => {
    const share = (shareAt(k) + 0.012 * Math.sin(2.4 * k)) * (k % 10 === 9 ? 0.9 : 1);
    const on = k % 10 === 9;
    return {
      reading: 100 + k,
      revision: 1,
      at: iso(start + k * week),
      arrived_at: iso(start + k * week + (k === 51 ? 3 * hour : 2000)),
      shown_mw_cm2: Math.round(1000 * share),
      mw_cm2: Math.round(1000 * share),
      share,
      barrier_on: on,
      counts: !on,
      why_not: on ? "the barrier was on" : null,
      told: { verdict: on ? "noted" : share < 0.9 ? "low" : "good", share: on ? null : share },
    };
  });
  const earlier = Array.from({ length: 14 }, (_, k) => ({
    reading: 10 + k,
    revision: 1,
    at: iso(start - (30 - 2 * k) * week),
    arrived_at: iso(start - (30 - 2 * k) * week + 2000),
    shown_mw_cm2: Math.round(1180 + 12 * Math.sin(1.7 * k)),
    mw_cm2: Math.round(1180 + 12 * Math.sin(1.7 * k)),
    share: 1 + 0.01 * Math.sin(1.7 * k),
    barrier_on: false,
    counts: true,
    why_not: null,
    told: null,
  }));
  const band = Array.from({ length: 76 }, (_, k) => {
    const p50 = 1000 * shareAt(k);
    const half = 0.07 + 0.01 * Math.max(0, k - 51);
    return { at: iso(start + k * week), p10: Math.round(p50 * (1 - half)), p50: Math.round(p50), p90: Math.round(p50 * (1 + half)) };
  });
  // 1000 (1 - 0.016 (k - 30)) = 500 at k = 61.25.
  const crossing = start + 61.25 * week;
  return described("FleetLight", {
    id: 2,
    revision: 4,
    light: {
      room: 1,
      name: "Light 2",
      serial: "S-102",
      check_mode: "standard",
      approval_number: "N-5",
      approved_by: "An authority",
      bought_in: "Portugal",
      warranty_until: iso(now - 2 * day),
      battery: "lithium-ion",
    },
    room_name: "Room 1",
    state: "watch",
    why: "its output drifts down",
    sentence: "Light 2 gives two thirds of what it gave, and falls below the limit in about 13 weeks.",
    today: { p10: 683, p50: 730, p90: 781 },
    limit_mw_cm2: 500,
    limit_why: "the practice's lower limit",
    shown_by: "Radiometer A",
    shown_per_exitance: 1 / 1.1,
    claimed_mw_cm2: 1200,
    look_back: null,
    first_share_of_claim: { p10: 0.68, p50: 0.92, p90: 1.24 },
    last_check: points[51].at,
    due: iso(now - 3 * day),
    overdue: true,
    alarm: "cusum low",
    series: [
      {
        tip: 12, tip_name: "8 mm tip", radiometer: 2, radiometer_name: "Radiometer B", mode: "standard",
        baseline_mw_cm2: 1180, limit_mw_cm2: 500, current: false, to_drawn: 1 / 1.18, points: earlier, limits: { lower: 0.96, centre: 1, upper: 1.04 }, alarms: [],
      },
      {
        tip: 12, tip_name: "8 mm tip", radiometer: 1, radiometer_name: "Radiometer A", mode: "standard",
        baseline_mw_cm2: 1000, limit_mw_cm2: 500, current: true, to_drawn: 1, points, limits: { lower: 0.94, centre: 1, upper: 1.06 },
        alarms: [
          {
            at: points[36].at,
            reading: 136,
            rule: "cusum low",
            sentence: "The output has shifted down: the cumulative sum is past its limit.",
            began_at: points[30].at,
            stands: true,
          },
        ],
      },
    ],
    apart: [],
    band,
    falls_below: { p10: iso(crossing - 8 * week), p50: iso(crossing), p90: iso(crossing + 11 * week) },
    battery: { sag: 0.04, low: 0.01, high: 0.07, pairs: 4 },
    cleaning: { gain: 0.03, low: 0.01, high: 0.05, pairs: 4 },
    radiometer_links: [
      {
        from: 2, from_name: "Radiometer B", to: 1, to_name: "Radiometer A", tip: 12, tip_name: "8 mm tip", mode: "standard",
        ratio: 0.85, low: 0.82, high: 0.88, pairs: 5,
      },
    ],
    events: [
      { id: 1, revision: 1, at: iso(start + 8 * week), what: "cleaned", room_name: null, note: null, name: "A. Assistant" },
      { id: 2, revision: 1, at: iso(start + 29 * week), what: "dropped", room_name: null, note: "from the tray", name: "B. Other" },
    ],
    papers: [
      { id: 5, about: "approval", name: "Approval of Light 2.pdf", media: "application/pdf", size: 182_000, at: iso(start) },
    ],
    missing: [],
    tips: [{ id: 12, revision: 1, name: "8 mm tip", diameter_mm: 8 }],
  });
}

export const newLight = (now = Date.now()) =>
  described("FleetLight", {
    ...failingLight(now),
    id: 5,
    light: { room: 2, name: "Light 5", serial: "S-105", check_mode: "standard" },
    room_name: "Room 2, upstairs",
    state: "not accepted",
    why: "",
    sentence: "Light 5 is not accepted yet: its papers are not complete.",
    today: null,
    shown_by: null,
    shown_per_exitance: 1,
    look_back: null,
    first_share_of_claim: null,
    series: [],
    band: [],
    falls_below: null,
    battery: null,
    cleaning: null,
    radiometer_links: [],
    events: [],
    papers: [],
    missing: ["Its national approval is not on file.", "Its first reading has not been taken."],
    tips: [],
  });

export function fleetAt(now = Date.now()) {
  const iso = (days) => new Date(now + days * day).toISOString();
  const row = (id, room_name, middle, due, more = {}) => ({
    id,
    name: `Light ${id}`,
    serial: `S-${100 + id}`,
    room: room_name === "Room 1" ? 1 : 2,
    room_name,
    site: 1,
    state: "in use",
    why: "",
    today: middle === null ? null : { p10: Math.round(0.94 * middle), p50: middle, p90: Math.round(1.06 * middle) },
    claimed_mw_cm2: 1200,
    last_check: iso(due === null ? -9 : due - 7),
    due: due === null ? null : iso(due),
    overdue: due !== null && due < 0,
    alarm: null,
    falls_below: null,
    limit_mw_cm2: 500,
    shown_per_exitance: 1 / 1.1,
    ...more,
  });
  return described("Fleet", {
    at: iso(0),
    lights: [
      row(1, "Room 1", 1080, 4),
      row(2, "Room 1", 730, -3, {
        state: "watch",
        why: "its output drifts down",
        falls_below: { p10: iso(30), p50: iso(85), p90: iso(160) },
      }),
      row(3, "Room 1", 1010, 0),
      row(4, "Room 2, upstairs", 1150, -1),
      row(5, "Room 2, upstairs", null, null, { state: "not accepted" }),
      row(6, "Room 2, upstairs", 420, null, { state: "withdrawn", why: "two checks below the limit" }),
    ],
  });
}

export function todayAt(now = Date.now()) {
  const iso = (days) => new Date(now + days * day).toISOString();
  return described("Today", {
    at: iso(0),
    sentence: "Three checks are due, and Light 2 is to be watched.",
    lights: 6,
    due: [
      { light: 2, name: "Light 2", room_name: "Room 1", due: iso(-3), overdue_days: 3 },
      { light: 4, name: "Light 4", room_name: "Room 2, upstairs", due: iso(-1), overdue_days: 1 },
      { light: 3, name: "Light 3", room_name: "Room 1", due: iso(0), overdue_days: 0 },
    ],
    wrong: [
      { light: 6, name: "Light 6", room_name: "Room 2, upstairs", state: "withdrawn", sentence: "Two checks were below the limit." },
      { light: 2, name: "Light 2", room_name: "Room 1", state: "watch", sentence: "Its output drifts down; below the limit in about 13 weeks." },
    ],
    runs_out: [
      { what: "certificate", name: "Radiometer B", light: null, until: iso(-12), over: true },
      { what: "warranty", name: "Light 2", light: 2, until: iso(-2), over: true },
      { what: "lot", name: "Composite, lot 2210", light: null, until: iso(9), over: false },
    ],
    changed: [
      { at: iso(-0.1), name: "A. Assistant", sentence: "took a check", lights: [{ light: 3, name: "Light 3" }, { light: 1, name: "Light 1" }] },
      { at: iso(-0.9), name: "L. Lead", sentence: "changed a limit or an interval", lights: [] },
    ],
    look_backs: [{ id: 7, light: 6, name: "Light 6", open: true, undecided: 12 }],
    backup: null,
  });
}

const lowerLimit = {
  name: "lower_limit_mw_cm2",
  number: 500,
  delivered: 500,
  least: 1,
  most: 5000,
  unit: "mW/cm2",
  what: "Lowest output",
  origin: "common practice",
  source: "",
  chosen: false,
  setting: null,
  revision: 0,
};

/** The reading behind a point of the light's page, as it was taken. */
const readingRecord = (light, { series, point }) => ({
  light: light.id,
  tip: series.tip,
  radiometer: series.radiometer,
  room: light.light.room,
  taken_by: 1,
  taken_at: point.at,
  arrived_at: point.at,
  mode: series.mode,
  shown_mw_cm2: point.shown_mw_cm2,
  second_of_press: 10,
  barrier_on: point.barrier_on,
  tip_clean: true,
  battery: 1,
  note: null,
  purpose: "check",
  barrier: null,
  tip_whole: true,
  barrier_smooth: null,
  vents_clear: true,
  disinfected: true,
  told: point.told?.verdict ?? null,
  told_share: point.told?.share ?? null,
  told_baseline_mw_cm2: null,
  told_limits: null,
});

/** What stands behind a light's page, each with its revisions: "reading/151". Corrected as the server corrects it. */
export function keptOf(light) {
  const first = (record) => [{ revision: 1, at: light.band[0]?.at ?? new Date().toISOString(), person: "1", name: "A. Assistant", record }];
  const readings = light.series.flatMap((series) =>
    series.points.map((point) => [`reading/${point.reading}`, first(readingRecord(light, { series, point }))]),
  );
  const done = light.events.map(({ id, at, what, note }) => [
    `servicing/${id}`,
    first({ light: light.id, at, told_by: 1, what, room: null, note }),
  ]);
  const tips = light.tips.map(({ id, name, diameter_mm }) => [`tip/${id}`, first({ light: light.id, name, diameter_mm })]);
  return new Map([...readings, ...done, ...tips]);
}

/** Answers for one record: GET, its history, PUT with the revision that was read. */
async function answerKept(fleet, route, act) {
  const request = route.request();
  const url = new URL(request.url());
  const [kind, id, more] = url.pathname.replace("/api/records/", "").split("/");
  const revisions = fleet.kept.get(`${kind}/${id}`);
  if (!revisions) return route.fulfill({ status: 404, json: { sentence: "Nothing of that number is here." } });
  if (more === "history") return route.fulfill({ json: described(`History_${kind}`, { revisions }) });
  const { revision, record } = revisions.at(-1);
  if (request.method() === "GET") {
    return route.fulfill({ json: described(`Kept_${kind}`, { id: Number(id), revision, record }) });
  }
  if (Number(url.searchParams.get("revision")) !== revision) {
    return route.fulfill({ status: 409, json: { sentence: "This record was changed since it was read." } });
  }
  if (!fleet.refuse) {
    const now = { revision: revision + 1, at: new Date().toISOString(), person: "3", name: "L. Lead" };
    revisions.push({ ...now, record: described(kind, request.postDataJSON()) });
    fleet.corrected?.(kind, Number(id), request.postDataJSON());
  }
  return act(route);
}

const listed = (kind, records) =>
  described(`List_${kind}`, { records: records.map((record, i) => ({ id: i + 1, revision: 1, record })), more: false });

/** Today and the lights in the server's place. `fleet.acts` is what was asked to be done, with its headers. */
export async function mockFleet(page) {
  const fleet = { acts: [], light: failingLight(), refuse: null, today: todayAt() };
  fleet.kept = keptOf(fleet.light);
  await page.route("**/api/today", (route) => route.fulfill({ json: fleet.today }));
  await page.route("**/api/policy", (route) =>
    route.fulfill({ json: described("PolicyValues", { values: [lowerLimit] }) }),
  );
  await page.route("**/api/fleet", (route) => route.fulfill({ json: fleetAt() }));
  await page.route("**/api/fleet/*", (route) => {
    const id = Number(route.request().url().split("/").at(-1));
    if (id === 5) return route.fulfill({ json: described("FleetLight", fleet.newLight ?? newLight()) });
    if (id === 2) return route.fulfill({ json: fleet.light });
    return route.fulfill({ status: 404, json: { sentence: "This light is not on record." } });
  });
  const act = async (route) => {
    const request = route.request();
    const headers = request.headers();
    fleet.acts.push({
      path: new URL(request.url()).pathname + new URL(request.url()).search,
      key: headers["idempotency-key"],
      name: headers["x-file-name"],
      body: headers["content-type"] === "application/json" ? request.postDataJSON() : request.postDataBuffer()?.length,
    });
    if (fleet.refuse) return route.fulfill({ status: fleet.refuse.status, json: fleet.refuse.json });
    if (request.url().endsWith("/withdraw")) {
      fleet.light = { ...fleet.light, look_back: 7 };
      return route.fulfill({ json: described("LightStands", { state: "withdrawn", why: "its lens is loose", look_back: 7 }) });
    }
    return route.fulfill({ status: 201, json: { state: "in use", id: 1, revision: 1 } });
  };
  await page.route("**/api/fleet/*/*", act);
  await page.route("**/api/records/*", act);
  await page.route("**/api/records/*/*", (route) => answerKept(fleet, route, act));
  await page.route("**/api/records/*/*/history", (route) => answerKept(fleet, route, act));
  const lists = {
    room: [{ site: 1, name: "Room 1" }, { site: 1, name: "Room 2, upstairs" }],
    radiometer: [
      { name: "Radiometer A", serial: "R-1", aperture_mm: 8, certificate_until: null, spectral_class: "blue" },
      { name: "Radiometer B", serial: "R-2", aperture_mm: null, certificate_until: null, spectral_class: null },
    ],
    barrier: [{ name: "Plastic sleeve", pass: 0.9, pass_sd: null, source: "invented" }],
  };
  for (const [kind, records] of Object.entries(lists)) {
    await page.route(`**/api/records/${kind}?*`, (route) => route.fulfill({ json: listed(kind, records) }));
  }
  await page.route("**/api/attachments**", act);
  return fleet;
}
