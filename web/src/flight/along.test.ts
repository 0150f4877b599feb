import { describe, expect, it } from "vitest";
import type { RibbonStep, TrackPoint } from "../api/pictures";
import { is_on, last_at, Line, step_at } from "./along";

const at = (at_nm: number, at_s: number): TrackPoint => ({ at_nm, at_s, step: 1, latitude_deg: 0, longitude_deg: 0 });
// Faster after 10 NM, and a hold at 20 NM in which time passes alone.
const track = [at(0, 0), at(10, 300), at(20, 500), at(20, 740), at(30, 940)];
const missed_track = [at(30, 940), at(31, 960)];
const line = new Line({ track, missed_track });

const step = (number: number, begins_s: number, ends_s: number, missed = false): RibbonStep => ({
  number,
  begins_s,
  ends_s,
  begins_nm: 0,
  ends_nm: 0,
  phase: "en route",
  via: "",
  from: "",
  to: "",
  says: "",
  until: "",
  guidance: "radial",
  missed,
});
const steps = [step(1, 0, 5), step(2, 5, 12), step(3, 12, 30), step(4, 30, 31, true)];

describe("a place along the flight", () => {
  it("has its time between the service's own points", () => {
    expect(line.seconds_at(5)).toBe(150);
    expect(line.seconds_at(15)).toBe(400);
    expect(line.seconds_at(25)).toBe(840);
  });

  it("is found again by its time", () => {
    for (const at_nm of [0, 3.3, 10, 17, 28, 30]) expect(line.miles_at(line.seconds_at(at_nm))).toBeCloseTo(at_nm, 9);
  });

  it("stands still while time passes in a hold, where the earliest moment stands for the distance", () => {
    expect(line.miles_at(600)).toBe(20);
    expect(line.seconds_at(20)).toBe(500);
  });

  it("stays within the flight", () => {
    expect(line.seconds_at(-1)).toBe(0);
    expect(line.seconds_at(32)).toBe(960);
    expect(new Line({ track: [], missed_track: [] }).seconds_at(5)).toBe(0);
  });

  it("is shown by the last sample before it", () => {
    expect(last_at(track, 299)).toBe(track[0]);
    expect(last_at(track, 300)).toBe(track[1]);
    expect(last_at(track, 9999)).toBe(track[4]);
    expect(last_at([], 1)).toBeUndefined();
  });

  it("belongs to the step that begins then, the missed approach after the others", () => {
    expect(step_at(steps, 0)?.number).toBe(1);
    expect(step_at(steps, 5)?.number).toBe(2);
    expect(step_at(steps, 29)?.number).toBe(3);
    expect(step_at(steps, 30)?.number).toBe(4);
    expect(step_at([], 1)).toBeUndefined();
    expect([is_on(steps[1]!, 4), is_on(steps[1]!, 5), is_on(steps[1]!, 12), is_on(steps[1]!, 13)]).toEqual([false, true, true, false]);
  });
});
