import type { Bodies } from "#api/records/kinds.ts";
import type { NewTrial } from "#api/records/records.ts";
import { patched, withoutUndefined } from "#api/records/withoutUndefined.ts";
import type { EventWriter } from "#api/store/ledger/eventWriter.ts";
import { materialNamed } from "#api/store/ledger/materials.ts";
import { DomainError } from "#distributions/domainError.ts";
import { isSameMaterial } from "#model/lot/material.ts";
import { stageOfLot } from "./stageOfLot.ts";

type Trial = Bodies["trial"];

/**
 * A trial as it is to be kept from what was told of it; what was left out stays as it was. Its material is the one told,
 * else the feed's.
 *
 * @throws NoSuchEntry  the material or a lot is not there
 * @throws DomainError  a lot is of another material
 */
export async function trialToKeep(
  writer: EventWriter,
  entered: NewTrial,
  was: Trial | null,
): Promise<Omit<Trial, "millId">> {
  const feed = await meant(writer, patched(was?.feed, entered.feed));
  const sample = await meant(writer, patched(was?.sample, entered.sample));
  const lots = [feed, sample].filter((one) => one !== undefined);
  const materials: string[] = [];
  for (const { lotId } of lots) materials.push((await writer.read("lot", lotId)).material);
  const [ofFeed] = materials;
  const given = patched(was?.materialId, entered.materialId);
  const found = ofFeed === undefined ? null : await materialNamed(writer.tx, ofFeed);
  const materialId = given ?? found?.id;
  const name = given === undefined ? ofFeed : (await writer.read("material", given)).name;
  for (const other of materials)
    if (name !== undefined && !isSameMaterial(other, name))
      throw new DomainError(`a trial of ${name}`, "must feed and make lots of that material", other);
  return {
    name: entered.name,
    trial: entered.trial,
    curve: entered.curve,
    exclusionReason: entered.exclusionReason,
    ...withoutUndefined({
      materialId,
      feed,
      sample,
      feedMassG: patched(was?.feedMassG, entered.feedMassG),
      productMassG: patched(was?.productMassG, entered.productMassG),
      settings: patched(was?.settings, entered.settings),
    }),
  };
}

/** A stage of a lot by the word it was told with. @throws NoSuchEntry, DomainError */
async function meant(writer: EventWriter, told: Trial["feed"]): Promise<Trial["feed"]> {
  if (told === undefined) return undefined;
  return { ...told, stage: await stageOfLot(writer.tx, told.lotId, told.stage) };
}
