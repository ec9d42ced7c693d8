import { linkTo, type Page } from "#ui/data/address.ts";
import { isImportOpen } from "#ui/data/incoming.ts";
import { later } from "#ui/parts/later.tsx";
import { isGoing } from "./going.ts";

const HeadTools = later(
  "undo",
  async () => (await import("./headTools.tsx")).HeadTools,
  () => null,
);

/** The places, and what works on every one of them: going anywhere, undo, redo, import. */
export function Masthead(props: {
  places: readonly { readonly page: Page; readonly name: string }[];
  here: Page;
}) {
  return (
    <header class="masthead">
      <span class="name">Fineband</span>
      <nav aria-label="Places">
        {props.places.map(({ page, name }) => (
          <a key={page} href={linkTo({ page })} {...(page === props.here ? { "aria-current": "page" } : {})}>
            {name}
          </a>
        ))}
      </nav>
      <span class="head-tools">
        <HeadTools />
      </span>
      <button
        type="button"
        class="small"
        title="Ctrl or Cmd and K"
        onClick={() => {
          isGoing.value = true;
        }}
      >
        Go to …
      </button>
      <button
        type="button"
        class={isImportOpen.value ? "" : "main"}
        id="import-opener"
        aria-label="Import a table"
        aria-expanded={isImportOpen.value}
        onClick={() => {
          isImportOpen.value = !isImportOpen.value;
        }}
      >
        Import<span> a table</span>
      </button>
    </header>
  );
}
