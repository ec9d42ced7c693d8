import { useEffect, useId, useRef, useState } from "preact/hooks";
import type { SavedLot } from "#api/records/records.ts";
import { stages } from "#model/lot/stages.ts";
import { type Address, goTo } from "#ui/data/address.ts";
import { bands, findLots, lots } from "#ui/data/entries.ts";
import { isImportOpen } from "#ui/data/incoming.ts";
import { lab } from "#ui/data/lab.ts";
import { demoPath } from "#ui/data/labPaths.ts";
import { lot } from "#ui/data/selection.ts";
import { isGoing } from "./going.ts";

// Fetched with the places, which nobody needs at once either: the first view names no further file.
export { SignIn } from "./signIn.tsx";

/** Somewhere to go: what is written, what leads there. */
interface Goal {
  readonly name: string;
  readonly go: () => void;
  /** What is found there, for whoever looks for that. */
  readonly holds?: string;
}

const maxShown = 12;
const to = (name: string, change: Partial<Address>, holds = ""): Goal => ({
  name,
  holds,
  go: () => goTo(change),
});

/** Every place, lot, stage and band, found by the words typed and taken by Enter. */
export function GoAnywhere() {
  const dialog = useRef<HTMLDialogElement>(null);
  const id = useId();
  const [words, setWords] = useState("");
  const [at, setAt] = useState(0);
  const found = useLots(words);
  const goals = goalsFor(words, found).slice(0, maxShown);
  const chosen = goals[Math.min(at, goals.length - 1)];
  useEffect(() => dialog.current?.showModal(), []);

  const close = () => {
    isGoing.value = false;
  };
  const take = (goal: Goal) => {
    close();
    goal.go();
  };
  const walk = (event: KeyboardEvent) => {
    const step = event.key === "ArrowDown" ? 1 : event.key === "ArrowUp" ? -1 : 0;
    if (step !== 0 && goals.length > 0) {
      event.preventDefault();
      setAt((Math.min(at, goals.length - 1) + step + goals.length) % goals.length);
    }
    if (event.key === "Enter" && chosen !== undefined) {
      event.preventDefault();
      take(chosen);
    }
  };
  return (
    <dialog ref={dialog} class="going" aria-labelledby={`${id}-name`} onClose={close}>
      <label id={`${id}-name`} for={`${id}-words`}>
        Go to a place, a lot, a stage or a band
      </label>
      <input
        id={`${id}-words`}
        role="combobox"
        aria-expanded={goals.length > 0}
        aria-controls={`${id}-goals`}
        aria-activedescendant={chosen === undefined ? undefined : `${id}-${goals.indexOf(chosen)}`}
        autocomplete="off"
        spellcheck={false}
        value={words}
        onInput={(event) => {
          setWords(event.currentTarget.value);
          setAt(0);
        }}
        onKeyDown={walk}
      />
      <div id={`${id}-goals`} role="listbox" aria-label="Where to go">
        {goals.map((goal, i) => (
          // biome-ignore lint/a11y/useKeyWithClickEvents: the field above takes the keys for its list
          // biome-ignore lint/a11y/useFocusableInteractive: the field above points at the option chosen
          <div
            id={`${id}-${i}`}
            key={goal.name}
            role="option"
            aria-selected={goal === chosen}
            onClick={() => take(goal)}
          >
            {goal.name}
          </div>
        ))}
      </div>
      <p class="quiet" role="status">
        {goals.length === 0
          ? "Nothing found. Escape closes."
          : "Arrow keys select, Enter opens, Escape closes."}
      </p>
    </dialog>
  );
}

const isStage = (word: string) => stages.some((stage) => stage.startsWith(word.toLowerCase()));

/** By all the words; where none has them, by those that are not the beginning of a stage's name. */
async function lotsNamed(words: string): Promise<readonly SavedLot[]> {
  const { lots: named } = await findLots(words, maxShown);
  const list = words.split(/\s+/).filter(Boolean);
  if (named.length > 0 || !list.some(isStage)) return named;
  return (await findLots(list.filter((word) => !isStage(word)).join(" "), maxShown)).lots;
}

/** The lots found for these words; while others are asked for, they are not those of what is typed. */
interface FoundPlace {
  readonly words: string;
  readonly lots: readonly SavedLot[];
}

/** The lots that fit the words, asked of the server so that none is out of reach. */
function useLots(words: string): FoundPlace {
  const [found, setFound] = useState<FoundPlace>({ words: "", lots: lots.value.slice(0, maxShown) });
  useEffect(() => {
    let isLatest = true;
    lotsNamed(words).then(
      (lots) => isLatest && setFound({ words, lots }),
      () => undefined, // Offline the lots seen last are still there to go to.
    );
    return () => {
      isLatest = false;
    };
  }, [words]);
  return found;
}

function goalsFor(words: string, found: FoundPlace): readonly Goal[] {
  const wanted = words.toLowerCase().split(/\s+/).filter(Boolean);
  const hasAll = (text: string) => wanted.every((word) => text.toLowerCase().includes(word));
  const fits = ({ name }: Goal) => hasAll(name);
  const holdsIt = ({ name, holds = "" }: Goal) => {
    const held = `${name} ${holds}`.toLowerCase().split(" ");
    return !hasAll(name) && wanted.every((word) => held.some((one) => one.startsWith(word)));
  };
  const here = lot.value;
  const places: readonly Goal[] = [
    to("Lots", { page: "lots" }, "list material density"),
    to(
      "Lot",
      { page: "lot" },
      "verdict limits percentiles fit repeat runs fine fractions report settings results BET surface record release note",
    ),
    to("Compare", { page: "compare" }, "stages distances overlap blend cut fines balance"),
    to(
      "Wheel plan",
      { page: "wheel-plan" },
      "mill classifier speed gas flow yield throughput grinding regression",
    ),
    to("Process", { page: "process" }, "history settings effects drift temperature dopant excess"),
    to("Equipment", { page: "equipment" }, "mill trials jet pressure stream balance batch separator"),
    to("Bands", { page: "bands" }, "target limits reference BET calibration pairs"),
    to("Change history", { page: "change-history" }, "trail undo backup export import"),
    ...(lab.value?.hasDemo === true && lab.value.shown === "own"
      ? [{ name: "The demo", go: () => location.assign(demoPath()) }]
      : []),
    {
      name: "Import a table",
      go: () => {
        isImportOpen.value = true;
      },
    },
  ];
  const stagesOf = (of: SavedLot) =>
    of.stages.map(({ stage }) => to(`${of.name}, ${stage}`, { page: "lot", lotId: of.id, stage }));
  const others = found.lots.filter((l) => l.id !== here?.id);
  const ofStages = wanted.some(isStage)
    ? [...(here === null ? [] : [here]), ...others].flatMap(stagesOf)
    : here === null
      ? []
      : stagesOf(here);
  const held = bands.value.map((b) => to(`Check against ${b.band.name}`, { page: "lot", bandId: b.id }));
  const lotGoals = found.lots.map((l) => to(l.name, { page: "lot", lotId: l.id, stage: null }));
  // The server has found these by name, material and note; those of earlier words must fit by name.
  const isByName = found.words === words && !wanted.some(isStage);
  const fitting = isByName ? lotGoals : lotGoals.filter(fits);
  return [...places, ...ofStages].filter(fits).concat(places.filter(holdsIt), fitting, held.filter(fits));
}
