import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import { later } from "./later.tsx";

const Formulas = later("the formulas", async () => (await import("./formulas.tsx")).Formulas);

/**
 * Numbers that say how they were found. A press on an element with `data-how` tells that one's formula, inputs, source and
 * version; the button, which the keyboard reaches, tells all of them. `of` and `data-how` name rows
 * or headings of docs/science.md.
 */
export function HowFound(props: {
  of: readonly string[];
  /** What went in, in sentences. */
  inputs: readonly string[];
  children: ComponentChildren;
}) {
  const { of, inputs, children } = props;
  const [shown, setShown] = useState<readonly string[]>([]);
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: the button below tells the same without a pointer
    // biome-ignore lint/a11y/useKeyWithClickEvents: as above
    <div
      onClick={({ target }) => {
        const pressed = target instanceof Element ? target.closest<HTMLElement>("[data-how]") : null;
        const how = pressed?.dataset["how"];
        if (how !== undefined) setShown([how]);
      }}
    >
      {children}
      <p class="no-print how">
        <button
          type="button"
          class="small"
          aria-expanded={shown.length > 0}
          onClick={() => setShown(shown.length > 0 ? [] : of)}
        >
          How these are found
        </button>
      </p>
      {shown.length > 0 && <Formulas of={shown} inputs={inputs} />}
    </div>
  );
}
