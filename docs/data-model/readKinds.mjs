// What the code itself says is kept: the kinds of entry with their fields, and the tables of the database.
// The kinds are asked for their schemas; the tables are read from the syntax of their types, wherever in api/ they stand.
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { createServer, parseSync } from "vite";
import { z } from "zod";

/**
 * @returns kinds and tables, each { name, note, fields: { name, type, note, refersTo }[] };
 *          refersTo is the kind or table that the field names, or null
 * @throws  Error where the code no longer declares Tables
 */
export async function readDataModel(root) {
  const files = new Map();
  const read = (path) => {
    if (!files.has(path)) files.set(path, parsed(path));
    return files.get(path);
  };
  const sources = readdirSync(join(root, "api"), { recursive: true, encoding: "utf8" })
    .filter((path) => /(?<!\.d)\.ts$/.test(path) && !/(^|\/)(dist|node_modules)\//.test(path))
    .map((path) => join(root, "api", path));
  const path = sources.find((source) => readFileSync(source, "utf8").includes("interface Tables {"));
  if (path === undefined) throw new Error("No file of api/ declares the interface Tables.");
  const context = { root, read };
  const references = referencesIn(sources);
  const columns = membersOf(read(path).types.get("Tables"), read(path), context).map(
    ({ member, file, note }) => ({
      name: member.key.name,
      note,
      fields: fieldsOf(typeOf(member), file, context).map((field) => ({
        ...field,
        refersTo: references.get(`${member.key.name}.${field.name}`) ?? null,
      })),
    }),
  );
  return { kinds: await readKinds(root), tables: columns };
}

/** Every kind of entry with the fields of its schema, under the words they are stored by. */
async function readKinds(root) {
  const server = await createServer({
    root,
    configFile: false,
    logLevel: "error",
    appType: "custom",
    server: { middlewareMode: true, watch: null, ws: false },
    optimizeDeps: { noDiscovery: true },
  });
  try {
    const { kindTable: table } = await server.ssrLoadModule("/api/records/kinds.ts");
    const { wireWord } = await server.ssrLoadModule("/model/words/wireWords.ts");
    const names = Object.keys(table);
    return names.map((name) => {
      const { note, comments } = commentsOf(root, name);
      const fields = Object.entries(table[name].fields.shape).map(([field, schema]) => ({
        name: wireWord(field),
        type: schemaWords(z.toJSONSchema(schema, { io: "input", unrepresentable: "any" })),
        note: comments.get(field) ?? schema.meta()?.description ?? "",
        refersTo: kindNamed(field, names),
      }));
      return { name, note, fields };
    });
  } finally {
    await server.close();
  }
}

/** What stands in words above a kind's fields and above each of them, in the file of the kind. */
function commentsOf(root, kind) {
  const folder = join(root, "api/records");
  const list = readFileSync(join(folder, "kinds.ts"), "utf8");
  const exported = new RegExp(`^ {2}${kind}(?:: (\\w+))?,$`, "m").exec(list)?.[1] ?? kind;
  const file = new RegExp(`import \\{ ${exported} \\} from "\\./(\\w+\\.ts)"`).exec(list)?.[1];
  if (file === undefined) throw new Error(`kinds.ts does not say which file holds ${kind}.`);
  const code = readFileSync(join(folder, file), "utf8");
  const plain = (text) =>
    text
      .replace(/^\s*\* ?/gm, "")
      .replace(/\s+/g, " ")
      .trim();
  const [, note = ""] = /\/\*\*((?:(?!\*\/)[\s\S])*)\*\/\nexport const \w+Fields\b/.exec(code) ?? [];
  const above = code.matchAll(/\/\*\*((?:(?!\*\/)[\s\S])*)\*\/\n\s+(\w+):/g);
  return { note: plain(note), comments: new Map([...above].map(([, text, field]) => [field, plain(text)])) };
}

const simpleSchemas = {
  string: "text",
  number: "number",
  integer: "number",
  boolean: "yes or no",
  null: "null",
  object: "record",
};

/** A JSON schema in words. */
function schemaWords(schema) {
  if (schema.const !== undefined) return JSON.stringify(schema.const);
  if (schema.enum !== undefined) return schema.enum.map((word) => JSON.stringify(word)).join(" or ");
  const parts = schema.anyOf ?? schema.oneOf;
  if (parts !== undefined) return [...new Set(parts.map(schemaWords))].join(" or ");
  if (schema.type === "array") return `list of ${schemaWords(schema.items ?? {})}`;
  return simpleSchemas[schema.type] ?? "JSON";
}

/** `lotId` and `parentLotId` name a lot, `referenceLotIds` and `leftOutLots` several. */
function kindNamed(field, kinds) {
  const [, stem] = /^(\w+)Ids?$/.exec(field) ?? /^(\w+[A-Z]\w*)s$/.exec(field) ?? [];
  const ends = kinds.filter((kind) => stem?.toLowerCase().endsWith(kind.toLowerCase()));
  return ends.sort((a, b) => b.length - a.length)[0] ?? null;
}

/** Columns that the steps of the schema bind to another table. */
function referencesIn(sources) {
  const found = new Map();
  for (const source of sources)
    for (const [, table, columns] of readFileSync(source, "utf8").matchAll(
      /create table (\w+) \(([^`]*)\)`/g,
    ))
      for (const [, column, target] of columns.matchAll(/(\w+) [^,]*? references (\w+)\(/g))
        found.set(`${table}.${column}`, target);
  return found;
}

function parsed(path) {
  const code = readFileSync(path, "utf8");
  const { program, comments } = parseSync(path, code, { lang: "ts" });
  const types = new Map();
  const imports = new Map();
  for (const statement of program.body) {
    const declared = statement.declaration ?? statement;
    if (declared?.type === "TSInterfaceDeclaration" || declared?.type === "TSTypeAliasDeclaration")
      types.set(declared.id.name, declared);
    if (statement.type === "ImportDeclaration")
      for (const { local, imported } of statement.specifiers)
        imports.set(local.name, { name: imported?.name ?? local.name, from: statement.source.value });
  }
  return { path, code, types, imports, docs: comments.filter(({ value }) => value.startsWith("*")) };
}

const typeOf = (member) => member.typeAnnotation.typeAnnotation;

/** The sentence above a node: its documentation, on one line. */
function noteAbove(node, { code, docs }) {
  const doc = docs.findLast(
    ({ end }) => end <= node.start && /^\s*(export\s+)?$/.test(code.slice(end, node.start)),
  );
  if (doc === undefined) return "";
  const [text = ""] = doc.value.replace(/^\s*\*+ ?/gm, "").split(/\s@(?=\w)|\s(?=Source:|Accuracy:)/);
  return text.replace(/\s+/g, " ").trim();
}

/** The declaration that a name stands for, in the file that declares it; null for what lies outside our code. */
function declared(name, file, { root, read }) {
  if (file.types.has(name)) return { type: file.types.get(name), file };
  const imported = file.imports.get(name);
  if (imported === undefined) return null;
  const { from } = imported;
  const path = from.startsWith("#") ? join(root, from.slice(1)) : join(dirname(file.path), from);
  if (!existsSync(path)) return null;
  return declared(imported.name, read(path), { root, read });
}

/** Every member of an interface, a literal, an intersection or a name of one, with the file it stands in. */
function membersOf(type, file, context) {
  if (type.type === "TSTypeReference") {
    const found = declared(type.typeName.name, file, context);
    return found === null ? [] : membersOf(found.type, found.file, context);
  }
  if (type.type === "TSTypeAliasDeclaration") return membersOf(type.typeAnnotation, file, context);
  if (type.type === "TSIntersectionType") return type.types.flatMap((part) => membersOf(part, file, context));
  const members = type.type === "TSInterfaceDeclaration" ? type.body.body : (type.members ?? []);
  return members
    .filter((member) => member.type === "TSPropertySignature")
    .map((member) => ({ member, file, note: noteAbove(member, file) }));
}

function fieldsOf(type, file, context) {
  return membersOf(type, file, context).map(({ member, file: at, note }) => ({
    name: member.key.name ?? member.key.value,
    type: `${words(typeOf(member), at, context)}${member.optional ? ", may be absent" : ""}`,
    note,
    refersTo: null,
  }));
}

const simple = {
  TSStringKeyword: "text",
  TSNumberKeyword: "number",
  TSBooleanKeyword: "yes or no",
  TSUnknownKeyword: "JSON",
  TSNullKeyword: "null",
};

/** A type in words. An interface of ours is named. */
function words(type, file, context) {
  if (type.type in simple) return simple[type.type];
  if (type.type === "TSLiteralType") return JSON.stringify(type.literal.value);
  if (type.type === "TSArrayType") return `list of ${words(type.elementType, file, context)}`;
  if (type.type === "TSTypeOperator") return words(type.typeAnnotation, file, context);
  if (type.type === "TSParenthesizedType") return words(type.typeAnnotation, file, context);
  if (type.type === "TSUnionType") return unionWords(type.types, file, context);
  if (type.type === "TSTypeReference") return nameWords(type.typeName, file, context);
  if (type.type === "TSIndexedAccessType") return memberWords(type, file, context);
  return "record";
}

function unionWords(types, file, context) {
  const said = types
    .filter(({ type }) => type !== "TSUndefinedKeyword")
    .map((part) => words(part, file, context));
  return said.join(" or ");
}

/** `TrailEvent["kind"]` in words. */
function memberWords({ objectType, indexType }, file, context) {
  const wanted = indexType.literal?.value;
  const found = membersOf(objectType, file, context).find(({ member }) => member.key.name === wanted);
  return found === undefined ? "record" : words(typeOf(found.member), found.file, context);
}

function nameWords(typeName, file, context) {
  const { name } = typeName;
  return name === undefined || declared(name, file, context) === null ? (name ?? "record") : name;
}
