import { sql, type Transaction } from "kysely";
import { checksumOf } from "#api/records/checksum.ts";
import type { Tables } from "./tables.ts";

/** A row of the first schema as an entry: its body is put together from texts, so that even a damaged one comes along. */
interface Taken {
  readonly kind: string;
  readonly id: number;
  readonly parent: number | null;
  readonly part: string;
  readonly words: string;
  readonly body: string;
}

interface FirstSchema {
  bands: { id: number; band: string };
  lots: {
    id: number;
    name: string;
    material: string;
    density_g_per_cm3: number;
    band_id: number | null;
    note: string;
    kept_at: string;
  };
  imports: {
    id: number;
    file: string | null;
    text: string;
    sha256: string;
    options: string;
    kept_at: string;
    lot_id: number;
  };
  measurements: {
    id: number;
    lot_id: number;
    import_id: number;
    stage: string;
    name: string;
    file: string | null;
    distribution: string;
  };
  mills: { id: number; name: string; mill: string };
  trials: { id: number; mill_id: number; name: string; trial: string; curve: string | null };
  pairs: { id: number; stage: string; geometric_m2_per_g: number; bet_m2_per_g: number };
}

/** Takes the rows of the first schema over as the first event of the record. */
export async function migrateToEntries(tx: Transaction<Tables>): Promise<void> {
  const taken = [
    ...(await bands(tx)),
    ...(await mills(tx)),
    ...(await lots(tx)),
    ...(await imports(tx)),
    ...(await measurements(tx)),
    ...(await trials(tx)),
    ...(await pairs(tx)),
  ];
  if (taken.length === 0) return;
  const seq = 1;
  const at = new Date().toISOString();
  const [what, person] = ["converted what was saved before there was a change history", "Fineband"];
  await tx
    .insertInto("events")
    .values({
      seq,
      at,
      kind: "start",
      what,
      person,
      why: "",
      of_seq: null,
      standing: "done",
      request_key: null,
      request_hash: null,
      checksum: checksumOf(seq, at, "start", what, person, "", null),
    })
    .execute();
  await tx.updateTable("counters").set({ value: seq }).where("name", "=", "event").execute();
  const last = new Map<string, number>();
  for (const [position, entry] of taken.entries()) {
    const { kind, id, body } = entry;
    await tx
      .insertInto("changes")
      .values({
        seq,
        position,
        kind,
        id,
        before: null,
        after: body,
        checksum: checksumOf(seq, position, kind, id, null, body),
      })
      .execute();
    const { parent, part, words } = entry;
    // Columns that came with later steps are not there yet.
    await sql`insert into entries (kind, id, parent, part, words, body, checksum, version)
      values (${kind}, ${id}, ${parent}, ${part}, ${words}, ${body}, ${checksumOf(kind, id, body)}, ${seq})`.execute(
      tx,
    );
    last.set(kind, Math.max(last.get(kind) ?? 0, id));
  }
  for (const [name, value] of last) await tx.insertInto("counters").values({ name, value }).execute();
}

async function rowsOf<Row>(tx: Transaction<Tables>, query: string): Promise<readonly Row[]> {
  return (await sql.raw<Row>(query).execute(tx)).rows;
}

const alone = { parent: null, part: "", words: "" };

/** A JSON object with its fields in this order; values are JSON already. */
function object(fields: Readonly<Record<string, string>>): string {
  return `{${Object.entries(fields)
    .map(([name, value]) => `${JSON.stringify(name)}:${value}`)
    .join(",")}}`;
}

const json = (value: string | number | null) => JSON.stringify(value);

async function bands(tx: Transaction<Tables>): Promise<Taken[]> {
  const rows = await rowsOf<FirstSchema["bands"]>(tx, "select id, band from bands order by id");
  return rows.map((r) => ({ ...alone, kind: "band", id: r.id, body: r.band }));
}

async function mills(tx: Transaction<Tables>): Promise<Taken[]> {
  const rows = await rowsOf<FirstSchema["mills"]>(tx, "select id, name, mill from mills order by id");
  return rows.map((r) => ({
    ...alone,
    kind: "mill",
    id: r.id,
    body: object({ name: json(r.name), mill: r.mill }),
  }));
}

async function lots(tx: Transaction<Tables>): Promise<Taken[]> {
  const rows = await rowsOf<FirstSchema["lots"]>(tx, "select * from lots order by id");
  return rows.map((r) => ({
    ...alone,
    kind: "lot",
    id: r.id,
    words: `${r.name}\n${r.material}\n${r.note}`.toLowerCase(),
    body: object({
      name: json(r.name),
      material: json(r.material),
      densityGPerCm3: json(r.density_g_per_cm3),
      bandId: json(r.band_id),
      note: json(r.note),
      keptAt: json(r.kept_at),
    }),
  }));
}

/** The first schema tied a table to its lot through its measurements; one without any belonged nowhere and is left. */
async function imports(tx: Transaction<Tables>): Promise<Taken[]> {
  const rows = await rowsOf<FirstSchema["imports"]>(
    tx,
    `select i.id, i.file, i.text, i.sha256, i.options, i.kept_at, min(m.lot_id) as lot_id
      from imports i join measurements m on m.import_id = i.id
      group by i.id, i.file, i.text, i.sha256, i.options, i.kept_at order by i.id`,
  );
  return rows.map((r) => ({
    ...alone,
    kind: "import",
    id: r.id,
    parent: r.lot_id,
    body: object({
      lotId: json(r.lot_id),
      file: json(r.file),
      text: json(r.text),
      sha256: json(r.sha256),
      options: r.options,
      keptAt: json(r.kept_at),
    }),
  }));
}

async function measurements(tx: Transaction<Tables>): Promise<Taken[]> {
  const rows = await rowsOf<FirstSchema["measurements"]>(
    tx,
    `select m.id, m.lot_id, m.import_id, m.stage, m.name, i.file, m.distribution
      from measurements m join imports i on i.id = m.import_id order by m.id`,
  );
  return rows.map((r) => ({
    ...alone,
    kind: "measurement",
    id: r.id,
    parent: r.lot_id,
    part: r.stage,
    body: object({
      lotId: json(r.lot_id),
      importId: json(r.import_id),
      stage: json(r.stage),
      name: json(r.name),
      file: json(r.file),
      distribution: r.distribution,
      asideBecause: "null",
    }),
  }));
}

async function trials(tx: Transaction<Tables>): Promise<Taken[]> {
  const rows = await rowsOf<FirstSchema["trials"]>(
    tx,
    "select id, mill_id, name, trial, curve from trials order by id",
  );
  return rows.map((r) => ({
    ...alone,
    kind: "trial",
    id: r.id,
    parent: r.mill_id,
    body: object({
      millId: json(r.mill_id),
      name: json(r.name),
      trial: r.trial,
      curve: r.curve ?? "null",
    }),
  }));
}

async function pairs(tx: Transaction<Tables>): Promise<Taken[]> {
  const rows = await rowsOf<FirstSchema["pairs"]>(tx, "select * from pairs order by id");
  return rows.map((r) => ({
    ...alone,
    kind: "pair",
    id: r.id,
    body: object({
      stage: json(r.stage),
      geometricM2PerG: json(r.geometric_m2_per_g),
      betM2PerG: json(r.bet_m2_per_g),
    }),
  }));
}
