import { history, stepHistory } from "#ui/data/changeHistory.ts";
import { loadAll } from "#ui/data/entries.ts";

const wayNames = { undo: "Undo", redo: "Redo" } as const;

/** The button that undoes the last change, or redoes it. */
export function StepButton({ way }: { way: "undo" | "redo" }) {
  const next = history.value[way];
  const title = `${wayNames[way]}: ${next === null ? `nothing to ${way}` : next.what}`;
  return (
    <button
      type="button"
      class="small"
      title={title}
      aria-label={title}
      disabled={next === null}
      onClick={() => void stepHistory(way, loadAll)}
    >
      {wayNames[way]}
    </button>
  );
}

/** Ctrl or Cmd with Z, and with Shift, or with Y, for redo. Inside a text field the keys undo typing, as everywhere. */
export function stepByKey(event: KeyboardEvent): void {
  const key = event.key.toLowerCase();
  if (!(event.ctrlKey || event.metaKey) || event.altKey || (key !== "z" && key !== "y")) return;
  const { target } = event;
  if (target instanceof HTMLTextAreaElement) return;
  if (target instanceof HTMLInputElement && target.type !== "range") return;
  event.preventDefault();
  void stepHistory(event.shiftKey || key === "y" ? "redo" : "undo", loadAll);
}
