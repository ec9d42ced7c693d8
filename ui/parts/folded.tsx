import type { ComponentType } from "preact";
import { useState } from "preact/hooks";

/** A section under its summary. What it holds is fetched and worked out when it is opened. */
export function Folded({ summary, of: View }: { summary: string; of: ComponentType }) {
  const [isOpen, setOpen] = useState(false);
  return (
    <details onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{summary}</summary>
      {isOpen && <View />}
    </details>
  );
}
