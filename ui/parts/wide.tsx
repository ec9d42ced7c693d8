import type { ComponentChildren } from "preact";
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import { addStyles } from "./styles.ts";
import css from "./wide.css?inline";

/** A table that may be wider than the page. Where it is, it scrolls by itself, by keyboard too; where it is not, Tab passes it by. */
export function Wide({ name, children }: { name: string; children: ComponentChildren }) {
  addStyles(css);
  const place = useRef<HTMLDivElement>(null);
  const [isTooWide, setTooWide] = useState(false);
  useLayoutEffect(() => {
    const box = place.current;
    if (box === null) return;
    const look = new ResizeObserver(() => setTooWide(box.scrollWidth > box.clientWidth));
    look.observe(box);
    for (const table of box.children) {
      look.observe(table);
      // Who hears the page alone is told what a table is of, also where its words say it to the eye only.
      if (table instanceof HTMLTableElement && table.caption === null && !table.hasAttribute("aria-label"))
        table.setAttribute("aria-label", name);
    }
    return () => look.disconnect();
  }, [name]);
  return (
    <div
      ref={place}
      class="scroll"
      {...(isTooWide ? { role: "region", "aria-label": name, tabIndex: 0 } : {})}
    >
      {children}
    </div>
  );
}
