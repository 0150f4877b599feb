import type { CardDocument, GroundspeedCheckDocument } from "../api/generated";

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

/** Times noted as an address keeps them: 3@1764065730,4@1764066210, in seconds. */
export const text_of_log = (log: readonly Passed[]): string => log.map((passed) => `${passed.step}@${Math.floor(passed.at_ms / 1000)}`).join(",");

export function log_of_text(text: string | null): Passed[] {
  const read = (text ?? "").split(",").flatMap((one): Passed[] => {
    const parts = /^(\d{1,3})@(\d{1,11})$/.exec(one);
    return parts ? [{ step: Number(parts[1]), at_ms: Number(parts[2]) * 1000 }] : [];
  });
  return read.reduce<Passed[]>((log, passed) => noted(log, passed.step, passed.at_ms), []);
}

type Check = GroundspeedCheckDocument["steps"][number];

/** What the time on a leg tells: a row of the service's table, as it stands there. */
export interface LegTold {
  readonly step: number;
  readonly groundspeed_kt: number;
  readonly headwind_kt: number;
  readonly forecast_headwind_kt: number;
  readonly next_time_s: number | null;
}

/** Null where so short or long a time is beyond the table. */
export function row_of(check: Check, taken_s: number): LegTold | null {
  const row = taken_s <= check.from_s ? -1 : check.until_s.findIndex((until_s) => taken_s <= until_s);
  const groundspeed_kt = check.groundspeed_kt[row];
  const headwind_kt = check.headwind_kt[row];
  if (groundspeed_kt === undefined || headwind_kt === undefined) return null;
  return { step: check.step, groundspeed_kt, headwind_kt, forecast_headwind_kt: check.forecast_headwind_kt, next_time_s: check.next_time_s[row] ?? null };
}

type Step = CardDocument["card"]["steps"][number];

/** What the end of a step tells, where its beginning was noted too: the end of the step before it. Null where the step has no table. */
export function leg_told(check: GroundspeedCheckDocument | null, steps: readonly Step[], log: readonly Passed[], number: number): LegTold | null {
  const before = steps[steps.findIndex((step) => step.number === number) - 1];
  const table = check?.steps.find((one) => one.step === number);
  const ended = log.find((passed) => passed.step === number);
  const began = log.find((passed) => passed.step === before?.number);
  return table && ended && began ? row_of(table, (ended.at_ms - began.at_ms) / 1000) : null;
}

/** When the end of a step is to be expected: the time of the one before it, and what this one takes in the wind that was found, else by the card. */
export function expected_ms(check: GroundspeedCheckDocument | null, steps: readonly Step[], log: readonly Passed[], number: number): number | null {
  const index = steps.findIndex((step) => step.number === number);
  const [before, step] = [steps[index - 1], steps[index]];
  const began = log.find((passed) => passed.step === before?.number);
  if (!before || !step || !began) return null;
  const takes_s = leg_told(check, steps, log, before.number)?.next_time_s ?? step.expected.time_s;
  return takes_s === null ? null : began.at_ms + takes_s * 1000;
}

/** A wind along the course in words. */
export const wind_along = (headwind_kt: number): string =>
  headwind_kt === 0 ? "no wind along" : `${Math.abs(headwind_kt)} kt ${headwind_kt > 0 ? "headwind" : "tailwind"}`;
