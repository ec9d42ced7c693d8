import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";

/** Below a chart or picture of which a part is shown: the way back to all of it. And its export, once it is asked for. */
export function FootButtons(props: { isPart: boolean; showAll: () => void; children: ComponentChildren }) {
  const { isPart, showAll, children } = props;
  const [isExporting, setExporting] = useState(false);
  return (
    <span class="no-print">
      {isPart && (
        <button type="button" class="small" onClick={showAll}>
          Show all
        </button>
      )}
      {isExporting && children}
      <button
        type="button"
        class="small"
        aria-expanded={isExporting}
        onClick={() => setExporting(!isExporting)}
      >
        Export this picture
      </button>
    </span>
  );
}
