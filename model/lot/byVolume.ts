import { convert } from "#distributions/moments.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import { type NamedMeasurement, unseenShare } from "#distributions/sizeDistribution.ts";
import { figures, listed } from "#model/words/wording.ts";

export interface ByVolume {
  /** The runs counted by volume; null where one of them cannot be. */
  readonly runs: readonly NamedMeasurement[] | null;
  readonly problems: readonly Problem[];
}

/**
 * Runs as a band sees them: its limits are by volume, so a run that counts something else is turned into volume first.
 * All or none, since a mean over some of the runs would be another lot.
 *
 * @param why  what is by volume, as the problems say it
 * Source: ISO 9276-2 (change of quantity); docs/science.md.
 */
export function byVolume(
  measurements: readonly NamedMeasurement[],
  why = "The limits are by volume",
): ByVolume {
  if (measurements.every((m) => m.distribution.quantity === "volume"))
    return { runs: measurements, problems: [] };
  const lost: NamedMeasurement[] = [];
  const turned: Turned[] = [];
  for (const was of measurements) {
    const distribution = convert(was.distribution, "volume");
    if (distribution === null) lost.push(was);
    else turned.push({ was, is: { ...was, distribution } });
  }
  if (lost.length > 0) return { runs: null, problems: lost.map((m) => cannotBeTurned(m, why)) };
  return {
    runs: turned.map(({ is }) => is),
    problems: [
      restsOn(
        turned.filter(({ was }) => was.distribution.quantity !== "volume"),
        why,
      ),
    ],
  };
}

interface Turned {
  readonly was: NamedMeasurement;
  readonly is: NamedMeasurement;
}

function cannotBeTurned({ file, name, distribution }: NamedMeasurement, why: string): Problem {
  const outside = `${figures(100 * unseenShare(distribution))} %`;
  return problem(
    "refused",
    `${why}, but ${name} is measured by ${distribution.quantity} and has ${outside} outside its size classes, so it cannot be converted to volume. Measure a wider size range, give the finest class a lower edge, or import a measurement by volume.`,
    { file, measurement: name, found: `${outside} outside the size classes`, expected: "at most 0.05 %" },
  );
}

/** How much of the volume hangs on few large particles: the coarsest two filled classes of the run where it is most. */
function restsOn(turned: readonly Turned[], why: string): Problem {
  const worst = turned
    .map(({ was, is }) => {
      const last = is.distribution.shares.findLastIndex((share) => share > 0);
      const coarsest = ({ distribution: { shares } }: NamedMeasurement) =>
        100 * shares.slice(Math.max(last - 1, 0), last + 1).reduce((a, b) => b + a, 0);
      return { counted: coarsest(was), volume: coarsest(is) };
    })
    .reduce((most, one) => (one.volume > most.volume ? one : most));
  const kinds = listed([...new Set(turned.map(({ was }) => was.distribution.quantity))]);
  const [first, second] = turned.map(({ was }) => was.name);
  const who =
    second === undefined
      ? `${first} is measured by ${kinds} and was`
      : `${turned.length} runs are measured by ${kinds} and were`;
  const share = `${figures(worst.volume)} % of the volume`;
  return problem(
    "note",
    `${why}: ${who} converted to volume first. The coarsest two classes then hold ${share}, from ${figures(worst.counted)} % of the ${kinds}. If that share is large, measure by volume.`,
    { measurement: first ?? null, found: kinds, expected: "volume", effect: `${share} in two classes` },
  );
}
