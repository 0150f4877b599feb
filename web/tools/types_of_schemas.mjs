// Writes src/api/generated.ts: a TypeScript type for each document of api/*.schema.json, closed as the schema is.
//
// Covers the words those schemas use: type (also a list of them), properties, required, additionalProperties, patternProperties,
// items, enum, const and $ref into $defs. Any other word that bears on the type ends it with a sentence.
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

const schemas = fileURLToPath(new URL("../../api/", import.meta.url));
const output = fileURLToPath(new URL("../src/api/generated.ts", import.meta.url));
const unknown_words = ["oneOf", "anyOf", "allOf", "not", "if", "prefixItems", "dependentSchemas", "unevaluatedProperties"];
const plain = { string: "string", number: "number", integer: "number", boolean: "boolean", null: "null" };

const upper_camel = (words) =>
  words
    .split(/[^A-Za-z0-9]+/)
    .map((word) => word.charAt(0).toUpperCase() + word.slice(1))
    .join("");

function object_type(schema, document) {
  const required = new Set(schema.required ?? []);
  const members = Object.entries(schema.properties ?? {}).map(([name, property]) => {
    const said = property.description ? `/** ${property.description.replaceAll("*/", "")} */\n` : "";
    return `${said}readonly ${JSON.stringify(name)}${required.has(name) ? "" : "?"}: ${type_of(property, document)};`;
  });
  for (const property of Object.values(schema.patternProperties ?? {})) {
    members.push(`readonly [name: string]: ${type_of(property, document)};`);
  }
  return `{\n${members.join("\n")}\n}`;
}

function type_of(schema, document) {
  const strange = unknown_words.find((word) => word in schema);
  if (strange) throw new Error(`${document}: the word ${strange} of a schema is not known here`);
  if (schema.$ref) return upper_camel(`${document} ${schema.$ref.replace("#/$defs/", "")}`);
  if ("const" in schema) return JSON.stringify(schema.const);
  if (schema.enum) return schema.enum.map((value) => JSON.stringify(value)).join(" | ");
  const types = [schema.type ?? []].flat();
  if (types.length === 0) throw new Error(`${document}: a schema without a type`);
  return types
    .map((type) => {
      if (type === "object") return object_type(schema, document);
      if (type === "array") return `ReadonlyArray<${schema.items ? type_of(schema.items, document) : "unknown"}>`;
      return plain[type];
    })
    .join(" | ");
}

const parts = ["// Written by tools/types_of_schemas.mjs from api/*.schema.json; not kept in git.\n"];
for (const file of readdirSync(schemas).filter((name) => name.endsWith(".schema.json")).sort()) {
  const document = file.replace(".schema.json", "");
  const schema = JSON.parse(readFileSync(schemas + file, "utf8"));
  for (const [name, definition] of Object.entries(schema.$defs ?? {})) {
    parts.push(`export type ${upper_camel(`${document} ${name}`)} = ${type_of(definition, document)};\n`);
  }
  parts.push(`/** ${schema.title}. */\nexport type ${upper_camel(document)}Document = ${type_of(schema, document)};\n`);
}
writeFileSync(output, parts.join("\n"));
