import { useEffect } from "preact/hooks";
import { goByKey } from "./going.ts";

/** The key that goes anywhere; those of undo and redo come with their buttons. */
export function useKeys(): void {
  useEffect(() => {
    addEventListener("keydown", goByKey);
    return () => removeEventListener("keydown", goByKey);
  }, []);
}
