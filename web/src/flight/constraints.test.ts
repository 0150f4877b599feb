import { describe, expect, it } from "vitest";
import { address_of, search_of } from "./address";
import { type Constraint, constraints_in_words, constraints_of, groups, of_route, written } from "./constraints";
import { files_of, no_names, own_aircraft, with_files } from "./given_files";

const { files: no_files } = files_of(no_names, () => null);
const all = groups.flatMap((group) => group.constraints);

/** Something to write at each. */
function example(constraint: Constraint): string {
  switch (constraint.kind) {
    case "tick":
      return "";
    case "number":
      return "4";
    case "one_of":
      return constraint.of.at(-1)![0];
    case "idents":
      return constraint.field === "avoid_areas" ? "XKE/15,4030N16815W/20" : "XKE,XHU";
    case "text":
      return "3000 270/20, 9000 290/35";
    case "word":
      return constraint.field === "approach" ? "I27/XOBAN" : "RW25";
  }
}

describe("constraints", () => {
  it("are each a field and a word of their own", () => {
    expect(new Set(all.map(({ field }) => field)).size).toBe(all.length);
    expect(new Set(all.map(({ word }) => word)).size).toBe(all.length);
  });

  it("stand in the address bar as they were written, one by one and all together, whatever else is there", () => {
    const rest = { route: "XDOV DCT XDV XMRA", approach: "I27", altitude_ft: 8000 };
    for (const asked of [...all.map((one) => [one]), all]) {
      const question = { from: "XDOV", to: "XMRA", ...constraints_of((each) => (asked.includes(each) ? example(each) : null)) };
      expect(written(question).map(({ constraint }) => constraint.field)).toEqual(asked.map(({ field }) => field));
      for (const by_hand of [null, rest]) {
        const address = { ...address_of(""), question, by_hand };
        expect(address_of(search_of(address))).toEqual(address);
      }
    }
  });

  it("of which one is not understood are as if they were not asked", () => {
    const of_kind = (kind: Constraint["kind"], text: string) => constraints_of((constraint) => (constraint.kind === kind ? text : null));
    for (const text of ["", " ", "many", "1e9", "-", "0x10", "12345678"]) expect(of_kind("number", text), text).toEqual({});
    for (const text of ["", "faa", "TERPS"]) expect(of_kind("one_of", text), text).toEqual({});
    for (const text of ["", ", ,", ";drop", "é"]) expect(of_kind("idents", text), text).toEqual({});
    for (const text of ["", " ", "x".repeat(41)]) expect(of_kind("word", text), text).toEqual({});
  });

  it("are said on paper in words", () => {
    const question = constraints_of((constraint) => ({ without: "xum xke", approach: "i27", criteria: "pans-ops", no_ndb: "", choices: "3", departure: "own" })[constraint.field as "without"] ?? null);
    expect(question).toEqual({ without: ["XUM", "XKE"], approach: "I27", criteria: "pans-ops", no_ndb: true, choices: 3, departure: "own" });
    expect(constraints_in_words(question)).toEqual(["out of service XUM, XKE", "no NDB", "SID own", "approach I27", "tolerances PANS-OPS"]);
  });

  it("that make the planner choose are not asked of a route by hand", () => {
    const asked = { from: "XDOV", to: "XMRA", wind: "270/20", choose: 2, ...constraints_of(example) };
    const left = Object.keys(of_route(asked));
    for (const field of ["via", "approach", "survive_any", "choices", "choose"]) expect(left).not.toContain(field);
    for (const field of ["from", "to", "wind", "without", "criteria", "winds", "highest_altitude_ft"]) expect(left).toContain(field);
  });
});

describe("files given with the question", () => {
  const file = (text: string) => ({ name: "a file", text });
  const asked = { from: "XDOV", to: "XMRA", aircraft: "twin", winds_station: "XDO" };

  it("go as texts, which have lines; without a bulletin no station of it is asked", () => {
    expect(with_files(asked, no_files)).toEqual({ from: "XDOV", to: "XMRA", aircraft: "twin" });
    expect(with_files(asked, { aircraft: file("name = 'X'\n"), minima: file("one line"), winds_bulletin: file("FD\n") })).toEqual({
      from: "XDOV",
      to: "XMRA",
      aircraft: "name = 'X'\n",
      minima: "one line\n",
      winds_bulletin: "FD\n",
      winds_station: "XDO",
    });
  });

  it("an aircraft of one's own goes along with its card, a shipped one need not", () => {
    expect(own_aircraft(with_files(asked, { ...no_files, aircraft: file("name = 'X'") }))).toEqual({ aircraft: "name = 'X'\n" });
    expect(own_aircraft(asked)).toEqual({});
    expect(own_aircraft(null)).toEqual({});
  });
});
