import { useState } from "preact/hooks";
import { inClassRules, quantities } from "#distributions/measured.ts";
import type { Choice as Answer, Problem } from "#distributions/problem.ts";
import {
  edgeOptions,
  type ReadingOptions,
  scaleOptions,
  unitOptions,
  valuesOptions,
  withAnswer,
} from "#distributions/tables/readingOptions.ts";
import { type Stage, stages } from "#model/stages.ts";
import { Choice } from "../parts/choice.tsx";
import { figures } from "../parts/format.ts";
import { ProblemList } from "../parts/problemList.tsx";
import { answer, incoming, isOpen, looking, reading, stopLooking, take, takeFile } from "../state/bringIn.ts";
import { bringInto, lots } from "../state/kept.ts";
import { goTo } from "../state/place.ts";
import { lot } from "../state/subject.ts";

/** A table on its way in: paste, drop or choose; see how it was read; answer what it does not say; keep it or only look. */
export function BringIn() {
  const found = reading.value;
  const questions = uniqueQuestions(found?.problems ?? []);
  const others = (found?.problems ?? []).filter((p) => p.severity !== "question");
  return (
    <section class="bring-in" aria-labelledby="bring-in">
      <h2 id="bring-in">Bring in a table</h2>
      <p class="lead">
        Paste sizes and shares with their headings, drop a file anywhere on the page, or choose one. Nothing
        leaves this machine.
      </p>
      <label for="table-text">Table</label>
      <textarea
        id="table-text"
        spellcheck={false}
        value={incoming.value.text}
        onInput={(event) => take(event.currentTarget.value, null)}
      />
      <p>
        <label for="table-file">Or a file</label>{" "}
        <input
          id="table-file"
          type="file"
          accept=".csv,.tsv,.txt"
          onChange={(event) => {
            const [file] = event.currentTarget.files ?? [];
            if (file !== undefined) void takeFile(file);
          }}
        />
      </p>
      {questions.map((q) => (
        <Question key={q.choices?.[0]?.option ?? q.message} question={q} />
      ))}
      {found !== null && found.how.length > 0 && <HowItWasRead />}
      <ProblemList problems={others} />
      {found !== null && found.measurements.length > 0 && <Keep />}
      <button
        type="button"
        onClick={() => {
          stopLooking();
          isOpen.value = false;
        }}
      >
        Close
      </button>
    </section>
  );
}

/** The same question about ten columns is asked once. */
function uniqueQuestions(problems: readonly Problem[]): Problem[] {
  const asked = new Map<string, Problem>();
  for (const p of problems) if (p.severity === "question" && !asked.has(p.message)) asked.set(p.message, p);
  return [...asked.values()];
}

function Question({ question }: { question: Problem }) {
  const give = (choice: Answer) => {
    const options = withAnswer({}, choice.option, choice.value);
    if (options !== null) answer(options);
  };
  return (
    <fieldset>
      <legend>
        <strong>{question.message}</strong>
      </legend>
      <div class="answers">
        {(question.choices ?? []).map((choice) => (
          <button type="button" key={choice.value} onClick={() => give(choice)}>
            {choice.value} <span class="unit">D50 {figures(choice.d50Um)} µm</span>
          </button>
        ))}
      </div>
    </fieldset>
  );
}

/** Each guess with its evidence; any can be changed, and the page follows at once. */
function HowItWasRead() {
  const { options } = incoming.value;
  const how = reading.value?.how ?? [];
  const guess = (option: string) => how.find((g) => g.option === option)?.value ?? "";
  const as = <T extends string>(
    option: keyof ReadingOptions & string,
    label: string,
    words: readonly T[],
    change: (value: T) => ReadingOptions,
  ) => {
    const value = words.find((w) => w === (options[option] ?? guess(option)));
    return value === undefined ? null : (
      <Choice label={label} value={value} options={words} onChange={(v) => answer(change(v))} />
    );
  };
  return (
    <details open>
      <summary>How it was read</summary>
      {as("unit", "Sizes in", unitOptions, (unit) => ({ unit }))}
      {as("values", "Values are", valuesOptions, (values) => ({ values }))}
      {as("scale", "As", scaleOptions, (scale) => ({ scale }))}
      {as("edge", "Sizes are edges", edgeOptions, (edge) => ({ edge }))}
      {as("quantity", "Shares count", quantities, (quantity) => ({ quantity }))}
      <Choice
        label="In a class"
        value={options.inClass ?? "log-uniform"}
        options={inClassRules}
        onChange={(inClass) => answer({ inClass })}
      />
      <ul class="quiet">
        {how.map((g) => (
          <li key={`${g.option}${g.value}`}>
            {g.option}: {g.value},{" "}
            {g.source === "assumed" ? "assumed" : g.source === "option" ? "as you said" : "from the table"} (
            {g.evidence})
          </li>
        ))}
      </ul>
    </details>
  );
}

function Keep() {
  const [stage, setStage] = useState<Stage>("re-fired");
  const [lotId, setLotId] = useState(String(lot.value?.id ?? ""));
  const count = looking.value?.length ?? 0;
  return (
    <p>
      {count === 1 ? "One measurement is" : `${count} measurements are`} read and shown below. Keep in{" "}
      <Choice
        label="lot"
        value={lotId}
        options={lots.value.map((l) => String(l.id))}
        say={(id) => lots.value.find((l) => String(l.id) === id)?.name ?? id}
        onChange={setLotId}
      />
      <Choice label="as" value={stage} options={stages} onChange={setStage} />
      <button
        type="button"
        class="main"
        onClick={async () => {
          const problems = await bringInto(Number(lotId), stage, incoming.value);
          if (problems !== null) return;
          stopLooking();
          goTo({ page: "band", lotId: Number(lotId), stage });
        }}
      >
        Keep
      </button>
    </p>
  );
}
