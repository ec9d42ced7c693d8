// Finds every place of a source file where one sign, bound, constant or condition can be changed.
import { parseSync } from "vite";

const binary = {
  "+": "-",
  "-": "+",
  "*": "/",
  "/": "*",
  "%": "*",
  "**": "*",
  "<": "<=",
  "<=": "<",
  ">": ">=",
  ">=": ">",
  "===": "!==",
  "!==": "===",
  "&&": "||",
  "||": "&&",
  "+=": "-=",
  "-=": "+=",
  "*=": "/=",
  "/=": "*=",
  "&": "|",
  "|": "&",
  "<<": ">>",
  ">>": "<<",
};

const isText = (node) =>
  node.type === "TemplateLiteral" || (node.type === "Literal" && typeof node.value === "string");

const isPlain = (node) => node.type === "Literal" || node.type === "UnaryExpression";

/** `list[i] ?? 0`, `rows[i]?.[j] ?? 0` and `list.at(-1) ?? 0` hold the type checker's stand-in for an entry that is always there. */
function isStandIn({ type, operator, left, right }) {
  if (type !== "LogicalExpression" || operator !== "??" || !isPlain(right)) return false;
  const entry = left.type === "ChainExpression" ? left.expression : left;
  return (
    (entry.type === "MemberExpression" && entry.computed) ||
    (entry.type === "CallExpression" && entry.callee.property?.name === "at")
  );
}

/** Another number near this one: the next whole one, or a tenth more. */
function otherNumber(value) {
  return Number.isInteger(value) && Math.abs(value) < 1e6 ? value + 1 : Number((value * 1.1).toPrecision(12));
}

/**
 * @returns {{ start: number, end: number, text: string }[]} single replacements, in the order of the file
 */
export function mutantsOf(path, code) {
  const { program, errors } = parseSync(path, code, { lang: "ts" });
  if (errors.length > 0) throw new Error(`${path} does not parse: ${errors[0].message}`);
  const found = [];
  const replace = (start, end, text) => found.push({ start, end, text });

  function operatorOf(node) {
    const between = code
      .slice(node.left.end, node.right.start)
      .replace(/\/\*[\s\S]*?\*\/|\/\/.*/g, (comment) => " ".repeat(comment.length));
    const start = node.left.end + between.indexOf(node.operator);
    return [start, start + node.operator.length];
  }

  function negated(test) {
    replace(test.start, test.end, `!(${code.slice(test.start, test.end)})`);
  }

  function visit(node) {
    if (Array.isArray(node)) return node.forEach(visit);
    if (node === null || typeof node !== "object" || typeof node.type !== "string") return;
    switch (node.type) {
      case "ImportDeclaration":
      case "ExportAllDeclaration":
      case "ImportExpression":
        return;
      case "TSAsExpression":
      case "TSSatisfiesExpression":
      case "TSNonNullExpression":
        return visit(node.expression);
      case "Property":
        // Keys that are numbers are names.
        if (node.computed) visit(node.key);
        return visit(node.value);
      case "ArrayPattern":
        // So does `[first = 0]`.
        for (const element of node.elements)
          if (element !== null && !(element.type === "AssignmentPattern" && isPlain(element.right)))
            visit(element);
        return;
      case "BinaryExpression":
      case "LogicalExpression":
      case "AssignmentExpression": {
        const other = binary[node.operator];
        const joinsText = /^\+=?$/.test(node.operator) && (isText(node.left) || isText(node.right));
        if (other !== undefined && !joinsText) replace(...operatorOf(node), other);
        visit(node.left);
        if (!isStandIn(node)) visit(node.right);
        return;
      }
      case "UnaryExpression":
        if (node.operator === "-") replace(node.start, node.start + 1, "+");
        if (node.operator === "!") replace(node.start, node.start + 1, "");
        break;
      case "UpdateExpression": {
        const start = node.prefix ? node.start : node.end - 2;
        replace(start, start + 2, node.operator === "++" ? "--" : "++");
        break;
      }
      case "IfStatement":
      case "ConditionalExpression":
        // `!c` and `a === b` are turned round where they stand.
        if (
          !(node.test.type === "UnaryExpression" && node.test.operator === "!") &&
          !/^[!=]==$/.test(node.test.operator ?? "")
        )
          negated(node.test);
        break;
      case "Literal":
        if (typeof node.value === "number") replace(node.start, node.end, String(otherNumber(node.value)));
        if (typeof node.value === "boolean") replace(node.start, node.end, String(!node.value));
        return;
      case "MemberExpression":
        if (node.object.name === "Math" && /^(min|max)$/.test(node.property.name ?? ""))
          replace(node.property.start, node.property.end, node.property.name === "min" ? "max" : "min");
        break;
      default:
        if (node.type.startsWith("TS")) return;
    }
    for (const [key, child] of Object.entries(node)) if (key !== "parent") visit(child);
  }

  visit(program.body);
  return found.sort((a, b) => a.start - b.start || a.end - b.end);
}
