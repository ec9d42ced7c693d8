import { computed, signal } from "@preact/signals";
import type { Balance } from "#api/records/records.ts";
import { curveOf } from "#distributions/curve.ts";
import type { SizeDistribution } from "#distributions/sizeDistribution.ts";
import { streamsAnswer } from "#model/answers/mill/streamsAnswer.ts";
import { curvesByVolume } from "#model/mill/trials/trialCurves.ts";
import { ask, attempt, changeEntry } from "#ui/data/client.ts";
import { balances, loadAll } from "#ui/data/entries.ts";

export const streamNames = ["feed", "fines", "coarse"] as const;
export type StreamName = (typeof streamNames)[number];

const nothing: Balance = { name: "", feed: null, fines: null, coarse: null, fineYield: null };
/** The number of the balance looked at; 0 for a new one, null for the last that was saved. */
const chosenId = signal<number | null>(null);
export const savedBalance = computed(() =>
  chosenId.value === null
    ? (balances.value.at(-1) ?? null)
    : (balances.value.find((b) => b.id === chosenId.value) ?? null),
);
/** What was entered and is not saved yet. */
const edited = signal<Partial<Balance>>({});
export const isBalanceEdited = computed(() => Object.keys(edited.value).length > 0);
export const balance = computed<Balance>(() => {
  const { name, feed, fines, coarse, fineYield } = savedBalance.value ?? nothing;
  return { name, feed, fines, coarse, fineYield, ...edited.value };
});

export function chooseBalance(id: number): void {
  chosenId.value = id;
  edited.value = {};
}

export function enterBalance(change: Partial<Balance>): void {
  edited.value = { ...edited.value, ...change };
}

/** The streams whose tables are being read. */
const beingRead = signal<readonly StreamName[]>([]);
export const areStreamsRead = computed(() => beingRead.value.length === 0);

/** A table that says nothing leaves the stream as it was saved. */
export function enterStream(name: StreamName, curve: SizeDistribution | "reading" | null): void {
  const others = beingRead.value.filter((n) => n !== name);
  beingRead.value = curve === "reading" ? [...others, name] : others;
  if (curve === "reading") return;
  const { [name]: _, ...rest } = edited.value;
  edited.value = curve === null ? rest : { ...rest, [name]: curve };
}

export async function saveBalance(): Promise<void> {
  const saved = savedBalance.value;
  const body = balance.value;
  const sent = edited.value;
  const then = async () => {
    await loadAll();
    // What was typed meanwhile is not saved yet.
    if (edited.value === sent) edited.value = {};
  };
  if (saved !== null) {
    const { id, version } = saved;
    await changeEntry("PUT /api/balances/{id}", { params: { id }, body, version }, then);
  } else
    await attempt(async () => {
      const { id } = await ask("POST /api/balances", { body });
      chosenId.value = id;
      await then();
    });
}

export const yieldFault = computed(() =>
  balance.value.fineYield === null || (balance.value.fineYield > 0 && balance.value.fineYield < 1)
    ? null
    : "Must lie between 0 and 100 %.",
);

export const missing = computed(() => streamNames.filter((name) => balance.value[name] === null));

/** The three streams by volume, since a balance is one of mass; and why one cannot be turned. */
export const streamsByVolume = computed(() =>
  curvesByVolume(
    streamNames.flatMap((name) => {
      const distribution = balance.value[name];
      return distribution === null ? [] : [{ file: null, name, distribution }];
    }),
  ),
);

export const streams = computed(() => {
  const curveNamed = (name: StreamName) =>
    streamsByVolume.value.curves.find((curve) => curve.name === name)?.distribution;
  const [feed, fines, coarse] = [curveNamed("feed"), curveNamed("fines"), curveNamed("coarse")];
  if (feed === undefined || fines === undefined || coarse === undefined || yieldFault.value !== null)
    return null;
  const { fineYield } = balance.value;
  return streamsAnswer({ feed: curveOf(feed), fines: curveOf(fines), coarse: curveOf(coarse), fineYield });
});
