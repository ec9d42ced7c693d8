import { useEffect, useState } from "preact/hooks";
import type { SavedLot } from "#api/records/records.ts";
import { goTo, linkTo } from "#ui/data/address.ts";
import { findLots, lotCount, lots } from "#ui/data/entries.ts";
import { stopLooking } from "#ui/data/incoming.ts";
import { saveLot } from "#ui/data/saving.ts";
import { figures } from "#ui/parts/format.ts";
import { LotForm } from "#ui/parts/lotForm.tsx";
import { TextField } from "#ui/parts/textField.tsx";
import { Wide } from "#ui/parts/wide.tsx";

const mostShown = 100;

/** How many lots are saved, and the newest of them. */
function headline(): string {
  const count = lotCount.value;
  if (count === 0) return "No lot is saved yet.";
  const many = count === 1 ? "One lot" : `${count.toLocaleString("en-GB")} lots`;
  const newest = lots.value.reduce<SavedLot | null>((a, b) => (a !== null && a.id > b.id ? a : b), null);
  return `${many} saved.${newest === null ? "" : ` Newest: ${newest.name}.`}`;
}

/** Every lot that is saved, found as one types, and a new one. */
export function Lots() {
  const [search, setSearch] = useState("");
  const [found, setFound] = useState<{ lots: readonly SavedLot[]; total: number } | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  // `lots` is read so that the list follows every change of what is saved.
  const saved = lots.value;
  useEffect(() => {
    let isLatest = true;
    findLots(search, mostShown).then(
      (answer) => {
        if (!isLatest) return;
        setFound(answer);
        setTrouble(null);
      },
      (fault: unknown) => setTrouble(fault instanceof Error ? fault.message : String(fault)),
    );
    return () => {
      isLatest = false;
    };
  }, [search, saved]);
  const shown = found?.lots ?? [];
  return (
    <>
      <h1>{headline()}</h1>
      <TextField label="Find lots by name, material or note" value={search} onChange={setSearch} />
      <p class="quiet" role="status">
        {trouble ?? countWords(search, shown.length, found?.total ?? 0)}
      </p>
      {(found !== null || trouble !== null) && (
        <>
          <LotTable lots={shown} />
          <NewLot />
        </>
      )}
    </>
  );
}

function LotTable({ lots: shown }: { readonly lots: readonly SavedLot[] }) {
  return (
    <Wide name="Lots">
      <table>
        <thead>
          <tr>
            <th scope="col">Lot</th>
            <th scope="col">Material</th>
            <th scope="col">Density, g/cm³</th>
            <th scope="col">Stages and runs</th>
          </tr>
        </thead>
        <tbody>
          {shown.map((l) => (
            <tr key={l.id}>
              <th scope="row">
                <a href={linkTo({ page: "lot", lotId: l.id, stage: null })} onClick={stopLooking}>
                  {l.name}
                </a>
              </th>
              <td>{l.material}</td>
              <td class="number">{figures(l.densityGPerCm3)}</td>
              <td>{l.stages.map((s) => `${s.stage} ${s.runs}`).join(" · ") || "not measured yet"}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </Wide>
  );
}

function NewLot() {
  return (
    <>
      <h2>New lot</h2>
      <LotForm
        lot={{
          name: "",
          material: "",
          densityGPerCm3: null,
          bandId: null,
          note: "",
        }}
        button="Save the lot"
        onSave={async (lot) => {
          const id = await saveLot(lot);
          if (id !== null) goTo({ page: "lot", lotId: id, stage: null });
        }}
      />
    </>
  );
}

function countWords(search: string, shown: number, total: number): string {
  if (total > shown) return `${total.toLocaleString("en-GB")} lots found; the first ${shown} are shown.`;
  return search.trim() === "" ? "" : `${total === 1 ? "One lot" : `${total} lots`} found.`;
}
