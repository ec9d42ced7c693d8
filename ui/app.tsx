import { useEffect } from "preact/hooks";
import { address, followAddress } from "#ui/data/address.ts";
import { isSignedOut, trouble } from "#ui/data/client.ts";
import { followLot, isLoaded, loadAll } from "#ui/data/entries.ts";
import { isImportOpen } from "#ui/data/incoming.ts";
import { lab } from "#ui/data/lab.ts";
import { followLastPlace } from "#ui/data/selection.ts";
import { ErrorBoundary } from "#ui/parts/errorBoundary.tsx";
import { later } from "#ui/parts/later.tsx";
import { isGoing } from "#ui/shell/going.ts";
import { Masthead } from "#ui/shell/masthead.tsx";
import { Notices } from "#ui/shell/notices.tsx";
import { useDrop } from "#ui/shell/useDrop.ts";
import { useKeys } from "#ui/shell/useKeys.ts";
import { usePaste } from "#ui/shell/usePaste.ts";
import { firstPlace, places } from "./places.ts";

const GoAnywhere = later("the places", async () => (await import("#ui/shell/goAnywhere.tsx")).GoAnywhere);
const SignIn = later("sign-in", async () => (await import("#ui/shell/goAnywhere.tsx")).SignIn);
const LabLine = later(
  "the demo",
  async () => (await import("#ui/shell/labLine.tsx")).LabLine,
  () => <p class="lab-line">&nbsp;</p>,
);
const NumberChoice = later(
  "the marks of numbers",
  async () => (await import("#ui/shell/numberChoice.tsx")).NumberChoice,
  () => null,
);
const Import = later("the table reader", async () => (await import("#ui/pages/import/import.tsx")).Import);

/** The table reader is fetched when the first table comes. */
function withReader(then: (reader: typeof import("#ui/pages/import/importState.ts")) => unknown): void {
  import("#ui/pages/import/importState.ts").then(then, () => {
    trouble.value = "The table reader could not be loaded; import the table again.";
  });
}

/** The frame: masthead, notices, the page of the address, cautions that hold everywhere. */
export function App() {
  useEffect(() => {
    followAddress();
    void loadAll();
    followLot();
    followLastPlace();
  }, []);
  useKeys();
  usePaste((pasted) => withReader(({ takePasted }) => takePasted(pasted)));
  const drop = useDrop((files) => withReader(({ takeFiles }) => takeFiles(files)));
  if (isSignedOut.value) return <SignIn />;
  const here = places.find((p) => p.page === address.value.page) ?? firstPlace;
  const View = here.view;
  return (
    <div class="sheet" {...drop}>
      <button type="button" class="skip" onClick={() => document.getElementById("main")?.focus()}>
        Skip to the answer
      </button>
      <Masthead places={places} here={here.page} />
      <main id="main" tabIndex={-1}>
        {lab.value?.shown === "demo" && <LabLine />}
        <Notices />
        {isLoaded.value || trouble.value !== null ? (
          <ErrorBoundary what={`The page ${here.name}`} key={here.page}>
            <View />
          </ErrorBoundary>
        ) : (
          <p class="quiet">Loading the lots …</p>
        )}
      </main>
      {isImportOpen.value && <Import />}
      {isGoing.value && <GoAnywhere />}
      <footer class="quiet">
        Figures are about the powder, not about the air: the respirable share is a matter for your hygienist.
        Local codes, the safety data sheet and the machine's manual come first. <NumberChoice />
      </footer>
    </div>
  );
}
