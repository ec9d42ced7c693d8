/** Median over rounds of the processor's time of one turn. */
export function timeOf(turns: number, ask: () => unknown): number {
  const rounds: number[] = [];
  for (let round = 0; round < 9; round++) {
    const from = process.cpuUsage();
    for (let i = 0; i < turns; i++) ask();
    const { user, system } = process.cpuUsage(from);
    rounds.push((user + system) / 1000 / turns);
  }
  return rounds.toSorted((a, b) => a - b)[4] ?? Number.NaN;
}
