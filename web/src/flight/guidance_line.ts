/** How the route's black line is broken for each kind of guidance: in ribbon, chart and legend alike, in pixels. */
export interface GuidanceLine {
  readonly says: string;
  readonly dashes: readonly number[];
}

const solid: GuidanceLine = { says: "radial", dashes: [] };

const lines: Readonly<Record<string, GuidanceLine>> = {
  radial: solid,
  localizer: { says: "localizer", dashes: [16, 3, 3, 3] },
  bearing: { says: "bearing of a beacon", dashes: [2, 4] },
  arc: { says: "DME arc", dashes: [12, 4] },
  dead_reckoning: { says: "by heading", dashes: [5, 5] },
  hold: { says: "hold", dashes: [16, 3, 3, 3, 3, 3] },
  course_reversal: { says: "course reversal", dashes: [16, 3, 3, 3, 3, 3] },
  runway: { says: "by heading", dashes: [5, 5] },
};

export const guidance_line = (kind: string): GuidanceLine => lines[kind] ?? { says: kind.replaceAll("_", " "), dashes: [] };
