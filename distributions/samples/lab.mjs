// What the lab of the demo has beside its lots: its materials with their steps, and its instrument with the checks of it.
// All invented; the reference powder has no maker and its stated values are ours.
import { json, write } from "./powder.mjs";

const step = (id, kind, name = id) => ({ id, name, kind });
const usual = [
  step("precursor", "received"),
  step("fired", "fired"),
  step("crushed", "crushed"),
  step("milled", "milled"),
  step("re-fired", "heat-treated"),
];

const materials = [
  {
    name: "yttrium aluminium garnet",
    densityGPerCm3: 4.55,
    steps: usual,
    bands: [{ stage: "re-fired", band: "garnet-target" }],
    note: "",
  },
  {
    name: "yttrium aluminium garnet, doped",
    densityGPerCm3: 4.56,
    // It comes out of the furnace fine enough for the mill.
    steps: usual.filter(({ id }) => id !== "crushed"),
    bands: [{ stage: "re-fired", band: "garnet-target" }],
    note: "Same line and mill as the undoped garnet, and the same band; nothing learned of the one is used for the other.",
  },
  {
    name: "ceria",
    densityGPerCm3: 7.2,
    steps: [
      step("precursor", "received"),
      step("fired", "fired", "calcined"),
      step("milled", "milled"),
      step("re-fired", "heat-treated"),
    ],
    bands: [{ stage: "re-fired", band: "ceria-target" }],
    note: "For polishing; milled on the small jet mill.",
  },
];

const beads = (day, quantity, stated, standardUncertainty, found) => ({
  day,
  referenceMaterial: "glass beads, check lot 2",
  quantity,
  stated,
  standardUncertainty,
  found,
  unit: "µm",
});

const instruments = [
  {
    name: "Laser diffraction A",
    technique: "laser diffraction",
    serial: "",
    inUseFrom: "2025-09-01",
    inUseTo: null,
    note: "",
    checks: [
      beads("2026-01-09", "D10", 1.42, 0.03, 1.44),
      beads("2026-01-09", "D50", 2.1, 0.03, 2.12),
      beads("2026-01-09", "D90", 3.05, 0.05, 3.07),
      beads("2026-03-06", "D50", 2.1, 0.03, 2.09),
      beads("2026-05-04", "D50", 2.1, 0.03, 2.13),
    ],
  },
];

/** Writes the materials and the instrument. */
export function writeLab() {
  write("lab/materials.json", json(materials));
  write("lab/instruments.json", json(instruments));
}
