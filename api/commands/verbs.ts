import type { Command } from "./command.ts";

/** Every verb, loaded when it is asked for: a short answer should not wait for what it does not need. */
const loaded = {
  describe: async () => (await import("./describe.ts")).describe,
  fit: async () => (await import("./fit.ts")).fit,
  runs: async () => (await import("./runs.ts")).runs,
  check: async () => (await import("./check.ts")).check,
  compare: async () => (await import("./compare.ts")).compare,
  surface: async () => (await import("./surface.ts")).surface,
  fines: async () => (await import("./fines.ts")).fines,
  wheel: async () => (await import("./wheel.ts")).wheel,
  circuit: async () => (await import("./circuit.ts")).circuit,
  pressure: async () => (await import("./pressure.ts")).pressure,
  stages: async () => (await import("./stages.ts")).stages,
  import: async () => (await import("./import.ts")).importFiles,
  watch: async () => (await import("./watch.ts")).watch,
  lots: async () => (await import("./lots.ts")).lots,
  backup: async () => (await import("./backup.ts")).backup,
  restore: async () => (await import("./restore.ts")).restore,
  verify: async () => (await import("./verify.ts")).verify,
  band: async () => (await import("./band.ts")).band,
  blend: async () => (await import("./blend.ts")).blend,
  scalp: async () => (await import("./blend.ts")).scalp,
  against: async () => (await import("./comparing.ts")).against,
  history: async () => (await import("./comparing.ts")).history,
  factors: async () => (await import("./comparing.ts")).factors,
  "next-trial": async () => (await import("./comparing.ts")).nextTrial,
  chain: async () => (await import("./comparing.ts")).chain,
  user: async () => (await import("./user.ts")).user,
  serve: async () => (await import("./serve.ts")).serve,
  where: async () => (await import("./serve.ts")).where,
  label: async () => (await import("./label.ts")).label,
  export: async () => (await import("./export.ts")).exporting,
  figure: async () => (await import("./figure.ts")).figure,
  sheet: async () => (await import("./report.ts")).sheet,
} satisfies Readonly<Record<string, () => Promise<Command>>>;

export const verbs: ReadonlyMap<string, () => Promise<Command>> = new Map(Object.entries(loaded));
