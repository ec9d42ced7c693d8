import { useState } from "preact/hooks";
import { paperWidthsMm } from "#model/pictures/paperSvg.ts";
import { saveFile } from "../parts/saveFile.ts";

const sharper = 3;

/** Two columns of a paper. */
const usualWidthMm = 170;

/** What is taken out of a picture: a drawing for paper, and the numbers it draws as CSV. */
export interface Exported {
  /** One sentence that says what the picture shows; its beginning names the files. */
  readonly finding: string;
  readonly svg: (widthMm: number) => string;
  readonly csv: () => string;
}

/** Exports a picture: copied, or as a file, as a drawing, as an image three times as sharp, or as its numbers. */
export function ExportPicture({ finding, svg, csv }: Exported) {
  const [fault, setFault] = useState("");
  const [widthMm, setWidth] = useState(usualWidthMm);
  const stem =
    finding
      .split(/[.,:;](?:\s|$)/)[0]
      ?.slice(0, 40)
      .trim() || "picture";
  const attempt = async (what: () => Promise<void>) => {
    setFault("");
    try {
      await what();
    } catch {
      setFault("This browser could not make the image; export as SVG instead.");
    }
  };
  return (
    <>
      <button
        type="button"
        class="small"
        onClick={() =>
          attempt(async () => {
            const png = image(svg(widthMm));
            await navigator.clipboard.write([new ClipboardItem({ "image/png": png })]);
            setFault("Copied.");
          })
        }
      >
        Copy
      </button>{" "}
      <button
        type="button"
        class="small"
        onClick={() => attempt(async () => saveFile(`${stem}.png`, "image/png", await image(svg(widthMm))))}
      >
        PNG
      </button>{" "}
      <button
        type="button"
        class="small"
        onClick={() => saveFile(`${stem}.svg`, "image/svg+xml", svg(widthMm))}
      >
        SVG
      </button>{" "}
      <button type="button" class="small" onClick={() => saveFile(`${stem}.csv`, "text/csv", csv())}>
        CSV
      </button>{" "}
      <label title="How wide the picture is on paper; its letters are of 8 pt">
        width, mm{" "}
        <input
          type="number"
          min={paperWidthsMm.least}
          max={paperWidthsMm.most}
          value={widthMm}
          onChange={({ currentTarget: { valueAsNumber } }) => {
            if (valueAsNumber >= paperWidthsMm.least && valueAsNumber <= paperWidthsMm.most)
              setWidth(valueAsNumber);
          }}
        />
      </label>{" "}
      <span role="status">{fault}</span>
    </>
  );
}

/** The drawing as an image on white, three times as sharp as a screen. */
async function image(svg: string): Promise<Blob> {
  const drawn = new Image();
  drawn.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`;
  await drawn.decode();
  const canvas = new OffscreenCanvas(drawn.width * sharper, drawn.height * sharper);
  const pen = canvas.getContext("2d");
  if (pen === null) throw new Error("This browser cannot draw an image.");
  pen.fillStyle = "#fff";
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.drawImage(drawn, 0, 0, canvas.width, canvas.height);
  return canvas.convertToBlob({ type: "image/png" });
}
