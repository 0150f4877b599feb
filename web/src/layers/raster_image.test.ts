import { expect, it } from "vitest";
import type { RasterDocument } from "../api/generated";
import { classes_seen, hatch_of } from "./raster_image";
import { asked_of } from "./raster_layer";

const raster = {
  what: "coverage",
  classes: [
    { sign: "?", says: "not known", ink_share: 0 },
    { sign: "0", says: "none heard", ink_share: 1 },
    { sign: "1", says: "1 heard", ink_share: 0.8 },
    { sign: "2", says: "2 heard", ink_share: 0.6 },
  ],
  rows: ["2200", "22??"],
} as unknown as RasterDocument;

it("only what is seen stands in the legend", () => expect(classes_seen(raster).map((one) => one.says)).toEqual(["not known", "none heard", "2 heard"]));

it("the worst, the next to it and what is not known are told without colour", () => {
  expect(raster.classes.map((one) => hatch_of("coverage", one))).toEqual(["dots", "crossed", "lines", "none"]);
  expect(hatch_of("terrain", { sign: "f", says: "", ink_share: 1 })).toBe("none");
});

it("what is asked for lies on the earth, and beyond the antimeridian on its other side", () => {
  expect(asked_of([-172, 38, -166, 42], 0.01)).toEqual({ west_deg: -172, south_deg: 38, east_deg: -166, north_deg: 42, width: 100 });
  expect(asked_of([170, 80, 190, 95], 0.1)).toEqual({ west_deg: 170, south_deg: 80, east_deg: -170, north_deg: 90, width: 33 });
  expect(asked_of([-10, 0, 10, 10], 0.0001).width).toBe(160);
  expect(asked_of([-200, -10, 200, 10], 1)).toEqual({ west_deg: -180, south_deg: -10, east_deg: 180, north_deg: 10, width: 60 });
});
