import { signal } from "@preact/signals";
import type { Contract } from "#api/contract/contract.ts";

type LabState = Contract["GET /api/lab"]["answer"];

/** Which of the two labs this page shows; null until the server has said so. */
export const lab = signal<LabState | null>(null);
