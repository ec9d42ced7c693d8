import { useEffect } from "preact/hooks";
import { goByKey } from "./going.ts";
import { stepByKey } from "./steps.tsx";

/** The keys that work on every page: undo, redo, and going anywhere. */
export function useKeys(): void {
  useEffect(() => {
    addEventListener("keydown", stepByKey);
    addEventListener("keydown", goByKey);
    return () => {
      removeEventListener("keydown", stepByKey);
      removeEventListener("keydown", goByKey);
    };
  }, []);
}
