import { kindNames } from "../../api/records/kinds.ts";
import { savedReport } from "../../api/store/savedReport.ts";
import type { Store } from "../../api/store/store.ts";

/** What a store answers to everything one can ask of it, each as text by its question; a refusal is its sentence. */
export async function answersOf(store: Store): Promise<ReadonlyMap<string, string>> {
  const questions = new Map<string, () => Promise<unknown>>([
    ["lots", () => store.lots()],
    ["materials", () => store.materials()],
    ["bands", () => store.bands()],
    ["mills", () => store.mills()],
    ["trail", () => store.changeHistory(null, 1000)],
    ["next", () => store.history()],
  ]);
  for (const kind of kindNames) questions.set(kind, () => store.entries(kind));
  for (let id = 1; id <= lotsAsked; id++) {
    questions.set(`lot ${id}`, () => store.lot(id));
    questions.set(`sheet ${id}`, () => savedReport(store, id, { report: "grade" }));
  }
  for (let id = 1; id <= importsAsked; id++) questions.set(`import of ${id}`, () => store.importOf(id));
  for (let seq = 1; seq <= eventsAsked; seq++) questions.set(`event ${seq}`, () => store.changes(seq));
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

const lotsAsked = 4;
const importsAsked = 40;
const eventsAsked = 40;

/** Whether an answer that is not as it was says so itself: refused, or with what is damaged beside it. */
export function isMarked(answer: string): boolean {
  return (
    answer.startsWith("refused: ") || /does not match its checksum|cannot be read|"damaged":\[\{/.test(answer)
  );
}
