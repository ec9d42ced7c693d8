import { kindNames } from "../../api/records/kinds.ts";
import { savedReport } from "../../api/store/savedReport.ts";
import type { Store } from "../../api/store/store.ts";

/** What a store answers to everything one can ask of it, each as text by its question; a refusal is its sentence. */
export async function answersOf(store: Store, asked = askedAtMost): Promise<ReadonlyMap<string, string>> {
  const questions = new Map<string, () => Promise<unknown>>([
    ["lots", () => store.lots()],
    ["materials", () => store.materials()],
    ["bands", () => store.bands()],
    ["mills", () => store.mills()],
    ["trail", () => store.changeHistory(null, 1000)],
    ["next", () => store.history()],
  ]);
  for (const kind of kindNames) questions.set(kind, () => store.entries(kind));
  for (let id = 1; id <= asked.lots; id++) {
    questions.set(`lot ${id}`, () => store.lot(id));
    questions.set(`sheet ${id}`, () => savedReport(store, id, { report: "grade" }));
  }
  for (let id = 1; id <= asked.imports; id++) questions.set(`import of ${id}`, () => store.importOf(id));
  for (let seq = 1; seq <= asked.events; seq++) questions.set(`event ${seq}`, () => store.changes(seq));
  const answers = new Map<string, string>();
  for (const [question, ask] of questions)
    answers.set(
      question,
      await ask().then(
        JSON.stringify,
        (fault: unknown) => `refused: ${fault instanceof Error ? fault.message : fault}`,
      ),
    );
  return answers;
}

/** How many lots, imports and events are asked for one by one. */
export type Questions = typeof askedAtMost;

const askedAtMost = { lots: 4, imports: 40, events: 40 };

/** As many as there are, and one more of each: it must not come up. */
export async function askedOf(store: Store): Promise<Questions> {
  const [last] = await store.changeHistory(null, 1);
  return {
    lots: Math.min((await store.entries("lot")).entries.length + 1, askedAtMost.lots),
    imports: Math.min((await store.entries("import")).entries.length + 1, askedAtMost.imports),
    events: Math.min((last?.seq ?? 0) + 1, askedAtMost.events),
  };
}

/** Whether an answer that is not as it was says so itself: refused, or with what is damaged beside it. */
export function isMarked(answer: string): boolean {
  return (
    answer.startsWith("refused: ") || /does not match its checksum|cannot be read|"damaged":\[\{/.test(answer)
  );
}
