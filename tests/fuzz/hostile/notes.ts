import type { Quantity } from "#distributions/sizeDistribution.ts";
import type { Draw } from "../../distributions/tables/draw.ts";

/** Lines that speak of lengths, quantities and kinds, none of them the table's. */
const distractors = [
  "lens: 300 mm",
  "Cell\t2 mm",
  "wavelength = 633 nm",
  "laser 780 nm",
  "sieved at 2 mm before",
  "stirrer 1200 rpm",
  "concentration 0.01 % by volume",
  "number of sweeps: 1000",
  "sample mass 2.5 g",
  "sample number: 17",
  "volume of the cell 50 ml",
  "obscuration: 12.5 %",
  "beam length 2.4 m",
  "upper limit of obscuration 15 %",
  "lower alarm limit 5 %",
  "residual: 0.6 %",
  "specific surface area 1.2 m2/g",
  "density: 4.55 g/cm3",
  "pump speed low, ultrasound from 0 to 60 s",
  "class of fit: 2",
  "measured over 10 s",
  "Linse 300 mm",
  "tamis 63 mm",
  "длина волны 633 нм",
  "filter 5 microns in front of the cell",
  "path length: 10 mm",
  "cumulative running time 12 h",
  "count rate 310 kcps",
  "D50\t3.1",
  "max. particle speed 12 m/s",
  "weight: 12 g",
  "fraction returned: 3",
  "mean flow 12 l/min",
];

export function distractorOf(draw: Draw): string {
  return draw.pick(distractors);
}

/** A line that states what the shares count. */
export function quantityNote(draw: Draw, quantity: Quantity): string {
  return draw.pick([
    `distribution by ${quantity}`,
    `Result type: ${quantity}`,
    `${quantity} distribution`,
    `shares by ${quantity}`,
    `Basis: ${quantity}`,
    `weighting\t${quantity}`,
  ]);
}

/** A line that states the unit of the sizes. */
export function unitNote(draw: Draw, unit: string): string {
  return draw.pick([
    `sizes in ${unit}`,
    `size unit: ${unit}`,
    `all diameters in ${unit}`,
    `Unit of size\t${unit}`,
  ]);
}
