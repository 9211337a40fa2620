// Look-backs as the server answers for them, from a model small enough to work out by hand: 24 restorations, one a day,
// by a light whose output falls by 20 mW/cm2 a day from 800; each one's chance of being under-cured is 4 % more than the
// day before's. Decisions are kept as the server keeps them: by the password, and the same key counts once.

import { described } from "./described.mjs";
import { fleetAt } from "./records_mock.mjs";

const day = 86_400_000;
export const password = "a kettle under the stairs";

export function restorations(until) {
  return Array.from({ length: 24 }, (_, i) => {
    const p50 = 800 - 20 * i;
    return {
      id: 100 + i,
      revision: 1,
      chart: `K-${4711 + i}`,
      tooth: String([36, 46, 16, 26][i % 4]),
      surfaces: ["DO", "MO", "MOD", "O"][i % 4],
      placed_at: new Date(until - (24 - i) * day).toISOString(),
      placed_by_name: i % 2 ? "D. Clinician" : "E. Clinician",
      material: "Universal paste A2",
      lot: "L-1",
      probability_then: i % 5 === 0 ? null : 0.97,
      has_case: i % 5 !== 0,
      chance_under_cured: null,
      why_not: null,
      chance_too_weak: i / 30,
      output: { p10: p50 - 80, p50, p90: p50 + 80 },
      decision: null,
    };
  });
}

/** Day by day, with a step after 16 days as the other course; read when it was good, and when it failed. */
function outputOf(until) {
  const at = (i) => new Date(until - (24 - i) * day).toISOString();
  return {
    course: Array.from({ length: 25 }, (_, i) => {
      const p50 = 800 - 20 * i;
      return { at: at(i), p10: p50 - 80, p50, p90: p50 + 80, step: i < 16 ? 790 : 330, decline: p50 };
    }),
    step: { weight: 0.2, early: at(6), middle: at(16), late: at(22) },
    readings: [
      { at: at(0), mw_cm2: 850, shown_mw_cm2: 850, radiometer_name: "Radiometer A", counts: true },
      { at: at(24), mw_cm2: 330, shown_mw_cm2: 330, radiometer_name: "Radiometer A", counts: true },
    ],
    events: [{ at: at(9), what: "cleaned" }],
  };
}

export async function mockLookBacks(browsed, session) {
  const until = Date.now() - day;
  const head = {
    id: 7,
    light: 3,
    name: "Light 3",
    because: "failed_check",
    note: null,
    good_until: new Date(until - 25 * day).toISOString(),
    until: new Date(until).toISOString(),
    opened_at: new Date(until).toISOString(),
    closed_at: null,
    merged_into: null,
    light_here: true,
    elsewhere: { restorations: 0, undecided: 0 },
  };
  const state = {
    head,
    rows: restorations(until),
    other: { ...head, id: 5, because: "withdrawn", opened_at: new Date(until - 40 * day).toISOString(), closed_at: new Date(until - 30 * day).toISOString() },
    compute: "waiting",
    share: 0,
    sent: [],
    keys: new Map(),
    signed: 0,
    dropNext: false,
    mostAtOnce: 1000,
  };
  const decided = () => state.rows.filter((row) => row.decision).length;
  const counts = () => {
    const of = (what) => state.rows.filter((row) => row.decision?.what === what).length;
    return { all: state.rows.length, undecided: state.rows.length - decided(), recall: of("recall"), watch: of("watch"), none: of("none") };
  };
  const page = (url) => {
    const doubt = (row) => row.chance_under_cured ?? row.chance_too_weak;
    const { limit, decision, after } = Object.fromEntries(url.searchParams);
    const ranked = [...state.rows].sort((a, b) => doubt(b) - doubt(a));
    const wanted = ranked.filter((row, i) => i >= Number(after ?? 0) && (!decision || (row.decision?.what ?? "undecided") === decision));
    const size = Math.min(Number(limit), state.mostAtOnce);
    return { counts: counts(), restorations: wanted.slice(0, size), after: wanted[size] ? String(ranked.indexOf(wanted[size])) : null };
  };
  const answer = (url) => {
    if (state.compute === "computing") {
      state.share = Math.min(1, state.share + 0.5);
      if (state.share === 1) {
        state.compute = "done";
        state.rows.forEach((row, i) => {
          if (row.has_case) row.chance_under_cured = 0.04 * i;
        });
      }
    }
    const open = state.rows.length - decided();
    return described("LookBackPage", {
      ...state.head,
      revision: 1,
      sentence: `24 restorations were cured with Light 3 since its last good check. ${open === 0 ? "Every one is decided." : `${open} still want a decision.`}`,
      state: state.compute,
      share_done: state.share,
      limit_mw_cm2: 500,
      limit_why: "the practice's lower limit",
      shown_by: "Radiometer A",
      log: { size: 312 + state.signed, root: "0123abcd".repeat(8), key: "4567ef89".repeat(8) },
      output: outputOf(until),
      decided: decided(),
      ...page(url),
    });
  };
  await browsed.route("**/api/session", (route) => route.fulfill({ json: session }));
  await browsed.route("**/api/fleet", (route) => route.fulfill({ json: fleetAt() }));
  await browsed.route("**/api/look-backs", (route) => {
    if (route.request().method() === "POST") {
      const body = described("NewLookBack", route.request().postDataJSON());
      state.sent.push({ act: "open", body, key: route.request().headers()["idempotency-key"] });
      if (body.note === "none") {
        const problem = { field: "state", what: "it is withdrawn already", remedy: "Nothing is to be done" };
        return route.fulfill({ status: 422, json: { sentence: "state: it is withdrawn already. Nothing is to be done.", problems: [problem] } });
      }
      return route.fulfill({ status: 201, json: described("Written", { id: 7 }) });
    }
    return route.fulfill({
      json: described("LookBacks", {
        look_backs: [
          { ...state.head, restorations: state.rows.length, decided: decided() },
          { ...state.other, restorations: 3, decided: 3 },
        ],
      }),
    });
  });
  await browsed.route(/\/api\/look-backs\/7(\?.*)?$/, (route) => route.fulfill({ json: answer(new URL(route.request().url())) }));
  await browsed.route(/\/api\/look-backs\/7\/restorations\?/, (route) =>
    route.fulfill({ json: described("LookBackRows", page(new URL(route.request().url()))) }),
  );
  await browsed.route(/\/api\/look-backs\/7\/(compute|close|reopen|merge|decisions)$/, (route) => {
    const request = route.request();
    const act = request.url().split("/").at(-1);
    const body = request.postDataJSON();
    const key = request.headers()["idempotency-key"];
    state.sent.push({ act, body, key });
    if (act === "compute") {
      state.compute = "computing";
      return route.fulfill({ status: 202, json: described("Started", { job: "1", restorations: 19 }) });
    }
    if (act === "close") state.head.closed_at = new Date().toISOString();
    if (act === "reopen") state.head.closed_at = null;
    if (act === "merge") state.head.merged_into = body.into;
    if (act !== "decisions") return route.fulfill({ json: described("LookBackHead", { ...state.head, restorations: state.rows.length, decided: decided() }) });
    if (body.password !== password) {
      const problem = { field: "password", what: "that is not the right one", remedy: "Type it again" };
      return route.fulfill({ status: 422, json: { sentence: "password: that is not the right one", problems: [problem] } });
    }
    described("NewDecisions", body);
    if (!state.keys.has(key)) {
      const ids = body.decisions.map(({ restoration, what, reason }) => {
        const row = state.rows.find((one) => one.id === restoration);
        state.signed += 1;
        row.decision = { id: state.signed, what, reason, signed_by_name: session.person.name, signed_at: new Date().toISOString() };
        return state.signed;
      });
      state.keys.set(key, { ids });
    }
    if (state.dropNext) {
      state.dropNext = false;
      return route.abort("connectionreset");
    }
    return route.fulfill({ status: 201, json: described("Decided", state.keys.get(key)) });
  });
  return state;
}
