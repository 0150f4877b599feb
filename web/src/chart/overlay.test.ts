import { describe, expect, it } from "vitest";
import type { Place } from "../api/pictures";
import { shapes_of } from "./overlay";

const square = (west: number, south: number, side: number): Place[] =>
  [
    [west, south],
    [west, south + side],
    [west + side, south + side],
    [west + side, south],
  ].map(([longitude, latitude]) => ({ longitude_deg: ((longitude! + 540) % 360) - 180, latitude_deg: latitude! }));

describe("the shapes of an area", () => {
  it("stand apart, each with the holes that follow it", () => {
    const [one, other, hole] = [square(0, 0, 1), square(5, 5, 3), square(6, 6, 1).reverse()];
    expect(shapes_of({ rings: [one, other, hole], within: "most" })).toEqual([[one], [other, hole]]);
  });

  it("are told across the antimeridian too", () => {
    const [ring, hole] = [square(179, 10, 3), square(179.5, 11, 1).reverse()];
    expect(shapes_of({ rings: [ring, hole], within: "half" })).toEqual([[ring, hole]]);
  });
});
