import { describe, expect, it } from "vitest";
import { aside_says, how_flown, needle_says, off_says, type StepDebriefed } from "./step_debriefed";

const step = (more: Partial<StepDebriefed>): StepDebriefed => ({ side: null, hold: null, reversal: null, fix: null, end: null, ...more }) as StepDebriefed;

describe("what is said of a step", () => {
  it("has a side where there is one to a tenth", () => {
    expect([-1.24, 0.04, -0.04, 0.05].map(aside_says)).toEqual(["1.2 L", "0.0", "0.0", "0.1 R"]);
    expect(needle_says(-0.31)).toBe("0.31 L");
    expect([-170, 4, 0].map(off_says)).toEqual(["-170", "+0", "+0"]);
  });

  it("is how it was joined, and what showed as it was ended", () => {
    const side = { established_after_s: 79, overshot_nm: 0.42 } as StepDebriefed["side"];
    const fix = { missed_by_nm: 0.04, turned_after_s: -31.1 } as StepDebriefed["fix"];
    const end = { aid: { ident: "XPI" }, shown_nm: 21.1, meant_nm: 20.8, off_deg: null, taken_s: null, shown_msl_ft: null } as StepDebriefed["end"];
    expect(how_flown(step({ side, fix, end }))).toBe("established after 1:19; 0.4 NM beyond the line on joining it; passed 0.0 NM away; turn begun 31 s before; DME XPI 21.1 for 20.8");
  });

  it("is the legs of a hold", () => {
    const hold = { circuits: 2, inbound_s: [34, 58], inbound_meant_s: 60, outside_protected_nm: 0 } as unknown as StepDebriefed["hold"];
    expect(how_flown(step({ hold }))).toBe("2 circuits; inbound 0:34, 0:58 for 1:00");
  });
});
