import { describe, expect, it } from "vitest";
import { ChartProjection } from "./projection";

const region = {
  standard_parallels_deg: [33, 45],
  centre: { latitude_deg: 23, longitude_deg: -96 },
  west_deg: -100,
  south_deg: 25,
  east_deg: -70,
  north_deg: 46,
} as const;

describe("the projection of the chart", () => {
  it("agrees with a published example", () => {
    // Snyder, Map Projections: A Working Manual (USGS Professional Paper 1395), numerical example of the Lambert conformal conic on the
    // Clarke 1866 ellipsoid, from memory: 35 N 75 W is x 1 894 410.9, y 1 564 649.5. On WGS 84 it differs by less than 200 m.
    const [x, y] = new ChartProjection(region).xy({ latitude_deg: 35, longitude_deg: -75 });
    expect(Math.abs(x - 1_894_410.9)).toBeLessThan(200);
    expect(Math.abs(y - 1_564_649.5)).toBeLessThan(200);
  });

  it("has true north straight up on its central meridian, and turns by the cone's constant elsewhere", () => {
    const projection = new ChartProjection(region);
    expect(projection.north_deg({ latitude_deg: 40, longitude_deg: -96 })).toBeCloseTo(0, 6);
    // Snyder's n for these parallels is 0.6304777, from memory; east of the middle north leans to the left.
    expect(projection.north_deg({ latitude_deg: 35, longitude_deg: -75 })).toBeCloseTo(-0.6304777 * 21, 2);
  });

  it("goes on over the antimeridian", () => {
    const across = new ChartProjection({ ...region, centre: { latitude_deg: 40, longitude_deg: 179 }, west_deg: 175, east_deg: -175 });
    const [west] = across.xy({ latitude_deg: 40, longitude_deg: 179.5 });
    const [east] = across.xy({ latitude_deg: 40, longitude_deg: -179.5 });
    expect(east - west).toBeGreaterThan(80_000);
    expect(east - west).toBeLessThan(90_000);
  });
});
