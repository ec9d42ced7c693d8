import { useState } from "preact/hooks";
import { TextField } from "./textField.tsx";

/** A button that first asks why. The reason goes into the change history. */
export function WithReason(props: {
  /** What the button says, such as "Delete". */
  verb: string;
  /** What it is done to, for whoever hears the button alone. */
  of: string;
  /** In a row that names it already, the button says the verb alone. */
  isInRow?: boolean;
  isNeeded?: boolean;
  /** @returns whether it was done; the reason stays where it was not */
  onDone: (why: string) => Promise<boolean>;
}) {
  const [why, setWhy] = useState<string | null>(null);
  const [isSending, setSending] = useState(false);
  const { verb, of, isInRow = false, isNeeded = false, onDone } = props;
  if (why === null)
    return (
      <button type="button" class="small" aria-label={`${verb} ${of}`} onClick={() => setWhy("")}>
        {isInRow ? verb : `${verb} ${of}`}
      </button>
    );
  return (
    <form
      class="inline"
      onSubmit={async (event) => {
        event.preventDefault();
        // The button stays as it is: one that is switched off loses the focus.
        if (isSending) return;
        setSending(true);
        const isDone = await onDone(why.trim());
        setSending(false);
        if (isDone) setWhy(null);
      }}
    >
      <TextField label={isNeeded ? "Reason" : "Reason (optional)"} value={why} onChange={setWhy} />
      <button type="submit" class="small" disabled={isNeeded && why.trim() === ""}>
        {verb} {of}
      </button>
      <button type="button" class="small" onClick={() => setWhy(null)}>
        Cancel
      </button>
    </form>
  );
}
