import { describe, expect, it } from "vitest";
import type { RibbonStep, TrackPoint } from "../api/pictures";
import { last_at, miles_at, seconds_at, step_at } from "./along";

const at = (at_nm: number, at_s: number): TrackPoint => ({ at_nm, at_s, step: 1, latitude_deg: 0, longitude_deg: 0 });
// Faster after 10 NM, and a hold at 20 NM in which time passes alone.
const track = [at(0, 0), at(10, 300), at(20, 500), at(20, 740), at(30, 940)];

const step = (number: number, begins_nm: number, ends_nm: number, missed = false): RibbonStep => ({
  number,
  begins_nm,
  ends_nm,
  begins_s: 0,
  ends_s: 0,
  phase: "",
  says: "",
  until: "",
  guidance: "radial",
  missed,
});
const steps = [step(1, 0, 5), step(2, 5, 12), step(3, 12, 30), step(4, 30, 31, true)];

describe("a place along the flight", () => {
  it("has its time between the service's own points", () => {
    expect(seconds_at(track, 5)).toBe(150);
    expect(seconds_at(track, 15)).toBe(400);
    expect(seconds_at(track, 25)).toBe(840);
  });

  it("is found again by its time", () => {
    for (const at_nm of [0, 3.3, 10, 17, 28, 30]) expect(miles_at(track, seconds_at(track, at_nm))).toBeCloseTo(at_nm, 9);
  });

  it("stands still while time passes in a hold", () => expect(miles_at(track, 600)).toBe(20));

  it("stays within the flight", () => {
    expect(seconds_at(track, -1)).toBe(0);
    expect(seconds_at(track, 31)).toBe(940);
    expect(seconds_at([], 5)).toBe(0);
  });

  it("is shown by the last sample before it", () => {
    expect(last_at(track, 9.99)).toBe(track[0]);
    expect(last_at(track, 10)).toBe(track[1]);
    expect(last_at(track, 99)).toBe(track[4]);
    expect(last_at([], 1)).toBeUndefined();
  });

  it("belongs to the step that begins there, and never to the missed approach", () => {
    expect(step_at(steps, 0)?.number).toBe(1);
    expect(step_at(steps, 5)?.number).toBe(2);
    expect(step_at(steps, 30)?.number).toBe(3);
    expect(step_at([], 1)).toBeUndefined();
  });
});
