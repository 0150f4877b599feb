import { describe, expect, it } from "vitest";
import type { NextDocument, NextProcedure } from "../api/generated";
import { by_approach, by_arrival, marked } from "./choices";

const place = { latitude_deg: 40, longitude_deg: -170 };
const procedure = (ident: string, fix: string, why_not = ""): NextProcedure => ({ ident, transition: "", name: ident, fix, place, why_not });
const airway = (designator: string, ident: string, more = {}): NextDocument["airways"][number] => ({
  designator,
  area_navigation_only: false,
  course_deg: 90,
  points: [{ ident, place, distance_nm: 10, minimum_msl_ft: null, against_one_way: false, ...more }],
});
const next = (parts: Partial<NextDocument>) => ({ at: "XKE", airways: [], departures: [], arrivals: [], approaches: [], ...parts }) as unknown as NextDocument;

describe("what is put in", () => {
  it("by an approach leads direct to where it begins, unless that is where one is, and asks for it with its transition", () => {
    const approach = { ...procedure("I27", "XOBAN"), transition: "XOBAN" };
    expect(by_approach(approach, "XKE")).toMatchObject({ legs: [{ via: "DCT", to: "XOBAN" }], approach: "I27/XOBAN" });
    expect(by_approach(approach, "XOBAN")).toMatchObject({ legs: [], approach: "I27/XOBAN" });
    expect(by_approach(procedure("I27", "XUDER"), "XUDER").approach).toBe("I27");
  });

  it("by a STAR leads to where it begins and names it", () => {
    expect(by_arrival(procedure("XEMIR1", "XRG"), "XKE")).toMatchObject({ legs: [{ via: "DCT", to: "XRG" }], star: "XEMIR1" });
  });
});

describe("what is marked on the chart", () => {
  it("is nothing that cannot be flown", () => {
    const found = marked(next({ airways: [airway("V14", "XHU"), { ...airway("T3", "XWO"), area_navigation_only: true }, airway("V45", "XBN", { against_one_way: true })], approaches: [procedure("R27", "XWAFU", "needs area navigation")] }));
    expect(found.map((one) => one.says)).toEqual(["V14 XHU"]);
  });

  it("is one mark for all approaches that begin at a place", () => {
    const found = marked(next({ approaches: [procedure("I27", "XOBAN"), procedure("L27", "XOBAN"), procedure("D15", "XEVAR")] }));
    expect(found.map((one) => one.says)).toEqual(["I27 and 1 more", "D15"]);
  });
});
