import type { Draft } from "#ui/data/draft.ts";

/** Says that what stands in a form was typed before and is not saved, and discards it by one press. */
export function Restored<T>({ draft, of }: { draft: Draft<T>; of: string }) {
  if (!draft.isRestored) return null;
  return (
    <p role="status">
      Typed before and not saved: {of}.
      {draft.isOutdated && " What is saved has changed since; saving this takes its place."}{" "}
      <button type="button" class="small" onClick={draft.discard}>
        Discard what was typed
      </button>
    </p>
  );
}
