import { describe, expect, it } from "vitest";
import type { PanelSample } from "../api/pictures";
import { markers_passed } from "./markers_passed";

const sample = (at_s: number, marker: PanelSample["marker"]) => ({ at_s, at_nm: at_s / 60, altitude_msl_ft: 2000 - at_s, marker }) as PanelSample;
const lit = (kind: "outer" | "middle" | "back_course", localizer = "IXMR") => ({ lit: kind, localizer });
const dark = { lit: null, localizer: null };

describe("markers passed", () => {
  it("stand once each, in the middle of their light", () => {
    const samples = [sample(0, dark), sample(5, lit("outer")), sample(10, lit("outer")), sample(15, lit("outer")), sample(18, dark), sample(40, lit("middle")), sample(45, dark)];
    expect(markers_passed(samples)).toEqual([
      { letter: "O", at_nm: 10 / 60, at_s: 10, altitude_msl_ft: 1990 },
      { letter: "M", at_nm: 40 / 60, at_s: 40, altitude_msl_ft: 1960 },
    ]);
  });

  it("of two localizers are two, and of a back course the lamp is the inner's", () => {
    const samples = [sample(0, lit("outer", "IXMR")), sample(5, lit("outer", "IXDV")), sample(10, lit("back_course"))];
    expect(markers_passed(samples).map((one) => one.letter)).toEqual(["O", "O", "I"]);
  });

  it("are none without a marker receiver", () => {
    expect(markers_passed([sample(0, null), sample(5, null)])).toEqual([]);
  });
});
