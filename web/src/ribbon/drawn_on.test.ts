import { describe, expect, it } from "vitest";
import type { HeardSpan, HeightPoint, RibbonDocument } from "../api/pictures";
import { DrawnOn, known_runs, stairs } from "./drawn_on";
import { Scale } from "./scale";

const point = (at_nm: number, at_s: number) => ({ at_nm, at_s, step: 1, latitude_deg: 0, longitude_deg: 0 });
const ribbon = { track: [point(0, 0), point(10, 600), point(30, 1200)], missed_track: [] } as unknown as RibbonDocument;
const span: HeardSpan = {
  begins_nm: 0,
  ends_nm: 20,
  begins_s: 0,
  ends_s: 900,
  silent_before: "none",
  silent_after: "none",
  published: false,
  begins_because: "",
  ends_because: "",
  begins_in_short: "",
  ends_in_short: "",
  margins: [
    { at_nm: 0, strength_share: 0 },
    { at_nm: 10, strength_share: 1 },
    { at_nm: 20, strength_share: 0 },
  ],
};

describe("what is drawn of a ribbon", () => {
  it("lies at its distance or at its time, each figure by the service's own", () => {
    const by_distance = new DrawnOn(ribbon, "distance", new Scale({ begins: 0, ends: 30 }, 0, 300));
    const by_time = new DrawnOn(ribbon, "time", new Scale({ begins: 0, ends: 1200 }, 0, 1200));
    expect([by_distance.begins_px(span), by_distance.ends_px(span)]).toEqual([0, 200]);
    expect([by_time.begins_px(span), by_time.ends_px(span)]).toEqual([0, 900]);
    expect(by_distance.margin_stops(span).map((stop) => stop.offset)).toEqual([0, 0.5, 1]);
    expect(by_time.margin_stops(span).map((stop) => stop.offset)).toEqual([0, 600 / 900, 1]);
  });

  it("is cut where the ribbon ends, and left out beyond", () => {
    const on = new DrawnOn(ribbon, "distance", new Scale({ begins: 15, ends: 25 }, 100, 200));
    expect(on.seen(span)).toEqual({ left: 100, right: 150 });
    expect(on.seen({ ...span, ends_nm: 12 })).toBeNull();
  });

  it("never falls to zero where a height is not known", () => {
    const height = (at_nm: number, minimum_msl_ft: number | null): HeightPoint => ({ at_nm, at_s: 0, altitude_msl_ft: 0, minimum_msl_ft, ground_msl_ft: null });
    const heights = [height(0, null), height(1, 3000), height(2, 3000), height(3, null), height(4, 5000)];
    expect(known_runs(heights, "minimum_msl_ft").map((run) => run.map((at) => at.at_nm))).toEqual([[1, 2], [4]]);
    expect(known_runs(heights, "ground_msl_ft")).toEqual([]);
  });

  it("holds a minimum to the end of its stretch", () => {
    expect(
      stairs([
        [0, 50],
        [10, 50],
        [20, 30],
      ]),
    ).toBe("M0.0,50.0H10.0V50.0H20.0V30.0");
  });
});
