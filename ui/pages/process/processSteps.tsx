import { useState } from "preact/hooks";
import type { SavedMaterial } from "#api/records/records.ts";
import { folded, type StepKind, stepKinds } from "#model/lot/processSteps.ts";
import { material } from "#ui/data/selection.ts";
import { saveSteps, useMaterial } from "#ui/data/steps.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { TextField } from "#ui/parts/textField.tsx";

type Step = SavedMaterial["steps"][number];

/** What lots of the material go through: steps are named, ordered, added and taken away; runs stay with their step. */
export function ProcessSteps() {
  const saved = useMaterial(material.value ?? "");
  if (saved === null) return null;
  return <StepsForm key={`${saved.id} ${saved.version}`} saved={saved} />;
}

function StepsForm({ saved }: { saved: SavedMaterial }) {
  const [steps, setSteps] = useState<readonly Step[]>(saved.steps);
  const names = steps.map(({ name }) => folded(name));
  const isWhole = names.every((name, i) => name !== "" && names.indexOf(name) === i);
  const isSame = JSON.stringify(steps) === JSON.stringify(saved.steps);
  const set = (i: number, change: Partial<Step>) =>
    setSteps(steps.map((step, j) => (i === j ? { ...step, ...change } : step)));
  const add = () => {
    const name = nameFor(steps, "further step");
    setSteps([...steps, { id: name, name, kind: "milled" }]);
  };
  return (
    <section aria-labelledby="process-steps">
      <h2 id="process-steps">Steps of {saved.name}</h2>
      <p class="quiet">
        Every step makes a stage that runs, settings and results can be saved at. What is worked out asks for
        the kind of a step and for the order, never for its name.
      </p>
      <form
        aria-label="Steps of the process"
        onSubmit={(event) => {
          event.preventDefault();
          void saveSteps(saved, withOwnIds(steps, saved.steps));
        }}
      >
        <ol class="process-steps">
          {steps.map((step, i) => (
            <li key={step.id}>
              <TextField label={`Step ${i + 1}`} value={step.name} onChange={(name) => set(i, { name })} />
              <Choice<StepKind>
                label="Kind"
                value={step.kind}
                options={stepKinds}
                onChange={(kind) => set(i, { kind })}
              />
              <button
                type="button"
                class="small"
                disabled={i === 0}
                aria-label={`Move ${step.name} up`}
                onClick={() => setSteps(movedUp(steps, i))}
              >
                Up
              </button>{" "}
              <button
                type="button"
                class="small"
                disabled={steps.length === 1}
                aria-label={`Take away ${step.name}`}
                onClick={() => setSteps(steps.filter((_, j) => j !== i))}
              >
                Take away
              </button>
            </li>
          ))}
        </ol>
        <button type="button" class="small" onClick={add}>
          Add a step
        </button>{" "}
        <button type="submit" disabled={isSame || !isWhole}>
          Save the steps
        </button>{" "}
        <span class="quiet" role="status">
          {!isWhole && "Each step needs a name of its own."}
        </span>
      </form>
    </section>
  );
}

function movedUp(steps: readonly Step[], i: number): Step[] {
  const rest = steps.filter((_, j) => j !== i);
  return [...rest.slice(0, i - 1), ...steps.slice(i, i + 1), ...rest.slice(i - 1)];
}

/** A step that is not saved yet is known by the name it is saved with; one that was keeps what it is known by. */
function withOwnIds(steps: readonly Step[], saved: readonly Step[]): Step[] {
  return steps.map((step) => {
    const isSaved = saved.some(({ id }) => id === step.id);
    return isSaved ? step : { ...step, id: step.name.trim() };
  });
}

function nameFor(steps: readonly Step[], word: string): string {
  const taken = new Set(steps.flatMap(({ id, name }) => [folded(id), folded(name)]));
  for (let i = 1; ; i++) {
    const name = i === 1 ? word : `${word} ${i}`;
    if (!taken.has(folded(name))) return name;
  }
}
