// What the code itself says is kept: the kinds of entry with their fields, and the tables of the database.
// Read from the syntax of the types, wherever in api/ they are declared, so that a new kind is found by itself.
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { parseSync } from "vite";

/**
 * @returns kinds, the records inside them and the tables, each { name, note, fields: { name, type, note, refersTo }[] };
 *          refersTo is the kind or table that the field names, or null
 * @throws  Error where the code no longer declares Bodies and Tables
 */
export function readDataModel(root) {
  const files = new Map();
  const read = (path) => {
    if (!files.has(path)) files.set(path, parsed(path));
    return files.get(path);
  };
  const sources = readdirSync(join(root, "api"), { recursive: true, encoding: "utf8" })
    .filter((path) => /(?<!\.d)\.ts$/.test(path) && !/(^|\/)(dist|node_modules)\//.test(path))
    .map((path) => join(root, "api", path));
  const declaring = (name) => {
    const path = sources.find((source) => readFileSync(source, "utf8").includes(`interface ${name} {`));
    if (path === undefined) throw new Error(`No file of api/ declares the interface ${name}.`);
    return { type: read(path).types.get(name), file: read(path) };
  };
  const inner = new Map();
  const context = { root, read, inner };

  const bodies = declaring("Bodies");
  const named = membersOf(bodies.type, bodies.file, context);
  const kinds = named.map(({ member, file, note }) => ({
    name: member.key.name,
    note: note || noteOfType(typeOf(member), file, context),
    fields: fieldsOf(typeOf(member), file, context),
  }));
  const kindNames = kinds.map(({ name }) => name);
  for (const { fields } of kinds)
    for (const field of fields) field.refersTo = kindNamed(field.name, kindNames);

  const tables = declaring("Tables");
  const references = referencesIn(sources);
  const columns = membersOf(tables.type, tables.file, context).map(({ member, file, note }) => ({
    name: member.key.name,
    note,
    fields: fieldsOf(typeOf(member), file, context).map((field) => ({
      ...field,
      refersTo: references.get(`${member.key.name}.${field.name}`) ?? null,
    })),
  }));
  return { kinds, records: [...inner.values()], tables: columns };
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

/** What is said of a type where it is declared, if a field is of that type alone. */
function noteOfType(type, file, context) {
  if (type.type !== "TSTypeReference") return "";
  const found = declared(type.typeName.name, file, context);
  return found === null ? "" : noteAbove(found.type, found.file);
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

/** A type in words. An interface of ours is named, and noted among the records to be told. */
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
  const found = name === undefined ? null : declared(name, file, context);
  if (found === null) return name ?? "record";
  const { type } = found;
  if (type.type === "TSInterfaceDeclaration" && !context.inner.has(name)) {
    // Noted before its fields are read: a record may hold its like.
    const record = { name, note: noteAbove(type, found.file), fields: [] };
    context.inner.set(name, record);
    record.fields = fieldsOf(type, found.file, context);
  }
  return name;
}
