import { describe, expect, it } from "vitest";
import { type Deviation, has_needle, runs_of, widest_nm } from "./deviation_lanes";

const held = (aside_nm: number | null, needle_share: number | null = null): Deviation => ({ at_nm: 0, at_s: 0, primary_nm: null, altitude_msl_ft: null, aside_nm, needle_share });

describe("how a flight was held", () => {
  it("has no line where there was none: a hold is a gap", () => {
    expect(runs_of([held(null), held(0.1), held(0.2), held(null), held(null), held(0.3)], "aside_nm").map((run) => run.map((one) => one.aside_nm))).toEqual([[0.1, 0.2], [0.3]]);
    expect(runs_of([held(null)], "aside_nm")).toEqual([]);
  });

  it("has room for the farthest to either side, in whole miles and at least one", () => {
    expect([[], [held(0.2)], [held(1), held(-3.4)], [held(null)]].map(widest_nm)).toEqual([1, 1, 4, 1]);
  });

  it("shows a needle only where one is known", () => {
    expect([has_needle([held(1)]), has_needle([held(1), held(1, 0)])]).toEqual([false, true]);
  });
});
