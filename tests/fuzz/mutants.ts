import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import { shapes } from "../distributions/tables/corpus/shapes.ts";
import { traps } from "../distributions/tables/corpus/traps.ts";
import { type Draw, drawFrom } from "../distributions/tables/draw.ts";
import { layoutOf } from "../distributions/tables/layouts.ts";

/** A table that something happened to on its way. */
export interface Mutant {
  readonly bytes: Uint8Array;
  readonly options: ReadingOptions;
  readonly what: string;
}

const corpus = [...shapes, ...traps].map(({ table }) =>
  typeof table === "string" ? new TextEncoder().encode(table) : table,
);
const oddCells = [
  "1e308",
  "-1e308",
  "NaN",
  "Infinity",
  "",
  "0",
  "-0",
  "1e-320",
  "=1+1",
  "<",
  ">>1",
  "\u0000",
  '"',
  "9".repeat(400),
  "1,2,3",
  "٣",
  "0x10",
  "1e",
  "--1",
  "n.d.",
];

/** A table of the corpus or a random layout, damaged in one to three ways. */
export function mutantOf(seed: number): Mutant {
  const draw = drawFrom(seed + 1_000_003);
  const isLayout = draw.chance(0.3);
  let bytes = isLayout ? layoutOf(draw.whole(1, 5000)).bytes : draw.pick(corpus);
  const names: string[] = [];
  for (let i = draw.whole(1, 3); i > 0; i--) {
    const [name, damage] = draw.chance(0.0005) ? rare : draw.pick(damages);
    names.push(name);
    bytes = damage(bytes, draw);
  }
  return {
    bytes,
    options: draw.chance(0.5)
      ? {}
      : { edge: draw.pick(["upper", "lower", "both", "geometric-mid"] as const), quantity: "volume" },
    what: `${seed}: ${names.join(", ")}`,
  };
}

type Damage = (bytes: Uint8Array, draw: Draw) => Uint8Array;

const text = (bytes: Uint8Array) => new TextDecoder().decode(bytes);
const back = (words: string) => new TextEncoder().encode(words);

/** Without a list of every byte, whose memory would be taken for the reader's. */
function joined(...parts: readonly Uint8Array[]): Uint8Array {
  return Uint8Array.from(Buffer.concat(parts));
}

/** Changes one line of the text. */
function inLine(bytes: Uint8Array, draw: Draw, change: (line: string) => string): Uint8Array {
  const lines = text(bytes).split("\n");
  const at = draw.whole(0, lines.length - 1);
  lines[at] = change(lines[at] ?? "");
  return back(lines.join("\n"));
}

const rare: readonly [string, Damage] = [
  "a million columns",
  (bytes) => back(`${text(bytes)}\n${"1,".repeat(1_000_000)}\n`),
];

const damages: readonly (readonly [string, Damage])[] = [
  [
    "bit flips",
    (bytes, draw) => {
      const copy = bytes.slice();
      for (let i = draw.whole(1, 12); i > 0; i--) {
        const at = draw.whole(0, copy.length - 1);
        copy[at] = (copy[at] ?? 0) ^ (1 << draw.whole(0, 7));
      }
      return copy;
    },
  ],
  ["truncation", (bytes, draw) => bytes.slice(0, draw.whole(0, bytes.length))],
  ["a lost beginning", (bytes, draw) => bytes.slice(draw.whole(0, bytes.length))],
  [
    "NUL bytes",
    (bytes, draw) => {
      const at = draw.whole(0, bytes.length);
      return joined(bytes.slice(0, at), new Uint8Array(draw.whole(1, 9)), bytes.slice(at));
    },
  ],
  [
    "an odd cell",
    (bytes, draw) =>
      inLine(bytes, draw, (line) => {
        const cells = line.split(/[,;\t|]/);
        cells[draw.whole(0, cells.length - 1)] = draw.pick(oddCells);
        return cells.join(line.includes(";") ? ";" : line.includes("\t") ? "\t" : ",");
      }),
  ],
  ["a line twice", (bytes, draw) => inLine(bytes, draw, (line) => `${line}\n${line}`)],
  ["a lost line", (bytes, draw) => inLine(bytes, draw, () => "")],
  ["a joined line", (bytes, draw) => inLine(bytes, draw, (line) => line + line)],
  ["turned lines", (bytes) => back(text(bytes).split("\n").toReversed().join("\n"))],
  [
    "other marks",
    (bytes, draw) =>
      back(text(bytes).replaceAll(draw.pick([",", ";", "."]), draw.pick([",", ";", ".", "\t", " ", '"']))),
  ],
  ["itself behind itself", (bytes) => joined(bytes, bytes)],
  ["wide lines", (bytes, draw) => inLine(bytes, draw, (line) => line + ",7".repeat(draw.whole(10, 3000)))],
  [
    "a long line of letters",
    (bytes, draw) =>
      inLine(
        bytes,
        draw,
        (line) => line + draw.pick(["a", "1", " ", '"', "-"]).repeat(draw.whole(10, 20_000)),
      ),
  ],
];
