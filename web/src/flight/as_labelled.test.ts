import { describe, expect, it } from "vitest";
import { as_labelled } from "./as_labelled";
import { groups } from "./constraints";

describe("what the service says, on the page", () => {
  it("names what is asked by its label", () => {
    expect(as_labelled("--minimum FT gives one")).toBe("“Minimum off airways, ft” gives one");
    expect(as_labelled("leave out --no-ndb")).toBe("leave out “no NDB”");
    expect(as_labelled("XKE is to be flown over by --via and kept clear of by --avoid: leave one of them out")).toBe(
      "XKE is to be flown over by “Via” and kept clear of by “Avoid”: leave one of them out",
    );
    expect(as_labelled("a higher --highest, or --altitude")).toBe("a higher “Not above, ft”, or “Cruise, ft”");
    expect(as_labelled("--winds-file FILE names a bulletin and --winds-station XXX the station of it: give both")).toBe(
      "“Bulletin of winds aloft (text)” names a bulletin and “Station of the bulletin” the station of it: give both",
    );
    expect(as_labelled("--departure own, or another departure")).toBe("“SID” own, or another departure");
    expect(as_labelled("--approach, --via or --altitude asks for fewer")).toBe("“Approach”, “Via” or “Cruise, ft” asks for fewer");
  });

  it("names every constraint so", () => {
    for (const { field, word, label } of groups.flatMap((group) => group.constraints))
      expect(as_labelled(`give --${field === "approach" ? field : word}`)).toBe(`give “${label}”`);
  });

  it("leaves alone what it has no field for, and what is no option", () => {
    for (const text of ["--alternate IDENT", "3 -- 4 minutes", "XKE--via", "RW07-25", "--avoidance"]) expect(as_labelled(text)).toBe(text);
  });
});
