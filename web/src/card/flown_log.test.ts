import { expect, it } from "vitest";
import { noted, time_of_day } from "./flown_log";

it("a fix passed twice has its later time, and the log stands in order of time", () => {
  const log = noted(noted(noted([], 3, 1_000), 4, 5_000), 3, 9_000);
  expect(log).toEqual([
    { step: 4, at_ms: 5_000 },
    { step: 3, at_ms: 9_000 },
  ]);
});

it("times are UTC", () => expect(time_of_day(Date.UTC(2026, 10, 25, 7, 8, 9))).toBe("07:08:09 UTC"));
