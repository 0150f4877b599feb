import { describe, expect, it } from "vitest";
import type { PlanDocument } from "../api/generated";
import { offered, tightest_at } from "./flights";

const costs = { time_min: 60, work_points: 20, margin_share: 0.2, reception_share: 0.4, reception_at: "XKE", fix_share: 0.2, fix_at: "XUDER", width_share: 0.9, width_at: "" };
const outline = { airways: [], stations: [], dead_reckoning_nm: 0, highest_minimum_msl_ft: null, departs: "RW25", lands: "RW27" };
const other = (route: string) => ({ route, difference: "4 min shorter", differences: ["it follows V14"], costs, outline, findings: [] });
const plan = (others: string[]) => ({ flight: { route: "this" }, verdict: "flyable", findings: [], costs, outline, others: others.map(other) }) as unknown as PlanDocument;

describe("flights that are offered", () => {
  it("keep their places whichever of them is chosen", () => {
    expect(offered(plan(["b", "c"]), 1).map((one) => [one.number, one.route])).toEqual([[1, "this"], [2, "b"], [3, "c"]]);
    expect(offered(plan(["a", "c"]), 2).map((one) => [one.number, one.route])).toEqual([[1, "a"], [2, "this"], [3, "c"]]);
  });

  it("differ in the words of the plan, but for the one that is chosen", () => {
    expect(offered(plan(["b"]), 1).map((one) => one.differences)).toEqual([[], ["it follows V14", "4 min shorter"]]);
  });

  it("are none where nothing is compared", () => {
    expect(offered({ ...plan([]), costs: null }, 1)).toEqual([]);
  });

  it("tell where they are tightest", () => expect(tightest_at(costs)).toBe("XUDER"));
});
