import type { Contract } from "#api/contract/contract.ts";
import { newLotKey, newLots } from "#model/intake/intake.ts";
import { counted, listed } from "#model/words/wording.ts";
import { goTo } from "#ui/data/address.ts";
import { base64Of } from "#ui/data/base64.ts";
import { ask, attempt, said } from "#ui/data/client.ts";
import { loadAll } from "#ui/data/entries.ts";
import { type Incoming, stopLooking, tables } from "#ui/data/incoming.ts";
import { readable, textOf } from "#ui/data/readTables.ts";
import { stageToOpen } from "#ui/data/selection.ts";
import { letGo, rememberAll, reported } from "./importState.ts";
import { inTurn } from "./inTurn.ts";
import { densities, isWanted, placed, type RunPlaced, toSave } from "./placesState.ts";

type SentTable = Contract["POST /api/intake"]["asked"]["body"]["tables"][number];

/** Saves what is ticked as one change, or nothing of it. Until it is sent it can be stopped. */
export async function savePlaces(): Promise<void> {
  const runs = toSave.value;
  const lots = newLots(runs);
  const places = new Map(lots.map((lot, i) => [newLotKey(lot), i]));
  const byTable = new Map<Incoming, RunPlaced[]>();
  for (const run of runs) byTable.set(run.table, [...(byTable.get(run.table) ?? []), run]);
  rememberAll();
  const sent: SentTable[] = [];
  const done = await inTurn([...byTable], "Saving", async ([table, of]) => {
    sent.push(await sentTable(table, of, places));
    return true;
  });
  if (done < byTable.size) {
    said.value = "Stopped: nothing was saved.";
    return;
  }
  const body = {
    lots: lots.map((lot) => {
      const densityGPerCm3 = densities.value.get(lot.material) ?? null;
      return { ...lot, ...(densityGPerCm3 === null ? {} : { densityGPerCm3 }) };
    }),
    tables: sent,
  };
  await attempt(async () => {
    const { kept, lotIds, problems } = await ask("POST /api/intake", { body });
    if (problems.length > 0) throw new Error(problems.map(({ message }) => message).join(" "));
    await after(kept, lotIds);
  });
}

async function sentTable(
  table: Incoming,
  runs: readonly RunPlaced[],
  newPlaces: ReadonlyMap<string, number>,
): Promise<SentTable> {
  const { file, bytes, options } = table;
  const { only, ...others } = options;
  return {
    file,
    ...(bytes === null ? { text: textOf(table) } : { base64: await base64Of(bytes) }),
    options: { ...others, ...(only === undefined ? {} : { only: [...only] }) },
    howMeasured: reported.value,
    runs: runs.flatMap(({ name, lotId, lot, material, stage, portion }) => {
      if (stage === null || lot === null || material === null) return [];
      const newLot = lotId === null ? newPlaces.get(newLotKey({ name: lot, material })) : undefined;
      const into = lotId === null ? (newLot === undefined ? {} : { newLot }) : { lotId };
      return [{ name, ...into, stage, portion }];
    }),
  };
}

/** Files with nothing left to save are put away; what is left stays, and is named. */
async function after(kept: number, lotIds: readonly number[]): Promise<void> {
  const left = new Set(
    placed.value.filter((run) => !isWanted(run) && run.double === null).map(({ table }) => table),
  );
  for (const table of readable.value) if (!left.has(table)) letGo(table);
  await loadAll();
  const lots = counted(lotIds.length, "lot");
  const rest = tables.value.map((table) => table.file ?? "a table");
  const stay = rest.length === 0 ? "" : ` Still here, not saved: ${listed(rest)}.`;
  said.value = `Saved ${counted(kept, "measurement")} in ${lots} as one change; one undo takes it back.${stay}`;
  if (rest.length > 0) return;
  stopLooking();
  const [only] = lotIds;
  if (lotIds.length === 1 && only !== undefined) goTo({ page: "lot", lotId: only, stage: stageToOpen(only) });
  else goTo({ page: "lots" });
}
