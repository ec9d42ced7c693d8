import { useEffect, useState } from "preact/hooks";
import { savedAt } from "#ui/data/client.ts";
import { agoText } from "#ui/parts/format.ts";

/** How long ago the server last acknowledged a change. A timer is read out when asked, not each second. */
export function SavedLine() {
  const at = savedAt.value;
  const [now, setNow] = useState(Date.now());
  useEffect(() => {
    if (at === null) return;
    setNow(Date.now());
    const beat = setInterval(() => setNow(Date.now()), 1000);
    return () => clearInterval(beat);
  }, [at]);
  return (
    <span class="quiet saved" role="timer" aria-live="off">
      {at === null ? "" : `saved ${agoText(Math.max(0, now - at) / 1000)}`}
    </span>
  );
}
