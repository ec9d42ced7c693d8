import { useEffect, useState } from "preact/hooks";
import type { SavedLot } from "#api/records/records.ts";
import { type Card, fetchCard } from "#ui/data/card.ts";
import { lots } from "#ui/data/entries.ts";

/** What is saved of a lot beside its runs, fetched anew with every change; null until it has come. */
export function useCard(lot: SavedLot | null): { card: Card | null; trouble: string | null } {
  const [found, setFound] = useState<{ lotId: number; card: Card } | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const id = lot?.id ?? null;
  const all = lots.value;
  useEffect(() => {
    if (id === null) return;
    let isLatest = true;
    fetchCard(id).then(
      (card) => {
        if (!isLatest) return;
        setFound({ lotId: id, card });
        setTrouble(null);
      },
      (fault: unknown) => setTrouble(fault instanceof Error ? fault.message : String(fault)),
    );
    return () => {
      isLatest = false;
    };
  }, [id, all]);
  return { card: found?.lotId === id ? found.card : null, trouble };
}
