import { describe, expect, it } from "vitest";
import type { Hearing, RibbonDocument } from "../api/pictures";
import { lanes_of } from "./lanes";

const hearing = (station: string, frequency: string, part: Hearing["part"], needed: boolean): Hearing => ({
  site: { latitude_deg: 0, longitude_deg: 0 },
  station,
  frequency,
  part,
  needed,
  used: needed,
  name: "",
  gives: "",
  kind: "",
  morse: "",
  spans: [],
});

const span = { begins_nm: 0, ends_nm: 1, begins_s: 0, ends_s: 1, kind: "vor", morse: "", station: "XDV", frequency: "110.80", course_deg: null, identify_by_s: null };

const ribbon: RibbonDocument = {
  schema_version: 1,
  kind: "ribbon",
  caution: "",
  reception: "volume",
  marks: [],
  distance_nm: 1,
  time_s: 1,
  distance_with_missed_nm: 1,
  time_with_missed_s: 1,
  steps: [],
  hearing: [
    hearing("XUR", "113.90", "azimuth", false),
    hearing("XDV", "110.80", "azimuth", true),
    hearing("XDV", "110.80", "distance", false),
    hearing("XUR", "392", "azimuth", true),
    hearing("XEW", "117.50", "distance", false),
  ],
  receivers: [
    { name: "NAV1", retunes: [], uses: [], spans: [{ ...span, role: "tuned" }, { ...span, role: "standby" }] },
    { name: "DME", retunes: [], uses: [], spans: [{ ...span, role: "tuned" }] },
    { name: "ADF", retunes: [], uses: [], spans: [{ ...span, station: "XUR", frequency: "392", begins_s: 5, role: "tuned" }] },
  ],
  heights: [],
  wind: [],
  track: [],
  missed_track: [],
    areas: [],
};

describe("the lanes of a ribbon", () => {
  it("show the stations that a set is put on, and count the others", () => {
    const lanes = lanes_of(ribbon, false);
    expect(lanes.heard.map((lane) => lane.station)).toEqual(["XDV", "XUR"]);
    expect(lanes.left_out).toBe(2);
  });

  it("have room for a flight that is laid over this one, and no two in one place", () => {
    const lanes = lanes_of(ribbon, false, { needle: true });
    const placed = [lanes.steps, lanes.deviation!.aside, lanes.deviation!.needle!, ...lanes.heard, ...lanes.receivers, lanes.heights];
    for (const [index, lane] of placed.entries()) {
      const next = placed[index + 1];
      if (next) expect(lane.top_px + lane.height_px).toBeLessThanOrEqual(next.top_px);
    }
    expect(lanes_of(ribbon, false, { needle: false }).deviation?.needle).toBeNull();
    expect(lanes_of(ribbon, false).deviation).toBeNull();
  });

  it("show the others below them on request", () => {
    const lanes = lanes_of(ribbon, true);
    expect(lanes.heard.map((lane) => lane.station)).toEqual(["XDV", "XUR", "XUR", "XEW"]);
    expect(lanes.left_out).toBe(0);
  });

  it("without a schedule of the radios show what is needed", () => {
    const lanes = lanes_of({ ...ribbon, receivers: [] }, false);
    expect(lanes.heard.map((lane) => lane.station)).toEqual(["XDV", "XUR"]);
    expect(lanes.left_out).toBe(2);
  });

  it("hold the azimuth and the distance of a station in one, and tell a beacon from a VOR of the same ident", () => {
    const [first, beacon, vor, lone] = lanes_of(ribbon, true).heard;
    expect([first?.azimuth?.station, first?.distance?.station]).toEqual(["XDV", "XDV"]);
    expect([beacon?.azimuth?.frequency, vor?.azimuth?.frequency]).toEqual(["392", "113.90"]);
    expect([lone?.azimuth, lone?.distance?.station]).toEqual([null, "XEW"]);
  });

  it("lie below each other without touching, within the height", () => {
    for (const unused of [false, true]) {
      const lanes = lanes_of(ribbon, unused);
      const all = [lanes.axis, lanes.steps, ...lanes.heard, ...lanes.receivers, lanes.heights, lanes.wind];
      for (const [index, lane] of all.entries()) {
        const end = lane.top_px + lane.height_px;
        expect(all[index + 1]?.top_px ?? lanes.height_px).toBeGreaterThanOrEqual(end);
      }
      expect(lanes.wind.top_px + lanes.wind.height_px).toBe(lanes.height_px);
    }
  });

  it("have room for a standby window only where there is one", () => {
    const [nav, dme] = lanes_of(ribbon, false).receivers;
    expect(nav!.height_px).toBeGreaterThan(dme!.height_px);
  });
});
