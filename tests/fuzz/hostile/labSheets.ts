import { drawFrom } from "../../distributions/tables/draw.ts";

/** A laboratory's sheet of settings, results and masses under any headings, with what each row holds. */
export interface LabSheet {
  readonly seed: number;
  readonly text: string;
  /** Of each row, what is known by its words: in the kept unit of each. */
  readonly rows: readonly Readonly<Record<string, number>>[];
}

interface SheetColumn {
  readonly name: string;
  readonly draw: readonly [number, number];
  /** A heading, and how many of its unit one of the kept unit is. Common practice, no source. */
  readonly headings: readonly (readonly [string, number])[];
  /** Units behind a number, likewise. */
  readonly behind: readonly (readonly [string, number])[];
}

const columns: readonly SheetColumn[] = [
  {
    name: "mass in",
    draw: [200, 4000],
    headings: [
      ["Mass in (g)", 1],
      ["Einwaage [kg]", 1e-3],
      ["charge mass kg", 1e-3],
      ["mass in (mg)", 1000],
      ["pesée entrée (g)", 1],
      ["weighed in, g", 1],
      ["feed mass (lb)", 1 / 453.59237],
    ],
    behind: [
      ["g", 1],
      ["kg", 1e-3],
    ],
  },
  {
    name: "mass out",
    draw: [150, 3800],
    headings: [
      ["Mass out (g)", 1],
      ["Auswaage (kg)", 1e-3],
      ["output mass kg", 1e-3],
      ["pesée sortie [g]", 1],
      ["product mass (oz)", 1 / 28.349523125],
    ],
    behind: [["kg", 1e-3]],
  },
  {
    name: "wheel speed",
    draw: [900, 11_000],
    headings: [
      ["wheel rpm", 1],
      ["Drehzahl 1/min", 1],
      ["vitesse tr/min", 1],
      ["回転数 (min-1)", 1],
      ["обороты об/мин", 1],
      ["speed krpm", 1e-3],
      ["rotação (rpm)", 1],
      ["velocidad (rpm)", 1],
      ["giri/min", 1],
      ["회전수 rpm", 1],
      ["转速 rpm", 1],
      ["wheel speed m/s", 0.004],
    ],
    behind: [
      ["krpm", 1e-3],
      ["rpm", 1],
    ],
  },
  {
    name: "temperature",
    draw: [700, 1500],
    headings: [
      ["Temperature (°C)", 1],
      ["Brenntemperatur °C", 1],
      ["température [°C]", 1],
      ["temperatura (°C)", 1],
      ["焼成温度 (°C)", 1],
      ["температура, °C", 1],
      ["烧成温度 (°C)", 1],
    ],
    behind: [
      ["°C", 1],
      ["K", 1],
    ],
  },
  {
    name: "BET area",
    draw: [0.3, 4],
    headings: [
      ["BET (m²/g)", 1],
      ["BET cm²/g", 1e4],
      ["比表面積 m2/g", 1],
      ["surface spécifique (m²/g)", 1],
      ["удельная поверхность м2/г", 1],
      ["spez. Oberfläche (m²/g)", 1],
      ["BET m2/kg", 1000],
      ["superficie específica (m2/g)", 1],
      ["비표면적 (m²/g)", 1],
      ["BET (ft2/lb)", 4.882e3],
    ],
    behind: [
      ["m²/g", 1],
      ["cm2/g", 1e4],
    ],
  },
  {
    name: "stated D50",
    draw: [0.5, 12],
    headings: [
      ["D50 (µm)", 1],
      ["x50 nm", 1000],
      ["d(0.5) мкм", 1],
      ["D50 [mm]", 1e-3],
      ["D50 (Å)", 1e4],
      ["D50 mil", 1 / 25.4],
    ],
    behind: [
      ["nm", 1000],
      ["um", 1],
    ],
  },
];

const lots = ["Lot", "Charge", "batch", "ロット", "批次", "партия", "lote", "lotto", "échantillon", "Los"];

/** The sheet of one seed. */
export function labSheetOf(seed: number): LabSheet {
  const draw = drawFrom(seed + 97_000_000);
  const used = columns
    .filter(({ name }) => name === "temperature" || draw.chance(0.6))
    .map((column) => ({ ...column, heading: draw.pick(column.headings) }));
  const [separator, mark] = draw.pick([
    ["\t", "."],
    [";", "."],
    [";", ","],
    ["\t", ","],
  ] as const);
  const written = (value: number) => String(Number(value.toPrecision(9))).replace(".", mark);
  const rows: Record<string, number>[] = [];
  const lines = [[draw.pick(lots), ...used.map(({ heading }) => heading[0])]];
  for (let i = 0; i < draw.whole(2, 6); i++) {
    const row: Record<string, number> = {};
    const cells = used.map(({ name, draw: [low, high], heading, behind }) => {
      const value = Number((low + (high - low) * draw.unit()).toPrecision(4));
      row[name] = value;
      if (draw.chance(0.85)) return written(value * heading[1]);
      const [unit, times] = draw.pick(behind);
      return `${written(value * times)}${draw.pick([" ", ""])}${unit}`;
    });
    rows.push(row);
    lines.push([`K${i + 1}`, ...cells]);
  }
  return { seed, rows, text: `${lines.map((line) => line.join(separator)).join("\n")}\n` };
}

interface SheetRead {
  readonly row: number;
  readonly stages: readonly {
    readonly massInG: number | null;
    readonly massOutG: number | null;
    readonly settings: readonly { readonly name: string; readonly value: string; readonly unit: string }[];
  }[];
  readonly results: readonly { readonly name: string; readonly value: number; readonly unit: string }[];
  readonly faults: readonly unknown[];
}

/** A value that is kept as another than it was written; null where each is right, named as a fault, or left open. */
export function wrongInSheet(sheet: LabSheet, read: readonly SheetRead[]): string | null {
  const units: Readonly<Record<string, readonly string[]>> = {
    "wheel speed": ["rpm"],
    temperature: ["°C", "K"],
    "BET area": ["m²/g"],
    "stated D50": ["µm"],
    "mass in": ["g"],
    "mass out": ["g"],
  };
  for (const { row, stages, results, faults } of read) {
    if (faults.length > 0) continue;
    const known = sheet.rows[row - 2] ?? {};
    const kept = [
      ...results,
      ...stages.flatMap(({ settings, massInG, massOutG }) => [
        ...settings.map(({ value, ...of }) => ({ ...of, value: Number(value) })),
        ...(massInG === null ? [] : [{ name: "mass in", value: massInG, unit: "g" }]),
        ...(massOutG === null ? [] : [{ name: "mass out", value: massOutG, unit: "g" }]),
      ]),
    ];
    for (const { name, value, unit } of kept) {
      const truth = known[name];
      // Words that are no number stand as they were typed.
      if (Number.isNaN(value)) continue;
      const isRight =
        truth !== undefined && units[name]?.includes(unit) === true && Math.abs(value / truth - 1) < 1e-6;
      if (!isRight) return `row ${row}: ${name} ${value} ${unit} for ${truth}`;
    }
  }
  return null;
}
