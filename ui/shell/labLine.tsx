import { lab } from "#ui/data/lab.ts";
import { ownLabPath, startOwnLab } from "#ui/data/labPaths.ts";

/** Says on every page of the demo that it is one, and leads to the own lab. */
export function LabLine() {
  if (lab.value === null || lab.value.shown === "own") return null;
  return (
    <p class="lab-line no-print">
      This is the demo: everything in it is invented, and what is saved here stays in it.{" "}
      {lab.value.isOwnStarted ? (
        <a href={ownLabPath()}>Go to my own lab</a>
      ) : (
        <button type="button" class="small" onClick={() => void startOwnLab()}>
          Start my own lab
        </button>
      )}
    </p>
  );
}
