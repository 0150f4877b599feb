import { describe, expect, it } from "vitest";
import type { DebriefDocument } from "../api/generated";
import type { RibbonStep } from "../api/pictures";
import { deviations_of, overlay_of } from "./flown_track";

const moment = (time_s: number, step: number, after_gap = false) => ({
  time_s,
  step,
  after_gap,
  place: { latitude_deg: time_s, longitude_deg: 0 },
  altitude_msl_ft: null,
  aside_nm: 0.5,
  needle: step === 1 ? { deflection_deg: -2.5, of_full_scale_share: -0.25 } : null,
});

// Step 1 took twice as long as it should; step 3 was never flown.
const found = {
  moments: [moment(1000, 1), moment(1100, 1), moment(1200, 1), moment(1300, 2, true), moment(1400, 2), moment(1500, 3)],
  steps: [
    { number: 1, began_s: 1000, ended_s: 1200 },
    { number: 2, began_s: 1200, ended_s: 1400 },
    { number: 3, began_s: null, ended_s: null },
  ],
} as unknown as DebriefDocument;

const steps = [
  { number: 1, begins_s: 0, ends_s: 100, begins_nm: 0, ends_nm: 5 },
  { number: 2, begins_s: 100, ends_s: 300, begins_nm: 5, ends_nm: 15 },
  { number: 3, begins_s: 300, ends_s: 400, begins_nm: 15, ends_nm: 20 },
] as unknown as RibbonStep[];

describe("a flown track", () => {
  it("stands on the ribbon where its steps do, and nowhere of a step that was not flown", () => {
    expect(deviations_of(found, steps).map(({ at_s, at_nm }) => [at_s, at_nm])).toEqual([
      [0, 0],
      [50, 2.5],
      [100, 5],
      [200, 10],
      [300, 15],
    ]);
  });

  it("has its needle as the service told it, by its full scale, and none where none guided", () => {
    expect(deviations_of(found, steps).map((one) => one.needle_share)).toEqual([-0.25, -0.25, -0.25, null, null]);
  });

  it("has no line where nothing was recorded", () => {
    expect(overlay_of(found).lines.map((line) => line.places.map((place) => place.latitude_deg))).toEqual([
      [1000, 1100, 1200],
      [1300, 1400, 1500],
    ]);
  });
});
