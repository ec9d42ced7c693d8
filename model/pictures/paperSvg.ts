import type { PictureSize } from "./chartPicture.ts";
import type { Picture } from "./picture.ts";
import { pictureSvg } from "./pictureSvg.ts";

/** Letters of a printed figure are 8 pt high, twelve units: 72 pt are an inch of 25.4 mm. */
const mmPerUnit = (8 / 12) * (25.4 / 72);

/** From a column of a paper to a large sheet. */
export const paperWidthsMm = { least: 40, most: 400 } as const;

/** The size of a picture that is so wide on paper with letters of 8 pt, about 0.6 times as high. */
export function paperSize(widthMm: number): PictureSize {
  const width = widthMm / mmPerUnit;
  return { width: Math.round(width), height: Math.round(Math.max(0.6 * width, 250)) };
}

/** A picture as a figure for a paper: of a width in millimetres, black and greys alone, its words as text. */
export function paperSvg(picture: Picture, widthMm: number): string {
  const heightMm = (widthMm * picture.height) / picture.width;
  return pictureSvg(picture).replace("<svg ", `<svg width="${widthMm}mm" height="${heightMm.toFixed(1)}mm" `);
}
