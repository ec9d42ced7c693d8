import type { ReleaseRecord } from "#api/records/records.ts";
import type { SignatureState } from "#api/records/signature.ts";
import type { LastLine } from "#api/store/database/record.ts";
import { type LabKey, stateOfSignature } from "./labKey.ts";

/** The text under a signature. As JSON no two different lists of parts give the same. */
const textOf = (...parts: readonly (string | number | null)[]): string => JSON.stringify(parts);

/** What is signed of a release record: its hash holds model version, inputs and result. */
export function signedOfRelease({
  lotId,
  name,
  note,
  releasedAt,
  hash,
  sheet,
}: Pick<ReleaseRecord, "lotId" | "name" | "note" | "releasedAt" | "hash" | "sheet">): string {
  return textOf("fineband release record", lotId, name, note, releasedAt, hash, sheet?.sha256 ?? null);
}

/** Whose signature a release record bears. */
export const signatureStateOf = (record: ReleaseRecord, key: LabKey | null): SignatureState =>
  stateOfSignature(key, signedOfRelease(record), record.signature);

/** What is signed of a backup: its last line, which holds the checksum of all before it. */
export function signedOfBackup({ events, sha256 }: LastLine) {
  return textOf("fineband backup", events, sha256);
}
