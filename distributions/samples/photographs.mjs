// Drawn in place of photographs of the demo's powder: grains as discs in a row of greys with a bar of 10 µm, so that a
// page that shows photographs has some. No microscope was used; what is drawn is the milled size and the necks of a lot.
import { deflateSync } from "node:zlib";
import { json, normal, seed, write } from "./powder.mjs";

const [width, height, pixelsPerUm] = [200, 150, 6];

/** Grains of a log-normal powder; with necks, each grows together with one beside it. */
function drawing({ medianUm, gsd, hasNecks }) {
  const grey = new Uint8Array(width * height).fill(1);
  const spread = Math.log(gsd);
  const place = (size) => Math.abs((normal() * 0.3 + 0.5) * size) % size;
  for (let i = 0; i < 130; i++) {
    const radius = (medianUm * Math.exp(spread * normal()) * pixelsPerUm) / 2;
    const [x, y] = [place(width), place(height)];
    const light = 7 + (i % 6);
    disc(grey, { x, y, radius, light });
    if (hasNecks) disc(grey, { x: x + 1.6 * radius, y: y + 0.4 * radius, radius: 0.85 * radius, light });
  }
  for (let y = height - 10; y < height - 7; y++)
    for (let x = 10; x < 10 + 10 * pixelsPerUm; x++) grey[y * width + x] = 15;
  return grey;
}

/** Lighter in its middle, darker at its rim. */
function disc(grey, { x, y, radius, light }) {
  for (let row = Math.max(0, Math.ceil(y - radius)); row <= Math.min(height - 1, y + radius); row++)
    for (
      let column = Math.max(0, Math.ceil(x - radius));
      column <= Math.min(width - 1, x + radius);
      column++
    ) {
      const share = Math.hypot(column - x, row - y) / radius;
      if (share <= 1) grey[row * width + column] = Math.round(light * (1 - 0.7 * share ** 3));
    }
}

/** As PNG of 16 greys, stored without compression so that every zlib writes the same. Source: ISO/IEC 15948. */
function png(grey) {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  header.set([4, 0, 0, 0, 0], 8);
  const rows = Buffer.alloc(height * (1 + width / 2));
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x += 2)
      rows[y * (1 + width / 2) + 1 + x / 2] = (grey[y * width + x] << 4) | grey[y * width + x + 1];
  return Buffer.concat([
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
    chunk("IHDR", header),
    chunk("IDAT", deflateSync(rows, { level: 0 })),
    chunk("IEND", Buffer.alloc(0)),
  ]);
}

function chunk(name, data) {
  const named = Buffer.concat([Buffer.from(name, "latin1"), data]);
  const whole = Buffer.alloc(named.length + 8);
  whole.writeUInt32BE(data.length, 0);
  named.copy(whole, 4);
  whole.writeUInt32BE(crc(named), named.length + 4);
  return whole;
}

/** Source: ISO/IEC 15948, annex D. */
function crc(bytes) {
  let rest = 0xffffffff;
  for (const byte of bytes) {
    rest ^= byte;
    for (let bit = 0; bit < 8; bit++) rest = rest & 1 ? (rest >>> 1) ^ 0xedb88320 : rest >>> 1;
  }
  return (rest ^ 0xffffffff) >>> 0;
}

const drawn = [
  {
    lot: "doped-26",
    stage: "milled",
    file: "doped-26-milled.png",
    note: "Drawn, not photographed: single grains after the mill; the bar is 10 µm.",
    powder: { medianUm: 3.05, gsd: 1.5, hasNecks: false },
  },
  {
    lot: "doped-26",
    stage: "re-fired",
    file: "doped-26-re-fired.png",
    note: "Drawn, not photographed: grains grown together in pairs; the bar is 10 µm.",
    powder: { medianUm: 3.6, gsd: 1.5, hasNecks: true },
  },
];

export function writePhotographs() {
  seed(20_261_201);
  for (const { file, powder } of drawn) write(`photographs/${file}`, png(drawing(powder)));
  write("photographs/photographs.json", json(drawn.map(({ powder: _, ...one }) => one)));
}
