// Answers as the server gives them for a restoration, from a model so simple that what the page must show can be worked
// out beside it: the floor gets seconds x e^(-gap / 8 mm) x cos^2(tilt) / 10, half of it behind the metal band from the
// side, and the chance is a ramp over that. It knows no optics.

const states = ["adhesive bare", "increment 1 placed", "increment 2 placed", "increment 3 placed", "all placed, band off"];
const outward = { mesial: [-1, 0, 0], distal: [1, 0, 0], buccal: [0, -1, 0], lingual: [0, 1, 0], occlusal: [0, 0, -1] };
const aims = [
  { name: "distal box", at_mm: [4.2, 0, 3.4] },
  { name: "distal box floor", at_mm: [4.2, 0, 6] },
];
/** How far from the aim a tip touches the cusps, upright. */
const touch = 6;
const radius = 4;

const press = (state, seconds) => ({
  state,
  aim: "distal box floor",
  from: "occlusal",
  tilt_deg: 20,
  tilt_to: "distal",
  standoff_mm: 6,
  seconds,
});

export const poor = {
  case: { name: "Class II, held off and over the neighbour", kind: "invented", source: "" },
  tooth: { number: 36, mesial_neighbour: true, distal_neighbour: true, dam: false },
  cavity: { distal: { floor_below_cusps_mm: 6, width_mm: 4, axial_depth_mm: 1.5 } },
  adhesive: { material: "../materials/adhesive.toml", thickness_mm: 0.05 },
  paste: { material: "../materials/universal-paste-a3.toml" },
  increment: [2, 2, 2].map((thickness_mm) => ({ layering: "horizontal", thickness_mm })),
  matrix: { kind: "metal", thickness_mm: 0.04, wedge: true },
  temperature: { tooth_c: 37 },
  light: { file: "../lights/demo-light.toml", output_share: { value: 0.9, low: 0.8, high: 1 }, barrier: "none" },
  hand: { standoff_sd_mm: 1, tilt_sd_deg: 5, wander_sd_mm: 0.5 },
  patient: { photosensitive: false, no_natural_lens: false },
  exposure: [press(states[0], 10), press(states[1], 20), press(states[2], 20), press(states[3], 20)],
};

const cavities = [
  {
    name: "Class I",
    cavity: { occlusal: { floor_below_cusps_mm: 4, width_mm: 2.5, length_mm: 4.5 } },
    increment: [{ layering: "bulk" }],
  },
];

export const choices = {
  lights: [
    {
      file: "../lights/demo-light.toml",
      name: "demo light, violet and blue",
      tip_diameter_mm: 2 * radius,
      modes: [
        { name: "standard", buttons_s: [5, 10, 20] },
        { name: "soft start", buttons_s: [20] },
      ],
    },
  ],
  materials: [
    { file: "../materials/universal-paste-a3.toml", name: "universal paste, dark shade A3", class: "paste", shade: "A3" },
    { file: "../materials/bulk-fill-universal.toml", name: "bulk-fill paste", class: "bulk-fill", shade: "universal" },
    { file: "../materials/adhesive.toml", name: "one-bottle adhesive", class: "adhesive", shade: "clear" },
  ],
  barriers: ["none", "plastic_smooth", "latex_smooth"],
  teeth: [
    { number: 36, name: "lower left first molar", cavities },
    { number: 46, name: "lower right first molar", cavities: [] },
  ],
};

const body = (one) => {
  const tilt = ((one.tilt_deg ?? 0) * Math.PI) / 180;
  const [up, to] = [outward[one.from], outward[one.tilt_to ?? "distal"]];
  return up.map((value, i) => value * Math.cos(tilt) + to[i] * Math.sin(tilt));
};

/** What the floor gets, in seconds of a tip in contact. */
export function dose(document) {
  return document.exposure.reduce((sum, one) => {
    const tilt = ((one.tilt_deg ?? 0) * Math.PI) / 180;
    const behind = one.from !== "occlusal" && !one.state.includes("band off") ? 0.5 : 1;
    return sum + behind * one.seconds * Math.exp(-one.standoff_mm / 8) * Math.cos(tilt) ** 2;
  }, 0);
}

export function chanceOf(document) {
  return Math.min(0.99, Math.max(0.01, (dose(document) - 25) / 75));
}

const word = (p) => (p >= 0.95 ? "through-cured" : p <= 0.5 ? "under-cured" : "uncertain");

export function sentenceOf(document) {
  const p = chanceOf(document);
  const tens = Math.round(10 * p);
  if (word(p) === "through-cured") return "The restoration cures through, floor of the distal box included.";
  const said = word(p) === "uncertain" ? "may stay soft" : "stays soft";
  return `The floor of the distal box ${said}: about ${tens} in 10 chance that it cures through.`;
}

const spread = (value) => ({ p10: 0.9 * value, p50: value, p90: Math.min(1.05 * value, 1) });

function cell(name, at_mm, share, decides = true) {
  return {
    name,
    kind: decides ? "floor" : "top",
    increment: 1,
    decides,
    conversion: spread(0.62 * share),
    share_of_reference: spread(share),
    hardness_ratio: spread(share ** 1.8),
    probability: decides ? Math.min(0.99, Math.max(0.01, (share - 0.5) * 2)) : 1,
    relative_se: 0.012,
    light_j_cm2: 24 * share,
    at_mm,
  };
}

function tipOf(one, index) {
  const at = (aims.find((aim) => aim.name === one.aim) ?? aims[0]).at_mm;
  const b = body(one);
  const out = touch + one.standoff_mm;
  return {
    exposure: index,
    centre_mm: at.map((value, i) => value + out * b[i]),
    axis: b.map((value) => -value),
    radius_mm: radius,
    half_angle_deg: 18,
    distance_to_floor_mm: out,
  };
}

const sectionOf = (view) => ({
  corner_mm: view.plane === "mesiodistal" ? [-15, 0, -22] : [4.2, -15, -22],
  right: view.plane === "mesiodistal" ? [1, 0, 0] : [0, 1, 0],
  down: [0, 0, 1],
  picture_origin_mm: [0, 0],
  picture_mm_per_mm: 3,
});

export function verdictOf({ document, view, precision }) {
  const p = chanceOf(document);
  const share = Math.min(1, 0.55 + dose(document) / 220);
  return {
    sentence: sentenceOf(document),
    verdict: word(p),
    probability: p,
    probability_se: 0.012,
    draws: 512,
    worst: "gingival floor, buccal line angle",
    target: { hardness_ratio: { value: 0.8 } },
    cells: [
      cell("gingival floor, distal box", [4.2, 0, 5.9], share),
      cell("gingival floor, buccal line angle", [4.2, -1.9, 5.9], share - 0.03),
      cell("increment 2, bottom", [4.2, 0, 3.9], Math.min(1, share + 0.1)),
      cell("increment 3, near the top", [4.2, 0, 1.3], 0.97, false),
    ],
    picture: picture(document, view),
    ...(view.dark && precision !== "drag" ? { paper_picture: picture(document, { ...view, dark: false }) } : {}),
    tips: document.exposure.map(tipOf),
    states,
    aims,
    section: sectionOf(view),
    cautions: [
      ...(document.patient?.no_natural_lens ? [{ act: "light", sentence: "No lens: shield the eyes." }] : []),
      { act: "light", sentence: "Look away from the light." },
      { act: "plan", sentence: "The instructions for use come first." },
    ],
  };
}

export function whyOf({ document }) {
  const near = { ...document, exposure: document.exposure.map((one) => ({ ...one, standoff_mm: 0 })) };
  const upright = { ...near, exposure: near.exposure.map((one) => ({ ...one, tilt_deg: 0 })) };
  const last = document.exposure.at(-1);
  const side = (from) => ({ ...last, state: states.at(-1), aim: "distal box", from, tilt_deg: 0, standoff_mm: 0 });
  const sides = { ...upright, exposure: [...upright.exposure, side("buccal"), side("lingual")] };
  const mend = (label, sentence, changed, extra_seconds) => ({
    label,
    sentence,
    probability: chanceOf(changed),
    probability_se: 0.012,
    verdict: word(chanceOf(changed)),
    extra_seconds,
    document: changed,
  });
  const through = word(chanceOf(document)) === "through-cured";
  return {
    place: "gingival floor, buccal line angle",
    order: ["output", "barrier", "standoff", "tilt", "shadow", "depth and shade"],
    causes: [
      { cause: "output", label: "The light's age", share_kept: 0.9, probability_without: 0.1 },
      { cause: "standoff", label: "6 mm of standoff", share_kept: 0.47, probability_without: 0.3 },
      { cause: "tilt", label: "20° over the neighbour", share_kept: 0.88, probability_without: 0.2 },
    ],
    total_kept: 0.9 * 0.47 * 0.88,
    mends: through
      ? []
      : [
          mend(
            "Upright, at the cusps, then from both sides",
            "And 20 s from buccal and from lingual once the band is off.",
            sides,
            40,
          ),
          mend("Upright and at the cusps", "No gap and no tilt in any exposure.", upright, 0),
          mend("Hold the light at the cusps", "No gap in any exposure.", near, 0),
        ],
  };
}

/** One clear pixel, for the page must be allowed to show pixels that come inside an answer. */
const pixel =
  "data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNkYPhfDwAChwGA60e6kgAAAABJRU5ErkJggg==";

/** A drawing rough enough for tests: a crown, the box, and the tip of the exposure in hand. */
function picture(document, view) {
  const map = sectionOf(view);
  const s = map.picture_mm_per_mm;
  const place = (point) => {
    const from = point.map((value, i) => value - map.corner_mm[i]);
    const along = (to) => from.reduce((sum, value, i) => sum + value * to[i], 0);
    return [s * along(map.right), s * along(map.down)];
  };
  const flat = (u, z) => (view.plane === "mesiodistal" ? [u, 0, z] : [4.2, u, z]);
  const ink = view.dark ? "#ebe8df" : "#1d1f24";
  const stroke = (points, closed = true, width = 0.4) => ({
    kind: "stroke",
    line: points.flatMap(place),
    closed,
    width,
    colour: ink,
  });
  const tip = tipOf(document.exposure[view.exposure], view.exposure);
  const b = tip.axis.map((value) => -value);
  const across = view.plane === "mesiodistal" ? [-b[2], 0, b[0]] : [0, -b[2], b[1]];
  const at = (out, side) => tip.centre_mm.map((value, i) => value + out * b[i] + side * across[i]);
  const crown = [[-5.5, 2], [-4, 0], [-2, 1.2], [0, 2], [2, 1.2], [4, 0], [5.5, 2], [5.3, 7], [4, 9], [-4, 9], [-5.3, 7]];
  const box = [[3, 1], [5.4, 1.6], [5.3, 6], [3, 6]];
  return {
    width: 30 * s,
    height: 36 * s,
    paper: view.dark ? "#15171a" : "#fbfaf6",
    description: `The tooth cut ${view.plane === "mesiodistal" ? "along the arch" : "across it"}: ${sentenceOf(document)}`,
    marks: [
      { kind: "raster", x: 0, y: 0, width: 30 * s, height: 4, png: pixel },
      { kind: "polygon", rings: [box.flatMap(([u, z]) => place(flat(u, z)))], colour: "#8fb5a8" },
      stroke(crown.map(([u, z]) => flat(u, z))),
      stroke(box.map(([u, z]) => flat(u, z)), true, 0.25),
      stroke([at(10, -radius), at(0, -radius), at(0, radius), at(10, radius)], false),
      { kind: "text", x: 4, y: 36 * s - 4, words: "5 mm", size: 4, colour: ink, align: "start" },
    ],
  };
}

/** A closed box of a mesh, for the 3-D view. */
function boxMesh(medium, least, most) {
  const positions = new Float32Array(24);
  for (let i = 0; i < 8; ++i) {
    for (let axis = 0; axis < 3; ++axis) positions[3 * i + axis] = (i >> axis) & 1 ? most[axis] : least[axis];
  }
  const faces = [0, 2, 1, 1, 2, 3, 4, 5, 6, 5, 7, 6, 0, 1, 4, 1, 5, 4, 2, 6, 3, 3, 6, 7, 0, 4, 2, 2, 4, 6, 1, 3, 5, 3, 7, 5];
  const base64 = (array) => Buffer.from(array.buffer).toString("base64");
  return { medium, positions: base64(positions), indices: base64(new Uint32Array(faces)) };
}

/** The same without its flat faces above and below (the first four triangles), as the band is sent. */
function sheetMesh(medium, least, most) {
  const box = boxMesh(medium, least, most);
  return { ...box, indices: Buffer.from(box.indices, "base64").subarray(4 * 3 * 4).toString("base64") };
}

export const meshes = {
  meshes: [
    boxMesh("enamel", [-5, -5, 0], [5, 5, 7]),
    boxMesh("dentine", [-4, -4, 2], [4, 4, 12]),
    boxMesh("increment 1", [3, -2, 4], [5, 2, 6]),
    sheetMesh("matrix", [-5.1, -5.1, 1], [5.1, 5.1, 6.5]),
  ],
};

/** Puts the answers in the server's place; what was asked is kept in `asked`. */
export async function mock(page, { slow_ms = 0 } = {}) {
  const asked = [];
  const wait = () => new Promise((resolve) => setTimeout(resolve, slow_ms));
  await page.route("**/api/restorations", (route) =>
    route.fulfill({
      json: {
        restorations: [
          { id: "class2-poor", name: poor.case.name, problems: [] },
          { id: "broken", name: "broken", problems: ["broken.toml:4: increment[1].thickness_mm: -2 is below 0 mm."] },
        ],
      },
    }),
  );
  await page.route("**/api/restorations/class2-poor", (route) =>
    route.fulfill({ json: { id: "class2-poor", name: poor.case.name, document: poor } }),
  );
  await page.route("**/api/choices", (route) => route.fulfill({ json: choices }));
  await page.route("**/api/plan/*", async (route) => {
    const what = new URL(route.request().url()).pathname.split("/").at(-1);
    if (what === "open") {
      if (route.request().method() === "DELETE") return route.fulfill({ status: 204 });
      return route.fulfill({ json: { open: false } });
    }
    const question = route.request().postDataJSON();
    asked.push({ what, question, token: route.request().headers()["x-throughcure-token"] });
    if (slow_ms > 0) await wait();
    const thin = question.document.increment.find((one) => one.thickness_mm <= 0);
    if (thin) {
      const place = 1 + question.document.increment.indexOf(thin);
      const sentence = `increment[${place}].thickness_mm: ${thin.thickness_mm} is not above 0 mm. Give a thickness.\ntooth: a second thing.`;
      return route.fulfill({ status: 422, json: { sentence } });
    }
    if (what === "verdict") return route.fulfill({ json: verdictOf(question) });
    if (what === "why") return route.fulfill({ json: whyOf(question) });
    if (what === "meshes") return route.fulfill({ json: meshes });
    return route.fulfill({ contentType: "text/plain", body: `[case]\nname = "${question.document.case.name}"\n` });
  });
  return asked;
}
