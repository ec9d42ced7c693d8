/** Nominal apertures in µm by mesh number. Source: ASTM E11, supplementary series (as ISO 3310-1, R 40/3 and R 20). */
const apertures: ReadonlyMap<number, number> = new Map([
  [4, 4750],
  [5, 4000],
  [6, 3350],
  [7, 2800],
  [8, 2360],
  [10, 2000],
  [12, 1700],
  [14, 1400],
  [16, 1180],
  [18, 1000],
  [20, 850],
  [25, 710],
  [30, 600],
  [35, 500],
  [40, 425],
  [45, 355],
  [50, 300],
  [60, 250],
  [70, 212],
  [80, 180],
  [100, 150],
  [120, 125],
  [140, 106],
  [170, 90],
  [200, 75],
  [230, 63],
  [270, 53],
  [325, 45],
  [400, 38],
  [450, 32],
  [500, 25],
  [635, 20],
]);

/** The aperture of a mesh number, µm; null for a number the series does not have. */
export function apertureUm(meshNumber: number): number | null {
  return apertures.get(meshNumber) ?? null;
}
