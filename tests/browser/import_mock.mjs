// Files of readings as the server answers for them, from a model small enough to work out by hand: one file of eight
// rows, whose dates are days or months first, with no column for the radiometer. One row names a light that is not on
// record, one shows no number, one is on record already. What is read otherwise is answered anew from what was sent.

import { described } from "./described.mjs";

const lights = [
  { value: "1", name: "Lamp 1" },
  { value: "2", name: "Lamp 2" },
];
const radiometers = [
  { value: "1", name: "Radiometer A" },
  { value: "2", name: "Radiometer B" },
];
const header = ["Gerät", "Datum", "Anzeige", "Bemerkung"];
const table = [
  ["Lamp 1", "03/04/2026", "1.050,5 mW/cm²", ""],
  ["Lamp 1", "04/04/2026", "1.048 mW/cm²", "after cleaning"],
  ["Lamp X", "05/04/2026", "990", ""],
  ["Lamp 2", "06/04/2026", "n/a", "battery empty"],
  ["Lamp 2", "07/04/2026", "870,5", ""],
  ["Lamp 2", "08/04/2026", "868", ""],
  ["Lamp 1", "09/04/2026", "1.044", ""],
  ["Lamp 2", "10/04/2026", "866", ""],
];
const suggested = { light: 0, taken_at: 1, shown_mw_cm2: 2, note: 3 };
const lookAtLights = [
  { light: 2, name: "Lamp 2", sentence: "Its newest reading, of 8 April 2026, is 490 mW/cm2, and the checks ask for 500: check it before it is used." },
];
const onRecord = 7; // the row that the records hold already

const fields = [
  { name: "light", label: "Light", what: "Which light was read.", required: true, unit: null, for_all_only: false, choices: lights },
  { name: "radiometer", label: "Radiometer", what: "On which radiometer.", required: true, unit: null, for_all_only: false, choices: radiometers },
  { name: "taken_at", label: "Taken", what: "Day, and time where it is known.", required: true, unit: null, for_all_only: false, choices: null },
  { name: "shown_mw_cm2", label: "Shown", what: "What the radiometer showed.", required: true, unit: "mW/cm2", for_all_only: false, choices: null },
  { name: "mode", label: "Mode", what: "The mode of the light.", required: false, unit: null, for_all_only: false, choices: null },
  { name: "note", label: "Note", what: "Anything worth keeping.", required: false, unit: null, for_all_only: false, choices: null },
];

function preview(draft) {
  const columns = { ...suggested, ...draft.said.columns };
  const { constants, date_order, leave_out } = draft.said;
  const cell = (row, field) => (columns[field] === null || columns[field] === undefined ? (constants[field] ?? "") : row[columns[field]]);
  const questions = [];
  if (!date_order) {
    questions.push({
      asks: "date_order",
      field: "taken_at",
      sentence: "Is 03/04/2026 the third of April, or the fourth of March?",
      choices: [
        { value: "dmy", name: "3 April: the day first" },
        { value: "mdy", name: "4 March: the month first" },
      ],
    });
  }
  if (cell(table[0], "radiometer") === "") {
    questions.push({ asks: "constant", field: "radiometer", sentence: "On which radiometer were they read?", choices: radiometers });
  }
  const rejected = [];
  const understood = [];
  let already = 0;
  table.forEach((row, i) => {
    const number = i + 2;
    if (leave_out.includes(number)) return;
    const light = lights.find((one) => one.name === cell(row, "light") || one.value === cell(row, "light"));
    const shown = Number(cell(row, "shown_mw_cm2").replace(/ mW.*/, "").replaceAll(".", "").replace(",", "."));
    const wrongs = [];
    if (!light) wrongs.push({ field: "light", text: cell(row, "light"), what: "no light of this name is on record", remedy: "Add the light first, or leave the row out" });
    if (Number.isNaN(shown)) wrongs.push({ field: "shown_mw_cm2", text: cell(row, "shown_mw_cm2"), what: "it is no number", remedy: "Type what the radiometer showed, or leave the row out" });
    if (wrongs.length > 0) {
      rejected.push(...wrongs.map((one) => ({ row: number, ...one })));
      return;
    }
    if (i === onRecord) {
      already += 1;
      return;
    }
    const [a, b, year] = cell(row, "taken_at").split("/");
    understood.push({
      row: number,
      values: {
        light: light.name,
        radiometer: radiometers.find((one) => one.value === cell(row, "radiometer"))?.name ?? "",
        taken_at: date_order === "mdy" ? `${year}-${a}-${b}` : `${year}-${b}-${a}`,
        shown_mw_cm2: `${shown.toLocaleString("en-GB")} mW/cm2`,
        mode: cell(row, "mode"),
        note: cell(row, "note"),
      },
    });
  });
  const said = questions.length === 0 ? understood : [];
  return described("ImportPreview", {
    id: draft.id,
    kind: draft.kind,
    file_name: draft.file_name,
    encoding: "Windows-1252",
    delimiter: ";",
    rows: table.length,
    columns: header.map((name, i) => ({
      name,
      samples: table.slice(0, 3).map((row) => row[i]),
      looks_like: ["text", "date", "number", "text"][i],
    })),
    fields,
    columns_of: Object.fromEntries(fields.map(({ name }) => [name, columns[name] ?? null])),
    constants: Object.fromEntries(fields.map(({ name }) => [name, constants[name] ?? null])),
    date_order,
    decimal_mark: ",",
    questions,
    accepted: questions.length === 0 ? understood.length : 0,
    already,
    left_out: leave_out.length,
    rejected,
    rejected_rows: new Set(rejected.map((one) => one.row)).size,
    understood: said,
  });
}

/** Puts the import in the server's place. `imports.sent` is what was asked; `imports.gone` forgets the draft. */
export async function mockImports(page) {
  const imports = { sent: [], draft: null, gone: false, dropNext: false, keys: new Map() };
  const gone = { status: 404, json: { sentence: "This file is not kept any more. Choose the file again." } };
  await page.route("**/api/imports?*", (route) => {
    const request = route.request();
    const name = decodeURIComponent(request.headers()["x-file-name"]);
    imports.sent.push({ act: "upload", name, bytes: request.postDataBuffer().length });
    if (!/\.csv$/.test(name)) {
      return route.fulfill({ status: 422, json: { sentence: "The file is no table.", problems: [{ field: "", what: "the file is no table", remedy: "Save it as CSV" }] } });
    }
    const kind = new URL(request.url()).searchParams.get("kind");
    const said = { columns: {}, constants: {}, date_order: null, leave_out: [] };
    imports.draft = { id: "d1", kind, file_name: name, said };
    imports.gone = false;
    return route.fulfill({ status: 201, json: preview(imports.draft) });
  });
  await page.route("**/api/imports/d1", (route) => {
    const request = route.request();
    if (request.method() === "DELETE") {
      imports.sent.push({ act: "delete" });
      imports.draft = null;
      return route.fulfill({ status: 204 });
    }
    if (imports.gone) return route.fulfill(gone);
    const body = described("ImportSettings", request.postDataJSON());
    imports.sent.push({ act: "read", body });
    imports.draft.said = body;
    return route.fulfill({ json: preview(imports.draft) });
  });
  await page.route("**/api/imports/d1/keep", (route) => {
    const key = route.request().headers()["idempotency-key"];
    imports.sent.push({ act: "keep", key });
    if (!imports.keys.has(key)) {
      const { accepted, already, kind } = preview(imports.draft);
      imports.keys.set(key, described("ImportKept", { kind, added: accepted, already, left_out: imports.draft.said.leave_out.length, look_at: lookAtLights }));
    }
    if (imports.dropNext) {
      imports.dropNext = false;
      return route.abort("connectionreset");
    }
    return route.fulfill({ status: 201, json: imports.keys.get(key) });
  });
  return imports;
}
