/** When the end of a step was seen, by the clock of the device. */
export interface Passed {
  readonly step: number;
  readonly at_ms: number;
}

/** The times noted in flight. Noting the same step again puts the later time in its place. */
export function noted(log: readonly Passed[], step: number, at_ms: number): Passed[] {
  return [...log.filter((passed) => passed.step !== step), { step, at_ms }].sort((one, other) => one.at_ms - other.at_ms);
}

export function time_of_day(at_ms: number): string {
  return `${new Date(at_ms).toISOString().slice(11, 19)} UTC`;
}
