import { drawFrom } from "../../distributions/tables/draw.ts";

/** A table of trials under any headings, with what each row holds in the units of docs/commands.md. */
export interface LabTable {
  readonly seed: number;
  readonly table: string;
  readonly columns: readonly string[];
  readonly rows: readonly Readonly<Record<string, number>>[];
  /** Headings that no list holds, which must be named as left out. */
  readonly unknown: readonly string[];
  /** The row, counted from 1 in the file, that a cell spoils; null where all are sound. */
  readonly spoiled: number | null;
}

interface Column {
  readonly name: string;
  readonly draw: readonly [number, number];
  /** Headings, and how many of the heading's unit one of the kept unit is. Common use, no source. */
  readonly headings: readonly (readonly [string, number])[];
}

const columns: Column[] = [
  {
    name: "speedRpm",
    draw: [800, 12_000],
    headings: [
      ["wheel rpm", 1],
      ["wheel speed krpm", 1e-3],
      ["Drehzahl 1/min", 1],
      ["Drehzahl [U/min]", 1],
      ["回転数 (min-1)", 1],
      ["vitesse tr/min", 1],
      ["обороты об/мин", 1],
      ["speed (Hz)", 1 / 60],
      ["转速 rpm", 1],
      ["velocidad (rpm)", 1],
      ["giri/min", 1],
      ["회전수 rpm", 1],
      ["rotação (rpm)", 1],
      ["Sichterrad-Drehzahl in 1/min", 1],
      ["speed, rps", 1 / 60],
    ],
  },
  {
    name: "gasFlowM3PerH",
    draw: [40, 600],
    headings: [
      ["gas flow m3/h", 1],
      ["air l/min", 1000 / 60],
      ["Luftmenge (m³/min)", 1 / 60],
      ["gas flow m3/s", 1 / 3600],
      ["débit m3/h", 1],
      ["расход газа м3/ч", 1],
      ["风量 m³/h", 1],
      ["caudal (m3/h)", 1],
      ["portata aria m³/h", 1],
      ["유량 m3/h", 1],
      ["vazão (m3/h)", 1],
      ["風量 (m3/min)", 1 / 60],
      ["air, cfm", 1 / 1.699011],
    ],
  },
  {
    name: "feedKgPerH",
    draw: [0.2, 20],
    headings: [
      ["feed kg/h", 1],
      ["feed rate (g/min)", 1000 / 60],
      ["Aufgabe g/h", 1000],
      ["alimentation kg/h", 1],
      ["alimentación (kg/h)", 1],
      ["給料 kg/h", 1],
      ["进料 (g/min)", 1000 / 60],
      ["공급 kg/h", 1],
      ["загрузка кг/ч", 1],
    ],
  },
  {
    name: "productKgPerH",
    draw: [0.2, 20],
    headings: [
      ["product kg/h", 1],
      ["Durchsatz kg/h", 1],
      ["throughput g/h", 1000],
      ["producto kg/h", 1],
      ["prodotto (kg/h)", 1],
      ["製品 kg/h", 1],
      ["产量 kg/h", 1],
    ],
  },
  {
    name: "d50Um",
    draw: [0.5, 12],
    headings: [
      ["D50 um", 1],
      ["x50 (nm)", 1000],
      ["d(0.5) µm", 1],
      ["D50 мкм", 1],
      ["D50 [mm]", 1e-3],
      ["D(v,0.5) microns", 1],
    ],
  },
];
const percentile = (p: string): Column["headings"] => [
  [`D${p} um`, 1],
  [`x${p} (nm)`, 1000],
  [`d(0.${p}) µm`, 1],
  [`D${p} мкм`, 1],
  [`D(v,0.${p}) microns`, 1],
];
for (const p of ["10", "90"])
  columns.push({ name: `d${p}Um`, draw: p === "10" ? [0.2, 0.5] : [12, 40], headings: percentile(p) });

const strangers = ["colour", "operator", "Schicht", "bag no", "天気", "remark"];

/** The table of one seed. */
export function labTableOf(seed: number): LabTable {
  const draw = drawFrom(seed + 91_000_000);
  const used = columns.filter(({ name }) => name === "speedRpm" || name === "d50Um" || draw.chance(0.6));
  const chosen = used.map((column) => ({ ...column, heading: draw.pick(column.headings) }));
  const unknown = draw.chance(0.5) ? [draw.pick(strangers)] : [];
  const at = draw.whole(0, chosen.length);
  const [separator, mark] = draw.pick([
    [",", "."],
    [";", "."],
    [";", ","],
    ["\t", "."],
    ["\t", ","],
  ] as const);
  const count = draw.whole(2, 8);
  const spoiledAt = draw.chance(0.25) ? draw.whole(0, count - 1) : null;
  const rows: Record<string, number>[] = [];
  const place = <T>(cells: readonly T[], more: readonly T[]) => [
    ...cells.slice(0, at),
    ...more,
    ...cells.slice(at),
  ];
  const lines = [
    place(
      chosen.map(({ heading }) => heading[0]),
      unknown,
    ),
  ];
  for (let i = 0; i < count; i++) {
    const values = chosen.map(({ draw: [low, high] }) =>
      Number((low + (high - low) * draw.unit()).toPrecision(4)),
    );
    if (i !== spoiledAt) rows.push(Object.fromEntries(chosen.map(({ name }, k) => [name, values[k] ?? 0])));
    const cells = values.map((value, k) => {
      if (i === spoiledAt && chosen[k]?.name === "d50Um") return draw.pick(["", "n.d.", "-3", "3 bar", "?"]);
      return String(Number((value * (chosen[k]?.heading[1] ?? 1)).toPrecision(9))).replace(".", mark);
    });
    lines.push(
      place(
        cells,
        unknown.map(() => draw.pick(["white", "A", "late"])),
      ),
    );
  }
  const quoted = (cell: string) => (cell.includes(separator) ? `"${cell}"` : cell);
  return {
    seed,
    table: `${lines.map((line) => line.map(quoted).join(separator)).join("\n")}\n`,
    columns: chosen.map(({ name }) => name),
    rows,
    unknown,
    spoiled: spoiledAt === null ? null : spoiledAt + 2,
  };
}

/** What is read of a table that is not as it was written; null where all is. */
export function wrongInLab(
  table: LabTable,
  read: {
    readonly rows: readonly { readonly number: Readonly<Record<string, number | null>> }[];
    readonly problems: readonly {
      readonly severity: string;
      readonly row: number | null;
      readonly message: string;
    }[];
  },
): string | null {
  const refused = read.problems.filter((p) => p.severity !== "note");
  // Three figures behind every comma mean thousands or decimals: refused, never guessed.
  if (read.rows.length === 0 && refused.every((p) => /" can be \d/.test(p.message))) return null;
  if (read.rows.length !== table.rows.length)
    return `${read.rows.length} of ${table.rows.length} rows: ${refused.map((p) => p.message).join(" | ")}`;
  if (refused.some((p) => p.row !== table.spoiled)) return `refused besides: ${refused[0]?.message}`;
  const unsaid = table.unknown.find((text) => !read.problems.some((p) => p.message.includes(`"${text}"`)));
  if (unsaid !== undefined) return `"${unsaid}" was left out without a word`;
  for (const [i, row] of table.rows.entries())
    for (const name of table.columns) {
      const [known = 0, found = null] = [row[name], read.rows[i]?.number[name]];
      if (found === null || Math.abs(found / known - 1) > 1e-6)
        return `row ${i + 1}: ${name} ${found} for ${known}`;
    }
  return null;
}
