import { inBandMapPicture } from "#model/pictures/inBandMapPicture.ts";
import { ExportDrawing } from "#ui/charts/exportDrawing.tsx";
import { grid, map, mapOf } from "./inBandMapState.ts";
import { mapWords } from "./inBandMapWords.tsx";

/** Exports the map: drawn anew for its width on paper, or every place of its grid as a table. */
export function ExportMap() {
  const places = grid.value;
  const shown = map.value;
  if (places === null || shown === null) return null;
  const name = `Chance of being in band. ${mapWords()}`;
  const draw = (width: number) => {
    const drawn = mapOf({ width, height: Math.round(width * 0.6) });
    return drawn === null ? null : inBandMapPicture(drawn, places, name);
  };
  return <ExportDrawing draw={draw} picture={inBandMapPicture(shown, places, name)} />;
}
