import { describe, expect, it } from "vitest";
import { where_says } from "./where_says";

describe("where a fault is", () => {
  it("is the line of a file, as the service tells it", () => {
    expect(where_says("aircraft.toml:2:11")).toBe("aircraft file, line 2, column 11");
    expect(where_says("minima:1:1")).toBe("minima, line 1, column 1");
    expect(where_says("track:7")).toBe("track, line 7");
  });

  it("is the field of the form by its label", () => {
    expect(where_says("/criteria")).toBe("Tolerances");
    expect(where_says("/without/0")).toBe("Out of service");
  });

  it("is nothing where it tells nothing", () => {
    for (const where of ["", "/from", "card#/request/aircraft", "/words/1"]) expect(where_says(where)).toBe("");
  });
});
