import type { Generated } from "kysely";

/** The columns of the database. Numbers of a distribution, band, mill or trial are kept as JSON, as they were computed. */
export interface Tables {
  lots: {
    id: Generated<number>;
    name: string;
    material: string;
    density_g_per_cm3: number;
    band_id: number | null;
    note: string;
    kept_at: string;
  };
  imports: {
    id: Generated<number>;
    file: string | null;
    text: string;
    sha256: string;
    options: string;
    kept_at: string;
  };
  measurements: {
    id: Generated<number>;
    lot_id: number;
    stage: string;
    name: string;
    import_id: number;
    distribution: string;
  };
  bands: { id: Generated<number>; name: string; band: string };
  mills: { id: Generated<number>; name: string; mill: string };
  trials: { id: Generated<number>; mill_id: number; name: string; trial: string; curve: string | null };
  pairs: { id: Generated<number>; stage: string; geometric_m2_per_g: number; bet_m2_per_g: number };
}
