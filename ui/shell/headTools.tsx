import { useEffect } from "preact/hooks";
import { SavedLine } from "./savedLine.tsx";
import { StepButton, stepByKey } from "./steps.tsx";

/** When the last change was saved, undo and redo, with their keys. */
export function HeadTools() {
  useEffect(() => {
    addEventListener("keydown", stepByKey);
    return () => removeEventListener("keydown", stepByKey);
  }, []);
  return (
    <>
      <SavedLine />
      <span class="steps">
        <StepButton way="undo" />
        <StepButton way="redo" />
      </span>
    </>
  );
}
