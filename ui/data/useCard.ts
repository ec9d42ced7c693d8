import { useEffect, useState } from "preact/hooks";
import type { SavedLot } from "#api/records/records.ts";
import { type Card, fetchCard } from "./card.ts";
import { lots } from "./entries.ts";

/** The card asked for last: all that shows a part of it waits for the same answer. */
let asked: { readonly id: number; readonly of: unknown; readonly card: Promise<Card> } | null = null;

function cardOf(id: number, of: unknown): Promise<Card> {
  if (asked?.id !== id || asked.of !== of) asked = { id, of, card: fetchCard(id) };
  return asked.card;
}

/** What is saved of a lot beside its runs, fetched anew with every change; null until it has come. */
export function useCard(lot: SavedLot | null): { card: Card | null; trouble: string | null } {
  const [found, setFound] = useState<{ lotId: number; card: Card } | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const id = lot?.id ?? null;
  const all = lots.value;
  useEffect(() => {
    if (id === null) return;
    let isLatest = true;
    cardOf(id, all).then(
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
