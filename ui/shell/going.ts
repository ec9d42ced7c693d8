import { signal } from "@preact/signals";

/** Whether the dialog that goes anywhere is open. */
export const isGoing = signal(false);

/** Ctrl or Cmd with K opens it, wherever one is. */
export function goByKey(event: KeyboardEvent): void {
  if (!(event.ctrlKey || event.metaKey) || event.altKey || event.shiftKey) return;
  if (event.key.toLowerCase() !== "k") return;
  event.preventDefault();
  isGoing.value = true;
}
