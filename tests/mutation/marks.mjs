// Marks in a source file by which a test file says what it came by: where it never comes by, it cannot notice a change.
import { parseSync } from "vite";

const forms = {
  inBlock: (mark) => [`${mark}; `, ""],
  statement: (mark) => [`{ ${mark}; `, " }"],
  value: (mark) => [`(${mark}, `, ")"],
};

/** How a child that is not always come by when its parent is can be marked; null for every other child. */
function formOf(parent, child) {
  switch (parent.type) {
    case "BlockStatement":
      return "inBlock";
    case "ConditionalExpression":
      return child === parent.test ? null : "value";
    case "LogicalExpression":
      return child === parent.right ? "value" : null;
    case "ArrowFunctionExpression":
      return child === parent.body && child.type !== "BlockStatement" ? "value" : null;
    case "IfStatement":
      return child === parent.test || child.type === "BlockStatement" ? null : "statement";
    case "ForStatement":
    case "ForOfStatement":
    case "WhileStatement":
      return child === parent.body && child.type !== "BlockStatement" ? "statement" : null;
    default:
      return null;
  }
}

/** The innermost place around a position that can be marked; null if it is run as the file is imported. */
function placeOf(program, position) {
  let place = null;
  let isInside = false;
  const step = (node) => {
    if (node === null || typeof node !== "object" || Array.isArray(node) || typeof node.type !== "string")
      return;
    const isFunction = /^(Arrow)?Function/.test(node.type);
    for (const [key, children] of Object.entries(node))
      for (const child of Array.isArray(children) ? children : [children]) {
        if (key === "parent" || !(child?.start <= position && position < child.end)) continue;
        if (isFunction) {
          // What stands in for an argument is run now and then: as if it were the file's own.
          isInside = key === "body";
          if (!isInside) place = null;
        }
        const form = isInside ? formOf(node, child) : null;
        if (form !== null) place = { node: child, form };
        step(child);
      }
  };
  step(program);
  return place;
}

/**
 * @param positions  of the changes
 * @param first      the number of the first mark
 * @returns the marked code, and for each position the number of its mark, null where there is none
 */
export function marked(path, code, positions, first) {
  const { program } = parseSync(path, code, { lang: "ts" });
  const used = new Map();
  const marks = positions.map((position) => {
    const place = placeOf(program, position);
    if (place === null) return null;
    const key = `${place.form} ${place.node.start} ${place.node.end}`;
    if (!used.has(key)) used.set(key, { ...place, mark: first + used.size });
    return used.get(key).mark;
  });
  const pieces = [...used.values()].flatMap(({ node, form, mark }) => {
    const [before, after] = forms[form](`globalThis.reached?.add(${mark})`);
    return [
      { at: node.start, text: before, isEnd: false, size: node.end - node.start },
      { at: node.end, text: after, isEnd: true, size: node.end - node.start },
    ];
  });
  // At one place: what ends there before what begins, the inner ends first, the outer begins first.
  pieces.sort((a, b) => a.at - b.at || b.isEnd - a.isEnd || (a.isEnd ? a.size - b.size : b.size - a.size));
  let out = "";
  let from = 0;
  for (const { at, text } of pieces) {
    out += code.slice(from, at) + text;
    from = at;
  }
  return { code: out + code.slice(from), marks };
}
