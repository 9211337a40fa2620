// What stands in the server's place answers as the program says that it answers.
import { readFileSync } from "node:fs";

const { components } = JSON.parse(readFileSync(new URL("../../web/src/api/openapi.json", import.meta.url), "utf8"));

const typeOf = (value) => (value === null ? "null" : Array.isArray(value) ? "array" : typeof value);

/** The first fault of a document against a schema, by where it is; "" for none. Knows what our schemas use. */
function faultOf(schema, value, at) {
  if (schema.$ref) return faultOf(components.schemas[schema.$ref.split("/").at(-1)], value, at);
  if (schema.oneOf) {
    const faults = schema.oneOf.map((one) => faultOf(one, value, at));
    return faults.includes("") ? "" : faults.at(-1);
  }
  const types = [schema.type ?? []].flat();
  const type = typeOf(value);
  const fits = types.includes(type) || (type === "number" && types.includes("integer") && Number.isInteger(value));
  if (types.length > 0 && !fits) return `${at} is ${type}, not ${types.join(" or ")}`;
  if (schema.enum && !schema.enum.includes(value)) return `${at} is ${JSON.stringify(value)}, none of ${schema.enum.join(", ")}`;
  if (type === "array") return value.map((one, i) => faultOf(schema.items ?? {}, one, `${at}[${i}]`)).find((one) => one) ?? "";
  if (type !== "object") return "";
  const lacking = (schema.required ?? []).find((name) => !(name in value));
  if (lacking) return `${at} lacks ${lacking}`;
  for (const [name, one] of Object.entries(value)) {
    const inner = schema.properties?.[name] ?? schema.additionalProperties ?? {};
    if (inner === false) return `${at} has ${name}, which is not described`;
    const fault = inner === true ? "" : faultOf(inner, one, `${at}.${name}`);
    if (fault) return fault;
  }
  return "";
}

/** The document, held against the schema of that name in the API's description. Throws where it is another. */
export function described(name, document) {
  const schema = components.schemas[name];
  if (!schema) throw new Error(`the API describes no ${name}`);
  const fault = faultOf(schema, document, name);
  if (fault) throw new Error(fault);
  return document;
}
