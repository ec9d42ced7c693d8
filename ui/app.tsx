import type { ComponentType } from "preact";
import { useEffect, useState } from "preact/hooks";
import { address, followAddress, linkTo, type Page } from "#ui/data/address.ts";
import { clash, trouble } from "#ui/data/client.ts";
import { damaged, followLot, isLoaded, loadAll } from "#ui/data/entries.ts";
import { isImportOpen } from "#ui/data/incoming.ts";
import { BandCheck } from "#ui/pages/lot/bandCheck.tsx";
import { ErrorBoundary } from "#ui/parts/errorBoundary.tsx";
import { later } from "#ui/parts/later.tsx";
import { goByKey, isGoing } from "#ui/shell/going.ts";
import { SaidLine } from "#ui/shell/saidLine.tsx";
import { SavedLine } from "#ui/shell/savedLine.tsx";
import { StepButton, stepByKey } from "#ui/shell/steps.tsx";

const Lots = later("the lots", async () => (await import("#ui/pages/lots/lots.tsx")).Lots);
const Compare = later("the stages", async () => (await import("#ui/pages/compare/compare.tsx")).Compare);
const WheelPlan = later(
  "the wheel plan",
  async () => (await import("#ui/pages/wheelPlan/wheelPlan.tsx")).WheelPlan,
);
const ReferenceShelf = later("the shelf", async () => (await import("#ui/pages/bands/bands.tsx")).Bands);
const LotCard = later("the lot card", async () => (await import("#ui/pages/lot/lotCard.tsx")).LotCard);
const Trail = later(
  "the trail",
  async () => (await import("#ui/pages/changeHistory/changeHistory.tsx")).ChangeHistory,
);
const Gallery = later("the gallery", async () => (await import("#ui/pages/gallery/gallery.tsx")).Gallery);
const ClashPanel = later("both versions", async () => (await import("#ui/shell/clash.tsx")).ClashPanel);
const GoAnywhere = later("the places", async () => (await import("#ui/shell/goAnywhere.tsx")).GoAnywhere);
const BringIn = later("the table reader", async () => (await import("#ui/pages/import/import.tsx")).Import);

const pages: readonly { page: Page; name: string; view: ComponentType }[] = [
  { page: "lots", name: "Lots", view: Lots },
  { page: "band", name: "Band check", view: BandCheck },
  { page: "compare", name: "Stages", view: Compare },
  { page: "wheel", name: "Wheel plan", view: WheelPlan },
  { page: "shelf", name: "Reference shelf", view: ReferenceShelf },
  { page: "card", name: "Lot card", view: LotCard },
  { page: "trail", name: "Trail", view: Trail },
];

/** Not among the places of a lab: how every picture and state looks. */
const gallery = { page: "gallery", name: "Gallery", view: Gallery } as const;

/** The table reader is fetched when the first table comes. */
function withReader(then: (reader: typeof import("#ui/pages/import/importState.ts")) => unknown): void {
  import("#ui/pages/import/importState.ts").then(then, () => {
    trouble.value = "The table reader could not be fetched; bring the table in again.";
  });
}

export function App() {
  const [isDropping, setDropping] = useState(false);
  useEffect(() => {
    followAddress();
    void loadAll();
    followLot();
    const paste = (event: ClipboardEvent) => {
      const isField = event.target instanceof HTMLTextAreaElement || event.target instanceof HTMLInputElement;
      const html = event.clipboardData?.getData("text/html") ?? "";
      const plain = event.clipboardData?.getData("text/plain") ?? "";
      if (!isField && plain.includes("\n")) withReader(({ takePasted }) => takePasted({ html, plain }));
    };
    addEventListener("paste", paste);
    addEventListener("keydown", stepByKey);
    addEventListener("keydown", goByKey);
    return () => {
      removeEventListener("paste", paste);
      removeEventListener("keydown", stepByKey);
      removeEventListener("keydown", goByKey);
    };
  }, []);

  const here = [...pages, gallery].find((p) => p.page === address.value.page) ?? pages[1];
  const View = here?.view ?? BandCheck;
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: files may be dropped anywhere; the panel has a button for the same
    <div
      class="sheet"
      {...(isDropping ? { "data-dropping": "" } : {})}
      onDragOver={(event) => {
        event.preventDefault();
        setDropping(true);
      }}
      onDragLeave={() => setDropping(false)}
      onDrop={(event) => {
        event.preventDefault();
        setDropping(false);
        const files = [...(event.dataTransfer?.files ?? [])];
        withReader(({ takeFiles }) => takeFiles(files));
      }}
    >
      <button type="button" class="skip" onClick={() => document.getElementById("main")?.focus()}>
        Skip to the answer
      </button>
      <header class="masthead">
        <span class="name">Fineband</span>
        <nav aria-label="Places">
          {pages.map(({ page, name }) => (
            <a
              key={page}
              href={linkTo({ page })}
              {...(page === here?.page ? { "aria-current": "page" } : {})}
            >
              {name}
            </a>
          ))}
        </nav>
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
        <SavedLine />
        <span class="steps">
          <StepButton way="undo" />
          <StepButton way="redo" />
        </span>
        <button
          type="button"
          class={isImportOpen.value ? "" : "main"}
          id="bring-in-opener"
          aria-expanded={isImportOpen.value}
          onClick={() => {
            isImportOpen.value = !isImportOpen.value;
          }}
        >
          Bring in a table
        </button>
      </header>
      <main id="main" tabIndex={-1}>
        <SaidLine />
        {clash.value !== null && <ClashPanel />}
        {isImportOpen.value && <BringIn />}
        {trouble.value !== null && (
          <p role="alert" class="problem">
            {trouble.value} What is on screen is as last seen.{" "}
            <button type="button" onClick={() => void loadAll()}>
              Try again
            </button>
          </p>
        )}
        {damaged.value.length > 0 && (
          <ul role="alert" class="problem">
            {damaged.value.map((d) => (
              <li key={`${d.kind} ${d.id}`}>{d.message}</li>
            ))}
          </ul>
        )}
        {isLoaded.value || trouble.value !== null ? (
          <ErrorBoundary what={`The page ${here?.name ?? ""}`} key={here?.page}>
            <View />
          </ErrorBoundary>
        ) : (
          <p class="quiet">Fetching the lots …</p>
        )}
      </main>
      {isGoing.value && <GoAnywhere />}
      <footer class="quiet">
        Figures are about the powder, not about the air: the respirable share is a matter for your hygienist.
        Local codes, the safety data sheet and the machine's manual come first.
      </footer>
    </div>
  );
}
