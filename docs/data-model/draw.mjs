// The drawing of the data model: one box a kind, its fields as rows, a line from each field to the kind it names.
// Kinds stand to the right of those they name, so that every line runs to the left.

const row = 19;
const head = 30;
const laneWidth = 74;
const gapY = 26;
const margin = 28;
const titleHeight = 80;

const escaped = (text) => text.replace(/[&<>]/g, (c) => ({ "&": "&amp;", "<": "&lt;", ">": "&gt;" })[c]);
/** A letter is at most about 7.9 wide here, and a field needs room before its type. */
const widthFor = (boxes) =>
  Math.max(
    230,
    ...boxes.flatMap(({ fields }) =>
      fields.map((field) => 7.9 * (field.name.length + rightSide(field).length) + 36),
    ),
  );
const heightOf = ({ fields }) => head + fields.length * row + 8;

/** One picture with a panel for each group { title, note, boxes }, one below the other. */
export function drawing(groups) {
  const panels = [];
  let top = 0;
  for (const group of groups) {
    const panel = panelOf(group, top);
    panels.push(panel);
    top += panel.height;
  }
  const width = Math.max(...panels.map((panel) => panel.width));
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${top}" width="${width}" height="${top}" font-family="system-ui, sans-serif" font-size="13" role="img" aria-label="${escaped(groups.map(({ title }) => title).join("; "))}">
<rect width="${width}" height="${top}" fill="#fff"/>
${panels.map(({ svg }) => svg).join("\n")}
</svg>
`;
}

function panelOf({ title, note, boxes }, top) {
  const placed = place(boxes);
  const offset = top + titleHeight;
  const at = new Map(placed.map((box) => [box.name, { ...box, y: box.y + offset }]));
  const bottom = Math.max(...[...at.values()].map((box) => box.y + heightOf(box)));
  const right = Math.max(...placed.map(({ x, width }) => x + width));
  const svg = [
    `<text x="${margin}" y="${top + 30}" font-size="18" font-weight="600" fill="#1c2733">${escaped(title)}</text>`,
    `<text x="${margin}" y="${top + 50}" fill="#5a6774">${escaped(note)}</text>`,
    ...lines(at),
    ...[...at.values()].map(boxSvg),
  ].join("\n");
  return {
    svg,
    height: bottom - top + margin,
    width: right + margin,
  };
}

/** A column for each box, and its place in it. What neither names nor is named goes where there is room. */
function place(boxes) {
  const byName = new Map(boxes.map((box) => [box.name, box]));
  const names = ({ name, fields }) =>
    fields
      .filter(({ refersTo, type }) => refersTo !== null && refersTo !== name && !type.startsWith("list"))
      .map(({ refersTo }) => refersTo);
  // Kinds that name each other in a circle stand as if the first of them named nothing.
  const depth = (box, way = []) => {
    const ahead = names(box).filter((name) => !way.includes(name));
    return Math.max(0, ...ahead.map((name) => 1 + depth(byName.get(name), [...way, box.name])));
  };
  const named = new Set(boxes.flatMap((box) => box.fields.map(({ refersTo }) => refersTo)));
  const isAlone = (box) => !named.has(box.name) && names(box).length === 0;

  const bound = boxes.filter((box) => !isAlone(box));
  const deepest = Math.max(0, ...bound.map((box) => depth(box)));
  const columns = Array.from({ length: deepest + 1 }, (_, c) => bound.filter((box) => depth(box) === c));
  const order = new Map();
  for (const column of columns) {
    const weight = (box) => {
      const above = names(box).map((name) => order.get(name));
      return above.length === 0 ? 0 : above.reduce((sum, n) => sum + n, 0) / above.length;
    };
    column.sort((a, b) => weight(a) - weight(b));
    for (const [i, box] of column.entries()) order.set(box.name, i);
  }
  const width = Math.ceil(widthFor(boxes));
  const length = (column) => column.reduce((sum, box) => sum + heightOf(box) + gapY, 0);
  for (const box of boxes.filter(isAlone))
    columns.reduce((a, b) => (length(b) < length(a) ? b : a)).push(box);
  return columns.flatMap((column, c) => {
    let y = 0;
    return column.map((box) => {
      const here = { ...box, column: c, width, x: margin + c * (width + laneWidth), y };
      y += heightOf(box) + gapY;
      return here;
    });
  });
}

/** From each field that names another box to that box's head; lines to one box share a lane. */
function lines(at) {
  const boxes = [...at.values()];
  const lanes = new Map();
  const laneOf = (column, target) => {
    const taken = lanes.get(column) ?? [];
    if (!taken.includes(target)) lanes.set(column, [...taken, target]);
    return lanes.get(column).indexOf(target);
  };
  const drawn = boxes.flatMap((box) =>
    box.fields.flatMap(({ refersTo }, i) => {
      const target = at.get(refersTo);
      // A list that names what stands further right is told by its words alone.
      if (target === undefined || target.column > box.column) return [];
      return [{ box, target, fromY: box.y + head + i * row + row / 2 + 2 }];
    }),
  );
  return drawn.map(({ box, target, fromY }) => {
    if (box.column === target.column) return lineWithin(box, target, fromY);
    const toY = target.y + head / 2;
    let path = `M${box.x} ${fromY}`;
    for (let column = box.column; column > target.column; column--) {
      const x = margin + column * (box.width + laneWidth) - 18 - 13 * laneOf(column, target.name);
      const isLast = column === target.column + 1;
      const y = isLast ? toY : channel(boxes, column - 1, toY);
      path += `H${x}V${y}`;
    }
    return `<path d="${path}H${target.x + target.width + 7}" fill="none" stroke="#3d6b8e" stroke-width="1.3"/>${arrow(target.x + target.width, toY, 1)}`;
  });
}

/** A box that names itself, or one beside it: a line round its right side. */
function lineWithin(box, target, fromY) {
  const x = box.x + box.width;
  const toY = target.y + head / 2;
  return `<path d="M${box.x + box.width} ${fromY}H${x + 16}V${toY}H${target.x + target.width + 7}" fill="none" stroke="#3d6b8e" stroke-width="1.3"/>${arrow(target.x + target.width, toY, 1)}`;
}

const arrow = (x, y, way) => `<path d="M${x} ${y}l${8 * way} -4.5v9z" fill="#3d6b8e"/>`;

/** The height nearest to y at which a line passes between the boxes of a column. */
function channel(boxes, column, y) {
  const inColumn = boxes.filter((box) => box.column === column);
  const between = inColumn.map((box) => box.y - gapY / 2);
  const below = Math.max(...inColumn.map((box) => box.y + heightOf(box))) + gapY / 2;
  return [...between, below].reduce((a, b) => (Math.abs(b - y) < Math.abs(a - y) ? b : a));
}

function boxSvg({ name, fields, x, y, width }) {
  const height = heightOf({ fields });
  const rows = fields.map(({ name: field, refersTo }, i) => {
    const at = y + head + i * row + 15;
    const colour = refersTo === null ? "#1c2733" : "#285a80";
    const weight = refersTo === null ? "" : ' font-weight="600"';
    const said = rightSide(fields[i]);
    return `<text x="${x + 10}" y="${at}" fill="${colour}"${weight}>${escaped(field)}</text><text x="${x + width - 10}" y="${at}" text-anchor="end" fill="${refersTo === null ? "#5a6774" : colour}">${escaped(said)}</text>`;
  });
  return [
    `<rect x="${x}" y="${y}" width="${width}" height="${height}" rx="5" fill="#fff" stroke="#8a99a8"/>`,
    `<path d="M${x} ${y + head}v${5 - head}a5 5 0 0 1 5 -5h${width - 10}a5 5 0 0 1 5 5v${head - 5}z" fill="#e6eef5" stroke="#8a99a8"/>`,
    `<text x="${x + 10}" y="${y + 20}" font-weight="600" font-size="14" fill="#1c2733">${escaped(name)}</text>`,
    ...rows,
  ].join("\n");
}

/** What stands at the right of a row: the kind that is named, or the type. */
function rightSide({ type, refersTo }) {
  if (refersTo === null) return short(type);
  return `→ ${refersTo}${type.startsWith("list") ? " …" : ""}`;
}

/** A type in as few words as a row has room for; a mark says that it may be empty. */
function short(type) {
  const optional = / or null|, may be absent/.test(type) ? "?" : "";
  const plain = type.replace(/ or null|, may be absent/g, "").replace(/^list of (.*)$/, "$1 …");
  return (plain.includes('"') ? "word" : plain) + optional;
}
