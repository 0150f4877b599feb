import { expect, it } from "vitest";
import type { CardDocument, GroundspeedCheckDocument } from "../api/generated";
import { expected_ms, leg_told, log_of_text, noted, row_of, text_of_log, time_of_day, wind_along } from "./flown_log";

it("a fix passed twice has its later time, and the log stands in order of time", () => {
  const log = noted(noted(noted([], 3, 1_000), 4, 5_000), 3, 9_000);
  expect(log).toEqual([
    { step: 4, at_ms: 5_000 },
    { step: 3, at_ms: 9_000 },
  ]);
});

it("times are UTC", () => expect(time_of_day(Date.UTC(2026, 10, 25, 7, 8, 9))).toBe("07:08:09 UTC"));

it("a log is the same after a way through the address, and what is not understood is left out", () => {
  const log = noted(noted([], 3, 1_764_065_730_000), 4, 1_764_066_210_000);
  expect(text_of_log(log)).toBe("3@1764065730,4@1764066210");
  expect(log_of_text(text_of_log(log))).toEqual(log);
  expect(log_of_text("x@1,4@,5@12,,5@-3")).toEqual([{ step: 5, at_ms: 12_000 }]);
  expect(log_of_text(null)).toEqual([]);
});

const check = {
  steps: [{ step: 3, forecast_headwind_kt: 10, from_s: 90, until_s: [100, 110, 120], groundspeed_kt: [120, 110, 100], headwind_kt: [0, 10, 20], next_time_s: [50, null, 70] }],
} as unknown as GroundspeedCheckDocument;
const table = check.steps[0]!;
const steps = [
  { number: 2, expected: { time_s: 60 } },
  { number: 3, expected: { time_s: 110 } },
  { number: 4, expected: { time_s: 55 } },
  { number: 5, expected: { time_s: null } },
] as unknown as CardDocument["card"]["steps"];

it("the row of a time is the first that it is not longer than, and beyond the table there is none", () => {
  const groundspeed = (taken_s: number) => row_of(table, taken_s)?.groundspeed_kt ?? null;
  expect([89, 90, 90.5, 100, 100.1, 120, 120.1].map(groundspeed)).toEqual([null, null, 120, 120, 110, 100, null]);
});

it("a leg tells something where both its ends were noted", () => {
  const log = [
    { step: 2, at_ms: 1_000_000 },
    { step: 3, at_ms: 1_118_000 },
  ];
  expect(leg_told(check, steps, log, 3)).toEqual({ step: 3, groundspeed_kt: 100, headwind_kt: 20, forecast_headwind_kt: 10, next_time_s: 70 });
  expect(leg_told(check, steps, log.slice(1), 3)).toBe(null);
  expect(leg_told(check, steps, log, 2)).toBe(null);
  expect(leg_told(null, steps, log, 3)).toBe(null);
});

it("the next is expected by the wind found, else by the card, else not at all", () => {
  const over = (at_ms: number) => [
    { step: 2, at_ms: 1_000_000 },
    { step: 3, at_ms },
  ];
  expect(expected_ms(check, steps, over(1_118_000), 4)).toBe(1_188_000);
  expect(expected_ms(check, steps, over(1_300_000), 4)).toBe(1_355_000);
  expect(expected_ms(check, steps, [{ step: 4, at_ms: 5_000 }], 5)).toBe(null);
  expect(expected_ms(check, steps, [], 4)).toBe(null);
});

it("a negative headwind is a tailwind", () => expect([12, -7, 0].map(wind_along)).toEqual(["12 kt headwind", "7 kt tailwind", "no wind along"]));
