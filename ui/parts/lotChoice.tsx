import { useEffect, useId, useState } from "preact/hooks";
import type { SavedLot } from "#api/records/records.ts";
import { findLots, lotCount, lots } from "#ui/data/entries.ts";
import { Choice } from "./choice.tsx";

/** One of the saved lots: a list while all of them are here, else a search as one types, which reaches every one. */
export function LotChoice(props: { label: string; value: number | null; onChange: (id: number) => void }) {
  if (lotCount.value > lots.value.length) return <LotSearch {...props} />;
  return (
    <Choice
      label={props.label}
      value={String(props.value ?? "")}
      options={lots.value.map((l) => String(l.id))}
      say={(id) => lots.value.find((l) => String(l.id) === id)?.name ?? id}
      onChange={(id) => props.onChange(Number(id))}
    />
  );
}

const maxOffered = 20;

/** What was found for a text; while another is asked for, it is not what is typed. */
interface FoundLot {
  readonly text: string | null;
  readonly lots: readonly SavedLot[];
  readonly total: number;
}

function LotSearch(props: { label: string; value: number | null; onChange: (id: number) => void }) {
  const id = useId();
  const { label, value, onChange } = props;
  const [typed, setTyped] = useState<string | null>(null);
  const [found, setFound] = useState<FoundLot>({ text: null, lots: [], total: 0 });
  const [chosen, setChosen] = useState<SavedLot | null>(null);
  useEffect(() => {
    if (typed === null) return;
    let isLatest = true;
    findLots(typed, maxOffered).then(
      ({ lots: first, total }) => isLatest && setFound({ text: typed, lots: first, total }),
      () => isLatest && setFound({ text: typed, lots: [], total: 0 }),
    );
    return () => {
      isLatest = false;
    };
  }, [typed]);
  const saved = chosen?.id === value ? chosen : lots.value.find((l) => l.id === value);
  const take = (lot: SavedLot) => {
    setChosen(lot);
    setTyped(null);
    onChange(lot.id);
  };
  return (
    <span class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        type="search"
        list={`${id}-found`}
        autoComplete="off"
        value={typed ?? saved?.name ?? ""}
        onFocus={(event) => event.currentTarget.select()}
        onInput={(event) => {
          const text = event.currentTarget.value;
          const lot = found.lots.find((l) => nameOf(l, found.lots) === text);
          if (lot === undefined) setTyped(text);
          else take(lot);
        }}
        onKeyDown={(event) => {
          const [first] = found.lots;
          if (event.key !== "Enter" || typed === null) return;
          event.preventDefault();
          if (first !== undefined && found.text === typed) take(first);
        }}
        onBlur={() => setTyped(null)}
      />
      <datalist id={`${id}-found`}>
        {found.lots.map((l) => (
          <option key={l.id} value={nameOf(l, found.lots)} />
        ))}
      </datalist>
      <span class="quiet" role="status">
        {typed === null ? "" : found.text === typed ? foundWords(found.total) : "Searching …"}
      </span>
    </span>
  );
}

/** Two lots of one name are told apart by their numbers. */
function nameOf({ id, name }: SavedLot, among: readonly SavedLot[]): string {
  return among.some((l) => l.name === name && l.id !== id) ? `${name} (lot no. ${id})` : name;
}

function foundWords(total: number): string {
  if (total === 0) return "No lot has all these words.";
  if (total === 1) return "One lot found; Enter selects it.";
  return `${total.toLocaleString("en-GB")} lots found${total > maxOffered ? `; the first ${maxOffered} are listed` : ""}; Enter selects the first.`;
}
