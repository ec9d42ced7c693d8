import type { Problem } from "#distributions/problem.ts";
import { unbroken } from "./format.ts";

const words = { note: "Note", question: "Needs an answer", refused: "Refused" } as const;

/** Problems with their place, what was found, what was expected and what to do. */
export function ProblemList({ problems }: { problems: readonly Problem[] }) {
  if (problems.length === 0) return null;
  return (
    <ul class="problems">
      {problems.map((p) => (
        <li key={`${p.file}${p.sheet}${p.measurement}${p.row}${p.column}${p.message}`} class={p.severity}>
          <strong>{words[p.severity]}</strong>
          {whereOf(p) !== "" && <span class="quiet"> {whereOf(p)}</span>}: {unbroken(p.message)}
          {p.found !== null && <span class="quiet"> Found {unbroken(p.found)}.</span>}
          {p.expected !== null && <span class="quiet"> Expected {unbroken(p.expected)}.</span>}
          {p.effect !== null && <span class="quiet"> Effect: {unbroken(p.effect)}.</span>}
        </li>
      ))}
    </ul>
  );
}

export function whereOf(p: Problem): string {
  const parts = [
    p.sheet === undefined ? null : `sheet ${p.sheet}`,
    p.measurement,
    p.row === null ? null : `row ${p.row}`,
    p.column === null ? null : `column ${p.column}`,
  ];
  return parts.filter((part) => part !== null).join(", ");
}
