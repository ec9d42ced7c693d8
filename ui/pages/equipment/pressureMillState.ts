import { computed, signal } from "@preact/signals";
import type { PressureMill } from "#api/records/records.ts";
import type { Problem } from "#distributions/problem.ts";
import { pressureAnswer } from "#model/answers/mill/pressureAnswer.ts";
import {
  atPressure,
  type PressurePriors,
  type PressureTrial,
  pressureLimits,
  pressurePriors,
  pressureRegression,
} from "#model/mill/pressure/pressureRegression.ts";
import { intervalOf } from "#model/mill/trials/trialFit.ts";
import { geometricSteps } from "#model/numbers/evenSteps.ts";
import { ask, attempt, changeEntry, trouble } from "#ui/data/client.ts";
import { loadAll, pressureMills } from "#ui/data/entries.ts";

export const savedPressureMill = computed(() => pressureMills.value[0] ?? null);

interface Entered {
  readonly name: string;
  readonly ratedBar: number | null;
  /** The trials as a table, as typed. */
  readonly text: string;
  readonly priors: PressurePriors;
}
/** What was typed and is not saved yet. */
const edited = signal<Partial<Entered>>({});
export const isPressureMillEdited = computed(() => Object.keys(edited.value).length > 0);

export const pressureHeadings = "pressureBar,feedKgPerH,d50Um";
const asText = ({ trials }: PressureMill) =>
  [pressureHeadings, ...trials.map((t) => `${t.pressureBar},${t.feedKgPerH ?? ""},${t.d50Um}`)].join("\n");

export const entered = computed<Entered>(() => {
  const saved = savedPressureMill.value;
  const from = {
    name: saved?.name ?? "",
    ratedBar: saved?.ratedBar ?? null,
    priors: saved?.priors ?? pressurePriors,
  };
  return { ...from, text: saved === null ? "" : asText(saved), ...edited.value };
});

export function enterPressureMill(change: Partial<Entered>): void {
  edited.value = { ...edited.value, ...change };
  if (change.text !== undefined) void readTyped(change.text);
}

interface Read {
  readonly trials: readonly PressureTrial[];
  readonly problems: readonly Problem[];
}
const nothingRead: Read = { trials: [], problems: [] };
/** What is read of what was typed; null while it is being read. */
const typed = signal<Read | null>(nothingRead);

/** The reader of tables is fetched with the first one that is typed. */
async function readTyped(text: string): Promise<void> {
  typed.value = text.trim() === "" ? nothingRead : null;
  if (typed.value !== null) return;
  let found: Read | null = null;
  const isHere = await attempt(async () => {
    const { readPressureTrials } = await import("#model/mill/pressure/readPressureTrials.ts");
    found = readPressureTrials(text, null);
  });
  if (!isHere)
    trouble.value = "The trials were not read: the table reader could not be loaded. Edit them to try again.";
  if (edited.value.text === text) typed.value = found;
}
const readSoFar = computed<Read | null>(() =>
  edited.value.text === undefined
    ? { trials: savedPressureMill.value?.trials ?? [], problems: [] }
    : typed.value,
);
/** Whether what was typed is not read yet, so that saving it would save other trials. */
export const areTrialsUnread = computed(() => readSoFar.value === null);
export const pressureTrials = computed<Read>(() => readSoFar.value ?? nothingRead);

export async function savePressureMill(): Promise<void> {
  const saved = savedPressureMill.value;
  const { name, ratedBar, priors } = entered.value;
  const body = {
    name: name.trim(),
    ratedBar,
    trials: [...pressureTrials.value.trials],
    priors,
  };
  const sent = edited.value;
  const then = async () => {
    await loadAll();
    // What was typed meanwhile is not saved yet.
    if (edited.value === sent) edited.value = {};
  };
  if (saved !== null) {
    const { id, version } = saved;
    await changeEntry("PUT /api/pressure-mills/{id}", { params: { id }, body, version }, then);
  } else
    await attempt(async () => {
      await ask("POST /api/pressure-mills", { body });
      await then();
    });
}

/** A setting that is tried: nothing of it is saved. */
export const triedBar = signal<number | null>(null);
export const triedFeedKgPerH = signal<number | null>(null);
export const targetD50Um = signal<number | null>(null);

const usable = (value: number | null) => value === null || value > 0;

/** Null where an entry cannot be used. */
export const pressurePlan = computed(() => {
  const asked = {
    pressureBar: triedBar.value,
    feedKgPerH: triedFeedKgPerH.value,
    targetD50Um: targetD50Um.value,
    ratedBar: entered.value.ratedBar,
  };
  return Object.values(asked).every(usable)
    ? pressureAnswer(pressureTrials.value.trials, asked, entered.value.priors)
    : null;
});

/** Median and 90 % ribbon of D50 over pressure; null without a trial. */
export const pressureCurve = computed(() => {
  const regression = pressureRegression(pressureTrials.value.trials, entered.value.priors);
  const feed = triedFeedKgPerH.value;
  const rated = entered.value.ratedBar;
  if (regression === null || !usable(feed) || !usable(rated)) return null;
  const { lowestBar, highestBar } = pressureLimits(regression, rated ?? Number.POSITIVE_INFINITY);
  if (!(highestBar > lowestBar)) return null;
  const pressures = geometricSteps(lowestBar, highestBar, 33);
  return {
    pressures,
    at: pressures.map((bar) => intervalOf(atPressure(regression, bar, feed), 0.9)),
    trials: regression.trials,
  };
});
