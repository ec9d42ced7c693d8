import { type Kysely, sql, type Transaction } from "kysely";
import { makeApp } from "../../api/app.ts";
import { checksumOf } from "../../api/records/checksum.ts";
import { openDatabase, type Whereabouts } from "../../api/store/database/database.ts";
import { computedChecksum, listLots, showStages } from "../../api/store/database/lotList.ts";
import type { Tables } from "../../api/store/database/tables.ts";
import { entryRow, setCounter } from "../../api/store/ledger/eventWriter.ts";
import { makeStore } from "../../api/store/store.ts";
import { version } from "../../api/version.ts";
import { usualSteps } from "../../model/lot/processSteps.ts";
import { betResult } from "../../model/surface/bet.ts";

/** How large a lab is made. */
export interface LabSize {
  readonly lots: number;
  readonly runsPerLot: number;
  readonly mills: number;
  readonly trialsPerMill: number;
  readonly materials: number;
}

interface Made {
  readonly kind: "material" | "band" | "mill" | "lot" | "import" | "measurement" | "trial" | "result";
  readonly id: number;
  readonly body: object;
}

const rowsAtOnce = 400;
const classes = 40;
const edges = Array.from({ length: classes + 1 }, (_, i) => Number((0.05 * 1.25 ** i).toPrecision(4)));
const day = (i: number) => new Date(Date.UTC(2005, 0, 1) + i * 9 * 3_600_000).toISOString();

function distributionOf(middle: number) {
  const weights = edges.slice(1).map((_, i) => Math.exp(-(((i - middle) / 4) ** 2)));
  const whole = weights.reduce((a, b) => a + b);
  return {
    quantity: "volume",
    measuredAs: "volume",
    inClass: "log-uniform",
    lowerUm: edges.slice(0, -1),
    upperUm: edges.slice(1),
    shares: weights.map((w) => w / whole),
    belowShare: 0,
    aboveShare: 0,
  };
}

const fine = {
  version: 1,
  name: "fine",
  stage: "milled",
  densityGPerCm3: null,
  rule: "simple",
  rows: [
    { limit: "d10Um", low: 0.8, high: 2 },
    { limit: "d50Um", low: 1.8, high: 3 },
    { limit: "d90Um", low: null, high: 6 },
  ],
  envelope: null,
};
const machine = {
  wheelRadiusM: 0.05,
  wheelHeightM: 0.03,
  freeAreaShare: 0.8,
  swirlRatio: 1,
  ratedSpeedRpm: 12000,
  gas: "air",
  temperatureC: 20,
  pressurePa: 101325,
  gasFlowM3PerH: 60,
  particleDensityGPerCm3: 4.55,
};

function* entriesOf(size: LabSize): Generator<Made> {
  const names = Array.from({ length: size.materials }, (_, i) => `oxide ${i + 1}`);
  for (const [i, name] of names.entries())
    yield {
      kind: "material",
      id: i + 1,
      body: { name, densityGPerCm3: 4 + i / 10, steps: usualSteps, bands: [], note: "" },
    };
  yield { kind: "band", id: 1, body: fine };
  for (let id = 1; id <= size.mills; id++)
    yield { kind: "mill", id, body: { name: `Mill ${id}`, mill: machine } };
  for (let id = 1; id <= size.mills * size.trialsPerMill; id++) {
    const trial = {
      speedRpm: 3000 + (id % 7) * 500,
      gasFlowM3PerH: null,
      feedKgPerH: 2,
      d10Um: null,
      d50Um: 3 - (id % 7) / 5,
      d90Um: null,
    };
    const materialId = 1 + (id % size.materials);
    yield {
      kind: "trial",
      id,
      body: {
        millId: 1 + (id % size.mills),
        name: `Trial ${id}`,
        trial,
        curve: null,
        exclusionReason: null,
        materialId,
      },
    };
  }
  for (let id = 1; id <= size.lots; id++) {
    const material = names[id % names.length] ?? "";
    yield {
      kind: "lot",
      id,
      body: {
        name: `Lot ${id}`,
        material,
        densityGPerCm3: 4 + (id % names.length) / 10,
        bandId: null,
        note: `campaign ${Math.floor(id / 40)}`,
        keptAt: day(id),
        dateMade: day(id).slice(0, 10),
        ...(id % 50 === 0
          ? { state: { name: "on hold", by: "A", at: day(id), why: "lumps", lotId: null } }
          : {}),
      },
    };
    yield {
      kind: "import",
      id,
      body: { lotId: id, file: null, text: "", sha256: checksumOf(""), options: {}, keptAt: day(id) },
    };
    if (id % 5 === 0)
      yield {
        kind: "result",
        id: id / 5,
        body: {
          lotId: id,
          stage: "milled",
          name: betResult,
          value: 2 + Math.sin(id) / 4,
          unit: "m²/g",
          uncertainty: null,
          note: "",
        },
      };
    for (let run = 0; run < size.runsPerLot; run++)
      yield {
        kind: "measurement",
        id: (id - 1) * size.runsPerLot + run + 1,
        body: {
          lotId: id,
          importId: id,
          stage: "milled",
          name: `run ${run + 1}`,
          file: null,
          distribution: distributionOf(17 + 2 * Math.sin(id) + 0.2 * Math.sin(7 * id + run)),
          exclusionReason: null,
        },
      };
  }
}

/** What stands for the row of a run: the long way through its fields would take longer than all else. */
function rowOf({ kind, id, body }: Made, text: string): Tables["entries"] {
  if (kind !== "measurement") return entryRow(kind, id, text, 1);
  const parent = "lotId" in body && typeof body.lotId === "number" ? body.lotId : null;
  const checksum = checksumOf(kind, id, text);
  return { kind, id, parent, part: "milled", words: "", body: text, checksum, version: 1, day: "" };
}

/** Writes a lab straight into the tables, as one event, far quicker than through the server. @returns entries */
async function write(tx: Transaction<Tables>, size: LabSize): Promise<number> {
  const seq = 1;
  const last = new Map<string, number>();
  let position = 0;
  let some: Made[] = [];
  const flush = async () => {
    const texts = some.map((one) => ({ one, text: JSON.stringify(one.body) }));
    const changes = texts.map(({ one: { kind, id }, text }, i) => {
      const at = position + i;
      const checksum = checksumOf(seq, at, kind, id, null, text);
      return { seq, position: at, kind, id, before: null, after: text, checksum };
    });
    await tx.insertInto("changes").values(changes).execute();
    const rows = texts.map(({ one, text }) => rowOf(one, text));
    await tx.insertInto("entries").values(rows).execute();
    position += some.length;
    some = [];
  };
  for (const one of entriesOf(size)) {
    some.push(one);
    last.set(one.kind, one.id);
    if (some.length === rowsAtOnce) await flush();
  }
  if (some.length > 0) await flush();
  for (const [name, value] of last) await setCounter(tx, name, value);
  await listLots(tx, null);
  return position;
}

/** What the background would have written, with figures that only look like it: the list is timed, not the model. */
async function pretendSummaries(db: Kysely<Tables>, newest: number): Promise<void> {
  const [kept] = (await makeStore(db, clock).summaries(newest)).map(({ stale: _, ...one }) => one);
  const summary = JSON.stringify(kept);
  const verdicts = ["in band", "out of band", "on the edge"] as const;
  const rows = await db.selectFrom("lot_stages").selectAll().execute();
  const written = rows.map((row) => {
    const figure = (shift: number) => ((row.lot * (37 + shift)) % 1009) / 500 + 0.5;
    const computed = {
      ...row,
      verdict: verdicts[row.lot % 3] ?? null,
      chance: ((row.lot * 37) % 1009) / 1009,
      d10_um: figure(1),
      d50_um: figure(2),
      d90_um: figure(3),
      area: figure(4),
      bet: figure(5),
      summary,
    };
    return { ...computed, checksum: computedChecksum(computed) };
  });
  await db.transaction().execute(async (tx) => {
    await tx.deleteFrom("lot_stages").execute();
    for (let i = 0; i < written.length; i += rowsAtOnce)
      await tx
        .insertInto("lot_stages")
        .values(written.slice(i, i + rowsAtOnce))
        .execute();
    const entered = { band: 1, shown: "milled", computed: 1, model: version };
    await showStages(
      tx,
      written.map(({ lot }) => ({ lot, ...entered })),
    );
  });
}

const clock = () => new Date();

/**
 * Makes a lab of this size where there is none and asks a server over it what pages ask.
 *
 * @param timed  takes a name and what to do
 */
export async function askLab(
  whereabouts: Whereabouts,
  size: LabSize,
  timed: (name: string, ask: (i: number) => Promise<unknown>, times?: number) => Promise<void>,
): Promise<void> {
  const db = await openDatabase(whereabouts);
  const store = makeStore(db, clock);
  const from = performance.now();
  await store.begin();
  const entries = await db.transaction().execute((tx) => write(tx, size));
  const seconds = (performance.now() - from) / 1000;
  console.log(
    `${size.lots} lots x ${size.runsPerLot} runs, ${size.mills} mills: ${entries} entries in ${seconds.toFixed(0)} s`,
  );
  if (whereabouts.databaseUrl !== null) await sql`analyze`.execute(db);
  const app = makeApp({ store, uiFolder: null, log: console.error });
  const get = async (path: string) => {
    const answer = await app.request(path);
    if (answer.status !== 200) throw new Error(`${path}: ${answer.status} ${await answer.text()}`);
    return answer.arrayBuffer();
  };
  // A dozen of the newest say what one costs; the others get figures that look like it.
  const some = 12;
  const began = performance.now();
  await store.summarize(some);
  console.log(`summaries of ${some} lots anew: ${((performance.now() - began) / some).toFixed(0)} ms each`);
  await pretendSummaries(db, size.lots);
  if (whereabouts.databaseUrl !== null) await sql`analyze`.execute(db);
  const middle = Math.floor(size.lots / 2);
  await timed("newest hundred", () => get("/api/lots?limit=100&sort=day"));
  await timed("sorted by D50", () => get("/api/lots?limit=100&sort=d50"));
  await timed("sorted by chance, in band, one material", () =>
    get("/api/lots?limit=100&sort=chance&verdict=in%20band&material=oxide%203"),
  );
  await timed("sorted by D50 of a stage named", () =>
    get("/api/lots?limit=100&sort=d50&stage=milled&direction=ascending"),
  );
  await timed("page in the middle", () => get(`/api/lots?limit=100&sort=bet&offset=${middle}`));
  await timed("filtered by BET, on hold", () =>
    get("/api/lots?limit=100&betFrom=1&betTo=2&state=on%20hold&sort=name"),
  );
  await timed("search, many fit", (i) =>
    get(`/api/lots?limit=100&sort=day&search=${["oxide", "lot", "camp"][i % 3]}`),
  );
  await timed("search, few fit", (i) => get(`/api/lots?limit=100&sort=day&search=campaign+${i}+oxide`));
  await timed("one lot with its runs", (i) => get(`/api/lots/${1 + ((i * 1999) % size.lots)}`));
  await timed("materials", () => get("/api/materials"));
  await timed("ground of a lot", (i) => get(`/api/lots/${middle + i}/ground?stage=milled`));
  await timed("ground of a stage nobody measured", () => get(`/api/lots/${middle}/ground?stage=re-fired`));
  await timed("history of a material, 60 lots", () =>
    get("/api/lot-history?stage=milled&material=oxide%203&limit=60"),
  );
  await timed("history of a material, 200 lots", () =>
    get("/api/lot-history?stage=milled&material=oxide%203"),
  );
  await timed("trials of a mill", (i) => get(`/api/mills/${1 + (i % size.mills)}/trials`));
  await store.close();
}
