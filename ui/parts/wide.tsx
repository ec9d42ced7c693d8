import type { ComponentChildren } from "preact";

/** A table that may be wider than the page: it scrolls by itself, by keyboard too. */
export function Wide({ name, children }: { name: string; children: ComponentChildren }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keyboard
    <section class="scroll" aria-label={name} tabIndex={0}>
      {children}
    </section>
  );
}
