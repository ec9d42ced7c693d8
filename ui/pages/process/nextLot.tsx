import { signal } from "@preact/signals";
import { type Allowed, nextTrialAnswer, type ProposedLot } from "#model/answers/factors/nextTrialAnswer.ts";
import { figures, unbroken } from "#ui/parts/format.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { resultName, savedHistory, target, valuesOf } from "./historyState.ts";

type Ends = { readonly from: number | null; readonly to: number | null };
const allowed = signal<Readonly<Record<string, Ends>>>({});

/** The next lot within limits that are given here: the one that tells most, and the one likeliest in its limits. */
export function NextLot() {
  const history = savedHistory.value;
  const settings = history?.settings ?? [];
  if (history === null || settings.length === 0) return null;
  const within = Object.fromEntries(
    settings.flatMap((name): [string, Allowed][] => {
      const tried = valuesOf(name).filter((v) => v !== null);
      const ends = allowed.value[name];
      if (ends === undefined || tried.length === 0) return [];
      return [[name, { from: ends.from ?? Math.min(...tried), to: ends.to ?? Math.max(...tried) }]];
    }),
  );
  const limits = target.value;
  const answer = nextTrialAnswer(history, {
    of: resultName.value,
    factors: settings,
    within,
    ...(limits === null ? {} : { limits }),
  });
  return (
    <section aria-labelledby="next-lot">
      <h2 id="next-lot">The next lot</h2>
      <div class="process-limits">
        {settings.map((name) => (
          <LimitFields key={name} name={name} />
        ))}
      </div>
      {answer.splitting === null && answer.likeliest === null && (
        <p class="lead">{unbroken(answer.sentence)}</p>
      )}
      <Proposal of={answer.splitting} />
      <Proposal of={answer.likeliest} />
      {limits === null && answer.splitting !== null && (
        <p class="quiet">
          The band of this stage has no limit of {resultName.value}, so no lot is the likeliest to lie in it.
        </p>
      )}
      <ul class="cautions">
        {answer.cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
    </section>
  );
}

function Proposal({ of }: { of: ProposedLot | null }) {
  return of === null ? null : <p class="lead process-proposal">{unbroken(of.sentence)}</p>;
}

function LimitFields({ name }: { name: string }) {
  const tried = valuesOf(name).filter((v) => v !== null);
  const unit = savedHistory.value?.columns.find((c) => c.name === name)?.unit ?? "";
  const ends = allowed.value[name] ?? { from: null, to: null };
  const set = (change: Partial<Ends>) => {
    allowed.value = { ...allowed.value, [name]: { ...ends, ...change } };
  };
  const isTurned = ends.from !== null && ends.to !== null && ends.from > ends.to;
  return (
    <div>
      <span>{name}</span>{" "}
      <span class="quiet">
        tried{" "}
        {tried.length === 0
          ? "nowhere"
          : `${figures(Math.min(...tried))}–${figures(Math.max(...tried))} ${unit}`}
      </span>
      <br />
      <NumberField
        label="from"
        fullName={`${name}, from`}
        unit={unit}
        value={ends.from}
        fault={isTurned ? "From must not exceed to." : null}
        mayBeEmpty
        onChange={(from) => set({ from })}
      />
      <NumberField
        label="to"
        fullName={`${name}, to`}
        unit={unit}
        value={ends.to}
        mayBeEmpty
        onChange={(to) => set({ to })}
      />
    </div>
  );
}
